"""One closure: cases, crew, problem, and covers that fail without stopping the others."""

from dataclasses import replace
from datetime import datetime

import pytest

from plan.sample import demo_works, mild_night, shelf
from plan.surveyed import LOW_LID, full_sheet
from truebed.errors import NotDesignedError
from truebed.levels.road_terms import road_level_mm
from truebed.plan.chamber_top import MeasuredTop
from truebed.plan.closure import case_of, crew_of, design_all, design_one, minutes_between, problem_of, step_texts
from truebed.plan.ground import road_of

WORKS = demo_works()
TALLOW = WORKS.closures[0]


def silent(_):
    return None


def only(*names):
    return replace(WORKS, covers=tuple(c for c in WORKS.covers if c.cover in names))


def test_minutes_run_over_midnight_and_over_offsets():
    start = datetime.fromisoformat("2027-06-08T20:00+01:00")
    assert minutes_between(start, datetime.fromisoformat("2027-06-09T06:00+01:00")) == 600
    assert minutes_between(start, datetime.fromisoformat("2027-06-09T05:00+00:00")) == 600


def test_a_case_takes_its_own_readings_and_the_largest_mixer_and_blade():
    case = case_of(WORKS, shelf(), WORKS.cover("T01"), mild_night(), None)
    assert {r.cover for r in case.readings} == {"T01"}
    assert (case.mixer_l, case.blade_mm) == (60.0, 450.0)


def test_a_method_that_is_not_on_the_shelf_is_refused_by_name():
    with pytest.raises(NotDesignedError, match="no method 'nosuch'"):
        case_of(WORKS, shelf(), replace(WORKS.cover("T01"), method="nosuch"), mild_night(), None)


def test_a_cover_that_cannot_be_designed_never_stops_the_others():
    works = only("F01", "F05")
    done, failed, _ = design_all(works, shelf(), works.closures[2], {}, silent)
    assert [d.design.cover for d in done] == ["F01"]
    assert [f.cover for f in failed] == ["F05"]
    assert failed[0].mend.startswith("(1) ") or "take the chamber top down by" in failed[0].mend


def test_a_night_without_weather_names_the_missing_hours_for_every_cover():
    works = replace(only("T01", "T02"), weather=())
    done, failed, temps = design_all(works, shelf(), TALLOW, {}, silent)
    assert done == ()
    assert temps is None
    assert [f.cover for f in failed] == ["T01", "T02"]
    assert all("weather.csv" in f.mend for f in failed)


def test_the_crew_are_those_of_the_closure():
    assert "operative 3" not in dict(crew_of(WORKS, TALLOW))
    assert "operative 3" in dict(crew_of(WORKS, WORKS.closures[1]))


def test_the_problem_counts_people_skills_tools_and_the_noise_hour():
    works = only("T01")
    done, _, _ = design_all(works, shelf(), TALLOW, {}, silent)
    problem = problem_of(works, TALLOW, done)
    assert (problem.window_min, problem.noise_ends_min, problem.people) == (600, 180, 4)
    assert dict(problem.skills) == {"lift": 4, "resin": 2, "saw": 2}
    assert dict(problem.tools)["mixer"] == 2
    assert [s.step for s in step_texts(done, shelf())] == [s.key for s in shelf().methods["five-layer"].steps]


def test_a_measured_top_is_used_and_what_it_changed_is_said():
    from truebed.demo.build import chamber_points

    top = MeasuredTop(tuple(chamber_points("T01")), "crew lead", "2027-06-08T22:10:00+01:00", "ev-7")
    found = design_one(case_of(WORKS, shelf(), WORKS.cover("T01"), mild_night(), top))
    assert found.design.setting.chamber == "measured"
    assert found.design.changed
    finding = next(f for f in found.findings if f.code == "RC-001")
    assert "ev-7" in finding.source
    assert "bed" in finding.what
    assert not any(f.code == "BD-002" for f in found.findings)


def test_a_measured_top_that_refuses_the_cover_says_so_and_what_the_choice_is():
    from truebed.demo.build import chamber_points

    points = tuple((x, y, level + 90.0) for x, y, level in chamber_points("T01"))
    top = MeasuredTop(points, "crew lead", "2027-06-08T22:10:00+01:00", "ev-8")
    with pytest.raises(NotDesignedError, match="chamber top measured by crew lead") as refused:
        design_one(case_of(WORKS, shelf(), WORKS.cover("T01"), mild_night(), top))
    assert "put the old frame back" in refused.value.mend


def two_beside(condition=()):
    """T01 and T02 of the demo moved beside each other, 300 mm from flange to flange."""
    first = WORKS.cover("T01")
    pair = tuple(
        replace(first, cover=name, x_m=x_m, y_m=0.0, bearing_deg=90.0) for name, x_m in (("T01", 0.0), ("T02", 1.120))
    )
    readings = tuple(r for r in WORKS.readings if r.cover == "T01")
    return replace(
        WORKS,
        covers=pair,
        readings=(*readings, *(replace(r, cover="T02") for r in readings)),
        condition=condition,
        obstacles=(),
        soundings=(),
    )


def test_two_covers_side_by_side_are_designed_with_one_joined_cut():
    done, failed, _ = design_all(two_beside(), shelf(), TALLOW, {}, silent)
    assert failed == ()
    assert [[s.cover for s in d.design.cut.joined.shares] for d in done] == [["T01", "T02"]] * 2
    share = done[0].design.cut.joined
    assert sum(d.design.cut.saw_length_m for d in done) == pytest.approx(share.saw_length_m)


def test_a_neighbour_that_must_not_be_dug_stays_and_nothing_is_joined_with_it():
    low = replace(full_sheet(**LOW_LID), cover="T02")
    low = replace(low, **{f"frame_step_{c}_mm": None for c in ("front_left", "front_right", "back_left", "back_right")})
    sound = replace(full_sheet(**LOW_LID, dig_anyway="wanted"), cover="T01")
    works = two_beside((sound, low))
    flush = tuple(
        replace(r, value_mm=r.value_mm + sunk_mm(works, r)) if r.cover == "T02" and r.where == "frame" else r
        for r in works.readings
    )
    done, failed, _ = design_all(replace(works, readings=flush), shelf(), TALLOW, {}, silent)
    assert [f.cover for f in failed] == ["T02"]
    assert "Do not dig" in failed[0].reason
    assert [d.design.cover for d in done] == ["T01"]
    assert done[0].design.cut.joined is None
    assert [(f.code, f.value) for f in done[0].findings if f.code == "CT-008"]


def sunk_mm(works, reading):
    """How far a frame reading lies under its cover's road."""
    case = case_of(works, shelf(), works.cover(reading.cover), mild_night(), None)
    _, road = road_of(case)
    return road_level_mm(road, reading.x_mm, reading.y_mm) - reading.value_mm
