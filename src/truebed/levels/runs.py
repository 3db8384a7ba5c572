"""The stands of a cover's staff readings put together into runs, each closed or open."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.errors import NotDesignedError
from truebed.given.reading import Reading
from truebed.levels.levelling import Booked, Stand, allowed_misclosure_mm, book, checks, spread_mm

#: Points that carry the level from stand to stand.
CARRIERS = ("bench mark", "change point")


@dataclass(frozen=True, slots=True)
class Run:
    """Stands that hang on one bench mark, reduced, checked and corrected.

    readings         of each stand, in booking order
    misclosure_mm    found less true level of the bench mark that the run closes on; None where it does not close
    corrections_mm   of each stand
    """

    readings: tuple[tuple[Reading, ...], ...]
    booked: Booked
    misclosure_mm: float | None
    allowed_mm: float
    corrections_mm: tuple[float, ...]


def known_levels(readings: tuple[Reading, ...]) -> dict[str, float]:
    """Levels of the bench marks: as given by a row of kind 'level', else the cover's zero.

    Valid       readings of one cover
    Source      house (docs/theory/ground.md)
    Proved by   tests/levels/test_runs.py
    """
    marks = {r.point: 0.0 for r in readings if r.where == "bench mark"}
    given = {r.point: r.value_mm for r in readings if r.where == "bench mark" and r.kind == "level"}
    return marks | given


def stands_of(readings: tuple[Reading, ...]) -> dict[str, tuple[Reading, ...]]:
    """Staff readings by set-up, both in booking order.

    Valid       readings of one cover in the order of the book
    Source      common practice, no source
    Proved by   tests/levels/test_runs.py
    """
    stands: dict[str, tuple[Reading, ...]] = {}
    for reading in readings:
        if reading.kind == "staff":
            stands[reading.set_up] = (*stands.get(reading.set_up, ()), reading)
    return stands


def back_sight(stand: tuple[Reading, ...], carried: frozenset[str]) -> Reading:
    """The reading that a stand hangs on: a change point of an earlier stand, else its bench mark.

    carried     change points whose level the run before has
    Valid       staff readings of one set-up
    Source      common practice, no source
    Raises      NotDesignedError where it has neither
    Proved by   tests/levels/test_runs.py
    """
    for reading in stand:
        if reading.where == "change point" and reading.point in carried:
            return reading
    for reading in stand:
        if reading.where == "bench mark":
            return reading
    raise NotDesignedError(
        f"Staff readings of set-up '{stand[0].set_up}' have no reading on the bench mark.",
        "Add the bench-mark reading of that set-up to readings.csv, or a change point that the set-up before it read"
        " last.",
    )


def in_order(stand: tuple[Reading, ...], back: Reading) -> tuple[Reading, ...]:
    """A stand's readings with its back sight first and the one that carries on or closes last.

    Valid       one back sight; at most one more bench mark or change point that is read last
    Source      common practice, no source
    Raises      NotDesignedError where a bench mark stands between others: its check would be lost
    Proved by   tests/levels/test_runs.py
    """
    rest = tuple(r for r in stand if r is not back)
    for reading in rest[:-1]:
        if reading.where in CARRIERS:
            raise NotDesignedError(
                f"Set-up '{back.set_up}' reads {reading.where} '{reading.point}' (row {reading.row}) between other"
                " points.",
                "Book the point that the level is carried on or closed by last in its set-up.",
            )
    return (back, *rest)


def chains(readings: tuple[Reading, ...]) -> tuple[tuple[tuple[Reading, ...], ...], ...]:
    """Stands joined by change points, in booking order.

    Valid       readings of one cover in the order of the book
    Source      common practice, no source
    Raises      NotDesignedError where a stand hangs on nothing
    Proved by   tests/levels/test_runs.py
    """
    found: list[tuple[tuple[Reading, ...], ...]] = []
    for stand in stands_of(readings).values():
        last = found[-1][-1][-1] if found else None
        carried = frozenset({last.point}) if last is not None and last.where == "change point" else frozenset()
        ordered = in_order(stand, back_sight(stand, carried))
        if ordered[0].where == "change point":
            found[-1] = (*found[-1], ordered)
        else:
            found.append((ordered,))
    return tuple(found)


def reduced_run(chain: tuple[tuple[Reading, ...], ...], known: dict[str, float], per_root_mm: float) -> Run:
    """One run reduced both ways, its arithmetic checked, its misclosure judged and spread.

    per_root_mm  rule value misclosure_per_root_mm
    Valid       stands of two readings or more
    Source      [levelling-texts] accepted within m sqrt(n) and spread equally; rejected: the run is read again
    Raises      NotDesignedError where the misclosure passes what is allowed, or a stand read only its back sight
    Proved by   tests/levels/test_runs.py, tests/properties/test_levelling.py
    """
    for stand in chain:
        if len(stand) < 2:
            raise NotDesignedError(
                f"Set-up '{stand[0].set_up}' read '{stand[0].point}' and nothing else.",
                "Take the row out, or book what else was read from there.",
            )
    stands = tuple(Stand(stand[0].set_up, tuple(r.value_mm for r in stand)) for stand in chain)
    booked = book(known[chain[0][0].point], stands)
    wrong = [c.name for c in checks(booked) if not c.holds]
    if wrong:
        mend = "Look at its readings: one is no number."
        raise NotDesignedError(f"The level book does not add up: {wrong[0]}.", mend)
    allowed_mm = allowed_misclosure_mm(per_root_mm, len(stands))
    last = chain[-1][-1]
    if last.where != "bench mark":
        return Run(chain, booked, None, allowed_mm, (0.0,) * len(stands))
    misclosure_mm = booked.last_mm - known[last.point]
    if abs(misclosure_mm) > allowed_mm:
        names = ", ".join(s.name for s in stands)
        other = last.point != chain[0][0].point and known[last.point] == 0.0
        mend = "Read the whole run again; a misclosure that is too large is not spread."
        if other:
            mend += f" If '{last.point}' is another mark, give its level in a row of kind level, where = bench mark."
        raise NotDesignedError(
            f"The levelling run over set-up{'s' if len(stands) > 1 else ''} {names} closes {misclosure_mm:+.1f} mm out"
            f" on '{last.point}'; {allowed_mm:.1f} mm is allowed over {len(stands)}.",
            mend,
        )
    return Run(chain, booked, misclosure_mm, allowed_mm, spread_mm(misclosure_mm, len(stands)))


def runs_of(readings: tuple[Reading, ...], per_root_mm: float) -> tuple[Run, ...]:
    """All runs of a cover's staff readings.

    Valid       readings of one cover in the order of the book
    Source      see reduced_run
    Raises      NotDesignedError as chains and reduced_run
    Proved by   tests/levels/test_runs.py
    """
    known = known_levels(readings)
    return tuple(reduced_run(chain, known, per_root_mm) for chain in chains(readings))
