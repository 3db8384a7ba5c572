"""Why a cover is not done, and how many minutes it lacks."""

from dataclasses import replace

from programme.sample import after, job, problem, task, to_open, wet_closure
from truebed.programme.left_out import left_out, minute_words
from truebed.programme.problem import LeftOut, Schedule, Solution
from truebed.programme.solve import solve


def reasons(given, **more):
    return left_out(given, solve(given), **more)


def single(cover, weight, minutes, noisy=False):
    return job(cover, weight, [task(cover, "do", minutes, 2, noisy=noisy)], [])


def test_a_cover_that_is_done_has_no_reason():
    assert reasons(wet_closure(1)) == ()


def test_a_cover_too_long_alone_says_how_long_it_needs():
    given = replace(wet_closure(1), window_min=70)
    assert reasons(given) == (LeftOut("C1", "alone it needs 79 min of the 70 there are", 9),)


def test_noise_that_cannot_end_says_when_it_could():
    given = replace(wet_closure(1), noise_ends_min=17)
    (found,) = reasons(given)
    assert found.short_by_min == 3
    assert found.reason == (
        "its noisy work cannot end by minute 17 after the road shuts even alone; "
        "the soonest is minute 20 after the road shuts"
    )


def test_the_caller_may_tell_minutes_as_times_of_day():
    given = replace(wet_closure(1), noise_ends_min=17)
    (found,) = reasons(given, clock=lambda minute: f"22:{minute:02d}")
    assert found.reason == "its noisy work cannot end by 22:17 even alone; the soonest is 22:20"
    assert minute_words(5) == "minute 5 after the road shuts"


def test_noise_that_must_come_first_may_make_it_too_long():
    # either order of the two fits the window, but with the noise first the last wait does not
    tasks = [task("C1", "saw", 20, 2, noisy=True), task("C1", "pour", 20, 2)]
    given = problem(job("C1", 1, tasks, [to_open("pour", 30)]), window=60, noise=20)
    assert reasons(given) == (
        LeftOut(
            "C1",
            "alone it needs 70 min of the 60 there are, with its noisy work ended by minute 20 after the road shuts",
            10,
        ),
    )


def test_means_and_clocks_that_rule_it_out_come_first():
    assert reasons(replace(wet_closure(1), tools=(("mixer", 1),)))[0].reason == "no saw among the tools"
    lags = [after("a", "b", 12, None, "the bed sets"), after("a", "b", None, 9, "wet edge")]
    (found,) = reasons(problem(job("C1", 1, [task("C1", "a", 5), task("C1", "b", 3)], lags)))
    assert found.reason.startswith("least lag exceeds greatest lag")
    assert found.short_by_min == 3


def test_no_room_says_how_much_longer_a_window_would_take_it():
    given = problem(single("A", 5, 60), single("B", 1, 50), window=100)
    assert reasons(given) == (
        LeftOut(
            "B",
            "there is no room beside the covers chosen, which weigh more; with 10 more minutes of window it would fit",
            10,
        ),
    )
    assert solve(replace(given, window_min=110)).schedule.done == ("A", "B")
    assert solve(replace(given, window_min=109)).schedule.done == ("A",)


def test_no_room_before_the_noise_ban_is_not_mended_by_a_longer_window():
    given = problem(single("A", 5, 60, noisy=True), single("B", 1, 50, noisy=True), window=200, noise=100)
    (found,) = reasons(given)
    assert found.short_by_min is None
    assert "does not fit before the noise ban" in found.reason


def test_without_a_proof_it_does_not_claim_that_there_is_no_room():
    given = problem(single("A", 5, 60), single("B", 1, 50), window=100)
    unproven = replace(solve(given), weight_proven=False)
    assert left_out(given, unproven)[0].reason.startswith("no room was found beside")


def test_room_that_the_search_missed_is_owned_up_to():
    given = problem(single("A", 5, 40), single("B", 1, 50), window=100)
    poor = solve(problem(single("A", 5, 40), window=100))
    missed = Solution(Schedule(("A",), poor.schedule.placed, 40), 5, 6, False, 0, False)
    (found,) = left_out(given, missed)
    assert found.short_by_min == 0
    assert "it would fit" in found.reason


def test_a_cover_that_rain_leaves_no_hours_names_its_steps():
    wet = replace(task("C1", "coat", 10), not_during=((0, 95),))
    given = problem(job("C1", 1, [wet], []), window=100)
    (out,) = reasons(given)
    assert "rain or temperature forbids 'coat it'" in out.reason
    assert out.short_by_min == 5
