"""The words of the closure's own sheet: what is done tonight, what is not, how good it is, when to stop."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from truebed.drawings.clock import clock, clocks_change, moment, noise_ends_min, window_min
from truebed.drawings.timeline import timeline_svg
from truebed.drawings.timeline_rows import rows_of
from truebed.findings import Severity
from truebed.papers.belonging import findings_of
from truebed.papers.weather_words import hour_rows, hours_told
from truebed.papers.writing import finding_words, honesty, tenth_mm
from truebed.plan.base_hours import BaseHour, LaidHour
from truebed.plan.result import Caution, ClosurePlan, Plan
from truebed.programme.problem import Placed

Words = dict[str, object]


def closure_words(plan: Plan, closure: ClosurePlan, zone: ZoneInfo) -> Words:
    """Everything the first sheet prints, as texts.

    Valid       a closure of the plan
    Source      house (writing)
    Proved by   tests/papers/test_closure_sheet.py
    """
    schedule, by_min = closure.solution.schedule, window_min(closure)
    shut, open_by = moment(closure, 0, zone), moment(closure, by_min, zone)
    breaking = [f for f in findings_of(plan, closure) if f.severity is Severity.BREAKS]
    hand_min = by_min - schedule.open_min
    return {
        "closure": closure.closure,
        "streets": ", ".join(closure.streets),
        "kind": closure.kind,
        "night": f"{shut:%a %d %b} to {open_by:%a %d %b %Y}",
        "shut": f"{shut:%H:%M}",
        "open_by": f"{open_by:%H:%M}",
        "noise_ends": clock(closure, noise_ends_min(closure), zone),
        "opens": clock(closure, schedule.open_min, zone) if schedule.done else "nothing done",
        "in_hand": f"{hand_min} min" if schedule.done else "",
        "in_hand_name": "in hand" if hand_min >= 0 else "TOO LATE BY",
        "crew": ", ".join(closure.people),
        "temperatures": _temperatures(closure),
        "protection": closure.protection,
        "base": base_words(closure),
        "done": done_rows(closure, zone),
        "left_out": [
            {
                "cover": out.cover,
                "reason": out.reason,
                "short": "" if out.short_by_min is None else f"short by {out.short_by_min} min",
            }
            for out in closure.left_out
        ],
        "not_designed": [{"cover": n.cover, "reason": n.reason, "mend": n.mend} for n in closure.not_designed],
        "hand": _hand(closure, zone),
        "honesty": honesty_lines(closure, zone),
        "change": clocks_change(closure, zone),
        "breaking": [finding_words(f) for f in breaking],
        "stops": stop_rules(closure, zone),
        "cautions": [_caution(c) for c in cautions_of(closure)],
        "timeline": timeline_svg(closure, zone),
    }


def _temperatures(closure: ClosurePlan) -> str:
    if closure.coldest_c is None or closure.hottest_c is None:
        return "not given"
    return f"{tenth_mm(closure.coldest_c)} to {tenth_mm(closure.hottest_c)} \u00b0C"


def base_words(closure: ClosurePlan) -> Words:
    """The night hour by hour at the base: dew, rain, drying, and whether each resin may be laid.

    Valid       any closure; no rows where no cover has them
    Source      truebed.papers.weather_words
    Proved by   tests/papers/test_closure_sheet.py
    """
    coats: dict[str, tuple[LaidHour, ...]] = {}
    hours: tuple[BaseHour, ...] = ()
    for design in closure.designed:
        if design.strength is None:
            continue
        hours = hours or design.strength.resin.base
        for layer in design.strength.resin.layers:
            if len(layer.hours) == len(design.strength.resin.base):
                coats.setdefault(layer.name, layer.hours)
    return {
        "coats": list(coats),
        "rows": hour_rows(hours, tuple(coats.values())),
        "told": list(hours_told(hours)),
    }


def honesty_lines(closure: ClosurePlan, zone: ZoneInfo) -> tuple[str, ...]:
    """The solver's lines with clock times.

    Valid       any closure
    Source      house (writing)
    Proved by   tests/papers/test_closure_sheet.py
    """
    solution = closure.solution
    if not solution.schedule.done:
        return ("Nothing can be done in this closure: do not shut the road for it.",)
    opening = clock(closure, solution.schedule.open_min, zone)
    return honesty(solution, opening, clock(closure, solution.open_bound_min, zone))


def done_rows(closure: ClosurePlan, zone: ZoneInfo) -> list[dict[str, str]]:
    """The covers done tonight in the order of their first step.

    Valid       any closure
    Source      house (writing)
    Proved by   tests/papers/test_closure_sheet.py
    """
    rows = []
    for i, row in enumerate(rows_of(closure)):
        placed = closure.solution.schedule.of(row.cover)
        design = closure.design(row.cover)
        latest, never = last_lift_min(closure, row.cover), no_return_min(closure, row.cover)
        rows.append(
            {
                "order": str(i + 1),
                "cover": row.cover,
                "street": design.street,
                "kind": design.kind,
                "from": clock(closure, placed[0].start_min, zone),
                "to": clock(closure, max(p.end_min for p in placed), zone),
                "lift_by": "" if latest is None else clock(closure, latest, zone),
                "never_after": "" if never is None else clock(closure, never, zone),
            }
        )
    return rows


def lift_of(closure: ClosurePlan, cover: str) -> Placed | None:
    """The step that lifts that cover's frame: the first whose key or name says lift; None without one.

    Valid       any closure
    Source      house (look-up)
    Proved by   tests/papers/test_closure_sheet.py
    """
    names = {t.step: t.name for job in closure.problem.jobs if job.cover == cover for t in job.tasks}
    for placed in closure.solution.schedule.of(cover):
        if "lift" in f"{placed.step} {names.get(placed.step, '')}".lower().replace("-", " ").split():
            return placed
    return None


def last_lift_min(closure: ClosurePlan, cover: str) -> int | None:
    """The last minute to begin the lift if all that starts then or later moves with it by the same minutes.

    Bound by the latest opening and, where noisy work still follows, by the end of noisy work; never past the point of
    no return, since a wait that begins later may take longer.

    Valid       a cover that is done; None where no step lifts or nothing is in hand
    Source      algebra
    Proved by   tests/papers/test_closure_sheet.py
    """
    lift = lift_of(closure, cover)
    schedule = closure.solution.schedule
    spare = window_min(closure) - schedule.open_min
    if lift is None or spare < 0:
        return None
    noisy = {(t.cover, t.step) for job in closure.problem.jobs for t in job.tasks if t.noisy}
    after = [p for p in schedule.placed if p.start_min >= lift.start_min and (p.cover, p.step) in noisy]
    never = no_return_min(closure, cover)
    ends = [] if never is None else [never - lift.start_min]
    return lift.start_min + max(0, min([spare, *ends, *(noise_ends_min(closure) - p.end_min for p in after)]))


def no_return_min(closure: ClosurePlan, cover: str) -> int | None:
    """The last minute to begin the lift with which the cover's own chain still opens the road: the point of no return.

    Valid       any cover; None where no step lifts or its chain opens no road
    Source      plan: latest
    Proved by   tests/papers/test_closure_sheet.py
    """
    found = [one.minute_min for one in closure.latest if one.cover == cover and one.lift]
    return found[0] if found else None


def stop_rules(closure: ClosurePlan, zone: ZoneInfo) -> list[str]:
    """When not to go on.

    Valid       any closure
    Source      house (writing); common practice, no source
    Proved by   tests/papers/test_closure_sheet.py
    """
    rows = [(row.cover, last_lift_min(closure, row.cover)) for row in rows_of(closure)]
    hours = ", ".join(f"{cover} {clock(closure, latest, zone)}" for cover, latest in rows if latest is not None)
    late = (
        f"If the lift has not begun by {hours}: leave that frame in. After it there is no way back but to finish, "
        "or to plate and hold the lane."
    )
    ends = [(row.cover, no_return_min(closure, row.cover)) for row in rows_of(closure)]
    never = ", ".join(f"{cover} {clock(closure, end, zone)}" for cover, end in ends if end is not None)
    alone = (
        f"Point of no return, even with everybody on that one cover: {never}. Lifted later, steps and waits run past "
        "the opening: leave that frame in."
    )
    return [
        *([late] if hours else []),
        *([alone] if never else []),
        "Measured chamber top, temperature or a failed mix unlike the sheet: stop, measure, plan again before pouring.",
        "Do not open on the clock alone: the hold points are signed and the levels read again first.",
    ]


def _hand(closure: ClosurePlan, zone: ZoneInfo) -> Words:
    """The same durations and lags one cover after another, beside the plan."""
    hand, schedule = closure.hand, closure.solution.schedule
    none = "nothing done"
    return {
        "plan_count": str(len(schedule.done)),
        "plan_opens": clock(closure, schedule.open_min, zone) if schedule.done else none,
        "hand_count": str(len(hand.done)),
        "hand_opens": clock(closure, hand.open_min, zone) if hand.done else none,
        "hand_covers": ", ".join(hand.done),
        "plan_covers": ", ".join(row.cover for row in rows_of(closure)),
    }


def cautions_of(closure: ClosurePlan) -> tuple[Caution, ...]:
    """Every caution of the closure's designed covers, each once; the covers' own sheets name theirs.

    Valid       any closure
    Source      house (look-up)
    Proved by   tests/papers/test_closure_sheet.py
    """
    found = {c.key: c for design in closure.designed for c in design.cautions}
    return tuple(found.values())


def _caution(caution: Caution) -> dict[str, str]:
    return {"title": caution.title, "text": caution.text, "source": caution.source}
