"""A cover by series resistance against the same cover as a nearly weightless layer of the heat calculation."""

import numpy as np
import pytest

from curing.heat_samples import GUARD, MORTAR, slowest
from truebed.curing.heat import cure
from truebed.curing.heat_grid import FINE
from truebed.curing.protection import passed_w_per_m2_k, protected
from truebed.curing.stack import Boundary, Layer, Stack
from truebed.curing.surfaces import weather_data

DATA = weather_data()
MINUTES = np.arange(0.0, 601.0, 10.0)
#: A clear night that cools and blows up, and a sun that comes up at its end.
NIGHT = Boundary(
    MINUTES,
    4.0 - MINUTES / 150.0,
    16.0 + 6.0 * np.sin(MINUTES / 90.0),
    np.where(MINUTES < 420.0, -70.0, -70.0 + (MINUTES - 420.0)),
)
BELOW = (Layer("mortar", 30.0, 1.2, 2.0, 12.0, MORTAR), Layer("brick", 300.0, 0.8, 1.5, 3.0))
THICK_MM = {"sheet": 0.5, "blanket": 25.0}


@pytest.mark.parametrize("kind", ["sheet", "blanket"])
def test_series_resistance_gives_the_times_and_temperatures_of_an_explicit_cover(kind):
    conduct = passed_w_per_m2_k(kind, DATA) * THICK_MM[kind] / 1000.0
    cover = Layer("cover", THICK_MM[kind], conduct, 1e-4, 4.0)
    wants = tuple(slowest(MORTAR, strength) for strength in (10.0, 20.0, 30.0))
    under = cure(Stack(BELOW), protected(NIGHT, kind, DATA), wants, guard_n_per_mm2=GUARD, pace=FINE, end_min=600.0)
    layered = cure(Stack((cover, *BELOW)), NIGHT, wants, guard_n_per_mm2=GUARD, pace=FINE, end_min=600.0)
    assert under.minutes_min == pytest.approx(layered.minutes_min, abs=0.05)
    # the mortar's top face: the first of the one, the third of the other
    ours = np.interp(MINUTES[1:], under.trace.minutes_min, under.trace.face_c[:, 0])
    theirs = np.interp(MINUTES[1:], layered.trace.minutes_min, layered.trace.face_c[:, 2])
    assert np.abs(ours - theirs).max() < 0.05


def test_on_a_cold_night_a_blanket_is_ready_sooner_than_a_sheet_and_a_sheet_sooner_than_nothing():
    times = [
        cure(Stack(BELOW), protected(NIGHT, kind, DATA), (slowest(MORTAR),), guard_n_per_mm2=GUARD).minutes_min[0]
        for kind in ("none", "sheet", "blanket")
    ]
    assert times[0] > times[1] + 0.5 > times[2] + 1.0
