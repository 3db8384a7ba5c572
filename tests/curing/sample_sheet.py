"""Small sheets for the tests of curing. Every figure is made up for its test."""

from __future__ import annotations

from truebed.sheets.sheet import Kit, Limits, Sheet, StrengthAt, TimeAt


def times(*points: tuple[float, float]) -> tuple[TimeAt, ...]:
    """(temperature, minutes) pairs as points."""
    return tuple(TimeAt(temp_c, after_min, f"at {temp_c:g}") for temp_c, after_min in points)


def strengths(*points: tuple[float, float, float]) -> tuple[StrengthAt, ...]:
    """(temperature, age, strength) triples as points."""
    return tuple(StrengthAt(temp_c, age_min, s, f"row {temp_c:g}/{age_min:g}") for temp_c, age_min, s in points)


def sheet(
    *,
    life: tuple[TimeAt, ...] = times((5.0, 36.0), (20.0, 22.0), (30.0, 14.0)),
    set_: tuple[TimeAt, ...] = times((5.0, 64.0), (20.0, 34.0), (30.0, 23.0)),
    ready: tuple[TimeAt, ...] = (),
    strength: tuple[StrengthAt, ...] = strengths(
        (5.0, 90.0, 4.5), (5.0, 180.0, 13.5), (5.0, 360.0, 21.0), (20.0, 45.0, 5.5), (20.0, 90.0, 15.0),
        (20.0, 180.0, 22.5), (30.0, 45.0, 11.0), (30.0, 90.0, 20.0),
    ),
    traffic_strength_n_per_mm2: float | None = 13.0,
    temp_least_c: float = 5.0,
    temp_most_c: float = 30.0,
) -> Sheet:  # fmt: skip
    """A bedding mortar with the points that a test asks for."""
    return Sheet(
        "sample",
        "A mortar",
        "cement",
        "1",
        Kit(24.0, "water", 2.8, 3.2, 12.4, 2.19, 3.0),
        Limits(12.0, 55.0, temp_least_c, temp_most_c),
        life,
        set_,
        strength,
        ready,
        traffic_strength_n_per_mm2,
        (),
        "sheets/sample.toml",
        traffic_place="note b",
    )
