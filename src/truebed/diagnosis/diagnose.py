"""The diagnosis of one cover before anybody digs."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.diagnosis.decide import Decision, decide
from truebed.diagnosis.facts import Evidence, facts_of
from truebed.diagnosis.flips import Flip, flips
from truebed.diagnosis.interfaces import Interface, interfaces_of
from truebed.diagnosis.limits import Limits, limits_of
from truebed.diagnosis.survey import (
    FEWEST_TAPS,
    BedHeight,
    Departure,
    Survey,
    flange_taps,
    frame_departures,
    nearest_corner,
)
from truebed.diagnosis.table import packaged_table
from truebed.given.cover import Cover
from truebed.given.survey import Sounding
from truebed.given.works import Condition
from truebed.levels.booking import Spot
from truebed.levels.surface import RoadSurface
from truebed.rules.ruleset import RuleSet
from truebed.why import Why

#: A reading is worth taking again where an error of so many standard deviations would turn the answer.
READ_AGAIN_SD = 2.0
#: A step of the sheet and a reading on the frame disagree beyond so many standard deviations of their difference.
DISAGREE_SD = 3.0


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What is wrong at one cover and what mends it.

    digs          'no' | 'surround' | 'frame' | 'careful', of the repair that governs
    flips         what would change the answer, nearest first
    test_next     what to measure or look at next, in words, most telling first
    disagreements evidence that does not go together, in words
    settled       nothing disagrees, no interface lacks evidence or is in doubt, and the answer is likely enough (rule
                  sure_probability)
    sure_probability  that rule value
    dig_anyway    the user's reason to lift the frame against this diagnosis, '' where there is none
    """

    cover: str
    decision: Decision
    interfaces: tuple[Interface, ...]
    evidence: tuple[Evidence, ...]
    flips: tuple[Flip, ...]
    test_next: tuple[str, ...]
    disagreements: tuple[str, ...]
    settled: bool
    sure_probability: float
    dig_anyway: str
    why: Why

    @property
    def digs(self) -> str:
        """Whether the governing repair digs, and what."""
        return self.decision.repair.dig

    @property
    def held_back(self) -> bool:
        """Whether a night that lifts and beds this frame must not be planned: it is no part of the repair."""
        return not self.decision.repair.beds and not self.dig_anyway  # the user's stated reason overrides


def survey_of(
    cover: Cover,
    condition: Condition | None,
    soundings: tuple[Sounding, ...],
    spots: tuple[Spot, ...],
    road: RoadSurface | None,
    limits: Limits,
    bed: BedHeight | None = None,
) -> Survey:
    """All that is known of one cover, in one value; no sheet at all is an empty sheet.

    Valid       soundings, spots and road of that cover
    Source      house
    Proved by   tests/diagnosis/test_survey.py
    """
    own = tuple(s for s in soundings if s.cover == cover.cover)
    taps, hollow = flange_taps(cover, own)
    sheet = Condition(cover.cover) if condition is None else condition
    return Survey(sheet, frame_departures(spots, road, limits.reading_sd_mm), taps, hollow, bed)


def diagnose(
    cover: Cover,
    condition: Condition | None,
    soundings: tuple[Sounding, ...],
    spots: tuple[Spot, ...],
    road: RoadSurface | None,
    rules: RuleSet,
    bed: BedHeight | None = None,
) -> Diagnosis:
    """Which repair a cover needs, why, what would change the answer, and what to test next.

    road    None where no road could be fitted: then frame to road rests on the sheet's steps alone
    bed     what the frame set true leaves for its bed; None: height is not judged
    Valid   evidence of one cover
    Source      data/diagnosis; rule set values
    Raises      NotDeterminedError where the rule set lacks a limit
    Proved by   tests/diagnosis/test_cases.py, tests/diagnosis/test_diagnose.py
    """
    limits = limits_of(rules, cover.kind, cover.place, cover.load_class)
    survey = survey_of(cover, condition, soundings, spots, road, limits, bed)
    table = packaged_table()
    facts = facts_of(survey, limits)
    decision = decide(facts, table)
    turning = flips(survey, limits, table, decision)
    evidence = tuple(dict.fromkeys(e for fact in facts.values() for e in fact.evidence))
    interfaces = interfaces_of(facts, limits.sure_probability)
    odd = disagreements(cover, survey, limits)
    return Diagnosis(
        cover.cover,
        decision,
        interfaces,
        evidence,
        turning,
        tests_next(survey.condition, interfaces, turning),
        odd,
        not odd and is_settled(decision, interfaces, limits),
        limits.sure_probability,
        survey.condition.dig_anyway.strip(),
        why_of(cover.cover, decision, interfaces),
    )


def tests_next(condition: Condition, interfaces: tuple[Interface, ...], turning: tuple[Flip, ...]) -> tuple[str, ...]:
    """What to do next at the cover: what an interface lacks, then what could turn the answer, then reading again.

    Valid       sheet, interfaces and flips of one diagnosis
    Source      house (order); data/diagnosis/tests.toml (how)
    Proved by   tests/diagnosis/test_diagnose.py
    """
    lacked = {name for interface in interfaces for name in interface.missing}
    turns = {flip.test for flip in turning if flip.unlooked} - lacked
    tests = packaged_table().tests
    found = [f"{test.name}: {test.how}" for wanted in (lacked, turns) for test in tests if test.name in wanted]
    if "courses" in lacked and condition.courses.strip():
        found.insert(
            0, f"courses: the sheet says '{condition.courses.strip()}' in words, which are not judged: grade them"
        )
    close = dict.fromkeys(
        f"{flip.test}: read again, {flip.if_found} instead of {flip.was} would make it '{flip.repair}'"
        for flip in turning
        if not flip.unlooked and flip.distance_sd <= READ_AGAIN_SD
    )
    return (*found, *close)


def is_settled(decision: Decision, interfaces: tuple[Interface, ...], limits: Limits) -> bool:
    """Whether the answer rests on evidence for all three interfaces and is likely enough.

    Valid       parts of one diagnosis
    Source      rule value sure_probability; house
    Proved by   tests/diagnosis/test_diagnose.py
    """
    known = all(not one.missing and one.state in ("sound", "faulty") for one in interfaces)
    return known and decision.probability >= limits.sure_probability


def disagreements(cover: Cover, survey: Survey, limits: Limits) -> tuple[str, ...]:
    """Evidence that does not go together: the worse counts, but for frame levels, where the sheet's own step does.

    Valid       a survey of one cover
    Source      common practice, no source
    Proved by   tests/diagnosis/test_diagnose.py
    """
    condition = survey.condition
    found = [_far_apart(survey, one, nearest_corner(cover, one.x_mm, one.y_mm), limits) for one in survey.departures]
    hollow = condition.hollow_taps_pct
    if condition.bed_state == "sound" and hollow is not None and hollow > limits.hollow_most_pct:
        found.append(f"the bed was seen to be sound from inside, but {hollow:g} % of the taps rang hollow")
    if hollow is not None and survey.taps_count >= FEWEST_TAPS:
        share = 100.0 * survey.taps_hollow_count / survey.taps_count
        if abs(share - hollow) > DISAGREE_SD * limits.hollow_sd_pct:
            found.append(
                f"{hollow:g} % of the taps hollow on the sheet (condition.csv row {condition.row}), {share:.0f} % of "
                f"{survey.taps_count} taps on the flange in soundings.csv"
            )
    soft = condition.courses_soft_to_mm
    if condition.courses_class == 0 and soft is not None and soft > 0.0:
        found.append(f"courses graded sound, but soft to {soft:g} mm")
    return tuple(sentence for sentence in found if sentence)


def _far_apart(survey: Survey, one: Departure, corner: str, limits: Limits) -> str:
    """A reading on the frame against the step that the sheet gives for that corner."""
    step = getattr(survey.condition, f"frame_step_{corner}_mm")
    if step is None:
        return ""
    allowed_mm = DISAGREE_SD * (one.error_mm**2 + limits.step_sd_mm**2) ** 0.5
    if abs(one.off_mm - step) <= allowed_mm:
        return ""
    return (
        f"frame against road, {corner.replace('_', '-')}: {step:+.1f} mm on the sheet (condition.csv row "
        f"{survey.condition.row}), {one.off_mm:+.1f} mm by reading {one.point} (readings.csv row {one.row})"
    )


def why_of(cover: str, decision: Decision, interfaces: tuple[Interface, ...]) -> Why:
    """The tree behind the answer: the row that decided, each interface, its evidence.

    Valid       parts of one diagnosis
    Source      house
    Proved by   tests/diagnosis/test_diagnose.py
    """
    parts = []
    for interface in interfaces:
        seen = tuple(
            Why(e.what, e.value, e.unit, f"left alone: {e.limit}", e.source, governed_by=e.limit)
            for e in interface.evidence
        )
        parts.append(Why(interface.name, interface.state, "", "judged from its own evidence alone", "house", seen))
    return Why(
        f"repair of {cover}",
        decision.repair.key,
        "",
        f"{decision.row.reason}; probability {decision.probability:.2f} over the errors of what was measured",
        decision.row.source,
        tuple(parts),
        governed_by=f"row '{decision.row.key}' of the decision table",
    )
