"""What the wheel asks of the bed, its whole load at a point of the opening: on the safe side of a tyre's own patch."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from truebed.curing.contact import bed_of, contact


@dataclass(frozen=True, slots=True)
class WheelDemand:
    """Greatest bed pressure under one wheel [N/mm2]: centred, and at its worst place on the clear opening.

    peak_at       'edge along' | 'edge across' | 'corner'; of a D 'nose' | 'side' | 'back' | 'back corner'
    full_contact  whether the whole seating stays in contact with the wheel there
    """

    centred_n_per_mm2: float
    peak_n_per_mm2: float
    peak_at: str
    full_contact: bool
    area_mm2: float


def wheel_demand(
    seating: BaseGeometry,
    wheel_kn: float,
    reach_along_mm: float,
    reach_across_mm: float,
    *,
    round_opening: bool,
    d_opening: bool = False,
) -> WheelDemand:
    """Bed pressure of a rigid frame under one wheel at a point: centred, and at its worst place on the clear opening.

    A tyre stands on a patch and cannot put its whole load on the opening's very corner: truebed.curing.tyre asks less.

    reach_*     half the clear opening; a rectangular one is also tried at its corner, a D at its nose, where its sides
                end, at its back and at the back's corner. The load model contains its dynamic effect: no factor.

    Valid       seating symmetric about the frame's centre; of a D about its own x
    Source      algebra; load: rule set value wheel_load_kn
    Raises      ValueError where the frame tips: there is no balance
    Proved by   tests/curing/test_wheel.py
    """
    bed, load_n = bed_of(seating), wheel_kn * 1000.0
    places = {"edge along": (reach_along_mm, 0.0), "edge across": (0.0, reach_across_mm)}
    if d_opening:
        places = {
            "nose": (reach_along_mm, 0.0),
            "side": (reach_along_mm - reach_across_mm, reach_across_mm),
            "back": (-reach_along_mm, 0.0),
            "back corner": (-reach_along_mm, reach_across_mm),
        }
    elif not round_opening:
        places["corner"] = (reach_along_mm, reach_across_mm)
    found = {name: contact(bed, load_n, *place) for name, place in places.items()}
    peaks = {name: one.peak_n_per_mm2 for name, one in found.items() if one.peak_n_per_mm2 is not None}
    if len(peaks) < len(places):
        raise ValueError("no balance of the frame under its wheel was found: it tips")
    worst = max(peaks, key=lambda name: peaks[name])
    whole = found[worst].verdict == "whole bed pressed"
    return WheelDemand(load_n / bed.area_mm2, peaks[worst], worst, whole, bed.area_mm2)
