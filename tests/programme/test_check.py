"""Every way to spoil a schedule that holds is found, under its own code."""

from dataclasses import replace

import pytest

from programme.sample import after, job, problem, task, wet_closure
from truebed.programme import check
from truebed.programme.check import check_schedule
from truebed.programme.problem import Lag, Placed, Schedule
from truebed.programme.solve import solve

GIVEN = wet_closure(3)
GOOD = solve(GIVEN).schedule


def codes(given, schedule):
    return [finding.code for finding in check_schedule(given, schedule)]


def moved(schedule, cover, step, by, stretch=0):
    placed = tuple(
        replace(p, start_min=p.start_min + by, end_min=p.end_min + by + stretch)
        if (p.cover, p.step) == (cover, step)
        else p
        for p in schedule.placed
    )
    return replace(schedule, placed=placed)


def without(schedule, cover, step):
    return replace(schedule, placed=tuple(p for p in schedule.placed if (p.cover, p.step) != (cover, step)))


def test_the_good_schedule_holds_and_does_three_covers():
    assert GOOD.done == ("C1", "C2", "C3")
    assert codes(GIVEN, GOOD) == []


def test_each_code_of_the_module_has_its_line():
    named = {line.split()[0] for line in (check.__doc__ or "").splitlines() if line.startswith("PR-")}
    assert named == {f"PR-{n:03d}" for n in range(1, 25)}


@pytest.mark.parametrize(("code", "spoilt"), [
    ("PR-001", replace(GOOD, done=(*GOOD.done, "C9"))),
    ("PR-001", replace(GOOD, done=(*GOOD.done, "C1"))),
    ("PR-002", without(GOOD, "C1", "clean")),
    ("PR-002", without(GOOD, "C3", "seal")),
    ("PR-003", replace(GOOD, placed=(*GOOD.placed, GOOD.of("C1")[0]))),
    ("PR-004", replace(GOOD, done=("C1", "C2"))),
    ("PR-004", replace(GOOD, placed=(*GOOD.placed, Placed("C1", "dance", 20, 21)))),
    ("PR-005", moved(GOOD, "C2", "clean", 0, stretch=-1)),
    ("PR-005", moved(GOOD, "C2", "seal", 0, stretch=1)),
    ("PR-009", replace(GOOD, open_min=GOOD.open_min - 1)),
    ("PR-014", replace(GOOD, open_min=max(p.end_min for p in GOOD.placed) + 7)),
    ("PR-015", replace(GOOD, open_min=GIVEN.window_min + 1)),
])  # fmt: skip
def test_a_spoilt_schedule_is_found(code, spoilt):
    assert code in codes(GIVEN, spoilt)


@pytest.mark.parametrize(("code", "harder"), [
    ("PR-006", replace(GIVEN, tm_set_min=11)),
    ("PR-010", replace(GIVEN, people=2)),
    ("PR-013", replace(GIVEN, noise_ends_min=max(p.end_min for p in GOOD.placed if p.step == "saw") - 1)),
    ("PR-014", replace(GIVEN, tm_clear_min=60)),
    ("PR-015", replace(GIVEN, window_min=GOOD.open_min - 1)),
])  # fmt: skip
def test_a_schedule_made_for_an_easier_closure_is_found(code, harder):
    assert codes(harder, GOOD) == [code]


@pytest.mark.parametrize("kind", ["saw", "mixer"])
def test_a_tool_that_is_gone_is_found(kind):
    gone = replace(GIVEN, tools=tuple((k, n) for k, n in GIVEN.tools if k != kind))
    found = check_schedule(gone, GOOD)
    assert [finding.code for finding in found] == ["PR-011"]
    assert kind in found[0].subject


@pytest.mark.parametrize("skill", ["saw", "resin"])
def test_a_skill_that_is_gone_is_found(skill):
    gone = replace(GIVEN, skills=tuple((k, n) for k, n in GIVEN.skills if k != skill))
    assert codes(gone, GOOD) == ["PR-012"]


@pytest.mark.parametrize("cover", ["C1", "C2", "C3"])
@pytest.mark.parametrize("step", ["saw", "clean", "mix", "lay", "seal"])
def test_any_step_moved_ten_minutes_sooner_breaks_something(cover, step):
    # nothing floats in the good schedule, so a minute is enough for every one of them
    assert codes(GIVEN, moved(GOOD, cover, step, -1)) != []
    assert codes(GIVEN, moved(GOOD, cover, step, -10)) != []


TWO = (task("A", "a", 5), task("A", "b", 3))


@pytest.mark.parametrize(("lag", "b_start", "code"), [
    (after("a", "b", 4), 8, "PR-007"),
    (after("a", "b", 4), 9, None),
    (after("a", "b", 0, 6), 12, "PR-008"),
    (after("a", "b", 0, 6), 11, None),
    (Lag("a", "start", "b", "end", 13, None, ""), 9, "PR-007"),
    (Lag("a", "start", "b", "end", 13, None, ""), 10, None),
    (Lag("a", "start", "b", "end", None, 13, ""), 11, "PR-008"),
    (Lag("a", "start", "b", "end", None, 13, ""), 10, None),
    (Lag("a", "end", "b", "end", 8, 8, ""), 10, None),
    (Lag("a", "end", "b", "end", 8, 8, ""), 9, "PR-007"),
    (Lag("a", "end", "b", "end", 8, 8, ""), 11, "PR-008"),
    (Lag("a", "start", "b", "start", 7, 7, ""), 7, None),
    (Lag("a", "start", "b", "start", 7, 7, ""), 8, "PR-008"),
])  # fmt: skip
def test_lags_between_any_two_edges_are_judged_to_the_minute(lag, b_start, code):
    schedule = Schedule(("A",), (Placed("A", "a", 0, 5), Placed("A", "b", b_start, b_start + 3)), 50)
    assert codes(problem(job("A", 1, TWO, [lag])), schedule) == ([code] if code else [])


def test_people_are_counted_in_the_minutes_that_two_steps_share_and_not_where_they_meet():
    jobs = [job(c, 1, [task(c, "do", 5, 2)], []) for c in ("A", "B")]
    for start, expected in ((4, ["PR-010"]), (5, [])):
        schedule = Schedule(("A", "B"), (Placed("A", "do", 0, 5), Placed("B", "do", start, start + 5)), 10)
        assert codes(problem(*jobs, people=3), schedule) == expected


def test_two_skills_of_one_person_at_once_are_found_where_the_crew_is_known():
    jobs = [job(c, 1, [task(c, "do", 5, 1, (), s)], []) for c, s in (("A", "saw"), ("B", "resin"))]
    schedule = Schedule(("A", "B"), (Placed("A", "do", 0, 5), Placed("B", "do", 2, 7)), 10)
    skills = (("resin", 1), ("saw", 1))
    assert codes(problem(*jobs, skills=skills), schedule) == []
    assert codes(problem(*jobs, skills=skills, crew_skills=(("saw", "resin"), ())), schedule) == ["PR-016"]


def test_an_empty_schedule_holds():
    assert codes(GIVEN, Schedule((), (), 0)) == []


def test_a_finding_says_what_by_how_much_and_the_limit():
    (found,) = check_schedule(replace(GIVEN, window_min=GOOD.open_min - 4), GOOD)
    assert found.value == GOOD.open_min
    assert found.limit == f"by minute {GOOD.open_min - 4}"
    assert "the road opens after its deadline" in found.sentence()
