"""What the night's record says of one pour: when it was placed, what its probe read since, what was tested."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from truebed.curing.arrhenius import GAS_J_PER_MOL_K, equivalent_age_min
from truebed.curing.now import REFERENCE_C, ProbeReading
from truebed.curing.site_readings import SiteReadings
from truebed.curing.site_test import SiteTest
from truebed.errors import NotDeterminedError
from truebed.records.events import StrengthTested
from truebed.records.replay import CoverState
from truebed.sheets.method import Method

#: A test that comes later than this after the last reading has no age (as far apart as readings may be).
HELD_MIN = 30.0


@dataclass(frozen=True, slots=True)
class Placed:
    """When a pour was in its place, and whose word that is."""

    at: datetime
    how: str


@dataclass(frozen=True, slots=True)
class ProbesSince:
    """The readings that count, of one place, in order of time since placing. left_out: what does not, in sentences."""

    place: str
    readings: tuple[ProbeReading, ...]
    left_out: tuple[str, ...]


def placing_step(method: Method, pour: str) -> str | None:
    """The step whose end starts the pour's wait for the road; None where the method has no step that places it.

    Valid       any method
    Source      house: the link to 'open' that a clock of the pour times, else the last step that handles the pour
    Proved by   tests/curing/test_recorded.py
    """
    waits = [
        link.from_step
        for link in method.links
        if link.to_step == "open"
        and link.from_edge == "end"
        and link.least_clock is not None
        and link.least_clock.pour == pour
    ]
    handled = [step.key for step in method.steps if step.pour == pour]
    return waits[-1] if waits else handled[-1] if handled else None


def placed_at(method: Method, pour: str, state: CoverState, override: datetime | None) -> Placed:
    """When the pour was placed: as said with the question, else the recorded end of the step that places it.

    Valid       a pour of the method
    Source      house
    Raises      NotDeterminedError where nobody recorded it
    Proved by   tests/curing/test_recorded.py
    """
    if override is not None:
        return Placed(override, "as said with the question, not from the journal")
    step = placing_step(method, pour)
    done = next((noted for noted in state.done if noted.data.step == step), None)
    if done is None:
        first = f"record the step '{step}' done (`truebed record step`), or " if step is not None else ""
        raise NotDeterminedError(
            f"{state.cover}, {pour}: nothing in the journal says when it was placed; {first}give --placed."
        )
    return Placed(datetime.fromisoformat(done.at), f"step '{step}' done, recorded by {done.author}")


def probes_since(pour: str, state: CoverState, placed: datetime, now: datetime) -> ProbesSince:
    """The pour's probe readings from placing until now, at the place of the latest one; two at one time: the colder.

    Valid       any state
    Source      house
    Raises      NotDeterminedError where no reading counts
    Proved by   tests/curing/test_recorded.py
    """
    mine = [noted for noted in state.probes if noted.data.pour == pour and noted.data.place is not None]
    timed = sorted(
        (datetime.fromisoformat(n.at if n.data.at is None else n.data.at), n.data.temp_c, n.data.place or "")
        for n in mine
    )
    left_out = []
    nameless = sum(1 for noted in state.probes if noted.data.pour is None or noted.data.place is None)
    early, late = (sum(1 for row in timed if row[0] < placed), sum(1 for row in timed if row[0] > now))
    since = [row for row in timed if placed <= row[0] <= now]
    place = since[-1][2] if since else ""
    elsewhere = sum(1 for row in since if row[2] != place)
    for count, why in (
        (nameless, "of this cover that name no pour or no place"),
        (early, "from before placing"),
        (late, "from after the time asked about"),
        (elsewhere, f"at another place than the latest one ({place})"),
    ):
        if count:
            left_out.append(f"left out: {count} probe reading{'s' if count != 1 else ''} {why}")
    readings: list[ProbeReading] = []
    for at, temp_c, where in since:  # sorted, so that the colder of two at one time comes first and stays
        after_min = (at - placed).total_seconds() / 60.0
        if where == place and (not readings or after_min > readings[-1].after_min):
            readings.append(ProbeReading(after_min, temp_c))
    if not readings:
        said = f" ({'; '.join(left_out)})" if left_out else ""
        raise NotDeterminedError(
            f"{state.cover}, {pour}: no probe reading since it was placed{said}; read the probe and record it "
            "(`truebed record probe`)."
        )
    return ProbesSince(place, tuple(readings), tuple(left_out))


def age_at_probe_min(readings: Sequence[ProbeReading], after_min: float, activation_j_per_mol: float) -> float:
    """Equivalent age at 20 degC at the probe's own place so long after placing: what a test of the layer tests.

    Straight between readings, the first held back to placing and the last held on; the slowest spot is younger.

    Valid       readings in order, above 0 degC; after_min not beyond the last reading by more than half an hour
    Source      [astm-c1074] form only
    Proved by   tests/curing/test_recorded.py
    """
    points = [ProbeReading(0.0, readings[0].temp_c), *(r for r in readings if 0.0 < r.after_min < after_min)]
    ended = ProbeReading(after_min, temp_between(readings, after_min))
    path = [*points, ended]
    temps, spans = [], []
    for before, after in pairwise(path):
        for part in range(20):  # a straight stretch in twenty steps
            temps.append(before.temp_c + (after.temp_c - before.temp_c) * (part + 0.5) / 20.0)
            spans.append((after.after_min - before.after_min) / 20.0)
    return equivalent_age_min(temps, spans, REFERENCE_C, activation_j_per_mol / GAS_J_PER_MOL_K)


def temp_between(readings: Sequence[ProbeReading], after_min: float) -> float:
    """The probe's temperature at a time: straight between readings, held before the first and after the last.

    Valid       one reading or more, in order
    Source      algebra
    Proved by   tests/curing/test_recorded.py
    """
    for before, after in pairwise(readings):
        if before.after_min <= after_min <= after.after_min:
            share = (after_min - before.after_min) / (after.after_min - before.after_min)
            return before.temp_c + share * (after.temp_c - before.temp_c)
    return readings[0].temp_c if after_min < readings[0].after_min else readings[-1].temp_c


def strength_tests_until(
    pour: str,
    state: CoverState,
    placed: datetime,
    now: datetime,
    readings: Sequence[ProbeReading],
    activation_j_per_mol: float,
    table: SiteReadings,
) -> tuple[tuple[SiteTest, ...], tuple[str, ...]]:
    """The pour's strength tests, each at the age of what was tested; those that cannot be used, in sentences.

    Valid       readings as probes_since gives them
    Source      house
    Proved by   tests/curing/test_recorded.py
    """
    used, odd = [], []
    for noted in state.tests:
        test = noted.data
        at = datetime.fromisoformat(noted.at if test.at is None else test.at)
        if test.pour != pour:
            continue
        if at > now or at < placed:
            when = "after the time asked about" if at > now else "before placing"
            odd.append(f"left out: a {test.test} test from {when}")
            continue
        age_min = _age_of(test, (at - placed).total_seconds() / 60.0, readings, activation_j_per_mol)
        if age_min is None:
            odd.append(
                f"left out: a {test.test} test without an age: more than {HELD_MIN:g} min after the last probe reading"
            )
            continue
        used.append(SiteTest(table.tests[test.test], test.strength_n_per_mm2, test.readings, age_min))
    return tuple(used), tuple(odd)


def _age_of(
    test: StrengthTested, after_min: float, readings: Sequence[ProbeReading], activation_j_per_mol: float
) -> float | None:
    if test.age_min is not None:
        return test.age_min
    if after_min > readings[-1].after_min + HELD_MIN:
        return None
    return age_at_probe_min(readings, after_min, activation_j_per_mol)
