"""The one unit set inside Truebed, and the units a file's header may carry instead.

Inside: mm, N/mm2, kg, litre, degC, minute, degree. A file may say `flange_in`; it is converted once, at the door,
and echoed.
"""

from __future__ import annotations

from dataclasses import dataclass

#: Every float's name ends in one of these (tests/house/test_unit_suffixes.py).
SUFFIXES: frozenset[str] = frozenset(
    {
        "mm", "mm2", "m", "m2", "n_per_mm2", "kn", "n", "kg", "kg_per_l", "l", "c", "k", "min", "h", "s", "deg",
        "ratio", "share", "points", "m_per_s2", "m_per_s", "kmh", "mph", "pct", "weight", "count", "j_per_mol",
        "probability", "t", "w_per_m2", "w_per_m2_k", "w_per_m_k", "kj_per_l", "kj_per_l_k", "px", "pt", "sd", "per_mm",
    }
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit a header may carry: its inside unit and value_inside = value * scale + shift."""

    inside: str
    scale: float
    shift: float = 0.0


#: header suffix -> how to bring it inside. Exact by definition (inch 25.4 mm, foot 304.8 mm, pound 0.45359237 kg,
#: mile 1.609344 km).
ACCEPTED: dict[str, Unit] = {
    "mm": Unit("mm", 1.0),
    "cm": Unit("mm", 10.0),
    "m": Unit("m", 1.0),
    "in": Unit("mm", 25.4),
    "ft": Unit("mm", 304.8),
    "c": Unit("c", 1.0),
    "f": Unit("c", 5.0 / 9.0, -160.0 / 9.0),
    "min": Unit("min", 1.0),
    "h": Unit("min", 60.0),
    "kg": Unit("kg", 1.0),
    "lb": Unit("kg", 0.45359237),
    "l": Unit("l", 1.0),
    "deg": Unit("deg", 1.0),
    "pct": Unit("pct", 1.0),
    "m_per_s": Unit("m_per_s", 1.0),
    "kmh": Unit("m_per_s", 1.0 / 3.6),
    "mph": Unit("m_per_s", 1609.344 / 3600.0),
    "mm_per_h": Unit("mm_per_h", 1.0),
    "m_per_s2": Unit("m_per_s2", 1.0),
}


def to_inside(value: float, unit: str) -> float:
    """A value in an accepted unit, brought into Truebed's own.

    unit        a key of ACCEPTED
    Valid       any finite value
    Source      [si-2019] exact conversion factors by definition
    Raises      KeyError for a unit that is not in ACCEPTED (readers check first and report the column)
    Proved by   tests/properties/test_units.py
    """
    rule = ACCEPTED[unit]
    return value * rule.scale + rule.shift
