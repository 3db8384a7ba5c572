"""What the rule set says of surveys and road fits, gathered into two small values."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.rules.ruleset import RuleSet


@dataclass(frozen=True, slots=True)
class SurveyRules:
    """Errors of readings and limits of the book. The values here are those of the packaged UK set."""

    reading_sd_mm: float = 2.0
    gap_sd_mm: float = 1.0
    string_sd_mm: float = 2.0
    misclosure_per_root_mm: float = 5.0
    off_line_most_mm: float = 50.0


@dataclass(frozen=True, slots=True)
class RoadRules:
    """Limits of the road fit. The values here are those of the packaged UK set.

    worth_a_term_ratio  a model may be more complicated only if it foretells left-out readings better by this factor
    refuse_share        chance that good readings are refused as fitting no surface
    second_ring_ratio   least ratio of the radii of two rings that may carry a full quadratic
    most_removed_count  most readings that may be thrown away as gross
    """

    least_readings_count: int = 6
    widest_gap_deg: float = 120.0
    worth_a_term_ratio: float = 0.70
    refuse_share: float = 0.001
    second_ring_ratio: float = 1.5
    most_removed_count: int = 2


def survey_rules(rules: RuleSet, *words: str) -> SurveyRules:
    """The rule set's errors of readings and limits of the book.

    words       kind, place and load class of the cover
    Valid       a set that gives all five numbers
    Source      see truebed.rules
    Raises      NotDeterminedError where the set gives none of that name
    Proved by   tests/levels/test_road_rules.py
    """
    return SurveyRules(
        reading_sd_mm=rules.number("reading_sd_mm", *words),
        gap_sd_mm=rules.number("gap_sd_mm", *words),
        string_sd_mm=rules.number("string_sd_mm", *words),
        misclosure_per_root_mm=rules.number("misclosure_per_root_mm", *words),
        off_line_most_mm=rules.number("off_line_most_mm", *words),
    )


def road_rules(rules: RuleSet, *words: str) -> RoadRules:
    """The rule set's limits of the road fit.

    words       kind, place and load class of the cover
    Valid       a set that gives all six numbers
    Source      see truebed.rules
    Raises      NotDeterminedError where the set gives none of that name
    Proved by   tests/levels/test_road_rules.py
    """
    return RoadRules(
        least_readings_count=round(rules.number("road_readings_least_count", *words)),
        widest_gap_deg=rules.number("road_gap_most_deg", *words),
        worth_a_term_ratio=rules.number("worth_a_term_ratio", *words),
        refuse_share=rules.number("road_refuse_share", *words),
        second_ring_ratio=rules.number("second_ring_ratio", *words),
        most_removed_count=round(rules.number("gross_most_count", *words)),
    )
