"""Forbidden hours, rests, lanes, stock and waits by the hour: every way to break them is found under its code."""

from dataclasses import replace

import pytest

from programme.sample import job, problem, task, to_open
from truebed.programme.check import check_schedule
from truebed.programme.check_hours import wait_bounds, wait_of
from truebed.programme.problem import Lag, Placed, Schedule


def codes(given, *placed, opening=90):
    done = tuple(dict.fromkeys(p.cover for p in placed))
    return [f.code for f in check_schedule(given, Schedule(done, placed, opening))]


def one(name, **more):
    return job(name, 1, [replace(task(name, "s", 5), **more)], [to_open("s", 4)])


def test_a_wait_is_read_between_its_points():
    assert [float(wait_of(((0, 10), (10, 15)), m)) for m in (-1, 0, 5, 10, 11)] == [10, 10, 12.5, 15, 15]
    lag = Lag("a", "end", "b", "start", 15, 10, "", profile=((0, 10), (10, 15)), greatest_profile=((0, 10), (10, 15)))
    assert wait_bounds(lag, 5) == (13, 12)


@pytest.mark.parametrize(("start", "broken"), [(15, False), (16, True), (24, True), (25, False)])
def test_no_minute_of_a_step_may_lie_in_a_forbidden_span(start, broken):
    given = problem(one("A", not_during=((20, 25),)))
    assert ("PR-019" in codes(given, Placed("A", "s", start, start + 5))) is broken


@pytest.mark.parametrize(("start", "broken"), [(9, False), (10, True), (13, True), (15, True), (16, False)])
def test_a_rest_needs_one_spell_in_which_nobody_works(start, broken):
    given = replace(problem(one("A")), breaks=((12, 14, 4),))
    assert ("PR-021" in codes(given, Placed("A", "s", start, start + 5))) is broken


def test_two_rests_are_two_spells():
    given = replace(problem(one("A")), breaks=((10, 12, 4), (10, 12, 4)))
    assert codes(given, Placed("A", "s", 30, 35)) == ["PR-021"]
    assert codes(replace(given, breaks=((10, 12, 4), (10, 14, 4))), Placed("A", "s", 30, 35)) == []


@pytest.mark.parametrize(("start", "broken"), [(15, True), (16, False)])
def test_a_lane_waits_until_the_lane_before_carries_traffic_and_the_cones_are_moved(start, broken):
    given = replace(problem(one("A"), replace(one("B"), stage=1)), stage_min=7)
    # A ends at 5, its clock to the opening runs to 9, and seven minutes of moving cones end at 16
    found = codes(given, Placed("A", "s", 0, 5), Placed("B", "s", start, start + 5))
    assert ("PR-022" in found) is broken


def test_a_lane_without_a_cover_done_holds_nobody_up():
    given = replace(problem(one("A"), replace(one("B"), stage=1)), stage_min=7)
    assert codes(given, Placed("B", "s", 0, 5)) == []


def test_more_kits_than_the_stock_has_are_found():
    given = replace(problem(*(replace(one(n), kits=(("bed", 2),)) for n in "AB")), stock=(("bed", 3),))
    assert codes(given, Placed("A", "s", 0, 5), Placed("B", "s", 0, 5)) == ["PR-024"]
    assert codes(given, Placed("A", "s", 0, 5)) == []


@pytest.mark.parametrize(("then", "code"), [(5 + 12, None), (5 + 11, "PR-007")])
def test_a_least_wait_is_that_of_its_own_hour(then, code):
    lag = Lag("a", "end", "b", "start", 20, None, "", profile=((0, 10), (10, 14), (20, 20)))
    given = problem(job("A", 1, [task("A", "a", 5), task("A", "b", 5)], [lag]))
    found = codes(given, Placed("A", "a", 0, 5), Placed("A", "b", then, then + 5))
    assert found == ([] if code is None else [code])


@pytest.mark.parametrize(("opening", "code"), [(5 + 12, None), (5 + 11, "PR-009")])
def test_a_clock_to_the_opening_is_that_of_its_own_hour(opening, code):
    ready = replace(to_open("s", 20), profile=((0, 10), (10, 14), (20, 20)))
    given = problem(job("A", 1, [task("A", "s", 5)], [ready]))
    assert codes(given, Placed("A", "s", 0, 5), opening=opening) == ([] if code is None else [code])
