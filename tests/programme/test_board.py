"""The board keeps every rule as it grows; rests are read from a schedule."""

from dataclasses import replace

import pytest

from programme.drawn_rich import drawn_rich
from programme.sample import job, problem, task
from truebed.programme.board import board_of, rests_in
from truebed.programme.check import check_schedule
from truebed.programme.list_schedule import list_schedules, nothing_floats, one_after_another
from truebed.programme.possible import sort_jobs
from truebed.programme.problem import Placed, Schedule

ONE = replace(problem(job("A", 1, [task("A", "s", 5)], [])), breaks=((12, 14, 4),))


def test_a_rest_is_found_at_its_first_free_minute_or_it_is_missed():
    for start, rest in ((30, 12), (9, 14), (16, 12)):
        assert rests_in(ONE, Schedule(("A",), (Placed("A", "s", start, start + 5),), 50)) == ((0, rest, 4),)
    assert rests_in(ONE, Schedule(("A",), (Placed("A", "s", 13, 18),), 50)) is None


def test_a_held_rest_pushes_a_step_behind_it():
    board = board_of(ONE, sort_jobs(ONE).nets, {0: 0}, ((0, 12, 4),))
    assert [board.fit((0, 0), early, 90) for early in (0, 7, 8, 20)] == [0, 7, 16, 20]


@pytest.mark.parametrize("seed", range(40))
def test_rules_and_the_hand_way_keep_every_rule_of_a_rich_closure(seed):
    given = drawn_rich(seed)
    by_hand = one_after_another(given)
    for schedule in (by_hand, *list_schedules(given)):
        assert check_schedule(given, schedule) == ()
        drawn_forward = nothing_floats(given, schedule)
        assert check_schedule(given, drawn_forward) == ()
        assert drawn_forward.open_min <= schedule.open_min
    for one, other in ((p, q) for p in by_hand.placed for q in by_hand.placed if p.cover < q.cover):
        if not given.teams:
            ends = {c: max(p.end_min for p in by_hand.of(c)) for c in (one.cover, other.cover)}
            starts = {c: min(p.start_min for p in by_hand.of(c)) for c in (one.cover, other.cover)}
            assert ends[one.cover] <= starts[other.cover] or ends[other.cover] <= starts[one.cover]
