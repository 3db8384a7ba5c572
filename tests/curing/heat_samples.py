"""Stacks of the study: iron, mortar and brick in a frosty night."""

from truebed.curing.binder import Binder, age_to_strength_min
from truebed.curing.heat import Want
from truebed.curing.stack import Layer, Stack

MORTAR = Binder("exponential", 45.0, 42.0, 0.9, 0.0, 33500.0, 125.0, 1.2, 2.0)
#: The same, but it gives no heat: a body that conducts.
COLD = Binder("exponential", 45.0, 42.0, 0.9, 0.0, 33500.0, 0.0, 1.2, 2.0)
GUARD = 5.0


def night(bed_mm=30.0, mix_c=12.0, road_c=2.0, binder=MORTAR, **more):
    return Stack(
        (
            Layer("iron", 15.0, 50.0, 3.312, road_c),
            Layer("mortar", bed_mm, 1.2, 2.0, mix_c, binder),
            Layer("brick", 500.0, 0.8, 1.445, road_c),
        ),
        **more,
    )


def slowest(binder=MORTAR, strength=20.0):
    return Want("mortar", "slowest", age_to_strength_min(binder, strength))
