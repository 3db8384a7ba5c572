"""A wait by the hour is read as it is said: straight between points, held outside, rounded to the safe side."""

from hypothesis import given
from hypothesis import strategies as st

from truebed.programme.check_hours import wait_bounds
from truebed.programme.problem import Lag
from truebed.programme.profiles import (
    greatest_at,
    least_at,
    loosest_greatest,
    loosest_least,
    pieces,
    runs,
    wait_at,
)

NIGHT = ((0, 60), (60, 75), (120, 110))


def lag(profile=(), greatest=(), least=5, most=9):
    return Lag("a", "end", "b", "start", least, most, "", profile=profile, greatest_profile=greatest)


def test_between_two_points_a_least_is_rounded_up_and_a_greatest_down():
    assert [wait_at(NIGHT, m, up=True) for m in (-5, 0, 1, 60, 61, 120, 500)] == [60, 60, 61, 75, 76, 110, 110]
    assert [wait_at(NIGHT, m, up=False) for m in (1, 59, 61)] == [60, 74, 75]


def test_without_a_profile_the_lag_has_its_own_minutes_at_every_hour():
    assert (least_at(lag(), 300), greatest_at(lag(), 300)) == (5, 9)
    assert (loosest_least(lag()), loosest_greatest(lag())) == (5, 9)
    assert (loosest_least(lag(NIGHT)), loosest_greatest(lag((), NIGHT))) == (60, 110)


profiles = st.lists(st.tuples(st.integers(0, 60), st.integers(0, 30)), min_size=1, max_size=6).map(
    lambda points: tuple(sorted(dict(points).items()))
)


@given(profiles, st.integers(-10, 80))
def test_the_checker_reads_every_profile_the_same_way_by_its_own_means(profile, minute):
    one = lag(profile, profile)
    assert wait_bounds(one, minute) == (least_at(one, minute), greatest_at(one, minute))


@given(profiles, st.integers(0, 40), st.integers(0, 40), st.booleans())
def test_over_each_run_the_wait_is_the_greatest_or_the_least_of_its_lines(profile, low, more, convex):
    high = low + more
    found = runs(profile, low, high, convex=convex)
    covered = set()
    for run in found:
        for minute in range(max(low, run[0][0]), min(high, run[-1][1]) + 1):
            lines = [wait + rise * (minute - begin) / width for begin, _end, wait, rise, width in run]
            bend = max(lines) if convex else min(lines)
            least, most = wait_at(profile, minute, up=True), wait_at(profile, minute, up=False)
            assert most - 1e-9 <= bend <= least + 1e-9
            covered.add(minute)
    assert covered == set(range(low, high + 1))


def test_a_falling_night_is_one_run_and_one_that_bends_back_is_two():
    assert len(runs(NIGHT, 0, 110, convex=True)) == 1
    assert len(runs(NIGHT, 0, 400, convex=True)) == 2
    assert len(pieces(NIGHT, 0, 50)) == 1
