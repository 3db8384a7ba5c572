"""The closure's sheet: order, last lift, honesty, cautions."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from zoneinfo import ZoneInfo

from papers.sample_plan import sample_closure, sample_plan
from plan.weathered import hour, weathered
from truebed.drawings.clock import clock
from truebed.papers.closure_sheet import (
    base_words,
    cautions_of,
    closure_words,
    done_rows,
    honesty_lines,
    last_lift_min,
    lift_of,
    no_return_min,
    stop_rules,
)
from truebed.plan.ground import ground_of
from truebed.plan.result import ClosurePlan
from truebed.plan.strength_aids import strength_aids
from truebed.programme.reach import LatestStart

PLAN, CLOSURE, ZONE = sample_plan(), sample_closure(), ZoneInfo("Europe/London")


def test_covers_stand_in_the_order_of_their_first_step_with_their_hours() -> None:
    assert [(r["cover"], r["from"], r["to"]) for r in done_rows(CLOSURE, ZONE)] == [
        ("K11", "20:30", "01:46"),
        ("K12", "21:02", "02:36"),
    ]


def test_the_last_lift_is_bound_by_noisy_work_that_would_move_with_it() -> None:
    """K11 lifts at 70 min; K12 breaks out from 90 to 114 and noise ends at 180: 66 min, though 179 are in hand."""
    lift = lift_of(CLOSURE, "K11")
    assert lift is not None
    assert lift.start_min == 70
    assert last_lift_min(CLOSURE, "K11") == 136
    assert last_lift_min(CLOSURE, "K12") == 114 + 179  # nothing noisy follows


def test_without_minutes_in_hand_there_is_no_last_lift() -> None:
    late = replace(CLOSURE, open_by=CLOSURE.shut + timedelta(minutes=400))
    assert last_lift_min(late, "K11") is None
    assert closure_words(PLAN, late, ZONE)["in_hand_name"] == "TOO LATE BY"


def test_the_last_lift_is_never_past_the_point_of_no_return() -> None:
    free = last_lift_min(CLOSURE, "K11")
    lift = lift_of(CLOSURE, "K11")
    assert free is not None
    assert lift is not None
    sooner = replace(CLOSURE, latest=(LatestStart("K11", lift.step, free - 1, lift=True),))
    later = replace(CLOSURE, latest=(LatestStart("K11", lift.step, free + 9, lift=True),))
    assert (last_lift_min(sooner, "K11"), last_lift_min(later, "K11")) == (free - 1, free)


def test_stop_rules_name_each_cover_and_its_hour() -> None:
    rules = stop_rules(CLOSURE, ZONE)
    assert "has not begun by K11 22:16, K12 00:53: leave that frame in" in rules[0]
    assert len(rules) == 3


def test_the_point_of_no_return_is_told_with_its_hour_and_promises_no_odds() -> None:
    cover = CLOSURE.solution.schedule.done[0]
    at_hour = replace(CLOSURE, latest=(LatestStart(cover, "lift", 90, lift=True), LatestStart(cover, "lay", 130)))
    (rule,) = (r for r in stop_rules(at_hour, ZONE) if r.startswith("Point of no return"))
    assert f"{cover} {clock(at_hour, 90, ZONE)}." in rule
    assert "leave that frame in" in rule
    assert "nights" not in rule
    assert not any(r.startswith("Point of no return") for r in stop_rules(replace(CLOSURE, latest=()), ZONE))


def test_the_sheet_says_what_is_done_what_is_not_and_how_good_it_is() -> None:
    words = closure_words(PLAN, CLOSURE, ZONE)
    assert (words["shut"], words["opens"], words["open_by"], words["in_hand"]) == ("20:00", "03:01", "06:00", "179 min")
    assert words["left_out"] == [
        {"cover": "K13", "reason": "its noisy steps cannot end by 23:00", "short": "short by 18 min"}
    ]
    assert honesty_lines(CLOSURE, ZONE)[1] == "Opening: best found, 03:01; before 02:49 is impossible."
    assert len(cautions_of(CLOSURE)) == 3


def in_weather(rain_mm: float, covers: int = 1) -> ClosurePlan:
    """The sample closure whose first covers have four hours of weather, the second of them with rain."""
    case = weathered([hour(i, rain_mm=rain_mm if i == 1 else 0.0) for i in range(4)])
    aids = strength_aids(case, ground_of(case).cut, None, (), (), None)
    first = tuple(replace(d, strength=aids) for d in CLOSURE.designed[:covers])
    return replace(CLOSURE, designed=(*first, *CLOSURE.designed[covers:]))


def test_the_base_is_told_hour_by_hour_with_each_coat_and_rain_bars_its_hour_and_the_next() -> None:
    dry, wet = base_words(in_weather(0.0)), base_words(in_weather(2.0))
    assert dry["coats"] == wet["coats"] == ["Slate resin surface"]
    assert len(dry["rows"]) == len(wet["rows"]) == 4
    assert [a == b for a, b in zip(dry["rows"], wet["rows"], strict=True)] == [True, False, False, True]
    assert dry["told"]


def test_covers_with_the_same_coat_share_its_column() -> None:
    assert base_words(in_weather(2.0, covers=2)) == base_words(in_weather(2.0))


def test_a_closure_whose_covers_have_no_aids_tells_no_hours_of_the_base() -> None:
    assert all(d.strength is None for d in CLOSURE.designed)
    assert base_words(CLOSURE) == {"coats": [], "rows": [], "told": []}


def test_the_point_of_no_return_is_the_lifts_own_and_none_where_the_chain_opens_no_road() -> None:
    latest = (LatestStart("K11", "mix-bed", 130), LatestStart("K11", "lift", 95, lift=True),
              LatestStart("K12", "set-frame", 210))  # fmt: skip
    made = replace(CLOSURE, latest=latest)
    assert no_return_min(made, "K11") == 95
    assert no_return_min(made, "K12") is None
    assert no_return_min(CLOSURE, "K11") is None


def test_each_row_prints_the_point_of_no_return_by_the_clock_and_leaves_it_empty_where_there_is_none() -> None:
    made = replace(CLOSURE, latest=(LatestStart("K11", "lift", 95, lift=True),))
    assert [(r["cover"], r["never_after"]) for r in done_rows(made, ZONE)] == [("K11", "21:35"), ("K12", "")]
