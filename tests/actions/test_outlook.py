"""What `check` says of a works that has no fault and still could not be planned."""

from dataclasses import replace

from plan.surveyed import LOW_LID, full_sheet
from truebed.actions.load import load_bytes
from truebed.actions.outlook import outlook
from whole_job.small_folder import small_files

LOADED = load_bytes(small_files())


def told(**changes):
    return " ".join(outlook(replace(LOADED, works=replace(LOADED.works, **changes))))


def test_a_works_that_can_be_planned_brings_nothing():
    assert outlook(LOADED) == ()


def test_missing_hours_people_skills_tools_and_capacities_are_each_said():
    works = LOADED.works
    assert "none of its covers could be designed" in told(weather=())
    assert "needs 3 people" in told(people=works.people[:2])
    assert "skill 'resin'" in told(people=tuple(replace(p, skills=("saw", "lift")) for p in works.people))
    assert "kind 'breaker'" in told(tools=tuple(t for t in works.tools if t.kind != "breaker"))
    assert "capacity_l" in told(tools=tuple(replace(t, capacity_l=None) for t in works.tools))


def test_a_cover_that_must_not_be_dug_is_told_with_its_mend_and_the_way_round_it():
    low = replace(full_sheet(**LOW_LID), cover="T01")
    # the sheet's steps and the readings are both of a flush frame
    readings = tuple(r for r in LOADED.works.readings if r.cover != "T01" or r.where != "frame")
    said = told(condition=(low,), readings=readings)
    assert "T01: do not dig: the cover lies low in its frame" in said
    assert "dig_anyway" in said
    assert told(condition=(replace(low, dig_anyway="wanted"),), readings=readings) == ""
    assert told(condition=(), readings=readings) == ""  # nothing looked at: planned, its findings say so


def test_a_road_that_cannot_be_fitted_is_told_before_anybody_plans():
    few = tuple(r for r in LOADED.works.readings if r.cover != "T01" or r.x_mm > 0.0)
    assert "T01: " in told(readings=few)
    assert "surround" in told(readings=few)
