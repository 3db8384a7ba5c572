"""What tasks hold, what there is, and the shadows that only help to prove."""

from itertools import product

import pytest

from programme.sample import job, problem, task
from truebed.programme.means import capacities, demands, held_by, held_with_shadows, with_shadows


def test_a_task_holds_its_people_each_tool_and_one_skill():
    assert demands(task("C1", "a", 5, 3, ("mixer", "mixer", "saw"), "resin")) == {
        ("people",): 3, ("tool", "mixer"): 2, ("tool", "saw"): 1, ("skill", "resin"): 1,
    }  # fmt: skip


def two_skills(crew_skills):
    jobs = (job("C1", 1, [task("C1", "a", 5, skill="saw"), task("C1", "b", 5, skill="resin")], []),)
    return problem(*jobs, people=2, skills=(("resin", 1), ("saw", 1)), crew_skills=crew_skills)


def test_one_person_with_both_skills_counts_once_for_the_two():
    have = capacities(two_skills((("saw", "resin"), ())))
    assert have["skills", "resin", "saw"] == 1
    assert held_by(task("C1", "a", 5, skill="saw"), have)["skills", "resin", "saw"] == 1


def test_two_people_with_a_skill_each_count_twice():
    assert capacities(two_skills((("saw",), ("resin",))))["skills", "resin", "saw"] == 2


def test_without_the_crew_no_shared_skills_are_counted():
    assert not [mean for mean in capacities(two_skills(())) if mean[0] == "skills"]


@pytest.mark.parametrize("crew", [1, 2, 3, 4, 5, 6, 7])
def test_steps_that_the_crew_can_man_at_once_never_overfill_a_shadow(crew):
    have = with_shadows(problem(people=crew))
    for people in product(range(crew + 1), repeat=3):
        if sum(people) <= crew:
            for mean, count in have.items():
                used = sum(held_with_shadows(task("C1", "a", 5, p), have).get(mean, 0) for p in people)
                assert used <= count, (mean, people)


def test_a_shadow_forbids_two_beside_three_of_four_only_as_the_crew_does():
    have = with_shadows(problem(people=4))
    assert held_with_shadows(task("C1", "a", 5, 3), have)["people", "from", "2"] == 4
    assert ("people", "from", "2") not in held_with_shadows(task("C1", "a", 5, 1), have)
