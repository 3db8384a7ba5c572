"""From readings as booked to levels in each cover's own datum."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.errors import NotDesignedError
from truebed.given.reading import Reading


@dataclass(frozen=True, slots=True)
class Spot:
    """A reduced spot level. where: 'road', 'frame', 'lid', 'chamber', 'kerb'."""

    point: str
    x_mm: float
    y_mm: float
    level_mm: float
    where: str
    row: int


def bench_mark_staff_mm(readings: tuple[Reading, ...], set_up: str) -> float:
    """The staff reading on the bench mark of one set-up.

    Valid       one bench-mark reading a set-up; the bench mark is the cover's zero
    Source      common practice, no source (height of collimation with the bench mark as zero)
    Raises      NotDesignedError where the set-up has none
    Proved by   tests/levels/test_booking.py
    """
    for reading in readings:
        if reading.kind == "staff" and reading.where == "bench mark" and reading.set_up == set_up:
            return reading.value_mm
    raise NotDesignedError(
        f"Staff readings of set-up '{set_up}' have no reading on the bench mark.",
        "Add the bench-mark reading of that set-up to readings.csv.",
    )


def reduce_readings(readings: tuple[Reading, ...]) -> tuple[Spot, ...]:
    """Levels of one cover's points above its own zero [mm]; bench-mark rows are used and left out.

    Valid       readings of one cover
    Source      common practice, no source (height of collimation: level = staff on bench mark - staff on point)
    Raises      NotDesignedError where a set-up has no bench-mark reading
    Proved by   tests/levels/test_booking.py
    """
    spots = []
    for reading in readings:
        if reading.where == "bench mark":
            continue
        level_mm = reading.value_mm
        if reading.kind == "staff":
            level_mm = bench_mark_staff_mm(readings, reading.set_up) - reading.value_mm
        spots.append(Spot(reading.point, reading.x_mm, reading.y_mm, level_mm, reading.where, reading.row))
    return tuple(spots)
