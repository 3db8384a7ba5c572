"""How numbers and words are written on paper."""

from __future__ import annotations

from truebed.drawings.levels_text import MINUS, signed_mm, tenth_mm
from truebed.findings import Finding, short_number
from truebed.programme.problem import Solution

DECIDES = "Truebed advises; a competent person decides."
DEMO = "DEMO: invented town, invented materials"
ROLE_WORDS = {
    "bed": "bed",
    "under_flange_fill": "fill under the flange",
    "surround_fill": "backfill",
    "running_surface": "running surface",
    "edge_seal": "edge seal",
}


def litres(volume_l: float) -> str:
    """Litres to a tenth.

    Valid       any finite value
    Source      house (writing)
    Proved by   tests/papers/test_writing.py
    """
    return f"{tenth_mm(volume_l)} l"


def plus_minus(volume_l: float) -> str:
    """A half-width, or 'not known' is never printed for 0: nothing to add then.

    Valid       half-widths of 0 and more
    Source      house (writing)
    Proved by   tests/papers/test_writing.py
    """
    return f" \u00b1 {tenth_mm(volume_l)}" if volume_l > 0 else ""


def span(least_mm: float, most_mm: float) -> str:
    """A thickness or its range.

    Valid       least <= most
    Source      house (writing)
    Proved by   tests/papers/test_writing.py
    """
    least, most = tenth_mm(least_mm), tenth_mm(most_mm)
    return least if least == most else f"{least} to {most}"


def percent(probability: float | None) -> str:
    """A probability in whole per cent, never rounded up to certainty; 'not determined' without one.

    Valid       0 to 1
    Source      house (writing)
    Proved by   tests/papers/test_writing.py
    """
    if probability is None:
        return "not determined"
    if probability > 0.99:
        return "more than 99 %"
    return "less than 1 %" if probability < 0.01 else f"{int(100 * probability + 1e-9)} %"


def plain_name(key: str) -> str:
    """A key as words: 'measure-chamber-top' -> 'Measure chamber top'.

    Valid       any text
    Source      house (writing)
    Proved by   tests/papers/test_writing.py
    """
    text = key.replace("-", " ").replace("_", " ").strip()
    return text[:1].upper() + text[1:]


def value_with_unit(value: float | None, unit: str) -> str:
    """A finding's value as text; '' without one.

    Valid       any finite value
    Source      house (writing)
    Proved by   tests/papers/test_writing.py
    """
    if value is None:
        return ""
    return f"{short_number(value).replace('-', MINUS, 1)} {unit}".strip()


def honesty(solution: Solution, opening: str, bound: str) -> tuple[str, ...]:
    """What the solver proved, in the crew's words: never 'best' where it was not proven.

    opening, bound  clock times of the planned opening and of its bound
    Valid       any solution
    Source      house (writing)
    Proved by   tests/papers/test_writing.py
    """
    covers = (
        "Covers: proven best; no other choice in this closure does more."
        if solution.weight_proven
        else f"Covers: best found, weight {solution.weight}; more than {solution.weight_bound} is impossible."
    )
    times = (
        f"Opening: proven best; with these covers none opens before {opening}."
        if solution.open_proven
        else f"Opening: best found, {opening}; before {bound} is impossible."
    )
    guard = (
        ("The search was ended by the wall clock: another run may find another schedule.",)
        if solution.guard_hit
        else ()
    )
    return (covers, times, *guard)


def finding_words(finding: Finding) -> dict[str, str]:
    """One finding as the words of a table's row.

    Valid       any finding
    Source      house (writing)
    Proved by   tests/papers/test_writing.py
    """
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "subject": finding.subject,
        "what": finding.what,
        "value": value_with_unit(finding.value, finding.unit),
        "limit": finding.limit,
        "source": finding.source,
        "mend": finding.mend,
    }


__all__ = [
    "DECIDES",
    "DEMO",
    "ROLE_WORDS",
    "finding_words",
    "honesty",
    "litres",
    "percent",
    "plain_name",
    "plus_minus",
    "signed_mm",
    "span",
    "tenth_mm",
    "value_with_unit",
]
