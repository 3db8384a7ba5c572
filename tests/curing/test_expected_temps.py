"""What a probe is expected to read: the heat calculation's own temperatures at its place."""

from datetime import datetime, timedelta

import pytest

from curing.rime_bed import NIGHT, asked
from truebed.curing.expected_temps import expected_temps, hour_of
from truebed.curing.two_clocks import central_cure
from truebed.errors import NotDeterminedError
from truebed.given.night import WeatherHour

START = datetime.fromisoformat("2031-01-14T22:00:00+00:00")


def test_a_probe_begins_near_the_mix_and_cools_toward_the_base_and_its_place_matters():
    slow, middle, other = (expected_temps(NIGHT, asked(), key) for key in ("slowest face", "middle", "other face"))
    assert middle.temps_c[0] == pytest.approx(12.0, abs=0.1)
    assert all(a <= b for a, b in zip(slow.temps_c, other.temps_c, strict=True))
    assert slow.temps_c[20] < middle.temps_c[20]
    assert 0.0 < slow.temps_c[-1] < 8.0


def test_the_colder_face_is_the_heat_calculations_own():
    found, trace = expected_temps(NIGHT, asked(), "slowest face"), central_cure(NIGHT, asked(), 20.0).trace
    assert found.after_min == tuple(trace.minutes_min)
    assert found.temps_c[-1] == min(trace.face_c[-1, 2:4])


def test_a_night_that_the_sheet_does_not_allow_is_refused():
    from dataclasses import replace

    with pytest.raises(NotDeterminedError, match="not allowed by the sheet"):
        expected_temps(replace(NIGHT, thick_mm=90.0), asked(), "middle")


def test_the_hour_of_a_time_is_the_one_that_holds_it():
    hours = [WeatherHour(START + timedelta(hours=i), float(i)) for i in range(3)]
    assert hour_of(hours, START + timedelta(minutes=61)) == hours[1]
    assert hour_of(hours, START + timedelta(minutes=60)) == hours[1]
    assert hour_of(hours, START + timedelta(hours=3)) is None
    assert hour_of(hours, START - timedelta(minutes=1)) is None
