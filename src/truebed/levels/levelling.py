"""A level book reduced: height of collimation and rise and fall, with the arithmetic checks of both."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Stand:
    """The staff readings from one stand in booking order [mm]: back sight first, fore sight last."""

    name: str
    staff_mm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Booked:
    """A run of stands reduced from the level of its first back sight.

    collimation_mm   of each stand
    levels_mm        by height of collimation: of each stand every sight but the back sight
    fall_levels_mm   the same by rise and fall
    rises_mm, falls_mm  of all stands, in booking order
    """

    first_mm: float
    stands: tuple[Stand, ...]
    collimation_mm: tuple[float, ...]
    levels_mm: tuple[tuple[float, ...], ...]
    fall_levels_mm: tuple[tuple[float, ...], ...]
    rises_mm: tuple[float, ...]
    falls_mm: tuple[float, ...]

    @property
    def last_mm(self) -> float:
        """Level of the last fore sight."""
        return self.levels_mm[-1][-1]


@dataclass(frozen=True, slots=True)
class Check:
    """One arithmetic check of the book: both sides, which must agree to a rounding error."""

    name: str
    left_mm: float
    right_mm: float

    @property
    def holds(self) -> bool:
        """Whether both sides agree within a millionth of a millimetre, or of what was added up."""
        room_mm = 1e-6 * max(1.0, abs(self.left_mm) * 1e-6, abs(self.right_mm) * 1e-6)
        return abs(self.left_mm - self.right_mm) <= room_mm


def by_collimation(
    first_mm: float, stands: tuple[Stand, ...]
) -> tuple[tuple[float, ...], tuple[tuple[float, ...], ...]]:
    """Heights of collimation, and of each stand the levels of all sights but the back sight [mm].

    Valid       stands of two readings or more; each stand's first point is the last of the stand before
    Source      common practice, no source (level = height of collimation - staff)
    Proved by   tests/levels/test_levelling.py, tests/published/test_level_books.py, tests/properties/test_levelling.py
    """
    collimation, levels = [], []
    carried_mm = first_mm
    for stand in stands:
        height_mm = carried_mm + stand.staff_mm[0]
        collimation.append(height_mm)
        levels.append(tuple(height_mm - staff_mm for staff_mm in stand.staff_mm[1:]))
        carried_mm = levels[-1][-1]
    return tuple(collimation), tuple(levels)


def by_rise_and_fall(
    first_mm: float, stands: tuple[Stand, ...]
) -> tuple[tuple[float, ...], tuple[float, ...], tuple[tuple[float, ...], ...]]:
    """Rises, falls, and of each stand the levels of all sights but the back sight [mm].

    Valid       as by_collimation
    Source      common practice, no source (rise = staff before - staff now, where positive; else a fall)
    Proved by   tests/levels/test_levelling.py, tests/published/test_level_books.py, tests/properties/test_levelling.py
    """
    rises, falls, levels = [], [], []
    carried_mm = first_mm
    for stand in stands:
        here = []
        for before_mm, now_mm in zip(stand.staff_mm, stand.staff_mm[1:], strict=False):
            change_mm = before_mm - now_mm
            rises.append(max(change_mm, 0.0))
            falls.append(max(-change_mm, 0.0))
            carried_mm += change_mm
            here.append(carried_mm)
        levels.append(tuple(here))
    return tuple(rises), tuple(falls), tuple(levels)


def book(first_mm: float, stands: tuple[Stand, ...]) -> Booked:
    """A run reduced both ways.

    Valid       as by_collimation
    Source      common practice, no source
    Proved by   tests/levels/test_levelling.py, tests/published/test_level_books.py
    """
    collimation, levels = by_collimation(first_mm, stands)
    rises, falls, fall_levels = by_rise_and_fall(first_mm, stands)
    return Booked(first_mm, stands, collimation, levels, fall_levels, rises, falls)


def checks(run: Booked) -> tuple[Check, ...]:
    """The arithmetic checks that a level book carries at the foot of its page.

    Valid       a reduced run
    Source      common practice, no source: sum of back sights - sum of fore sights = sum of rises - sum of falls =
                last - first; intermediate + fore sights + levels less the first = heights x number of sights
    Proved by   tests/levels/test_levelling.py, tests/published/test_level_books.py, tests/properties/test_levelling.py
    """
    back_mm = sum(s.staff_mm[0] for s in run.stands)
    fore_mm = sum(s.staff_mm[-1] for s in run.stands)
    between_mm = sum(sum(s.staff_mm[1:-1]) for s in run.stands)
    levels_mm = sum(sum(levels) for levels in run.levels_mm)
    heights_mm = sum(h * len(levels) for h, levels in zip(run.collimation_mm, run.levels_mm, strict=True))
    last_mm = run.fall_levels_mm[-1][-1]
    risen_mm = sum(run.rises_mm) - sum(run.falls_mm)
    read_mm = between_mm + fore_mm + levels_mm
    return (
        Check("back sights less fore sights = last level less first", back_mm - fore_mm, run.last_mm - run.first_mm),
        Check("rises less falls = last level less first", risen_mm, last_mm - run.first_mm),
        Check("rise and fall = height of collimation", last_mm, run.last_mm),
        Check("intermediate and fore sights and levels less the first = heights x sights", read_mm, heights_mm),
    )


def allowed_misclosure_mm(per_root_mm: float, stands_count: int) -> float:
    """Greatest misclosure of a run that is accepted and spread.

    per_root_mm  rule value misclosure_per_root_mm
    Valid       one stand or more
    Source      [levelling-texts] +/- m sqrt(n set-ups)
    Proved by   tests/published/test_level_books.py
    """
    return float(per_root_mm * stands_count**0.5)


def spread_mm(misclosure_mm: float, stands_count: int) -> tuple[float, ...]:
    """What each stand's levels are corrected by: an equal share a set-up, adding up along the run.

    Valid       an accepted misclosure (found less true)
    Source      [levelling-texts] spread equally over the set-ups
    Proved by   tests/published/test_level_books.py, tests/properties/test_levelling.py
    """
    return tuple(-misclosure_mm * (k + 1) / stands_count for k in range(stands_count))
