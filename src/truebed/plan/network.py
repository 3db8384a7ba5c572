"""The ground of many covers at once: road, cut-out, setting, chance of tolerance, litres, waste; arrays in and out.

What the one-cover path (truebed.plan.ground) does with any cover, this does with plain ones at network scale. Where it
cannot take a cover it says why (REASONS) and gives no figure.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.cut_arrays import ManyCutQuestions, ManyCuts, ManyWaste, common_mm2, many_cuts, many_waste
from truebed.levels.fall import FLAT_RATIO
from truebed.levels.road_network import Roads, fit_roads
from truebed.levels.seat_many import IN_TOLERANCE, ManySeats, set_many
from truebed.levels.tolerance import normal_lattice
from truebed.mixing.takeoff import NINETY_PERCENT_SD_RATIO
from truebed.plan.network_frames import Group, foot_of, groups_of, holds, placed, wall_of
from truebed.plan.network_litres import MM3_PER_LITRE, ManySections, area_of, litres_of_sections, own_axes
from truebed.plan.network_types import (
    BED_HOLDS,
    CROSSING,
    MIXED,
    NO_CUT,
    NO_PLACE,
    NO_SEAT,
    TURNED,
    ManyCovers,
    ManyGrounds,
    NetworkLimits,
    blank,
)

Array = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]
Progress = Callable[[int, int], None]

#: Covers worked on at a time; what a block needs besides what is given and returned is some 30 MiB.
BLOCK_COUNT = 4096
#: Terms of each model of the batch.
TERMS = np.array([3, 4, 5, 0])
#: The lattice of the chance of tolerance: 251 points (truebed.levels.tolerance.LATTICES).
LATTICE = 2
#: Two departures that differ by less are one [mm], as in truebed.levels.frame_setting.set_frame.
SAME_MM = 1e-6


def _silent(_done: int, _count: int) -> None:
    return None


@dataclass(frozen=True, slots=True)
class _Block:
    """One group's covers with their points and cuts."""

    covers: ManyCovers
    group: Group
    limits: NetworkLimits
    rim: Array
    seat: Array
    set_at: Array
    cuts: ManyCuts


def cuts_of(covers: ManyCovers, limits: NetworkLimits) -> ManyCuts:
    """The cut-outs of covers that stand alone.

    Valid       as truebed.chamber.cut_arrays.many_cuts
    Source      see there
    Proved by   tests/plan/test_network.py
    """
    count, flange = len(covers), covers.flange
    blade_mm = np.nan if limits.blade_mm is None else limits.blade_mm
    return many_cuts(
        ManyCutQuestions(
            flange_along=flange.along,
            flange_across=flange.across,
            around=np.where(flange.is_round, flange.along / 2.0, np.hypot(flange.along, flange.across) / 2.0),
            margins=covers.margins,
            least_width=np.full(count, limits.least_width_mm),
            kerb_toward=covers.kerb_toward,
            kerb=covers.kerb,
            is_round=covers.cut_round,
            bound=covers.bound,
            dig=covers.chamber_depth + limits.floor_below_mm,
            blade=np.full(count, blade_mm),
            strip_least=np.full(count, limits.strip_least_mm),
        )
    )


def _roads(block: _Block) -> Roads:
    covers, limits = block.covers, block.limits
    return fit_roads(
        covers.x, covers.y, covers.level, limits.reading_sd_mm, limits.false_alarm_share, limits.road,
        (block.rim[:, :, 0], block.rim[:, :, 1]),
    )  # fmt: skip


def _levels(road: Array, at: Array) -> Array:
    """The roads at their own points, term by term so that a slice gives the same bytes as the whole."""
    x, y = at[:, :, 0], at[:, :, 1]
    c = road[:, :, None]
    return np.asarray(c[:, 0] + c[:, 1] * x + c[:, 2] * y + c[:, 3] * (x * y) + c[:, 4] * (x * x - y * y))


def _fall(covers: ManyCovers, road: Array, least_ratio: float | None) -> Array | None:
    """Towards the kerb; without one the way the road falls; on a flat road to the right of the traffic."""
    if least_ratio is None:
        return None
    size = np.hypot(road[:, 1], road[:, 2])
    flat, kerb = size <= FLAT_RATIO, covers.kerb_toward != 0.0
    safe = np.where(flat, 1.0, size)
    x = np.where(kerb | flat, 0.0, -road[:, 1] / safe)
    y = np.where(kerb, np.sign(covers.kerb_toward), np.where(flat, -1.0, -road[:, 2] / safe))
    return np.column_stack([x, y, np.full(len(x), least_ratio)])


def _seats(block: _Block, road: Array) -> ManySeats:
    covers, limits = block.covers, block.limits
    low, high = limits.band_low_mm, limits.band_high_mm
    ground = (road[:, 0] - covers.chamber_depth + covers.frame_depth)[:, None]
    return set_many(
        block.rim,
        _levels(road, block.rim) + (low + high) / 2.0,
        block.seat,
        np.broadcast_to(ground, block.seat.shape[:2]),
        np.array([limits.bed_least_mm]),
        np.array([limits.bed_most_mm]),
        np.array([(high - low) / 2.0]),
        fall=_fall(covers, road, limits.fall_least_ratio),
    )


def setting_covariances(set_at: Array, sd_mm: float) -> Array:
    """Covariance of each rim plane's level and slopes from errors at four set points about the middle.

    Valid       points whose mean is the middle
    Source      algebra (least squares of a plane on those points)
    Proved by   tests/plan/test_network_probability.py
    """
    x, y = set_at[:, :, 0], set_at[:, :, 1]
    xx, yy, xy = (x * x).sum(axis=1), (y * y).sum(axis=1), (x * y).sum(axis=1)
    found, whole = np.zeros((len(x), 3, 3)), xx * yy - xy * xy
    found[:, 0, 0] = 1.0 / x.shape[1]
    found[:, 1, 1], found[:, 2, 2] = yy / whole, xx / whole
    found[:, 1, 2] = found[:, 2, 1] = -xy / whole
    return np.asarray(sd_mm * sd_mm * found)


def _chances(block: _Block, roads: Roads, plane: Array) -> Array:
    from truebed.plan.network_kernel import rim_shares

    covers, limits = block.covers, block.limits
    held = (roads.model >= 0) & np.isfinite(plane[:, 0])
    shares = np.full(len(covers), np.nan)
    at = placed(block.group.at, covers.body.along, covers.body.across, covers.turn_deg)
    rim_shares(
        np.where(held, TERMS[roads.model], 0),
        np.ascontiguousarray(at),
        np.ascontiguousarray(plane),
        roads.coefficients,
        roads.covariance,
        setting_covariances(block.set_at, limits.setting_sd_mm),
        block.group.table,
        limits.band_low_mm,
        limits.band_high_mm,
        normal_lattice(LATTICE),
        shares,
    )
    return shares


def _why(block: _Block, roads: Roads, seats: ManySeats, refused: Whole) -> Whole:
    """What stands in the way of each cover: what the batch cannot take first, then as the one-cover path goes."""
    shape_out = seats.greatest <= np.maximum(
        (block.limits.band_high_mm - block.limits.band_low_mm) / 2.0, seats.free + SAME_MM
    )
    bed = np.where(
        np.isnan(seats.plane[:, 0]), NO_PLACE, np.where(shape_out | (seats.status == IN_TOLERANCE), 0, BED_HOLDS)
    )
    return np.where(refused > 0, refused, np.where(roads.refused > 0, roads.refused, bed))


def refusals(covers: ManyCovers, limits: NetworkLimits, cuts: ManyCuts) -> Whole:
    """What can be said before the road is fitted: covers not taken, flanges without a seat, cuts without room.

    Valid       any covers
    Source      house (see truebed.plan.ground.refuse_without_seat)
    Proved by   tests/plan/test_network.py
    """
    foot, whole = foot_of(covers)
    room_mm = max(limits.seat_least_mm, 0.1)
    seated = holds(foot, covers.opening, room_mm) & holds(foot, covers.chamber, room_mm)
    square = ~covers.cut_round & (covers.turn_deg != 0.0)
    turned = square & ((covers.kerb_toward != 0.0) | ~covers.cut_with_frame)
    found = np.where(~whole, MIXED, np.where(turned, TURNED, 0))
    found = np.where((found == 0) & ~cuts.possible, NO_CUT, found)
    return np.where((found == 0) & ~seated, NO_SEAT, found)


def _sections(block: _Block, road: Array, plane: Array) -> ManySections:
    covers = block.covers
    return ManySections(
        cuts=block.cuts,
        body=covers.body,
        flange=covers.flange,
        wall=wall_of(covers),
        foot=foot_of(covers)[0],
        opening=covers.opening,
        chamber=covers.chamber,
        kerb_toward=covers.kerb_toward,
        kerb=covers.kerb,
        rim=own_axes(plane, covers.turn_deg),
        road=own_axes(road, covers.turn_deg),
        top=road[:, 0] - covers.chamber_depth,
        frame_depth=covers.frame_depth,
        flange_thick=covers.flange_thick,
    )


def waste_of_many(covers: ManyCovers, limits: NetworkLimits, cuts: ManyCuts) -> ManyWaste:
    """Waste of the cuts; a clear opening that reaches beyond the chamber's inside has no old bed under it.

    Valid       the opening within the body
    Source      as truebed.chamber.cut_arrays.many_waste, algebra
    Proved by   tests/plan/test_network.py
    """
    depths = (
        covers.bound,
        covers.chamber_depth + limits.floor_below_mm,
        covers.chamber_depth,
        covers.frame_depth,
        covers.flange_thick,
    )
    sd_mm = np.full(len(covers), limits.chamber_sd_mm)
    waste = many_waste(cuts, covers.body, covers.flange, wall_of(covers), covers.chamber, depths, sd_mm)
    beyond = area_of(covers.opening) - common_mm2(covers.opening, covers.chamber)
    bed = np.maximum(0.0, np.maximum(covers.chamber_depth, 0.0) - covers.frame_depth)
    band_l = NINETY_PERCENT_SD_RATIO * sd_mm * np.where(bed > 0.0, beyond, 0.0) / MM3_PER_LITRE
    return ManyWaste(waste.bound_l, waste.unbound_l - beyond * bed / MM3_PER_LITRE, waste.band_l - band_l)


def _figures(block: _Block, roads: Roads, seats: ManySeats, why: Whole) -> dict[str, Array | Whole]:
    covers, limits, cuts = block.covers, block.limits, block.cuts
    plane, road = seats.plane, roads.coefficients
    litres = litres_of_sections(_sections(block, road, plane), limits)
    litres[why > 0] = np.nan
    waste = waste_of_many(covers, limits, cuts)
    x, y = block.set_at[:, :, 0], block.set_at[:, :, 1]
    return {
        "why": np.where((why == 0) & np.isnan(litres[:, 0]), CROSSING, why),
        "model": roads.model,
        "removed": roads.removed,
        "off": roads.off_mm,
        "road": road,
        "plane": plane,
        "corners": plane[:, :1] + plane[:, 1:2] * x + plane[:, 2:3] * y,
        "greatest": seats.greatest,
        "free": seats.free,
        "bed_least": seats.bed_least,
        "bed_most": seats.bed_most,
        "out": np.maximum(seats.out, 0.0),
        "relax": seats.relax,
        "raise_least": seats.raise_least,
        "raise_most": seats.raise_most,
        "probability": _chances(block, roads, plane),
        "front": cuts.front,
        "left": cuts.left,
        "back": cuts.back,
        "right": cuts.right,
        "area_mm2": cuts.area_mm2,
        "saw_m": cuts.saw_length_m,
        "sawn": cuts.sawn_mm,
        "litres": litres,
        "bound_l": waste.bound_l,
        "unbound_l": waste.unbound_l,
        "waste_band_l": waste.band_l,
    }


#: Figures that do not need a road; those of the setting need one that was fitted.
OF_THE_CUT = ("front", "left", "back", "right", "area_mm2", "saw_m", "sawn", "bound_l", "unbound_l", "waste_band_l")


def _put(answer: ManyGrounds, rows: Whole, figures: dict[str, Array | Whole], refused: Whole) -> None:
    """The figures of a block into the answer; none for covers not taken, none of the setting without a road."""
    no_road = np.asarray(figures["model"]) < 0
    for name, found in figures.items():
        into = getattr(answer, name)
        if name in ("why", "model", "removed"):
            into[rows] = np.where(refused > 0, -1, found) if name != "why" else found
            continue
        hidden = refused > 0 if name in OF_THE_CUT else (refused > 0) | no_road
        into[rows] = np.where(hidden if found.ndim == 1 else hidden[:, None], np.nan, found)


def ground_of_many(covers: ManyCovers, limits: NetworkLimits, tell: Progress = _silent) -> ManyGrounds:
    """The ground of many covers of one method, one rule set and one number of readings.

    Works in blocks; rows are independent of each other, so a slice gives the same bytes as the whole.
    tell        called after each block with the covers done and their number

    Valid       rectangles and rounds about the frame's centre, one casting, an estimated plane chamber top; no
                neighbours, no obstacles, readings that err each on its own
    Source      see truebed.plan.ground; closed forms: algebra
    Raises      ValueError where numbers are not finite or readings are fewer than the rules ask
    Proved by   tests/plan/test_network.py
    """
    answer, done = blank(len(covers)), 0
    foot = foot_of(covers)[0]
    for group in groups_of(covers, foot, BLOCK_COUNT):
        some = covers.some(group.rows)
        size, seat = some.body, foot_of(some)[0]
        block = _Block(
            some,
            group,
            limits,
            placed(group.rim, size.along, size.across, some.turn_deg),
            placed(group.seat, seat.along, seat.across, some.turn_deg),
            placed(group.set_at, size.along, size.across, some.turn_deg),
            cuts_of(some, limits),
        )
        refused = refusals(some, limits, block.cuts)
        roads = _roads(block)
        seats = _seats(block, roads.coefficients)
        why = _why(block, roads, seats, refused)
        _put(answer, group.rows, _figures(block, roads, seats, why), refused)
        done += len(group.rows)
        tell(done, len(covers))
    return answer
