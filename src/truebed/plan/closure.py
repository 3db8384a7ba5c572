"""One closure: its covers designed, programmed, compared with the hand way, checked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime

from truebed.chamber.cut_parts import Neighbour
from truebed.chamber.neighbours import Placed
from truebed.curing.night_temps import NightTemps, night_temps
from truebed.curing.protection import protection_note
from truebed.curing.surfaces import weather_data
from truebed.errors import NotDesignedError, NotDeterminedError
from truebed.findings import Finding, Severity
from truebed.given.cover import Cover
from truebed.given.night import Closure
from truebed.given.works import Works
from truebed.plan.case import Case
from truebed.plan.chamber_top import MeasuredTop
from truebed.plan.changed import what_changed
from truebed.plan.closure_figures import closure_figures
from truebed.plan.closure_findings import clock_at, closure_findings
from truebed.plan.cutting import neighbours_within, number_or, placed_of
from truebed.plan.design import Designed, design_cover
from truebed.plan.laid_findings import laid_findings
from truebed.plan.latest import latest_of
from truebed.plan.result import ClosurePlan, HandWay, NotDesigned, StepText
from truebed.plan.shelf import Shelf
from truebed.programme.check import check_schedule
from truebed.programme.crew import assign_people
from truebed.programme.hand_way import hand_way
from truebed.programme.left_out import left_out
from truebed.programme.problem import Problem
from truebed.programme.solve import solve
from truebed.why import Figure

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class PlannedClosure:
    """A closure's plan with its findings and figures."""

    plan: ClosurePlan
    findings: tuple[Finding, ...]
    figures: tuple[tuple[str, Figure], ...]


def minutes_between(start: datetime, end: datetime) -> int:
    """Whole minutes from start to end, rounded down.

    Valid       both with an offset
    Source      algebra
    Proved by   tests/plan/test_closure.py
    """
    return int((end - start).total_seconds() // 60)


def case_of(
    works: Works,
    shelf: Shelf,
    cover: Cover,
    temps: NightTemps,
    measured: MeasuredTop | None,
    closure: Closure | None = None,
) -> Case:
    """The case of one cover, without its neighbours.

    Valid       a cover whose method is on the shelf
    Source      house (assembly)
    Raises      NotDesignedError where the method is not on the shelf
    Proved by   tests/plan/test_closure.py
    """
    method = shelf.methods.get(cover.method)
    if method is None:
        raise NotDesignedError(
            f"There is no method '{cover.method}'.", f"Add methods/{cover.method}.toml or name another method."
        )
    mixers = [t.capacity_l for t in works.tools if t.kind == "mixer" and t.capacity_l is not None]
    blades = [t.blade_mm for t in works.tools if t.kind == "saw" and t.blade_mm is not None]
    return Case(
        cover=cover,
        readings=tuple(r for r in works.readings if r.cover == cover.cover),
        method=method,
        sheets=shelf.sheets,
        rules=shelf.rules,
        temps=temps,
        mixer_l=min(mixers) if mixers else None,  # any of them may be the one that is free
        blade_mm=max(blades) if blades else None,
        measured=measured,
        wanted_probability=works.heading.wanted_probability,
        condition=next((c for c in works.condition if c.cover == cover.cover), None),
        soundings=tuple(s for s in works.soundings if s.cover == cover.cover),
        obstacles=tuple(o for o in works.obstacles if o.cover == cover.cover),
        units=works.units,
        closure=closure,
        weather=works.weather,
        latitude_deg=works.heading.latitude_deg,
        longitude_deg=works.heading.longitude_deg,
    )


def placed_covers(works: Works, shelf: Shelf, closure: Closure, temps: NightTemps) -> dict[str, Placed]:
    """Every cover with a place; those of this closure with the cut that each would have alone.

    Valid       a checked works
    Source      covers.csv: x_m, y_m, bearing_deg
    Proved by   tests/plan/test_cutting.py
    """
    found: dict[str, Placed] = {}
    for cover in works.covers:
        if cover.x_m is None or cover.y_m is None or cover.bearing_deg is None or cover.method not in shelf.methods:
            continue
        case = case_of(works, shelf, cover, temps, None, closure)
        placed = placed_of(case, lifted=cover.street in closure.streets)
        if placed is not None:
            found[cover.cover] = placed
    return found


def design_one(case: Case) -> Designed:
    """One cover designed; where its chamber top was measured, also what that changed.

    Valid       a case
    Source      house: the same pure function on the estimate and on the measurement
    Raises      NotDesignedError with reason and mend
    Proved by   tests/plan/test_closure.py
    """
    if case.measured is None:
        return design_cover(case)
    try:
        before: Designed | None = design_cover(replace(case, measured=None))
    except NotDesignedError:
        before = None
    try:
        after = design_cover(case)
    except NotDesignedError as refused:
        raise NotDesignedError(
            f"On the chamber top measured by {case.measured.author} at {case.measured.at}: {refused.reason}",
            f"{refused.mend} Mend first, or put the old frame back.",
        ) from refused
    sentences = what_changed(before, after)
    finding = Finding(
        "RC-001",
        Severity.STATED,
        case.cover.cover,
        f"chamber top measured by {case.measured.author} at {case.measured.at}, used in place of the estimate: "
        + "; ".join(sentences),
        source=f"journal event {case.measured.event}",
    )
    return replace(after, design=replace(after.design, changed=sentences), findings=(*after.findings, finding))


def design_or_not(
    works: Works,
    shelf: Shelf,
    closure: Closure,
    cover: Cover,
    temps: NightTemps,
    measured: MeasuredTop | None,
    placed: dict[str, Placed],
) -> Designed | NotDesigned:
    """One cover among its neighbours: designed, or not with the reason.

    Valid       a checked works
    Source      house
    Proved by   tests/plan/test_closure.py
    """
    try:
        case = case_of(works, shelf, cover, temps, measured, closure)
        return design_one(replace(case, neighbours=beside(shelf, cover, placed)))
    except NotDesignedError as refused:
        return NotDesigned(cover.cover, cover.street, cover.kind, refused.reason, refused.mend)
    except NotDeterminedError as unknown:
        mend = "Complete the rule set or the sheet it names."
        return NotDesigned(cover.cover, cover.street, cover.kind, f"{unknown}", mend)


def staying(placed: dict[str, Placed], answers: dict[str, Designed | NotDesigned]) -> dict[str, Placed]:
    """The same places, where the frame of each cover that was not designed stays as it is: nothing joins its cut.

    Valid       answers of the covers of one closure
    Source      house
    Proved by   tests/plan/test_closure.py
    """
    return {
        name: replace(one, cut=()) if isinstance(answers.get(name), NotDesigned) else one
        for name, one in placed.items()
    }


def design_all(
    works: Works, shelf: Shelf, closure: Closure, measured: dict[str, MeasuredTop], tell: Progress
) -> tuple[tuple[Designed, ...], tuple[NotDesigned, ...], NightTemps | None]:
    """Every cover of a closure, designed or not designed with the reason; one that fails never stops the others.

    Each is designed as if it stood alone, then those that have neighbours among them. Where a cover is not designed its
    frame stays, and those that counted on a cut joined with it are designed again; each round leaves fewer frames to
    lift, so it ends.

    Valid       a checked works
    Source      house
    Proved by   tests/plan/test_closure.py
    """
    covers = [c for c in works.covers if c.street in closure.streets]
    try:
        temps = night_temps(closure, works.weather)
    except NotDeterminedError as unknown:
        reason, mend = "No temperatures for the night.", f"{unknown}."
        return (), tuple(NotDesigned(c.cover, c.street, c.kind, reason, mend) for c in covers), None
    placed = placed_covers(works, shelf, closure, temps)
    answers: dict[str, Designed | NotDesigned] = {}
    before: dict[str, Placed] = {}  # at first each cover as if it stood alone
    again = covers
    while again:
        for cover in again:
            tell(f"{closure.closure}: designing {cover.cover}")
            known = measured.get(cover.cover)
            answers[cover.cover] = design_or_not(works, shelf, closure, cover, temps, known, before)
        after = staying(placed, answers)
        standing = [c for c in covers if isinstance(answers[c.cover], Designed)]
        again = [c for c in standing if beside(shelf, c, before) != beside(shelf, c, after)]
        before = after
    found = [answers[c.cover] for c in covers]
    done = tuple(a for a in found if isinstance(a, Designed))
    return done, tuple(a for a in found if isinstance(a, NotDesigned)), temps


def beside(shelf: Shelf, cover: Cover, placed: dict[str, Placed]) -> tuple[Neighbour, ...]:
    """The neighbours that a cover would be designed among.

    Valid       a checked works
    Source      covers.csv
    Proved by   tests/plan/test_closure.py
    """
    strip_mm = number_or(shelf.rules, "cut_strip_least_mm", (cover.kind, cover.place, cover.load_class))
    return neighbours_within(cover, placed, strip_mm)


def crew_of(works: Works, closure: Closure) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The people of a closure with their skills.

    Valid       a checked works
    Source      people.csv
    Proved by   tests/plan/test_closure.py
    """
    return tuple((p.person, p.skills) for p in works.people if not p.closures or closure.closure in p.closures)


def problem_of(works: Works, closure: Closure, designed: tuple[Designed, ...]) -> Problem:
    """The closure's programme as a problem.

    Valid       a checked works
    Source      house (assembly)
    Proved by   tests/plan/test_closure.py
    """
    crew = crew_of(works, closure)
    skills: dict[str, int] = {}
    for _, has in crew:
        for skill in has:
            skills[skill] = skills.get(skill, 0) + 1
    tools: dict[str, int] = {}
    for tool in works.tools:
        tools[tool.kind] = tools.get(tool.kind, 0) + tool.count
    return Problem(
        closure=closure.closure,
        window_min=minutes_between(closure.road_shut_from, closure.road_open_by),
        tm_set_min=closure.tm_set_min,
        tm_clear_min=closure.tm_clear_min,
        noise_ends_min=minutes_between(closure.road_shut_from, closure.noisy_work_ends),
        people=len(crew),
        crew_skills=tuple(has for _, has in crew),
        skills=tuple(sorted(skills.items())),
        tools=tuple(sorted(tools.items())),
        jobs=tuple(d.job for d in designed),
    )


def step_texts(designed: tuple[Designed, ...], shelf: Shelf) -> tuple[StepText, ...]:
    """What the crew reads for each step of the methods used.

    Valid       designed covers of one closure
    Source      the methods
    Proved by   tests/plan/test_closure.py
    """
    return tuple(
        StepText(step.key, step.name, step.people, step.tools, step.noisy, step.hold, step.pour, method)
        for method in dict.fromkeys(one.design.method for one in designed)
        for step in shelf.methods[method].steps
    )


def plan_closure(
    works: Works, shelf: Shelf, closure: Closure, measured: dict[str, MeasuredTop], tell: Progress
) -> PlannedClosure:
    """One closure planned: covers designed, programmed, compared, checked.

    Valid       a checked works
    Source      see the rooms below
    Proved by   tests/plan/test_closure.py, tests/whole_job/test_demo_plan.py
    """
    designed, failed, temps = design_all(works, shelf, closure, measured, tell)
    problem = problem_of(works, closure, designed)
    tell(f"{closure.closure}: programming {len(problem.jobs)} covers")
    solution = solve(problem)
    hand_schedule, _ = hand_way(problem)
    plan = ClosurePlan(
        closure=closure.closure,
        streets=closure.streets,
        kind=closure.kind,
        shut=closure.road_shut_from,
        open_by=closure.road_open_by,
        noisy_work_ends=closure.noisy_work_ends,
        designed=tuple(d.design for d in designed),
        not_designed=failed,
        problem=problem,
        solution=solution,
        hand=HandWay(hand_schedule.done, hand_schedule.open_min, hand_schedule),
        left_out=left_out(
            problem, solution, clock=lambda minute: clock_at(closure.road_shut_from, minute, works.heading.time_zone)
        ),
        steps=step_texts(designed, shelf),
        people=tuple(name for name, _ in crew_of(works, closure)),
        coldest_c=temps.coldest_c if temps is not None else None,
        hottest_c=temps.hottest_c if temps is not None else None,
        time_zone=works.heading.time_zone,
        assigned=assign_people(problem, solution.schedule, crew_of(works, closure))[0],
        latest=latest_of(problem),
        protection=protection_note(closure.protection, weather_data()),
    )
    verdicts = check_schedule(problem, solution.schedule)
    findings = (
        *(f for d in designed for f in d.findings),
        *verdicts,
        *closure_findings(works, plan, crew_of(works, closure), shelf.rules),
        *laid_findings(plan, designed),
    )
    figures = (*(f for d in designed for f in d.figures), *closure_figures(plan, temps))
    return PlannedClosure(plan, findings, figures)
