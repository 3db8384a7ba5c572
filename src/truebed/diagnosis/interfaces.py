"""The three interfaces, never merged: cover to frame, frame to road, frame to chamber, each on its own evidence."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from truebed.diagnosis.facts import Evidence, Fact

InterfaceName = Literal["cover to frame", "frame to road", "frame to chamber"]
InterfaceState = Literal["sound", "faulty", "in doubt", "not known"]
#: Which facts judge which interface, and which of them must have been looked at before it may be called sound.
JUDGED_BY: dict[InterfaceName, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "cover to frame": (("lid_moves", "lid_low", "lid_proud", "seats_through"), ("lid_moves", "lid_low")),
    "frame to road": (("frame_off",), ("frame_off",)),
    "frame to chamber": (("bed_failed", "courses_failed", "frame_broken"), ("bed_failed", "courses_failed")),
}
#: The test (data/diagnosis/tests.toml) that would let a fact be known.
TEST_FOR = {
    "lid_moves": "rock", "lid_low": "lid steps", "frame_off": "frame steps", "bed_failed": "hollow taps",
    "courses_failed": "courses",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Interface:
    """One interface.

    state              'not known' where evidence is missing and what there is shows no fault
    fault_probability  from the evidence there is, None where there is none
    missing            names of the tests that nobody made
    """

    name: InterfaceName
    state: InterfaceState
    fault_probability: float | None
    evidence: tuple[Evidence, ...]
    missing: tuple[str, ...]


def interfaces_of(facts: Mapping[str, Fact], sure_probability: float) -> tuple[Interface, ...]:
    """The three interfaces, each judged from its own evidence.

    Valid       facts of one survey; facts of one interface taken as independent
    Source      common practice, no source (two steps never merged, a third interface below); rule sure_probability
    Proved by   tests/diagnosis/test_interfaces.py
    """
    return tuple(
        _interface(name, [facts[f] for f in judged], [facts[f] for f in needed], sure_probability)
        for name, (judged, needed) in JUDGED_BY.items()
    )


def _interface(name: InterfaceName, judged: list[Fact], needed: list[Fact], sure_probability: float) -> Interface:
    evidence = tuple(e for fact in judged for e in fact.evidence)
    missing = tuple(TEST_FOR[fact.name] for fact in needed if not fact.looked)
    if not evidence:
        return Interface(name, "not known", None, (), missing)
    fault = 1.0 - math.prod(1.0 - fact.yes_probability for fact in judged)
    return Interface(name, _state(fault, bool(missing), sure_probability), fault, evidence, missing)


def _state(fault_probability: float, is_missing: bool, sure_probability: float) -> InterfaceState:
    if fault_probability >= sure_probability:
        return "faulty"
    if fault_probability > 1.0 - sure_probability:
        return "in doubt"
    return "not known" if is_missing else "sound"
