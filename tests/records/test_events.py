"""What makes one record sound, and how one is made."""

from __future__ import annotations

from datetime import datetime

import pytest

from records.night import EVERY_KIND, SHUT, event, kit, top
from truebed.records.events import (
    KINDS,
    ChamberPoint,
    ChamberTopMeasured,
    Correction,
    HoldTicked,
    PhotoTaken,
    ProbeRead,
    SiteTestDecided,
    StepStarted,
    StrengthTested,
    SurveyTaken,
    UnknownData,
    Withdrawal,
    has_offset,
    new_event,
    unsound,
)


def test_one_sample_stands_for_every_kind_and_all_are_sound() -> None:
    assert {type(data) for data in EVERY_KIND} == set(KINDS.values())
    assert [unsound(data) for data in EVERY_KIND] == [()] * len(EVERY_KIND)


def test_a_chamber_top_of_seven_points_is_refused_and_eight_are_enough() -> None:
    assert unsound(top(50.0, 8)) == ()
    (found,) = unsound(top(50.0, 7))
    assert found.column == "data.points"
    assert found.found == "7 different points"
    assert "at least 8" in found.expected


def test_the_same_place_measured_twice_is_one_point() -> None:
    twice = ChamberTopMeasured((*top(50.0, 7).points, ChamberPoint(0.0, -50.0, 52.0)))
    assert unsound(twice)[0].found == "7 different points"


@pytest.mark.parametrize(
    ("data", "column"),
    [
        (kit(kits=0), "data.kits"),
        (kit(liquid_l=-0.1), "data.liquid_l"),
        (kit(mix_start="2027-06-08T22:10:00"), "data.mix_start"),
        (kit(mix_end="soon"), "data.mix_end"),
        (kit(mix_end="2027-06-08T22:09:00+01:00"), "data.mix_end"),
        (kit(mix_end="2027-06-08T22:12:00+02:00"), "data.mix_end"),
        (PhotoTaken("corner", "AB" * 32), "data.sha256"),
        (PhotoTaken("corner", "ab"), "data.sha256"),
        (SurveyTaken(()), "data.readings"),
        (Correction("e1", "slip", ()), "data.fields"),
        (StepStarted(""), "data.step"),
        (HoldTicked("frame-levels", ""), "data.by"),
        (Withdrawal("", "slip"), "data.of"),
        (Withdrawal("e1", ""), "data.why"),
        (ProbeRead("", 11.5), "data.where"),
        (ProbeRead("bed", 11.5, ""), "data.pour"),
        (ProbeRead("bed", 11.5, "bed", ""), "data.place"),
        (ProbeRead("bed", 11.5, "bed", "middle", "22:40"), "data.at"),
        (StrengthTested("", "cube", 16.0, 3, 64.0), "data.pour"),
        (StrengthTested("bed", "cube", 0.0, 3, 64.0), "data.strength_n_per_mm2"),
        (StrengthTested("bed", "cube", 16.0, 0, 64.0), "data.readings"),
        (StrengthTested("bed", "cube", 16.0, 3), "data.age_min"),
        (StrengthTested("bed", "cube", 16.0, 3, -5.0), "data.age_min"),
        (StrengthTested("bed", "cube", 16.0, 3, 64.0, "ten to midnight"), "data.at"),
        (SiteTestDecided("waived", "", "no press"), "data.by"),
        (SiteTestDecided("required", "RK", ""), "data.why"),
    ],
)
def test_an_unsound_value_is_named_with_its_field(data: HoldTicked, column: str) -> None:
    assert [found.column for found in unsound(data)] == [column]


def test_an_event_needs_a_time_with_an_offset() -> None:
    with pytest.raises(ValueError, match="offset"):
        new_event("e1", datetime(2027, 6, 8, 22, 0), "AR", "T01", StepStarted("saw"))  # noqa: DTZ001 the case itself


def test_an_event_of_an_unknown_kind_is_kept_but_not_made() -> None:
    with pytest.raises(ValueError, match="unknown kind"):
        new_event("e1", SHUT, "AR", "T01", UnknownData())


def test_an_event_keeps_the_devices_own_offset() -> None:
    one = event(1, StepStarted("saw"))
    assert one.at == "2027-06-08T20:01:00.000+01:00"
    assert one.kind == "step started"
    assert one.when().utcoffset() == SHUT.utcoffset()


def test_a_time_without_offset_or_no_time_has_no_offset() -> None:
    assert has_offset("2027-06-08T22:10:00Z")
    assert has_offset("2027-06-08T22:10:00-05:00")
    assert not has_offset("2027-06-08T22:10:00")
    assert not has_offset("ten past ten")
