"""What wheels ask of a cover's bed: the rule set's tyres anywhere on the iron, a void under a side, who may cross."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from truebed.chamber.outlines import Outlines
from truebed.chamber.plane import Point, Ring
from truebed.chamber.shapes import hull_ring, polygon, turned_point
from truebed.chamber.solids import seating
from truebed.curing.contact import bed_of
from truebed.curing.crossing import Crossing, crossings
from truebed.curing.mirrors import mirrors_of
from truebed.curing.tyre import MODELS, TyreDemand, tyre_demand, tyres_of, worst_tyre
from truebed.curing.void_bed import SIDE_HOURS, Side, rock_as_wheel_passes, without_voids
from truebed.curing.wheel import WheelDemand, wheel_demand
from truebed.errors import NotDesignedError, NotDeterminedError
from truebed.levels.rims import set_points
from truebed.plan.case import Case
from truebed.plan.outline import outlines_of, ring_for

MEASURE_AGAIN = "Measure flange, chamber and wall again, or use a frame with a wider flange."
VoidOutcome = Literal["stands", "crushes", "tips"]
#: Further than any frame reaches [mm].
FAR_MM = 1.0e5
#: A void at a side does the same as one at the side across, where the bed looks the same from there.
ACROSS: dict[Side, Side] = {"back": "front", "left": "right"}
#: Voids that press alike by this share are told together.
ALIKE_SHARE = 1e-3


@dataclass(frozen=True, slots=True)
class VoidCase:
    """What a void under a whole side of the frame would do under the tyre that governs.

    side        front | right | back | left: a quarter of the clock round the centre, the front where the traffic goes
    outcome     'stands' | 'crushes' where the rest is asked more than the bed ever bears by its sheet | 'tips'
    lost_share  share of the bed that is hollow
    peak_n_per_mm2, times_ratio  greatest pressure, and how many times that of the whole bed; None where the frame tips
    rock_mm     the most that a corner goes between its highest and its lowest as the tyre rolls over; None unless the
                frame stands, or where the rule set gives no stiffness of the bed
    """

    side: Side
    outcome: VoidOutcome
    lost_share: float
    peak_n_per_mm2: float | None
    times_ratio: float | None
    rock_mm: float | None


@dataclass(frozen=True, slots=True)
class PointWheel:
    """A wheel that the rule set gives without its contact: its whole load at a point of the clear opening."""

    name: str
    wheel_kn: float
    source: str
    demand: WheelDemand


@dataclass(frozen=True, slots=True)
class BedWheel:
    """What the wheels of the rule set ask of a bed.

    governed_by  name of the wheel that presses most; peak_at: where it stands then, in words
    pressed_share  share of the bed that carries there; None where the wheel is known as a point only
    ceiling_n_per_mm2  no place of the governing wheel is believed to press more (truebed.curing.tyre)
    tried       every tyre of the rule set at its own worst place; points: wheels without a contact
    voids       one for each side; () where no tyre is known
    crossings   least bed strength for each vehicle, while traffic management controls who crosses
    bed_mm, bears_n_per_mm2  the bed's greatest thickness and the greatest strength on its sheet
    part        of a frame in several castings the one that is pressed most, counted from the back; 0 of one casting
    """

    governed_by: str
    peak_n_per_mm2: float
    peak_at: str
    full_contact: bool
    pressed_share: float | None
    ceiling_n_per_mm2: float
    area_mm2: float
    tried: tuple[TyreDemand, ...]
    points: tuple[PointWheel, ...]
    voids: tuple[VoidCase, ...]
    crossings: tuple[Crossing, ...]
    bed_mm: float
    bears_n_per_mm2: float | None
    part: int = 0

    def worst_void(self) -> VoidCase | None:
        """The void that does most: one that tips the frame, else the one that presses most; None where none is known.

        Of voids that do the same the first in the order front, right, back, left.
        """
        if not self.voids:
            return None
        tipping = [v for v in self.voids if v.peak_n_per_mm2 is None]
        return tipping[0] if tipping else max(self.voids, key=_peak_or_most)

    def sides_like(self, void: VoidCase) -> tuple[Side, ...]:
        """Every side whose void does what this one does."""
        return tuple(v.side for v in self.voids if _alike(v, void))

    def crossing_rows(self) -> tuple[tuple[str, float | None], ...]:
        """Each vehicle and the bed strength it wants [N/mm2]; None where the frame would tip under it."""
        return tuple((c.vehicle.name, c.strength_n_per_mm2) for c in self.crossings)


@dataclass(frozen=True, slots=True)
class Casting:
    """One rigid piece of a frame about its own middle, which lies at (x_mm, y_mm) from the frame's centre."""

    seat: BaseGeometry
    iron: Ring
    corners: tuple[Point, ...]
    iron_kg: float
    x_mm: float
    y_mm: float
    part: int


def _peak_or_most(void: VoidCase) -> float:
    return math.inf if void.peak_n_per_mm2 is None else void.peak_n_per_mm2


def _alike(one: VoidCase, other: VoidCase) -> bool:
    if one.peak_n_per_mm2 is None or other.peak_n_per_mm2 is None:
        return one.peak_n_per_mm2 == other.peak_n_per_mm2
    return math.isclose(one.peak_n_per_mm2, other.peak_n_per_mm2, rel_tol=ALIKE_SHARE)


def castings_of(case: Case) -> tuple[Casting, ...]:
    """The rigid pieces of a cover's frame with their seats: one, or equal ones in a row along the frame's own x.

    Each casting bears what stands on it, and its share of the weight: a lid that spans two is not reckoned.

    Valid       a cover that passed the works folder's checks
    Source      house: section and its roles; truebed.given.cover.Cover.parts_count
    Raises      ValueError where a piece has no seat of its own
    Proved by   tests/plan/test_wheel.py
    """
    cover, count = case.cover, case.cover.parts_count
    turn_deg = 0.0 if _all_round(case) else cover.turn_deg
    straight = outlines_of(cover, ring_for(cover.flange, 0.0, 1.0), turn_deg=0.0)
    found = []
    for k in range(count):
        long_mm = cover.body.along_mm / count
        middle_mm = (k + 0.5) * long_mm - cover.body.along_mm / 2.0
        seat, iron = _piece_of(straight, k, count, middle_mm, long_mm)
        corners = set_points(cover.body.shape, long_mm, cover.body.across_mm, turn_deg)
        x_mm, y_mm = turned_point((middle_mm, 0.0), turn_deg)
        kg = cover.frame_mass_kg / count
        at = tuple(point for _, point in corners)
        turned = tuple(turned_point(point, turn_deg) for point in iron)
        part = 0 if count == 1 else k + 1
        found.append(Casting(_turned(seat, turn_deg), turned, at, kg, x_mm, y_mm, part))
    return tuple(found)


def _all_round(case: Case) -> bool:
    cover = case.cover
    return all(size.shape == "round" for size in (cover.opening, cover.body, cover.flange, cover.chamber))


def _piece_of(straight: Outlines, part: int, count: int, middle_mm: float, long_mm: float) -> tuple[BaseGeometry, Ring]:
    """The seat and the iron of one casting, moved to its own middle."""
    if count == 1:
        return seating(straight), straight.body
    from shapely.affinity import translate

    low_mm = -FAR_MM if part == 0 else middle_mm - long_mm / 2.0
    high_mm = FAR_MM if part == count - 1 else middle_mm + long_mm / 2.0
    strip = box(low_mm, -FAR_MM, high_mm, FAR_MM)
    iron = translate(polygon(straight.body).intersection(strip), -middle_mm)
    return translate(seating(straight).intersection(strip), -middle_mm), hull_ring(iron)


def _turned(seat: BaseGeometry, turn_deg: float) -> BaseGeometry:
    if turn_deg == 0.0:
        return seat
    from shapely.affinity import rotate

    return rotate(seat, turn_deg, origin=(0.0, 0.0))


def bed_wheel(case: Case, bed_mm: float) -> BedWheel | None:
    """What the rule set's wheels ask of the bed, None where it has none for this place.

    bed_mm      the bed's greatest thickness, for the rock over a void
    Valid       the seating as the only bearing role counted (on the safe side)
    Source      rule set values wheel_load_kn, lm1_wheel_load_kn and their contacts; see truebed.curing.tyre
    Raises      NotDesignedError where the frame tips under a wheel, or a contact is given by half
    Proved by   tests/plan/test_wheel.py
    """
    try:
        tyres = tyres_of(case.rules, *case.words())
        points = point_wheels(case, frozenset(tyre.name for tyre in tyres))
        if not tyres and not points:
            return None
        castings = castings_of(case)
        tried = [(tyre_demand(bed_of(c.seat), c.iron, tyre, c.iron_kg), c) for c in castings for tyre in tyres]
        whole = _with_tyres(case, tried, points, bed_mm) if tried else _at_points(points, bed_mm)
        return replace(whole, crossings=_crossings_of(castings))
    except NotDeterminedError as unknown:
        raise NotDesignedError(
            f"What the wheel asks of the bed is not determined: {unknown}.",
            "Give each wheel of your rule set its load and both sides of its contact.",
        ) from unknown
    except ValueError:
        raise NotDesignedError(
            "The frame would tip under a wheel at the edge of its opening: its seat does not reach round the load.",
            MEASURE_AGAIN,
        ) from None


def point_wheels(case: Case, with_contact: frozenset[str]) -> tuple[PointWheel, ...]:
    """The loads of the rule set that have no contact, at a point of the clear opening.

    with_contact  names of the wheel models that have one
    Valid       a seating symmetric about the frame's centre
    Source      rule set values wheel_load_kn, lm1_wheel_load_kn; see truebed.curing.wheel
    Raises      ValueError where the frame tips
    Proved by   tests/plan/test_wheel.py
    """
    spread = {load for name, load, _ in MODELS if name in with_contact}
    cover, found = case.cover, []
    for name, load, _ in MODELS:
        rule = case.rules.find(load, *case.words())
        if load in spread or rule is None or isinstance(rule.value, str):
            continue
        spread.add(load)
        demand = wheel_demand(
            seating(outlines_of(cover, ring_for(cover.flange, 0.0, 1.0), turn_deg=0.0)),
            rule.value,
            cover.opening.along_mm / 2.0,
            cover.opening.across_mm / 2.0,
            round_opening=cover.opening.shape == "round",
            d_opening=cover.opening.shape == "D",
        )
        found.append(PointWheel(name, rule.value, rule.cite(), demand))
    return tuple(found)


def _at_points(points: tuple[PointWheel, ...], bed_mm: float) -> BedWheel:
    worst = max(points, key=lambda point: point.demand.peak_n_per_mm2)
    demand, at = worst.demand, f"at a point of the opening's {worst.demand.peak_at}"
    peak = demand.peak_n_per_mm2
    return BedWheel(
        worst.name, peak, at, demand.full_contact, None, peak, demand.area_mm2, (), points, (), (), bed_mm,
        None,
    )  # fmt: skip


def _with_tyres(
    case: Case, tried: list[tuple[TyreDemand, Casting]], points: tuple[PointWheel, ...], bed_mm: float
) -> BedWheel:
    """The tyre that governs and its voids; a wheel without a contact governs where it asks more."""
    worst = worst_tyre([demand for demand, _ in tried])
    casting = next(one for demand, one in tried if demand is worst)
    if worst.peak_n_per_mm2 is None:
        x_mm, y_mm = worst.at_x_mm + casting.x_mm, worst.at_y_mm + casting.y_mm
        raise NotDesignedError(
            f"The frame would tip under a wheel ({worst.tyre.name}) {place_words(x_mm, y_mm)}: its seat does not reach "
            "round the load.",
            MEASURE_AGAIN,
        )
    found = BedWheel(
        worst.tyre.name,
        worst.peak_n_per_mm2,
        place_words(worst.at_x_mm + casting.x_mm, worst.at_y_mm + casting.y_mm),
        worst.verdict == "whole bed pressed",
        worst.pressed_share,
        worst.ceiling_n_per_mm2,
        casting.seat.area,
        tuple(demand for demand, _ in tried),
        points,
        voids_of(case, casting, worst, bed_mm),
        (),
        bed_mm,
        bed_bears_n_per_mm2(case),
        casting.part,
    )
    if points:
        at_points = _at_points(points, bed_mm)
        if at_points.peak_n_per_mm2 > found.peak_n_per_mm2:
            return replace(
                at_points, tried=found.tried, voids=found.voids, bears_n_per_mm2=found.bears_n_per_mm2, part=found.part
            )
    return found


def voids_of(case: Case, casting: Casting, worst: TyreDemand, bed_mm: float) -> tuple[VoidCase, ...]:
    """What a void under each side would do under the tyre that governs.

    Valid       a void under a whole quarter of the clock, which never bears: more than most that are found
    Source      algebra; rule set value bed_modulus_n_per_mm2 for the rock; the bed's sheet for what it bears
    Raises      ValueError where a balance is not found
    Proved by   tests/plan/test_wheel.py
    """
    mirrors = mirrors_of(bed_of(casting.seat), np.asarray(casting.iron, dtype=float))
    alike = {"back": mirrors.front_to_back or mirrors.half_turn, "left": mirrors.left_to_right or mirrors.half_turn}
    found: dict[Side, VoidCase] = {}
    for side in SIDE_HOURS:
        if alike.get(side):
            found[side] = replace(found[ACROSS[side]], side=side)
        else:
            found[side] = void_under(case, casting, worst, side, bed_mm)
    return tuple(found.values())


def void_under(case: Case, casting: Casting, worst: TyreDemand, side: Side, bed_mm: float) -> VoidCase:
    """What a void under one side would do under the tyre that governs.

    Valid       as voids_of
    Source      as voids_of
    Raises      ValueError where a balance is not found
    Proved by   tests/plan/test_wheel.py
    """
    left = without_voids(casting.seat, [side])
    bed, lost_share = bed_of(left), 1.0 - left.area / casting.seat.area
    demand = tyre_demand(bed, casting.iron, worst.tyre, casting.iron_kg)
    peak = demand.peak_n_per_mm2
    if peak is None or worst.peak_n_per_mm2 is None:
        return VoidCase(side, "tips", lost_share, None, None, None)
    times_ratio, bears = peak / worst.peak_n_per_mm2, bed_bears_n_per_mm2(case)
    if bears is not None and peak > bears:
        return VoidCase(side, "crushes", lost_share, peak, times_ratio, None)
    stiff = case.rules.find("bed_modulus_n_per_mm2", *case.words())
    if bears is None or stiff is None or isinstance(stiff.value, str):
        return VoidCase(side, "stands", lost_share, peak, times_ratio, None)
    moved = rock_as_wheel_passes(
        bed, casting.iron, casting.corners, worst.tyre, casting.iron_kg,
        modulus_n_per_mm2=stiff.value, bed_mm=bed_mm, also_at=[(demand.at_x_mm, demand.at_y_mm)],
    )  # fmt: skip
    known = [one_mm for one_mm in moved if one_mm is not None]
    rock_mm = max(known) if len(known) == len(moved) else None
    return VoidCase(side, "stands", lost_share, peak, times_ratio, rock_mm)


def bed_bears_n_per_mm2(case: Case) -> float | None:
    """The greatest strength that the bed's sheet shows at any age and temperature; None where it shows none.

    Valid       any case
    Source      the bed's sheet
    Proved by   tests/plan/test_wheel.py
    """
    sheet = case.sheet_for("bed")
    return max((point.strength_n_per_mm2 for point in sheet.strength), default=None) if sheet is not None else None


def _crossings_of(castings: tuple[Casting, ...]) -> tuple[Crossing, ...]:
    """The least bed strength for each vehicle, of the casting that wants most."""
    each = [crossings(bed_of(one.seat), one.iron, one.iron_kg) for one in castings]
    return tuple(
        max(of_one, key=lambda c: math.inf if c.strength_n_per_mm2 is None else c.strength_n_per_mm2)
        for of_one in zip(*each, strict=True)
    )


def place_words(x_mm: float, y_mm: float) -> str:
    """Where a wheel's middle stands, from the frame's centre with the traffic running forward.

    Valid       local axes: x along the traffic, y to the left
    Source      house (wording)
    Proved by   tests/plan/test_wheel.py
    """
    along, across = round(x_mm), round(y_mm)
    told = [f"{along} mm ahead of"] if along > 0 else [f"{-along} mm behind"] if along < 0 else []
    told += [f"{across} mm left of"] if across > 0 else [f"{-across} mm right of"] if across < 0 else []
    return f"{' and '.join(told)} the frame's centre" if told else "at the frame's centre"
