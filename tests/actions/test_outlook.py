"""What `check` says of a works that has no fault and still could not be planned."""

from dataclasses import replace

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
