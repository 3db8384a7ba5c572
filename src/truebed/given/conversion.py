"""From the unit a header carries to the unit its column is kept in."""

from __future__ import annotations

from truebed.units import ACCEPTED, to_inside

#: (from, to) -> factor, where the register of units keeps two inside units for one quantity
_BRIDGES: dict[tuple[str, str], float] = {("m", "mm"): 1000.0, ("mm", "m"): 0.001, ("pct", "share"): 0.01}


def convertible(unit: str, target: str) -> bool:
    """True where a value in `unit` can be brought to `target`.

    Source      house (look-up)
    Proved by   tests/given/test_header.py
    """
    if unit == target:
        return True
    if unit not in ACCEPTED:
        return False
    inside = ACCEPTED[unit].inside
    return target in {inside, unit} or (inside, target) in _BRIDGES or _shares_inside(inside, target)


def _shares_inside(inside: str, target: str) -> bool:
    return target in ACCEPTED and ACCEPTED[target].inside == inside


def convert(value: float, unit: str, target: str) -> float:
    """The value in the target unit, to nine decimals (so that 50 degF is 10 degC, not 10.000000000000002).

    Valid       pairs that `convertible` allows
    Source      [si-2019] exact conversion factors by definition
    Raises      KeyError for a pair that is not convertible
    Proved by   tests/properties/test_reader.py
    """
    if unit == target:
        return value
    inside = ACCEPTED[unit].inside
    inside_value = to_inside(value, unit)
    if inside == target:
        return round(inside_value, 9)
    if (inside, target) in _BRIDGES:
        return round(inside_value * _BRIDGES[inside, target], 9)
    rule = ACCEPTED[target]
    if rule.inside != inside:
        raise KeyError(f"{unit} to {target}")
    return round((inside_value - rule.shift) / rule.scale, 9)


def units_for(target: str) -> tuple[str, ...]:
    """The units a header of that column may carry, its own first.

    Source      house (look-up)
    Proved by   tests/given/test_header.py
    """
    return (target, *(unit for unit in ACCEPTED if unit != target and convertible(unit, target)))
