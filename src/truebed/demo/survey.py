"""The survey of the demo: where the tape was laid, what was read there, with reading error."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from truebed.demo.truth import CoverTruth, road_level_mm

#: Bench-mark readings are the mean of several, so they err less than a spot reading.
BENCH_MARK_SD_MM = 0.5
#: Kerb upstand at the gullies, and how far short of the kerb the nearest spot is read.
KERB_UP_MM, KERB_OFF_MM = 105.0, 20.0
RING_OUT_MM, SECOND_RING_OUT_MM, BOX_OUT_MM, CROWN_OUT_MM = 240.0, 340.0, 170.0, 170.0


@dataclass(frozen=True, slots=True)
class Shape:
    """What of a row of covers.csv decides where the staff is held."""

    round_frame: bool
    body_along_mm: float
    body_across_mm: float
    flange_along_mm: float
    flange_across_mm: float
    turn_deg: float
    kerb_mm: float | None


@dataclass(frozen=True, slots=True)
class Booked:
    """One row of readings.csv."""

    cover: str
    point: str
    x_mm: int
    y_mm: int
    kind: str
    value_mm: int
    where: str
    set_up: str

    def cells(self) -> tuple[str, ...]:
        """The row's cells, as written."""
        return (
            self.cover,
            self.point,
            str(self.x_mm),
            str(self.y_mm),
            self.kind,
            str(self.value_mm),
            self.where,
            self.set_up,
        )


Spot = tuple[float, float]


def _rectangle_spots(along_mm: float, across_mm: float) -> tuple[Spot, ...]:
    """Four corners and two spots a side, anticlockwise from the back-right corner."""
    a, b = along_mm / 2.0, across_mm / 2.0
    corners = ((-a, -b), (a, -b), (a, b), (-a, b))
    spots = []
    for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True):
        spots += [(x0 + (x1 - x0) * share, y0 + (y1 - y0) * share) for share in (0.0, 1.0 / 3.0, 2.0 / 3.0)]
    return tuple(spots)


def _circle_spots(radius_mm: float, count: int) -> tuple[Spot, ...]:
    turns = [2.0 * math.pi * i / count for i in range(count)]
    return tuple((radius_mm * math.cos(turn), radius_mm * math.sin(turn)) for turn in turns)


def _ring(shape: Shape, out_mm: float) -> tuple[Spot, ...]:
    if shape.round_frame:
        return _circle_spots(shape.flange_along_mm / 2.0 + out_mm, 12)
    return _rectangle_spots(shape.flange_along_mm + 2.0 * out_mm, shape.flange_across_mm + 2.0 * out_mm)


def _kerb_spots(shape: Shape, kerb_mm: float) -> tuple[Spot, ...]:
    """Ten spots on the three sides that are road, and one in the channel between frame and kerb."""
    a, b = shape.flange_along_mm / 2.0 + RING_OUT_MM, shape.flange_across_mm / 2.0 + RING_OUT_MM
    top = kerb_mm - KERB_OFF_MM
    sides = tuple((x, y) for x in (-a, a) for y in (-b, -b / 2.0, top / 3.0, top))
    return (*sides, (-a / 3.0, -b), (a / 3.0, -b), (0.0, top))


def road_spots(truth: CoverTruth, shape: Shape) -> tuple[tuple[int, int], ...]:
    """Where the road was read around one cover, in local axes, taped to 10 mm.

    Valid       the covers of the demo
    Source      invented for the demo
    Proved by   tests/demo/test_build.py
    """
    if truth.layout == "kerb" and shape.kerb_mm is not None:
        spots = _kerb_spots(shape, shape.kerb_mm)
    elif truth.layout == "two rings":
        spots = _ring(shape, CROWN_OUT_MM) + _ring(shape, SECOND_RING_OUT_MM)[::3]
        spots += tuple(((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0) for a, b in _sides(spots[-4:]))
    elif truth.layout == "ten":
        ring = _ring(shape, BOX_OUT_MM)
        spots = tuple(spot for i, spot in enumerate(ring) if i not in (4, 10))
    else:
        spots = _ring(shape, RING_OUT_MM)
    return tuple(_taped(_turned(spot, shape.turn_deg)) for spot in spots)


def _sides(corners: tuple[Spot, ...]) -> tuple[tuple[Spot, Spot], ...]:
    return tuple(zip(corners, corners[1:] + corners[:1], strict=True))


def rim_spots(shape: Shape) -> tuple[tuple[int, int], ...]:
    """Where the old frame's top was read: corners, or quarter points of a round one, to 5 mm.

    Valid       the covers of the demo
    Source      invented for the demo
    Proved by   tests/demo/test_build.py
    """
    a, b = shape.body_along_mm / 2.0, shape.body_across_mm / 2.0
    spots = ((a, 0.0), (0.0, b), (-a, 0.0), (0.0, -b)) if shape.round_frame else ((a, b), (-a, b), (-a, -b), (a, -b))
    return tuple(_taped(_turned(spot, shape.turn_deg), 5) for spot in spots)


def _turned(spot: Spot, turn_deg: float) -> Spot:
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return cos * spot[0] - sin * spot[1], sin * spot[0] + cos * spot[1]


def _taped(spot: Spot, step: int = 10) -> tuple[int, int]:
    return round(spot[0] / step) * step, round(spot[1] / step) * step


def booked_readings(truth: CoverTruth, shape: Shape, noise: np.random.Generator) -> tuple[Booked, ...]:
    """What the surveyor booked at one cover: true level, reading error, the one misreading, whole millimetres.

    Valid       the covers of the demo; `noise` seeded by the caller
    Source      invented for the demo
    Proved by   tests/demo/test_build.py
    """
    levels: list[tuple[str, int, int, float, str]] = []
    for number, (x, y) in enumerate(road_spots(truth, shape), start=1):
        levels.append((f"R{number}", x, y, road_level_mm(truth.road, x, y), "road"))
    for number, (x, y) in enumerate(rim_spots(shape), start=1):
        levels.append((f"F{number}", x, y, truth.old_frame.at(x, y), "frame"))
    if shape.kerb_mm is not None:
        y = round(shape.kerb_mm) + 50
        levels.append(("K1", 0, y, road_level_mm(truth.road, 0.0, shape.kerb_mm) + KERB_UP_MM, "kerb"))
    read = [
        (point, x, y, level_mm + _off_mm(truth, point) + noise.normal(0.0, truth.reading_sd_mm), where)
        for point, x, y, level_mm, where in levels
    ]
    if truth.staff is None:
        return tuple(Booked(truth.cover, p, x, y, "level", round(level), where, "") for p, x, y, level, where in read)
    return _by_staff(truth, read, noise)


def _off_mm(truth: CoverTruth, point: str) -> float:
    return truth.misreading.off_mm if truth.misreading is not None and truth.misreading.point == point else 0.0


def _by_staff(
    truth: CoverTruth, read: list[tuple[str, int, int, float, str]], noise: np.random.Generator
) -> tuple[Booked, ...]:
    """Staff readings: what the staff shows falls as the point rises.

    Each stand first reads the bench mark; of a run only the first does, a change point carries it on, and the last
    reading is on the bench mark again.
    """
    staff = truth.staff
    if staff is None:
        raise ValueError(f"{truth.cover} was not booked by staff")

    def mark(name: str, value_mm: float, where: str, set_up: str) -> Booked:
        seen = round(value_mm + noise.normal(0.0, BENCH_MARK_SD_MM))
        return Booked(truth.cover, name, 0, 0, "staff", seen, where, set_up)

    rows: list[Booked] = []
    share, last, change_mm = math.ceil(len(read) / len(staff.set_ups)), len(staff.set_ups) - 1, staff.change_level_mm
    for number, (set_up, bench_mm) in enumerate(zip(staff.set_ups, staff.bench_mark_mm, strict=True)):
        if change_mm is None:
            rows.append(mark(f"BM-{set_up}", bench_mm, "bench mark", set_up))
        elif number == 0:
            rows.append(mark("BM", bench_mm, "bench mark", set_up))
        else:
            rows.append(mark(f"CP{number}", bench_mm - change_mm, "change point", set_up))
        for point, x, y, level_mm, where in read[number * share : (number + 1) * share]:
            rows.append(Booked(truth.cover, point, x, y, "staff", round(bench_mm - level_mm), where, set_up))
        if change_mm is not None and number < last:
            rows.append(mark(f"CP{number + 1}", bench_mm - change_mm, "change point", set_up))
        elif change_mm is not None:
            rows.append(mark("BM", bench_mm + staff.closes_off_mm, "bench mark", set_up))
    return tuple(rows)


def measured_chamber_top(
    truth: CoverTruth, shape: Shape, noise: np.random.Generator
) -> tuple[tuple[int, int, int], ...]:
    """What the crew measures on the bared chamber top: x, y, level at eight points of the seating, with error.

    The points lie 30 mm inside the flange's edge: corners and mid-sides, or eight points of a circle.

    Valid       the covers of the demo; `noise` seeded by the caller
    Source      invented for the demo
    Proved by   tests/demo/test_build.py
    """
    along, across = shape.flange_along_mm - 60.0, shape.flange_across_mm - 60.0
    if shape.round_frame:
        spots = _circle_spots(along / 2.0, 8)
    else:
        corners = (
            (-along / 2, -across / 2),
            (along / 2, -across / 2),
            (along / 2, across / 2),
            (-along / 2, across / 2),
        )
        middles = tuple(((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0) for a, b in _sides(corners))
        spots = corners + middles
    taped = [_taped(_turned(spot, shape.turn_deg), 5) for spot in spots]
    return tuple((x, y, round(truth.chamber_top.at(x, y) + noise.normal(0.0, truth.reading_sd_mm))) for x, y in taped)
