"""What the crew uses on site beside the levels to set, and how the set frame will ride."""

from __future__ import annotations

from dataclasses import dataclass, replace

from truebed.chamber.outlines import Outlines
from truebed.errors import NotDesignedError
from truebed.levels.bed_forecast import BedForecast, bed_forecast
from truebed.levels.beside import KerbUpstand, StaffTarget, kerb_upstands, staff_targets
from truebed.levels.booking import Survey
from truebed.levels.packers import PackerSize, Stack, make_up_packers, packer_places
from truebed.levels.ponding import Ponding, ponding
from truebed.levels.ride import Limit, Ride, RideQuestion, ride_check
from truebed.levels.sensitivity import Pull, pulls
from truebed.levels.string_offsets import StringLine, strings_over
from truebed.levels.surface import RoadSurface
from truebed.plan.case import Case
from truebed.plan.seating import Seated


@dataclass(frozen=True, slots=True)
class StandTargets:
    """Staff readings to look for from one stand of the survey, if the level stands there again at the same height."""

    set_up: str
    targets: tuple[StaffTarget, ...]


@dataclass(frozen=True, slots=True)
class SiteAids:
    """What helps to set one frame, and what wheels and water will make of it.

    staff      for each stand that read a bench mark; () where levels were given
    packers    stacks under the set points: of stocked sizes where the yard has any, else bare heights (no pieces)
    forecast   of the bed before the chamber top is measured; None after, or where its error is not known
    pulls      what each road reading does to the setting, most telling first
    ride       steps and gaps, the worst of each; ponding: of a gully only
    """

    staff: tuple[StandTargets, ...]
    strings: tuple[StringLine, ...]
    packers: tuple[Stack, ...]
    kerbs: tuple[KerbUpstand, ...]
    forecast: BedForecast | None
    pulls: tuple[Pull, ...]
    ride: Ride
    ponding: Ponding | None


def staff_of(survey: Survey, seat: Seated) -> tuple[StandTargets, ...]:
    """The staff readings to look for, for each stand that read a bench mark.

    A stand's height of collimation is taken as its levels were corrected, so that rim and road hang together where a
    misclosure was spread.

    Valid       survey and setting of the same cover
    Source      common practice, no source (height of collimation)
    Proved by   tests/plan/test_site_aids.py
    """
    found = []
    for run in survey.runs:
        heights = zip(run.readings, run.booked.collimation_mm, run.corrections_mm, strict=True)
        for stand, collimation_mm, correction_mm in heights:
            if any(r.where == "bench mark" for r in stand):
                targets = staff_targets(seat.setting, collimation_mm + correction_mm)
                found.append(StandTargets(stand[0].set_up, targets))
    return tuple(found)


def packers_of(case: Case, seat: Seated, outlines: Outlines) -> tuple[Stack, ...]:
    """What stands under each set point while the bed sets.

    Valid       a seating all round
    Source      algebra; units.csv (kind packer)
    Proved by   tests/plan/test_site_aids.py
    """
    try:
        places = packer_places(seat.setting, seat.top, outlines.flange, outlines.wall, outlines.chamber)
    except NotDesignedError:
        return ()
    sizes = tuple(PackerSize(u.height_mm, u.count) for u in case.units if u.kind == "packer" and u.count > 0)
    if not sizes:
        return tuple(Stack(place, (), place.height_mm) for place in places)
    return make_up_packers(places, sizes)


def ride_of(case: Case, road: RoadSurface, seat: Seated) -> Ride:
    """The ride over the set frame: the worst step and the worst gap are kept.

    Valid       a setting of the same road
    Source      rule set values tyre_width_mm, straightedge_mm, straightedge_gap_most_mm
    Proved by   tests/plan/test_site_aids.py
    """
    rules, words = case.rules, case.words()
    iron = (
        ((seat.question.rim, seat.setting.rim),)
        if seat.parts is None
        else tuple((part_ring(seat, i), p.rim) for i, p in enumerate(seat.parts.parts))
    )

    def limit(name: str) -> Limit | None:
        rule = rules.find(name, *words)
        return None if rule is None or isinstance(rule.value, str) else Limit(rule.value, rule.cite())

    ride = ride_check(
        RideQuestion(
            road=road,
            iron=iron,
            tyre_width_mm=rules.number("tyre_width_mm", *words),
            band_low_mm=seat.question.band_low_mm,
            band_high_mm=seat.question.band_high_mm,
            band_source=seat.question.band_source,
            straightedge_mm=limit("straightedge_mm"),
            gap=limit("straightedge_gap_most_mm"),
        )
    )
    return replace(ride, steps=(ride.worst,), gaps=() if ride.worst_gap is None else (ride.worst_gap,))


def part_ring(seat: Seated, part: int) -> tuple[tuple[float, float], ...]:
    """The outline of one casting, from its named corners.

    Valid       a frame of rectangular parts
    Source      house
    Proved by   tests/plan/test_site_aids.py
    """
    if seat.parts is None:
        return seat.question.rim
    named = {c.name.split(" ", 2)[2]: (c.x_mm, c.y_mm) for c in seat.parts.parts[part].corners}
    return tuple(named[name] for name in ("back-right", "front-right", "front-left", "back-left"))


def site_aids(
    case: Case, survey: Survey, road: RoadSurface, seat: Seated, outlines: Outlines, top_sd_mm: float | None
) -> SiteAids:
    """Everything beside the levels that helps to set a frame, and its ride.

    top_sd_mm   error of an estimated chamber top; None where it was measured or its error is unknown
    Valid       a setting of the same case
    Source      see the rooms named
    Proved by   tests/plan/test_site_aids.py
    """
    cover = case.cover
    body = (cover.body.shape, cover.body.along_mm, cover.body.across_mm, cover.turn_deg)
    alone = seat.parts is None
    found = sorted(pulls(seat.question), key=lambda p: (-abs(p.most_ratio), p.row)) if alone else ()
    return SiteAids(
        staff=staff_of(survey, seat),
        strings=strings_over(road, seat.setting.rim, *body, outlines.cut) if alone else (),
        packers=packers_of(case, seat, outlines),
        kerbs=kerb_upstands(survey.spots, seat.setting, road),
        forecast=bed_forecast(seat.question, seat.setting, top_sd_mm) if alone and top_sd_mm else None,
        pulls=tuple(found),
        ride=ride_of(case, road, seat),
        ponding=ponding(road, outlines.body, seat.setting.rim, cover.kerb_side, cover.kerb_mm)
        if cover.kind == "gully"
        else None,
    )
