"""The checker of a night's rest finds each kind of fault that is put into a sound answer."""

from dataclasses import replace

from programme.test_replan import night
from truebed.programme.recovery import usual_policy
from truebed.programme.replan import replan
from truebed.programme.replan_check import check_replanned


def spoiled(change):
    problem, old, state = night(20)
    policy = usual_policy(problem)
    found = replan(problem, old, state, policy)
    assert check_replanned(problem, state, policy, found) == ()
    return check_replanned(problem, state, policy, change(found))


def test_a_step_before_now_is_found():
    def early(found):
        first = found.placed[0]
        back = replace(first, start_min=first.start_min - 15, end_min=first.end_min - 15)
        return replace(found, placed=(back, *found.placed[1:]))

    assert spoiled(early)


def test_a_step_left_away_is_found():
    assert spoiled(lambda found: replace(found, placed=found.placed[1:]))


def test_an_opening_told_too_early_is_found():
    assert spoiled(lambda found: replace(found, open_min=found.open_min - 1))


def test_a_cover_without_an_answer_is_found():
    assert spoiled(lambda found: replace(found, answers=found.answers[1:]))


def test_a_begun_cover_that_is_simply_dropped_is_found():
    def drop(found):
        answers = tuple(replace(a, kind="dropped") if a.kind == "finished" else a for a in found.answers)
        return replace(found, answers=answers)

    assert spoiled(drop)
