"""The cut-out: how far out the saw goes, what governs it, and the blade's run-on at the corners."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from truebed.chamber.outlines import CutOut
from truebed.chamber.plane import Ring
from truebed.chamber.shapes import FAR_MM, outline_ring, polygon, rectangle_ring, ring_of, turned
from truebed.errors import NotDesignedError


@dataclass(frozen=True, slots=True)
class CutQuestion:
    """What decides a cut-out. kerb_side 'left' (+y), 'right' (-y) or 'none'; kerb_mm from the frame's centre."""

    flange_along_mm: float
    flange_across_mm: float
    turn_deg: float
    sound_margin_mm: float
    least_width_mm: float
    least_width_of: str
    kerb_side: str
    kerb_mm: float | None
    saw_depth_mm: float
    dig_depth_mm: float
    blade_mm: float | None
    flange_shape: str = "rectangle"


def run_on_mm(blade_mm: float, depth_mm: float) -> float:
    """How far a round blade runs past a corner at the surface to reach full depth at the corner.

    Valid       0 <= depth <= blade radius
    Source      algebra: sqrt(D d - d^2), half chord of a circle at depth d
    Raises      ValueError where the blade cannot reach the depth
    Proved by   tests/chamber/test_cut.py
    """
    if not 0.0 <= depth_mm <= blade_mm / 2.0:
        raise ValueError(f"a {blade_mm:g} mm blade cannot cut {depth_mm:g} mm deep")
    return math.sqrt(blade_mm * depth_mm - depth_mm**2)


def flange_of(question: CutQuestion) -> Polygon:
    """The flange's outline, turned with its frame.

    Valid       a flange with a size
    Source      algebra
    Proved by   tests/chamber/test_cut.py
    """
    size = (question.flange_shape, question.flange_along_mm, question.flange_across_mm, question.turn_deg)
    return polygon(outline_ring(*size))


def cut_out(question: CutQuestion) -> CutOut:
    """The square (rectangle) to saw round the flange, in the frame's own turn, stopped at a kerb.

    Valid       the flange does not cross the kerb; sound_margin as tapped by the surveyor
    Source      common practice, no source (clean square, cut to sound road); algebra
    Raises      NotDesignedError where the flange crosses the kerb
    Proved by   tests/chamber/test_cut.py
    """
    margin = max(question.sound_margin_mm, question.least_width_mm)
    governed = (
        "sound margin, as tapped"
        if question.sound_margin_mm >= question.least_width_mm
        else (f"least width of {question.least_width_of}")
    )
    along = question.flange_along_mm + 2.0 * margin
    across = question.flange_across_mm + 2.0 * margin
    whole = polygon(turned(rectangle_ring(along, across), question.turn_deg))
    kept: BaseGeometry = whole
    if question.kerb_side != "none" and question.kerb_mm is not None:
        flange = flange_of(question)
        road = (
            box(-FAR_MM, -FAR_MM, FAR_MM, question.kerb_mm)
            if question.kerb_side == "left"
            else box(-FAR_MM, -question.kerb_mm, FAR_MM, FAR_MM)
        )
        if not road.covers(flange):
            raise NotDesignedError(
                f"The flange crosses the kerb, {question.kerb_mm:g} mm from the frame's centre.",
                "Measure kerb_mm again, or have the kerb lifted and re-laid as part of the job.",
            )
        kept = whole.intersection(road)
    clipped = kept.area < whole.area - 1e-6
    if not isinstance(kept, Polygon):
        raise NotDesignedError("The kerb cuts the square in two.", "Measure kerb_mm again.")
    ring = ring_of(kept)
    straight = turned(ring, -question.turn_deg)
    reach = question.blade_mm is not None and question.saw_depth_mm <= question.blade_mm / 2.0
    return CutOut(
        ring=ring,
        along_mm=max(x for x, _ in straight) - min(x for x, _ in straight),
        across_mm=max(y for _, y in straight) - min(y for _, y in straight),
        margin_mm=margin,
        governed_by=governed,
        saw_length_m=saw_length_m(ring, question),
        depth_mm=question.saw_depth_mm,
        dig_depth_mm=question.dig_depth_mm,
        run_on_mm=run_on_mm(question.blade_mm, question.saw_depth_mm) if reach and question.blade_mm else None,
        blade_mm=question.blade_mm,
        clipped_by_kerb=clipped,
        least_beside_mm=float(kept.exterior.distance(flange_of(question))),
    )


def saw_length_m(ring: Ring, question: CutQuestion) -> float:
    """Length sawn: the perimeter, less any side that lies along the kerb, which is not sawn.

    Valid       a kerb that runs along the traffic
    Source      algebra
    Proved by   tests/chamber/test_cut.py
    """
    sides = tuple(zip(ring, ring[1:] + ring[:1], strict=True))
    length_mm = sum(math.dist(a, b) for a, b in sides)
    if question.kerb_side != "none" and question.kerb_mm is not None:
        edge_mm = question.kerb_mm if question.kerb_side == "left" else -question.kerb_mm
        length_mm -= sum(
            math.dist(a, b)
            for a, b in sides
            if math.isclose(a[1], edge_mm, abs_tol=1e-6) and math.isclose(b[1], edge_mm, abs_tol=1e-6)
        )
    return length_mm / 1000.0
