"""What the record says of one pour: placing, readings since, tests with their ages; what is left out is told."""

import math
from datetime import datetime, timedelta

import pytest

from house.tree import ROOT
from truebed.curing.now import ProbeReading
from truebed.curing.recorded import (
    age_at_probe_min,
    placed_at,
    placing_step,
    probes_since,
    temp_between,
)
from truebed.curing.recorded import (
    strength_tests_until as until,
)
from truebed.curing.site_readings import site_readings
from truebed.errors import NotDeterminedError
from truebed.records.events import ProbeRead, StepDone, StrengthTested
from truebed.records.replay import CoverState, Noted
from truebed.sheets.load import load_sheets
from truebed.sheets.load_method import load_methods

FOLDER = ROOT / "src" / "truebed" / "demo" / "folder"
PLACED = datetime.fromisoformat("2027-06-08T22:00:00+01:00")
ENERGY = 33500.0


def methods():
    files = {
        f"{kind}/{p.name}": p.read_bytes() for kind in ("sheets", "methods") for p in (FOLDER / kind).glob("*.toml")
    }
    return load_methods(files, load_sheets(files)[0])[0]


def after(minutes):
    return PLACED + timedelta(minutes=minutes)


def noted(data, minutes):
    return Noted(f"e{minutes}", after(minutes).isoformat(), "RK", data)


def probes(*rows, pour="bed", place="slowest face"):
    return tuple(noted(ProbeRead(f"{pour}, {place}", temp, pour, place), minutes) for minutes, temp in rows)


@pytest.mark.parametrize(
    ("method", "pour", "step"),
    [("five-layer", "bed", "set-frame"), ("five-layer", "fill", "pour-fill"), ("two-material", "fill", "pour-fill"),
     ("five-layer", "surface", "surface"), ("winter", "bed", "set-frame"), ("winter", "gravy", None)],
)  # fmt: skip
def test_a_pour_is_placed_by_the_step_whose_end_starts_its_wait_for_the_road(method, pour, step):
    assert placing_step(methods()[method], pour) == step


def test_placing_is_the_recorded_end_of_that_step_or_what_is_said_instead():
    method = methods()["winter"]
    state = CoverState("T01", done=(noted(StepDone("mix-bed"), -9), noted(StepDone("set-frame"), 0)))
    found = placed_at(method, "bed", state, None)
    assert found.at == PLACED
    assert "set-frame" in found.how
    said = placed_at(method, "bed", state, after(-3))
    assert said.at == after(-3)
    assert "not from the journal" in said.how
    with pytest.raises(NotDeterminedError, match=r"T01, fill: .*'pour-fill' done.*--placed"):
        placed_at(method, "fill", state, None)


def test_readings_since_placing_are_in_order_of_their_own_times_and_all_that_is_left_out_is_told():
    own_time = noted(ProbeRead("bed, slowest face", 12.5, "bed", "slowest face", after(15).isoformat()), 300)
    state = CoverState(
        "T01",
        probes=(
            noted(ProbeRead("bed", 99.0), 20),
            *probes((-5, 16.0), (5, 14.0), (25, 11.0), (90, 7.0)),
            *probes((12, 13.0), place="middle"),
            *probes((6, 20.0), pour="fill"),
            own_time,
        ),
    )
    found = probes_since("bed", state, PLACED, after(60))
    assert found.readings == (ProbeReading(5.0, 14.0), ProbeReading(15.0, 12.5), ProbeReading(25.0, 11.0))
    assert found.place == "slowest face"
    told = " ".join(found.left_out)
    for words in (
        "1 probe reading of this cover that name",
        "from before placing",
        "after the time asked",
        "another place",
    ):
        assert words in told


def test_of_two_readings_at_one_time_the_colder_counts():
    found = probes_since("bed", CoverState("T01", probes=probes((5, 14.0), (5, 12.0), (9, 12.0))), PLACED, after(60))
    assert found.readings == (ProbeReading(5.0, 12.0), ProbeReading(9.0, 12.0))


def test_no_reading_since_placing_is_a_sentence_that_says_what_was_left_out():
    with pytest.raises(NotDeterminedError, match=r"T01, bed: no probe reading.*1 probe reading from before placing"):
        probes_since("bed", CoverState("T01", probes=probes((-5, 14.0))), PLACED, after(60))


def test_the_age_at_the_probe_is_the_integral_of_the_speed_over_straight_stretches():
    readings = [ProbeReading(6.0, 16.0), ProbeReading(26.0, 8.0), ProbeReading(40.0, 9.0)]
    total, step = 0.0, 0.01
    for i in range(int(30.0 / step)):
        t = (i + 0.5) * step
        temp = 16.0 if t < 6.0 else 16.0 - 0.4 * (t - 6.0) if t < 26.0 else 8.0 + (t - 26.0) / 14.0
        total += step * math.exp(ENERGY / 8.314462618 * (1 / 293.15 - 1 / (273.15 + temp)))
    assert age_at_probe_min(readings, 30.0, ENERGY) == pytest.approx(total, rel=1e-4)
    assert [temp_between(readings, t) for t in (0.0, 16.0, 99.0)] == [16.0, 12.0, 9.0]


def test_a_test_has_its_own_age_or_the_age_at_the_probe_when_it_was_done():
    readings = [ProbeReading(5.0, 20.0), ProbeReading(60.0, 20.0)]
    cube = StrengthTested("bed", "cube", 16.0, 3, age_min=64.0)
    rebound = StrengthTested("bed", "rebound", 14.5, 9, at=after(50).isoformat())
    state = CoverState(
        "T01", tests=(noted(cube, 55), noted(rebound, 300), noted(StrengthTested("fill", "cube", 9, 3, 5.0), 55))
    )
    used, odd = until("bed", state, PLACED, after(60), readings, ENERGY, site_readings())
    assert [(t.kind.key, t.strength_n_per_mm2, t.readings_count) for t in used] == [
        ("cube", 16.0, 3),
        ("rebound", 14.5, 9),
    ]
    assert [t.age_min for t in used] == pytest.approx([64.0, 50.0])
    assert odd == ()


def test_tests_that_cannot_be_used_are_told():
    readings = [ProbeReading(5.0, 20.0)]
    state = CoverState(
        "T01",
        tests=tuple(
            noted(StrengthTested("bed", "rebound", 14.5, 9, at=after(m).isoformat()), 300) for m in (-5, 36, 90)
        ),
    )
    used, odd = until("bed", state, PLACED, after(60), readings, ENERGY, site_readings())
    assert used == ()
    assert [
        words
        for words in ("before placing", "without an age", "after the time asked")
        if not any(words in o for o in odd)
    ] == []
