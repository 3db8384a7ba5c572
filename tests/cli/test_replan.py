"""`truebed replan` refuses in sentences what it cannot take, before any search."""

from datetime import UTC, datetime, timedelta
from types import SimpleNamespace

import pytest

from programme.sample import wet_closure
from truebed.actions.replan import Night, state_of
from truebed.errors import NotDeterminedError
from truebed.programme.list_schedule import list_schedules
from truebed.records.events import StepDone, StepStarted
from truebed.records.replay import CoverState, Noted

SHUT = datetime(2028, 1, 18, 21, 30, tzinfo=UTC)
PROBLEM = wet_closure(2)
PLAN = SimpleNamespace(
    closure="night", shut=SHUT, time_zone="Europe/London", problem=PROBLEM,
    solution=SimpleNamespace(schedule=list_schedules(PROBLEM)[0]),
    texts=lambda _cover: {"lay": SimpleNamespace(pour="bed"), "saw": SimpleNamespace(pour="")},
)  # fmt: skip


def at(minute):
    return SHUT + timedelta(minutes=minute)


def state(minute, night=None, **records):
    asked = Night() if night is None else night
    of = {job.cover: records.get(job.cover, CoverState(job.cover)) for job in PROBLEM.jobs}
    return state_of(PLAN, at(minute), of, asked)


def noted(data, minute):
    return Noted("id", at(minute).isoformat(), "RK", data)


def test_a_recorded_start_without_an_end_runs_for_its_length_and_a_delay_makes_it_later():
    one = CoverState("C1", started=(noted(StepStarted("saw"), 20),))
    running = state(25, Night(delay=("C1.saw=40",)), C1=one).happened
    assert [(h.step, h.start_min, h.end_min, h.running) for h in running] == [("saw", 20, 70, True)]


def test_a_recorded_end_counts_at_its_own_minute():
    one = CoverState("C1", done=(noted(StepDone("saw"), 33),))
    (done,) = state(40, C1=one).happened
    assert (done.end_min, done.running) == (33, False)


def test_a_record_after_the_time_asked_about_is_not_yet_known():
    one = CoverState("C1", started=(noted(StepStarted("saw"), 50),))
    assert state(40, C1=one).happened == ()


def test_a_later_step_without_the_one_before_it_is_refused_by_name():
    one = CoverState("C1", done=(noted(StepDone("clean"), 33),))
    with pytest.raises(NotDeterminedError, match="C1: clean is recorded and saw before it is not"):
        state(40, C1=one)


@pytest.mark.parametrize(
    ("night", "says"),
    [
        (Night(delay=("C1saw",)), "expected COVER.STEP=MINUTES"),
        (Night(delay=("C9.saw=4",)), "has no step 'C9.saw'"),
        (Night(broken=("crane",)), "there is no tool 'crane'; there are mixer, saw"),
        (Night(rain=("now",)), "expected FROM-TO"),
        (Night(rain=("25:00-26:00",)), "expected times such as"),
    ],
)
def test_what_cannot_be_taken_is_refused_with_what_is_expected(night, says):
    with pytest.raises(NotDeterminedError, match=says):
        state(10, night)


def test_rain_keeps_only_steps_that_place_a_material_dry():
    found = state(10, Night(rain=("23:30-00:15",))).barred
    assert {(step, a, b) for _c, step, a, b in found} == {("lay", 120, 165)}


def test_before_the_road_shuts_there_is_nothing_to_replan():
    with pytest.raises(NotDeterminedError, match="there is nothing yet"):
        state(-5)
