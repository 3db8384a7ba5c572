"""The figures of a closure's programme."""

from dataclasses import replace

from plan.sample import mild_night
from plan.small_night import small_night
from truebed.plan.closure_figures import closure_figures, open_whys, temp_figures
from truebed.programme.problem import Schedule

PLAN = small_night().plan


def test_the_opening_is_the_latest_of_its_whys():
    figures = dict(closure_figures(PLAN, mild_night()))
    opening = figures["tallow-night.open"]
    assert opening.value == PLAN.solution.schedule.open_min
    assert opening.value == max(w.value for w in open_whys(PLAN))
    assert opening.why.governed_by == opening.why.inputs[0].what


def test_covers_and_the_hand_way_are_figures_too():
    figures = dict(closure_figures(PLAN, mild_night()))
    assert figures["tallow-night.covers"].value == len(PLAN.solution.schedule.done)
    assert figures["tallow-night.hand-covers"].value == len(PLAN.hand.done)
    assert figures["tallow-night.hand-open"].value == PLAN.hand.open_min


def test_the_temperatures_say_which_hour_ruled():
    figures = dict(temp_figures(PLAN, mild_night()))
    assert figures["tallow-night.coldest"].value == mild_night().coldest_c
    assert figures["tallow-night.coldest"].why.inputs
    assert temp_figures(PLAN, None) == []


def test_an_empty_night_has_no_opening():
    nothing = replace(PLAN, solution=replace(PLAN.solution, schedule=Schedule((), (), 0)))
    assert "tallow-night.open" not in dict(closure_figures(nothing, mild_night()))
