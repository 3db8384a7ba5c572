"""A wrong forecast is refused before anything is designed, together with every other fault and nothing twice."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from given.base_folder import base_folder
from truebed.actions.check_weather import with_weather
from truebed.actions.load import load_bytes
from truebed.errors import FaultsError
from truebed.given.folder import parse_works
from whole_job.small_folder import small_files

HEAD = "at,air_temp_c,road_temp_c,humidity_pct,wind_m_per_s,cloud_share,rain_mm"
CLOSURE = """\
closure,streets,kind,road_shut_from,road_open_by,noisy_work_ends,tm_set_min,tm_clear_min,mix_temp_c
N-1,Tallow Row|Weir Cross,full,2027-03-11T20:00+00:00,2027-03-12T05:30+00:00,2027-03-11T23:00+00:00,25,20,12.5
"""


def folder(*rows, head=HEAD):
    lines = [f"2027-03-{row}" for row in rows]
    return base_folder() | {"weather.csv": "\n".join([head, *lines, ""]).encode()}


def told(files):
    _, faults = parse_works(files)
    return with_weather(faults, files)


def test_a_sound_night_and_a_night_that_is_not_forecast_yet_pass():
    assert told(base_folder()) == ()
    files = base_folder()
    del files["weather.csv"]
    assert told(files) == ()
    assert told(folder()) == ()
    assert told(folder("01T20:00+00:00,7,6", "01T21:00+00:00,7,6", head="at,air_temp_c,road_temp_c")) == ()


def test_a_gap_while_the_road_is_shut_is_told_with_its_row_and_closure():
    (fault,) = told(folder("11T20:00+00:00,7,6,82,3,0.6,0", "11T23:00+00:00,6,5,82,3,0.6,0"))
    assert (fault.file, fault.row, fault.column) == ("weather.csv", 3, "at")
    assert "2027-03-11 23:00 after 2027-03-11 20:00, in closure 'N-1'" in fault.found


def test_a_row_that_was_refused_is_not_told_as_a_gap_too():
    rows = ("11T20:00+00:00,7,6,82,3,0.6,0", "11T21:00+00:00,cold,6,82,3,0.6,0", "11T22:00+00:00,6,5,82,3,0.6,0")
    (fault,) = told(folder(*rows))
    assert (fault.row, fault.column) == (3, "air_temp_c")


def test_a_fahrenheit_night_is_told_once_with_what_it_would_be_and_not_cell_by_cell():
    """60 and 58 lie beyond the column's range, 54 and 52 do not: one fault all the same."""
    files = folder(*(f"11T{h}:00+00:00,{air},,82,3,0.6,0" for h, air in ((20, 60), (21, 58), (22, 54), (23, 52))))
    assert len(parse_works(files)[1]) == 2
    (fault,) = told(files)
    assert (fault.row, fault.column, fault.expected) == (2, "air_temp_c", "degrees Celsius")
    assert "52 to 60, which looks like Fahrenheit" in fault.found
    assert "11 to 16 °C" in fault.mend
    assert "air_temp_f" in fault.mend


def test_the_same_night_headed_in_fahrenheit_passes():
    head = HEAD.replace("air_temp_c", "air_temp_f")
    rows = (f"11T{h}:00+00:00,{air},,82,3,0.6,0" for h, air in ((20, 60), (21, 58), (22, 54), (23, 52)))
    assert told(folder(*rows, head=head)) == ()


def test_one_hour_of_sixty_degrees_is_told_at_its_row_once():
    rows = ("11T20:00+00:00,7,6,82,3,0.6,0", "11T21:00+00:00,60,6,82,3,0.6,0", "11T22:00+00:00,6,5,82,3,0.6,0")
    (fault,) = told(folder(*rows))
    assert (fault.row, fault.column) == (3, "air_temp_c")
    assert "60" in fault.found


@pytest.mark.parametrize(
    ("row", "column"),
    [
        ("11T21:00+00:00,52,6,82,3,0.6,0", "air_temp_c"),  # passes the column's range, not the forecast's
        ("11T21:00+00:00,7,6,0,3,0.6,0", "humidity_pct"),
        ("11T21:00+00:00,7,6,82,64,0.6,0", "wind_m_per_s"),
        ("11T21:00+00:00,7,6,82,640,0.6,0", "wind_m_per_s"),
        ("11T20:00+00:00,7,6,82,3,0.6,0", "at"),
        ("11T19:00+00:00,7,6,82,3,0.6,0", "at"),
        ("11T20:30+00:00,7,6,82,3,0.6,0", "at"),
    ],
)
def test_each_fault_of_an_hour_is_told_once_with_row_and_mend(row, column):
    (fault,) = told(folder("11T20:00+00:00,7,6,82,3,0.6,0", row))
    assert (fault.file, fault.row, fault.column) == ("weather.csv", 3, column)
    assert fault.expected
    assert fault.mend


def test_faults_of_the_weather_come_with_those_of_other_files():
    files = folder("11T20:00+00:00,7,6,0,3,0.6,0")
    files["covers.csv"] = files["covers.csv"].replace(b"rectangle", b"hexagon", 1)
    assert {fault.file for fault in told(files)} == {"covers.csv", "weather.csv"}


def test_nights_of_a_hot_place_that_are_told_by_the_plan_are_told_by_the_check():
    """The file's own middle is mild; the closure's hours alone look like Fahrenheit, and the plan takes those alone."""
    before = [f"11T{h:02}:00+00:00,20,,50,3,0,0" for h in range(20)]
    files = folder(*before, *(f"11T{h}:00+00:00,46,,50,3,0,0" for h in range(20, 24)))
    files["closures.csv"] = CLOSURE.encode()
    (fault,) = told(files)
    assert fault.row == 22
    assert "Fahrenheit" in fault.found


def test_of_very_many_faults_the_first_are_told_and_the_rest_counted():
    rows = (f"{1 + n // 24:02}T{n % 24:02}:00+00:00,7,6,0,3,0.6,0" for n in range(600))
    faults = told(folder(*rows))
    assert len(faults) == 501
    assert faults[-1].found == "100 more faults"


def test_loading_refuses_a_wrong_forecast_before_any_design():
    files = small_files()
    lines = files["weather.csv"].decode().splitlines()
    night = [n for n, line in enumerate(lines) if line.startswith("2027-06-08T23")]
    assert len(night) == 1
    files["weather.csv"] = "\n".join(line for n, line in enumerate(lines) if n not in night).encode() + b"\n"
    with pytest.raises(FaultsError) as wrong:
        load_bytes(files)
    (fault,) = wrong.value.faults
    assert "in closure 'tallow-night'" in fault.found


@given(st.binary(max_size=300))
def test_no_bytes_of_weather_raise(data):
    for head in (b"", HEAD.encode() + b"\n"):
        files = base_folder() | {"weather.csv": head + data}
        assert isinstance(told(files), tuple)
