"""The rest of a night on closures small enough to see the answer."""

from dataclasses import replace

import pytest

from programme.sample import wet_closure
from truebed.errors import NotDeterminedError
from truebed.programme.list_schedule import list_schedules
from truebed.programme.recovery import usual_policy
from truebed.programme.replan import replan
from truebed.programme.replan_check import check_replanned
from truebed.programme.replan_types import Happened, NightState


def night(now, delay=0, **more):
    problem = wet_closure(3, **more)
    old = list_schedules(problem)[0]
    facts = tuple(
        Happened(p.cover, p.step, p.start_min, p.end_min + (delay if p.end_min > now else 0), p.end_min > now)
        for p in old.placed
        if p.start_min < now
    )
    return problem, old, NightState(now, facts)


def answered(problem, old, state):
    policy = usual_policy(problem)
    found = replan(problem, old, state, policy)
    assert check_replanned(problem, state, policy, found) == ()
    return found


def test_a_night_on_time_goes_on_as_planned_and_moves_nobody():
    problem, old, state = night(20)
    found = answered(problem, old, state)
    assert found.retimed == ()
    assert {a.cover for a in found.answers if a.kind in ("finished", "chosen")} == set(old.done)
    assert found.open_min <= problem.window_min


def test_a_cover_whose_bed_lies_and_which_cannot_be_left_opens_late_at_its_clock():
    problem, old, state = night(60)
    short = replace(problem, window_min=70)
    found = answered(short, old, state)
    late = [a for a in found.answers if a.kind == "late"]
    assert late
    assert all(a.at_min is not None and a.at_min > 70 for a in late)
    assert found.open_min == max(a.at_min for a in late)


def test_a_cover_that_may_be_left_is_made_safe_where_its_mixer_is_lost():
    problem, old, _state = night(0)
    saw = next(p for p in old.placed if p.step == "saw")
    state = NightState(saw.end_min, (Happened(saw.cover, "saw", saw.start_min, saw.end_min),), lost=(("mixer", 1),))
    found = answered(problem, old, state)
    assert found.answer(saw.cover).kind == "made safe"
    assert {a.kind for a in found.answers if a.cover != saw.cover} == {"dropped"}


def test_a_cover_that_lacks_its_tool_and_may_not_be_left_is_held_and_says_what_it_needs():
    problem, old, _state = night(0)
    saw = next(p for p in old.placed if p.step == "saw")
    state = NightState(saw.end_min, (Happened(saw.cover, "saw", saw.start_min, saw.end_min),), lost=(("mixer", 1),))
    policy = usual_policy(problem, may_be_plated=False)
    found = replan(problem, old, state, policy)
    assert found.answer(saw.cover).kind == "held"
    assert found.answer(saw.cover).needs == ("mixer",)
    assert check_replanned(problem, state, policy, found) == ()


def test_a_fact_of_an_unknown_step_is_refused_by_name():
    problem, old, _state = night(0)
    with pytest.raises(NotDeterminedError, match="C1 has no step 'paint'"):
        replan(problem, old, NightState(50, (Happened("C1", "paint", 1, 2),)), usual_policy(problem))


def test_the_same_night_gives_the_same_answer_twice():
    problem, old, state = night(45, 15)
    assert answered(problem, old, state) == answered(problem, old, state)


def test_a_night_of_several_teams_is_refused_rather_than_answered_as_one_crew():
    problem, old, state = night(20)
    with pytest.raises(NotDeterminedError, match="several teams"):
        replan(replace(problem, teams=(2, 1)), old, state, usual_policy(problem))
