"""From evidence to facts: each a yes with a probability, and else a no, or 'unknown' where nobody looked."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from truebed.diagnosis.limits import Limits
from truebed.diagnosis.survey import CORNERS, FEWEST_ON_FRAME, FEWEST_TAPS, BedHeight, Survey
from truebed.findings import short_number

State = Literal["yes", "no", "unknown"]
#: Every fact of the decision table.
FACTS = (
    "plan_other", "resurfacing", "courses_failed", "frame_broken", "seats_through", "seats_worn", "height_outside",
    "bed_failed", "frame_off", "lid_moves", "lid_low", "lid_proud", "surround_failed", "cracks_open", "polished",
)  # fmt: skip
#: Chances smaller than this are taken for none, larger than one less this for certain.
NEGLIGIBLE = 1e-4
#: Words that say a thing is as it should be.
SOUND_WORDS = frozenset({"sound", "no", "none", "as frame", "rough"})
UNLOOKED_WORDS = frozenset({"", "unknown"})


@dataclass(frozen=True, slots=True)
class Evidence:
    """One thing that the survey found, with what it says about its fact.

    field   the column of condition.csv, or 'readings', 'soundings', 'covers'
    fault_probability  that the true value is beyond the limit, every true value near the reading being as likely
    """

    field: str
    what: str
    value: float | str
    unit: str
    limit: str
    source: str
    fault_probability: float

    def sentence(self) -> str:
        """The evidence in words."""
        shown = self.value if isinstance(self.value, str) else f"{short_number(self.value)} {self.unit}".strip()
        return f"{self.what}: {shown} (left alone: {self.limit}; {self.source})"


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact: 'yes' with a probability; the rest is 'no' if enough was looked at, else 'unknown'."""

    name: str
    yes_probability: float
    looked: bool
    evidence: tuple[Evidence, ...] = ()

    @property
    def otherwise(self) -> State:
        """What the fact is if it is not 'yes'."""
        return "no" if self.looked else "unknown"


def below_probability(value_mm: float, limit_mm: float, sd_mm: float) -> float:
    """The probability that the true value lies below a limit, from one reading with a Gaussian error.

    Valid       sd > 0; no knowledge of the true value but the reading
    Source      algebra (normal distribution)
    Proved by   tests/diagnosis/test_facts.py
    """
    return 0.5 * math.erfc((value_mm - limit_mm) / (sd_mm * math.sqrt(2.0)))


def facts_of(survey: Survey, limits: Limits) -> dict[str, Fact]:
    """Every fact of the decision table for one survey.

    Of several places the worst alone counts: errors of neighbouring readings are no independent chances.

    Valid       a survey of one cover
    Source      rule set values; house (worst place)
    Proved by   tests/diagnosis/test_facts.py
    """
    facts = (
        _word(survey, "plan_other", "plan_below"),
        _word(survey, "resurfacing", "resurfacing"),
        _word(survey, "frame_broken", "frame_state"),
        _word(survey, "polished", "polish"),
        _courses(survey, limits),
        _seats(survey, "seats_worn", limits.seats_worn_class_count),
        _seats(survey, "seats_through", limits.seats_through_class_count),
        _height(survey.bed),
        _bed(survey, limits),
        _frame_off(survey, limits),
        _rock(survey, limits),
        *_lid(survey, limits),
        _surround(survey, limits),
        _cracks(survey, limits),
    )
    return {fact.name: fact for fact in facts}


def _row(survey: Survey) -> str:
    return f"condition.csv row {survey.condition.row}"


def _fact(name: str, looked: bool, evidence: list[Evidence]) -> Fact:
    """A fact from its evidence: the worst governs; chances next to nothing or to certainty are rounded."""
    worst = max((e.fault_probability for e in evidence), default=0.0)
    rounded = 0.0 if worst < NEGLIGIBLE else 1.0 if worst > 1.0 - NEGLIGIBLE else worst
    return Fact(name, rounded, looked, tuple(evidence))


def _words(survey: Survey, *fields: str) -> list[Evidence]:
    """Evidence of columns that hold a word; a word that is not known for sound is a fault."""
    found = []
    for field in fields:
        word = str(getattr(survey.condition, field)).strip()
        if word.lower() not in UNLOOKED_WORDS:
            bad = word.lower() not in SOUND_WORDS
            limit = "as frame" if field == "plan_below" else "no" if field in ("resurfacing", "polish") else "sound"
            found.append(Evidence(field, field.replace("_", " "), word, "", limit, _row(survey), float(bad)))
    return found


def _word(survey: Survey, name: str, field: str) -> Fact:
    evidence = _words(survey, field)
    return _fact(name, bool(evidence), evidence)


def _class(survey: Survey, field: str, what: str, limit_count: float) -> list[Evidence]:
    """Evidence of a grade from 0 to 4; a grade is taken as given."""
    grade = getattr(survey.condition, field)
    if grade is None:
        return []
    bad = float(grade >= limit_count)
    limit = f"below class {limit_count:g}"
    return [Evidence(field, what, f"class {grade}", "", limit, _row(survey), bad)]


def _seats(survey: Survey, name: str, limit_count: float) -> Fact:
    evidence = _class(survey, "seat_wear_class", "wear of the seats", limit_count)
    return _fact(name, bool(evidence), evidence)


def _courses(survey: Survey, limits: Limits) -> Fact:
    """Courses graded or barred make the fact known; the slab is looked at beside them."""
    evidence = _class(survey, "courses_class", "courses", limits.courses_failed_class_count)
    soft = survey.condition.courses_soft_to_mm
    if soft is not None:
        bad = float(soft > 0.0)
        evidence.append(Evidence("courses_soft_to_mm", "courses soft to", soft, "mm", "0 mm", _row(survey), bad))
    looked = bool(evidence)
    evidence += _words(survey, "slab_state")
    return _fact("courses_failed", looked, evidence)


def _height(bed: BedHeight | None) -> Fact:
    if bed is None or bed.error_mm is None:
        return Fact("height_outside", 0.0, False)
    low = below_probability(bed.left_mm, bed.least_mm, bed.error_mm)
    high = 1.0 - below_probability(bed.left_mm, bed.most_mm, bed.error_mm)
    limit = f"{bed.least_mm:g} to {bed.most_mm:g} mm, {bed.material}"
    source = f"covers.csv: depth to the chamber top less depth of frame, ± {bed.error_mm:g} mm (one sd)"
    evidence = Evidence("covers", "bed under the frame set true", bed.left_mm, "mm", limit, source, low + high)
    return _fact("height_outside", True, [evidence])


def _hollow(survey: Survey, limits: Limits) -> list[Evidence]:
    """The sheet's share of hollow taps, and that of the soundings on the flange; the worse of the two will count."""
    given = [(survey.condition.hollow_taps_pct, _row(survey), "hollow_taps_pct")]
    if survey.taps_count >= FEWEST_TAPS:
        share = 100.0 * survey.taps_hollow_count / survey.taps_count
        given.append((share, f"soundings.csv, {survey.taps_count} taps on the flange", "soundings"))
    limit = f"up to {limits.hollow_most_pct:g} %"
    found = []
    for share_pct, source, field in given:
        if share_pct is not None:
            beyond = 1.0 - below_probability(share_pct, limits.hollow_most_pct, limits.hollow_sd_pct)
            chance = beyond if share_pct > 0.0 else 0.0
            found.append(Evidence(field, "hollow taps on the flange", share_pct, "%", limit, source, chance))
    return found


def _bed(survey: Survey, limits: Limits) -> Fact:
    evidence = _words(survey, "bed_state") + _hollow(survey, limits)
    return _fact("bed_failed", bool(evidence), evidence)


def _steps(survey: Survey, prefix: str) -> list[tuple[str, float]]:
    """The corners that were read, with their steps."""
    read = [(corner, getattr(survey.condition, f"{prefix}_{corner}_mm")) for corner, _, _ in CORNERS]
    return [(corner, step) for corner, step in read if step is not None]


def _outside(value_mm: float, low_mm: float, high_mm: float, sd_mm: float) -> float:
    """The probability that the true value lies outside a band."""
    return below_probability(value_mm, low_mm, sd_mm) + 1.0 - below_probability(value_mm, high_mm, sd_mm)


def _frame_off(survey: Survey, limits: Limits) -> Fact:
    """Steps of the sheet where there are any, else the readings on the frame against the fitted road."""
    low, high = limits.fixed_feature_low_mm, limits.fixed_feature_high_mm
    band = f"{low:g} to {high:+g} mm"
    steps = _steps(survey, "frame_step")
    evidence = [
        Evidence(
            f"frame_step_{corner}_mm", f"frame against road, {corner.replace('_', '-')}", step, "mm", band,
            _row(survey), _outside(step, low, high, limits.step_sd_mm),
        )
        for corner, step in steps
    ]  # fmt: skip
    if steps:
        return _fact("frame_off", len(steps) == len(CORNERS), evidence)
    evidence = [
        Evidence(
            "readings", f"frame against road, {d.point}", d.off_mm, "mm", band,
            f"readings.csv row {d.row} and the fitted road, ± {d.error_mm:.1f} mm (one sd)",
            _outside(d.off_mm, low, high, d.error_mm),
        )
        for d in survey.departures
    ]  # fmt: skip
    return _fact("frame_off", len(evidence) >= FEWEST_ON_FRAME, evidence)


def _rock(survey: Survey, limits: Limits) -> Fact:
    rock = survey.condition.rock_mm
    if rock is None:
        return Fact("lid_moves", 0.0, False)
    chance = 0.0 if rock <= 0.0 else 1.0 - below_probability(rock, limits.rock_most_mm, limits.rock_sd_mm)
    limit = f"up to {limits.rock_most_mm:g} mm"
    return _fact("lid_moves", True, [Evidence("rock_mm", "rock of the lid", rock, "mm", limit, _row(survey), chance)])


def _lid(survey: Survey, limits: Limits) -> tuple[Fact, Fact]:
    """Lid low and lid proud, from its corners, or from the greatest step where corners were not read apart."""
    low, high, sd = limits.lid_step_low_mm, limits.lid_step_high_mm, limits.step_sd_mm
    band = f"{low:g} to {high:+g} mm"
    steps = [
        (f"lid_step_{c}_mm", f"lid against frame, {c.replace('_', '-')}", s) for c, s in _steps(survey, "lid_step")
    ]
    looked = len(steps) == len(CORNERS)
    if not steps and survey.condition.lid_step_mm is not None:
        steps, looked = [("lid_step_mm", "lid against frame, greatest", survey.condition.lid_step_mm)], True
    row = _row(survey)
    below = [Evidence(f, w, s, "mm", band, row, below_probability(s, low, sd)) for f, w, s in steps]
    above = [Evidence(f, w, s, "mm", band, row, 1.0 - below_probability(s, high, sd)) for f, w, s in steps]
    return _fact("lid_low", looked, below), _fact("lid_proud", looked, above)


def _crack(survey: Survey, limit_mm: float, sd_mm: float) -> list[Evidence]:
    width = survey.condition.crack_mm
    if width is None:
        return []
    chance = 0.0 if width <= 0.0 else 1.0 - below_probability(width, limit_mm, sd_mm)
    limit = f"up to {limit_mm:g} mm"
    return [Evidence("crack_mm", "widest crack round the frame", width, "mm", limit, _row(survey), chance)]


def _surround(survey: Survey, limits: Limits) -> Fact:
    """A surround that is only cracked fails by the cracks' width; one that is potholed or gone has failed."""
    cracked = survey.condition.surround.strip().lower() == "cracked"
    evidence = [] if cracked else _words(survey, "surround")
    looked = bool(evidence) or (cracked and survey.condition.crack_mm is not None)
    evidence += _crack(survey, limits.crack_renew_mm, limits.crack_sd_mm)
    return _fact("surround_failed", looked, evidence)


def _cracks(survey: Survey, limits: Limits) -> Fact:
    """Cracks that ask for sealing; a surround called cracked without a width counts as open."""
    evidence = _crack(survey, limits.crack_seal_mm, limits.crack_sd_mm)
    if not evidence and survey.condition.surround.strip().lower() == "cracked":
        evidence = _words(survey, "surround")
    return _fact("cracks_open", bool(evidence), evidence)
