"""The rest of a night, from the plan, the journal and what is typed."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from truebed.actions.explain import read_plan
from truebed.actions.load import load_works
from truebed.actions.when import instant
from truebed.errors import NotDeterminedError
from truebed.papers.replan_words import handover_lines, replan_lines
from truebed.plan.result import ClosurePlan
from truebed.programme.problem import Job
from truebed.programme.recovery import usual_policy
from truebed.programme.replan import replan
from truebed.programme.replan_check import check_replanned
from truebed.programme.replan_types import Happened, NightState, Replanned
from truebed.records.replay import CoverState
from truebed.records.replay import replay as replay_records
from truebed.store.journal import load_journal

#: How long after its deadline a closure is still the one meant, where none is named.
STILL_MEANT = timedelta(hours=6)


@dataclass(frozen=True, slots=True)
class Night:
    """What was typed. delay: COVER.STEP=MIN; rain: FROM-TO on the clock; as_planned: unrecorded steps ran as planned;
    may_be_plated: whether an opened cover may be left with a temporary reinstatement here."""

    at: str | None = None
    closure: str | None = None
    delay: tuple[str, ...] = ()
    broken: tuple[str, ...] = ()
    rain: tuple[str, ...] = ()
    as_planned: bool = False
    may_be_plated: bool = True


@dataclass(frozen=True, slots=True)
class NightAnswer:
    """The answer with what it rests on."""

    plan: ClosurePlan
    state: NightState
    found: Replanned

    def clock(self, minute: int) -> str:
        """The time on the wall, with its day."""
        at = (self.plan.shut.astimezone(UTC) + timedelta(minutes=minute)).astimezone(ZoneInfo(self.plan.time_zone))
        return f"{at:%a %H:%M}"

    def lines(self) -> list[str]:
        """In words."""
        return replan_lines(self.plan.problem, self.state, self.found, self.clock)

    def handover(self) -> list[str]:
        """The thirty-second page."""
        return handover_lines(self.plan.problem, self.state, self.found, self.clock)

    def as_json(self) -> str:
        """As JSON text, minutes after the shutting."""
        data = {"closure": self.plan.closure, "shut": self.plan.shut.isoformat(), "state": asdict(self.state),
                "answer": asdict(self.found), "odds": None}  # fmt: skip
        return json.dumps(data, indent=2, ensure_ascii=False)


def replan_night(works: Path, place: Path, night: Night) -> NightAnswer:
    """Answer for every cover of the closure. Raises FaultsError, NoSuchPlanError, NotDeterminedError."""
    loaded, plan = load_works(works), read_plan(place)
    zone = loaded.works.heading.time_zone
    at = datetime.now(UTC) if night.at is None else instant(night.at, zone, "--at")
    closure = _closure(plan.closures, at, night.closure)
    records = replay_records(load_journal(works))
    state = state_of(closure, at, {j.cover: records.cover(j.cover) for j in closure.problem.jobs}, night)
    policy = usual_policy(closure.problem, may_be_plated=night.may_be_plated)
    found = replan(closure.problem, closure.solution.schedule, state, policy)
    wrong = check_replanned(closure.problem, state, policy, found)
    if wrong:
        raise NotDeterminedError(f"The plan found for the rest of the night does not hold and is not shown: {wrong[0]}")
    return NightAnswer(closure, state, found)


def _closure(closures: tuple[ClosurePlan, ...], at: datetime, name: str | None) -> ClosurePlan:
    if name is not None:
        named = [c for c in closures if c.closure == name]
        if not named:
            raise NotDeterminedError(
                f"The plan has no closure '{name}'; it has {', '.join(c.closure for c in closures)}"
            )
        return named[0]
    meant = [c for c in closures if c.shut <= at <= c.open_by + STILL_MEANT]
    if len(meant) != 1:
        what = "no closure is" if not meant else f"{len(meant)} closures are"
        raise NotDeterminedError(f"At {at:%Y-%m-%d %H:%M %Z} {what} running; give another --at or --closure NAME.")
    return meant[0]


def state_of(plan: ClosurePlan, at: datetime, records: dict[str, CoverState], night: Night) -> NightState:
    """The facts as minutes after the shutting. Raises NotDeterminedError with the record that is missing or odd."""
    now = int((at - plan.shut).total_seconds() // 60)
    if now < 0:
        raise NotDeterminedError(f"{plan.closure} is not shut before {plan.shut:%Y-%m-%d %H:%M}; there is nothing yet.")
    late = dict(_delay(text) for text in night.delay)
    known = {(job.cover, task.step) for job in plan.problem.jobs for task in job.tasks}
    for cover, step in late:
        if (cover, step) not in known:
            raise NotDeterminedError(f"--delay: {plan.closure} has no step '{cover}.{step}'.")
    facts: list[Happened] = []
    for job in plan.problem.jobs:
        mine = _recorded(plan, job, records[job.cover], now)
        if night.as_planned:
            mine = {**_planned(plan, job, now), **mine}
        for step, fact in list(mine.items()):
            extra = late.pop((job.cover, step), 0) if fact.running else 0
            mine[step] = replace(fact, end_min=fact.end_min + extra)
        _refuse_gap(job, mine, as_planned=night.as_planned)
        facts += [mine[task.step] for task in job.tasks if task.step in mine]
    done = {(f.cover, f.step) for f in facts}
    gone = next((key for key in late if key in done), None)
    if gone is not None:
        raise NotDeterminedError(f"--delay: {gone[0]}.{gone[1]} has already ended.")
    kinds = {kind for kind, _n in plan.problem.tools}
    for kind in night.broken:
        if kind not in kinds:
            raise NotDeterminedError(f"--broken: there is no tool '{kind}'; there are {', '.join(sorted(kinds))}.")
    lost = tuple((kind, night.broken.count(kind)) for kind in dict.fromkeys(night.broken))
    return NightState(now, tuple(facts), lost, tuple((c, s, m) for (c, s), m in late.items()), _rain(plan, night.rain))


def _recorded(plan: ClosurePlan, job: Job, state: CoverState, now: int) -> dict[str, Happened]:
    def minute(text: str) -> int:
        return int((datetime.fromisoformat(text) - plan.shut).total_seconds() // 60)

    begun = {one.data.step: minute(one.at) for one in state.started}
    ended = {one.data.step: minute(one.at) for one in state.done}
    found = {}
    for task in job.tasks:
        start, end = begun.get(task.step), ended.get(task.step)
        if end is not None and end <= now:
            found[task.step] = Happened(job.cover, task.step, end - task.minutes if start is None else start, end)
        elif start is not None and start <= now:
            found[task.step] = Happened(job.cover, task.step, start, max(now, start + task.minutes), running=True)
    return found


def _planned(plan: ClosurePlan, job: Job, now: int) -> dict[str, Happened]:
    return {
        p.step: Happened(p.cover, p.step, p.start_min, p.end_min, running=p.end_min > now)
        for p in plan.solution.schedule.of(job.cover)
        if p.start_min < now
    }


def _refuse_gap(job: Job, facts: dict[str, Happened], *, as_planned: bool) -> None:
    """A later step recorded without the one it follows: then nobody knows what was done."""
    for lag in job.lags:
        follows = lag.from_edge == "end" and lag.to_edge == "start" and lag.least_min is not None
        if follows and lag.to_step in facts and lag.from_step not in facts:
            how = "; the plan has it later than the time asked about" if as_planned else ", or give --as-planned"
            raise NotDeterminedError(
                f"{job.cover}: {lag.to_step} is recorded and {lag.from_step} before it is not; record it "
                f"(truebed record step), take {lag.to_step} back if it was not done (truebed record withdraw){how}."
            )


def _delay(text: str) -> tuple[tuple[str, str], int]:
    name, equals, minutes = text.partition("=")
    cover, dot, step = name.partition(".")
    if not (equals and dot and minutes.strip().isdigit()):
        raise NotDeterminedError(f"--delay: found '{text}'; expected COVER.STEP=MINUTES such as T01.saw=40.")
    return (cover.strip(), step.strip()), int(minutes)


def _rain(plan: ClosurePlan, spans: tuple[str, ...]) -> tuple[tuple[str, str, int, int], ...]:
    """Every step that places a material is kept out of the rain."""
    found = []
    for text in spans:
        first, dash, last = text.partition("-")
        if not dash:
            raise NotDeterminedError(f"--rain: found '{text}'; expected FROM-TO such as 23:30-00:15.")
        a = _minute_on_clock(plan, first, text)
        b = _minute_on_clock(plan, last, text)
        if b <= a:
            raise NotDeterminedError(f"--rain: '{text}' ends before it begins in this closure.")
        for job in plan.problem.jobs:
            texts = plan.texts(job.cover)
            found += [(job.cover, t.step, a, b) for t in job.tasks if t.step in texts and texts[t.step].pour]
    return tuple(found)


def _minute_on_clock(plan: ClosurePlan, clock: str, text: str) -> int:
    """The first time after the shutting at which the clock shows that."""
    zone = ZoneInfo(plan.time_zone)

    def find(minute: int) -> str:
        return f"{(plan.shut.astimezone(UTC) + timedelta(minutes=minute)).astimezone(zone):%H:%M}"

    minute = next((m for m in range(1440) if find(m) == clock.strip()), None)
    if minute is None:
        raise NotDeterminedError(f"--rain: found '{text}'; expected times such as 23:30-00:15.")
    return minute
