"""What goes with a cover's clocks: the wheel, who may cross when, the joint, resin, points to sum on paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from truebed.chamber.outlines import CutOut
from truebed.curing.clocks import ClockReading
from truebed.curing.hour_clocks import HourTime, hours_to_strengths
from truebed.curing.points_table import PointsTable, points_table
from truebed.curing.site_readings import site_readings
from truebed.errors import NotDeterminedError
from truebed.findings import Finding
from truebed.mixing.kits import RoleVolume
from truebed.plan.case import Case
from truebed.plan.clocks import KnownClock
from truebed.plan.joint import JointPlan, joint_plan
from truebed.plan.joint_figures import joint_figures, joint_findings
from truebed.plan.pours import pour_of
from truebed.plan.resin_figures import resin_figures, resin_findings
from truebed.plan.resin_layers import ResinLayers, resin_layers
from truebed.plan.wheel import BedWheel
from truebed.why import Figure

#: Where a probe is asked for on the printed form: in the layer's middle, where it can be put and left.
PROBE_PLACE = "middle"
POINTS_DRAWS_COUNT = 256


@dataclass(frozen=True, slots=True)
class PourPoints:
    """Points to sum on paper for one bearing pour. coldest_c: as if held, for the number of lines."""

    pour: str
    sheet: str
    name: str
    table: PointsTable
    coldest_c: float


@dataclass(frozen=True, slots=True)
class CrossingTime:
    """When one vehicle may cross while traffic management controls who does.

    strength_n_per_mm2  None where the frame would tip
    waits_min   for each bearing pour the 95 % late minutes from its placing, at the hour that governs; None: never
    """

    vehicle: str
    strength_n_per_mm2: float | None
    waits_min: tuple[tuple[str, float | None], ...]


@dataclass(frozen=True, slots=True)
class StrengthAids:
    """All of it for one cover. opening_n_per_mm2: of the bed; None where not determined."""

    wheel: BedWheel | None
    joint: JointPlan | None
    resin: ResinLayers
    points: tuple[PourPoints, ...]
    crossings: tuple[CrossingTime, ...]
    opening_n_per_mm2: float | None


def strength_aids(
    case: Case,
    cut: CutOut,
    wheel: BedWheel | None,
    known: tuple[KnownClock, ...],
    volumes: tuple[RoleVolume, ...],
    opening_n_per_mm2: float | None,
) -> StrengthAids:
    """What goes with the clocks of a case.

    Valid       parts of one case
    Source      see truebed.plan.wheel, .joint, .resin_layers; truebed.curing.points_table
    Proved by   tests/plan/test_strength_aids.py
    """
    bearing = bearing_clocks(case, known)
    return StrengthAids(
        wheel,
        joint_plan(case, cut),
        resin_layers(case, volumes),
        tuple(found for found in (_points(case, one, volumes) for one in bearing) if found is not None),
        crossing_times(case, wheel, bearing, volumes),
        opening_n_per_mm2,
    )


def bearing_clocks(case: Case, known: tuple[KnownClock, ...]) -> tuple[KnownClock, ...]:
    """The strengths that the opening waits for, of pours that bear, where they follow the layer's heat.

    Valid       clocks of the same case
    Source      house (look-up)
    Proved by   tests/plan/test_strength_aids.py
    """
    bears = {role.pour for role in case.method.roles if role.bears}
    return tuple(k for k in known if k.clock.kind == "strength" and k.clock.pour in bears and k.reading.hours)


def _points(case: Case, one: KnownClock, volumes: tuple[RoleVolume, ...]) -> PourPoints | None:
    """The points of one pour; None where one in twenty believable curves never gets there."""
    reading = one.reading
    pour = pour_of(case, reading.pour, volumes, reading.hours[0].start_min)
    if pour.fitted is None or reading.target_n_per_mm2 is None:
        return None
    least_c, most_c = pour.sheet.limits.temp_least_c, pour.sheet.limits.temp_most_c
    place = site_readings().places[PROBE_PLACE]
    draws = pour.fitted.draws(POINTS_DRAWS_COUNT)
    try:
        table = points_table(draws, reading.target_n_per_mm2, place, least_c, most_c)
    except NotDeterminedError:
        return None
    return PourPoints(reading.pour, pour.sheet.key, pour.sheet.name, table, reading.temp_c)


def crossing_times(
    case: Case, wheel: BedWheel | None, bearing: tuple[KnownClock, ...], volumes: tuple[RoleVolume, ...]
) -> tuple[CrossingTime, ...]:
    """When each vehicle of the table may cross, as far as each bearing pour's strength goes.

    Valid       clocks of the same case
    Source      truebed.curing.crossing; truebed.curing.hour_clocks
    Proved by   tests/plan/test_strength_aids.py
    """
    rows = () if wheel is None else wheel.crossing_rows()
    asked = tuple(strength for _, strength in rows if strength is not None)
    if not asked:
        return tuple(CrossingTime(name, strength, ()) for name, strength in rows)
    waits: dict[str, dict[float, float | None]] = {}
    for one in bearing:
        waits[one.clock.pour] = _waits(case, one, asked, volumes)
    return tuple(
        CrossingTime(
            name,
            strength,
            () if strength is None else tuple((pour, found[strength]) for pour, found in waits.items()),
        )
        for name, strength in rows
    )


def _waits(
    case: Case, one: KnownClock, strengths_n_per_mm2: tuple[float, ...], volumes: tuple[RoleVolume, ...]
) -> dict[float, float | None]:
    """Late minutes of one pour to each strength, at the minute that governs its opening; None past its last datum.

    Below the sheet's first datum nothing is promised: such a strength takes as long as the first datum's.
    """
    reading = one.reading
    at_min = reading.hours[0].start_min if reading.at_min is None else reading.at_min
    pour = pour_of(case, reading.pour, volumes, at_min)
    if pour.fitted is None or pour.carrier is None:
        return dict.fromkeys(strengths_n_per_mm2)
    first, last = pour.fitted.first_datum_n_per_mm2, pour.fitted.last_datum_n_per_mm2
    known = tuple(s for s in strengths_n_per_mm2 if s <= last)
    hours = hours_to_strengths(pour.question, pour.carrier, tuple(max(s, first) for s in known))
    share = share_past(reading)
    late = {s: late_between(row, share) for s, row in zip(known, hours, strict=True)}
    return {s: late.get(s) for s in strengths_n_per_mm2}


def share_past(reading: ClockReading) -> float:
    """How far between the hour that governs and the next the minute lies from which a reading's minutes are taken.

    Valid       a wait by the hour of placing
    Source      algebra: truebed.plan.night_clocks takes the last minute that opens straight between two hours
    Proved by   tests/plan/test_crossing_minute.py
    """
    at = [i for i, hour in enumerate(reading.hours) if hour.start_min == reading.at_min]
    if not at or at[0] + 1 == len(reading.hours):
        return 0.0
    own, after = (reading.hours[at[0] + step].band.late_min for step in (0, 1))
    if own is None or after is None or after <= own:
        return 0.0
    return min(1.0, max(0.0, (reading.late_min - own) / (after - own)))


def late_between(hours: Sequence[HourTime], share: float) -> float | None:
    """The late minutes so far between the first two hours; None where either has none that counts.

    Valid       one hour or more; share 0 to 1
    Source      algebra
    Proved by   tests/plan/test_crossing_minute.py
    """
    first = hours[0].band.late_min
    if share <= 0.0 or first is None or len(hours) == 1:
        return first
    then = hours[1].band.late_min
    return None if then is None else first + share * (then - first)


def aids_findings(case: Case, aids: StrengthAids) -> tuple[Finding, ...]:
    """Findings of joint and resin; those of the wheel stand with the cover's own.

    Valid       aids of the same case
    Source      as each finding says
    Proved by   tests/plan/test_strength_aids.py
    """
    return (*joint_findings(case, aids.joint), *resin_findings(case, aids.resin))


def aids_figures(case: Case, aids: StrengthAids) -> tuple[tuple[str, Figure], ...]:
    """Figures of joint and resin.

    Valid       aids of the same case
    Source      as each figure says
    Proved by   tests/plan/test_strength_aids.py
    """
    return (*joint_figures(case, aids.joint), *resin_figures(case, aids.resin))
