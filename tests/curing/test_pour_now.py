"""One pour now: ten readings of a night against a plain sum of ages; both forms; tests; what is refused and told."""

import math
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from curing.rime_bed import asked
from truebed.curing.binder import age_to_strength_min, strength_n_per_mm2
from truebed.curing.now import ProbeReading, TempAhead
from truebed.curing.pour_now import PourQuestion, pour_now
from truebed.curing.recorded import Placed, ProbesSince
from truebed.curing.site_readings import site_readings
from truebed.curing.site_test import SiteTest, decided
from truebed.errors import NotDeterminedError

PLACED = datetime.fromisoformat("2031-01-14T22:00:00+00:00")
TABLE = site_readings()
#: Ten readings of a bed that cools from 11.5 to about 4 degC.
NIGHT = tuple(ProbeReading(5.0 + 8.0 * i, 3.0 + 8.5 * math.exp(-(5.0 + 8.0 * i) / 35.0)) for i in range(10))


def question(readings=NIGHT, key="rime-bed", target=12.5, **more):
    said = PourQuestion(
        "bed", asked(key).fitted, target, "as asked", Placed(PLACED, "said"), ProbesSince("slowest face", readings, ()),
        (), None, None, "no forecast",
    )  # fmt: skip
    return replace(said, **more)


def after(minutes):
    return PLACED + timedelta(minutes=minutes)


def now(asked_question, minutes=80.0):
    return pour_now(asked_question, after(minutes), TABLE)


def arrhenius_sum_min(readings, binder, until):
    """A sum in minutes of rates at the readings' own middle temperatures: nothing of Truebed's in it."""
    rate = [
        math.exp(binder.activation_j_per_mol / 8.314462618 * (1 / 293.15 - 1 / (273.15 + r.temp_c))) for r in readings
    ]
    age = readings[0].after_min * rate[0]
    for i in range(1, len(readings)):
        age += (readings[i].after_min - readings[i - 1].after_min) * (rate[i] + rate[i - 1]) / 2
    return age + (until - readings[-1].after_min) * rate[-1]


def test_ten_readings_come_to_a_plain_sum_of_ages_and_the_curves_strength():
    found, binder = now(question()), asked("rime-bed").fitted.binder
    age = arrhenius_sum_min(NIGHT, binder, NIGHT[-1].after_min)
    assert found.age_min == pytest.approx(age, rel=0.01)
    assert found.strength_n_per_mm2 == pytest.approx(strength_n_per_mm2(binder, age), rel=0.04)
    assert found.strength_low_n_per_mm2 < found.strength_n_per_mm2
    assert found.readings_count == 10
    assert found.last_reading_at == after(77.0)
    assert found.since_last_min == pytest.approx(3.0)


def test_the_middle_of_what_is_left_is_near_the_plain_sum_with_the_last_temperature_held():
    found, binder = now(question()), asked("rime-bed").fitted.binder
    last = NIGHT[-1]
    rate = math.exp(binder.activation_j_per_mol / 8.314462618 * (1 / 293.15 - 1 / (273.15 + last.temp_c)))
    wanted = age_to_strength_min(binder, 12.5)
    plain = (wanted - arrhenius_sum_min(NIGHT, binder, last.after_min)) / rate
    ready = (found.ready_middle_at - found.last_reading_at).total_seconds() / 60.0
    assert ready == pytest.approx(plain, rel=0.1)
    assert found.left_min == pytest.approx(ready - 3.0, abs=0.01)


def test_the_plain_time_lies_inside_the_range_and_the_outer_edges_of_both_forms_count():
    one = now(question())
    fitted = asked("rime-bed").fitted
    alone = replace(fitted, shares=fitted.shares * 0.0 + [[float(f.form == fitted.binder.form) for f in fitted.fits]])
    single = now(question(fitted=alone))
    assert one.left_early_min <= single.left_early_min
    assert one.left_late_min >= single.left_late_min
    assert one.left_min == pytest.approx(single.left_min, rel=0.01)
    assert one.left_early_min < one.left_min < one.left_late_min


def test_a_night_that_is_asked_later_has_less_left_and_the_same_clock_times_and_says_that_the_reading_is_old():
    early, late = now(question(), 80.0), now(question(), 115.0)
    assert late.ready_late_at == early.ready_late_at
    assert early.left_late_min - late.left_late_min == pytest.approx(35.0)
    assert any("38 min old" in note for note in late.notes)
    assert not any("min old" in note for note in early.notes)
    assert now(question(), 900.0).left_late_min == 0.0


def test_a_forecast_that_cools_makes_it_later():
    ahead = TempAhead((0.0, 77.0, 120.0), (11.5, 4.0, 0.5))
    assert now(question(ahead=ahead)).left_min > now(question()).left_min


def test_a_strong_test_shortens_the_wait_a_weak_one_lengthens_it_and_one_far_off_is_told():
    plain, band = now(question()), TABLE.tests["rebound"]
    age = plain.age_min
    strong, weak = (now(question(tests=(SiteTest(band, s, 9, age),))) for s in (9.0, 2.5))
    assert strong.left_min < plain.left_min < weak.left_min
    assert strong.may_be_judged
    assert strong.tests_count == 1
    assert any("less by" in note for note in weak.notes)


def test_a_test_before_the_curve_begins_tells_nothing_and_does_not_count():
    found = now(question(tests=(SiteTest(TABLE.tests["cube"], 2.0, 3, 5.0),)))
    assert not found.may_be_judged
    assert found.tests_count == 0
    assert any("tells nothing" in note for note in found.notes)


def test_the_opening_is_judged_with_a_waiver_and_not_without_a_word():
    assert not now(question()).may_be_judged
    waived = now(question(decision=decided("waived", "RK", "2031-01-14T23:00:00+00:00", "no press on site")))
    assert waived.may_be_judged
    assert "waived by RK" in waived.judged_why


def test_frost_gives_no_time_and_says_so_first():
    found = now(question(readings=(*NIGHT, ProbeReading(79.0, 0.0))))
    assert (found.ready_late_at, found.left_late_min) == (None, None)
    assert found.notes[0].startswith("FROST")


def test_a_middle_that_is_above_nought_while_the_slowest_spot_may_freeze_is_never_taken_as_ready():
    # 0.5 degC in the middle of the layer; its slowest spot is taken 1.5 K colder, one standard deviation 1 K
    cold = tuple(ProbeReading(5.0 + 10.0 * i, 0.5 + 11.5 * math.exp(-(5.0 + 10.0 * i) / 25.0)) for i in range(8))
    found = now(question(cold, probes=ProbesSince("middle", cold, ())))
    assert (found.left_min, found.left_late_min, found.ready_late_at) == (None, None, None)
    assert found.notes[0].startswith("FROST: in up to ")
    assert "before it has 5 N/mm²" in found.notes[0]
    mild = tuple(ProbeReading(5.0 + 10.0 * i, 12.0) for i in range(8))
    kept = now(question(mild, probes=ProbesSince("middle", mild, ())))
    assert kept.left_late_min is not None
    assert not any("FROST" in note for note in kept.notes)


def test_hours_without_a_reading_do_not_make_a_layer_strong():
    once = {n: (ProbeReading(float(n), 12.0),) for n in (30, 150)}
    found = {n: now(question(one, probes=ProbesSince("middle", one, ())), float(n)) for n, one in once.items()}
    assert found[150].age_min == found[30].age_min
    assert found[150].left_late_min == pytest.approx(found[30].left_late_min)
    assert found[150].left_late_min > 30.0
    assert any("150 min apart; of a gap only 30 min count" in note for note in found[150].notes)
    pair = (ProbeReading(5.0, 14.0), ProbeReading(105.0, 4.0))
    kept = (ProbeReading(5.0, 14.0), ProbeReading(5.001, 4.0), ProbeReading(35.0, 4.0))
    ages = [now(question(one, probes=ProbesSince("slowest face", one, ())), 105.0).age_min for one in (pair, kept)]
    assert ages[0] == pytest.approx(ages[1], abs=0.01)


def test_readings_far_apart_are_told():
    found = now(question(readings=(NIGHT[0], NIGHT[-1])))
    assert any("72 min apart" in note for note in found.notes)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"target": 36.0}, "last datum of rime-bed is 35"),
        ({"target": 0.0}, "more than 0"),
        ({"readings": (ProbeReading(5.0, 20.4), ProbeReading(9.0, 21.0))}, r"not allowed by the sheet: 20.4 .* 1 more"),
        (
            {"readings": (ProbeReading(5.0, 9.0), ProbeReading(15.0, -0.5))},
            r"allowed by the sheet: -0.5 °C at 15 min",
        ),
    ],
)
def test_what_the_sheet_does_not_promise_or_allow_is_refused(more, says):
    with pytest.raises(NotDeterminedError, match=says):
        now(question(**more))
