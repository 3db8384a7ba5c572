"""How much of each mean is held in each minute, as bits: which starts are free is a few shifts."""

from __future__ import annotations

from truebed.programme.means import Mean
from truebed.programme.problem import Task


class Usage:
    """Bookings of means. One bit for each minute; a bit is set where a step that holds so much may not run."""

    def __init__(self, have: dict[Mean, int], minutes: int) -> None:
        self._have = have
        self._minutes = minutes
        self._used = {mean: [0] * (minutes + 1) for mean in have}
        self._blocked: dict[tuple[Mean, int], int] = {}

    def earliest(
        self, held: dict[Mean, int], length: int, not_before: int, not_after: int, never: int = 0
    ) -> int | None:
        """The first start in that span at which all means are free for the whole length and no bit of never is set."""
        if not_after < not_before:
            return None
        free = ((1 << (not_after + 1)) - 1) & ~never & ~self._no_start(held, length)
        free >>= not_before
        return None if free == 0 else not_before + (free & -free).bit_length() - 1

    def _no_start(self, held: dict[Mean, int], length: int) -> int:
        """Starts at which a step of that length would meet a blocked minute."""
        taken = 0
        for mean, count in held.items():
            taken |= self._row(mean, count)
        spread, reach = (taken, 1) if length else (0, length)
        while reach < length:
            step = min(reach, length - reach)
            spread |= spread >> step
            reach += step
        return spread

    def _row(self, mean: Mean, count: int) -> int:
        key = (mean, count)
        if key not in self._blocked:
            room = self._have[mean] - count
            self._blocked[key] = sum(1 << m for m, used in enumerate(self._used[mean]) if used > room)
        return self._blocked[key]

    def hold(self, held: dict[Mean, int], start: int, length: int, sign: int = 1) -> None:
        """Book (sign 1) or give back (sign -1)."""
        for mean, count in held.items():
            row = self._used[mean]
            first, last = max(0, start), min(start + length, self._minutes + 1)
            for minute in range(first, last):
                row[minute] += sign * count
            for (of, wanted), bits in list(self._blocked.items()):
                if of == mean and last > first:
                    room = self._have[mean] - wanted
                    cleared = bits & ~(((1 << (last - first)) - 1) << first)
                    self._blocked[of, wanted] = cleared | sum(1 << m for m in range(first, last) if row[m] > room)


def never_starts(task: Task) -> int:
    """The starts that the task's forbidden spans rule out, as bits.

    Source      algebra (a step of no minutes has no part in any span)
    Proved by   tests/programme/test_usage.py
    """
    bits = 0
    for a, b in task.not_during:
        first = max(0, a - task.minutes + 1)
        if task.minutes and b > first and b > a:
            bits |= ((1 << (b - first)) - 1) << first
    return bits
