"""The checker of general projects finds each fault that is planted, and only that."""

from __future__ import annotations

import pytest

from truebed.programme.rcpsp import Activity, Project, StartLag
from truebed.programme.rcpsp_check import faults

PROJECT = Project(
    (Activity(3, (1, 0)), Activity(2, (1, 2)), Activity(4, (0, 1))), (1, 2), (StartLag(0, 1, 3, 5), StartLag(0, 2, 1))
)


def test_a_sound_plan_has_no_fault() -> None:
    assert faults(PROJECT, (0, 5, 1), said_end=7) == ()


@pytest.mark.parametrize(
    ("starts", "end", "told"),
    [
        ((0, 6, 1), 8, "greatest 5"),
        ((0, 5, 0), 7, "least 1"),
        ((0, 3, 1), 5, "at 3 resource 1 is used 3 of 2"),
        ((-1, 4, 0), 6, "before 0"),
        ((0, 5, 1), 6, "ends at 7, not at 6"),
        ((0, 5), 7, "2 starts for 3"),
    ],
)
def test_each_planted_fault_is_the_one_found(starts: tuple[int, ...], end: int, told: str) -> None:
    found = faults(PROJECT, starts, said_end=end)
    assert len(found) == 1
    assert told in found[0]


def test_a_shared_resource_used_twice_at_once_is_found() -> None:
    assert any("resource 0 is used 2 of 1" in fault for fault in faults(PROJECT, (0, 2, 4)))
