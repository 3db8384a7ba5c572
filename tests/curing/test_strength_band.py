"""A layer's course for the chart: the band meets the two clocks, strength never falls, nothing past the last datum."""

from dataclasses import replace

import pytest

from curing.rime_bed import NIGHT, asked
from truebed.curing.strength_band import layer_course
from truebed.curing.two_clocks import two_clocks

RIME = asked()


def test_at_the_target_the_band_is_the_ready_time():
    course = layer_course(NIGHT, RIME)
    (level,) = (level for level in course.levels if level.strength_n_per_mm2 == 20.0)
    assert level.reached == two_clocks(NIGHT, RIME).ready


def test_levels_and_their_times_grow():
    levels = layer_course(NIGHT, RIME).levels
    for part in ("early_min", "central_min", "late_min"):
        times = [getattr(level.reached, part) for level in levels]
        assert times == sorted(times)
    assert levels[-1].strength_n_per_mm2 == pytest.approx(24.0)


def test_nothing_is_shown_past_the_last_datum():
    course = layer_course(replace(NIGHT, base_c=12.0, air_c=12.0, target_n_per_mm2=34.0), RIME)
    assert course.levels[-1].strength_n_per_mm2 == 35.0


def test_faces_start_at_the_temperature_of_contact_and_run_to_the_highest_strength():
    course = layer_course(NIGHT, RIME)
    first = course.faces[0]
    assert first.minutes_min == 0.0
    assert 0.0 < first.top_c < 12.0
    assert 2.0 < first.foot_c < 12.0
    assert course.faces[-1].minutes_min >= course.levels[-1].reached.central_min
