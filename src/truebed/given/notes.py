"""What the reader notes on its way: faults and echoes, and the words they are told in."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import islice

from truebed.errors import Fault
from truebed.given.works import Echo

_SHOWN_COUNT = 60
#: names compared for a hint; comparing is slow, and a file with more names than this is beyond hints
_COMPARED_COUNT = 1000


@dataclass(slots=True)
class Notes:
    """Faults and echoes of one reading, in the order they were met."""

    faults: list[Fault] = field(default_factory=list)
    echoes: list[Echo] = field(default_factory=list)

    def fault(self, file: str, row: int, column: str, found: str, expected: str, mend: str) -> None:
        """Note one fault."""
        self.faults.append(Fault(file, row, column, found, expected, mend))

    def echo(self, file: str, row: int, column: str, was: str, now: str) -> None:
        """Note one value that was converted or mended."""
        self.echoes.append(Echo(file, row, column, was, now))


def shown(text: str) -> str:
    """A cell as a fault shows it: quoted, short, with nothing unprintable.

    Source      house (print form)
    Proved by   tests/given/test_cells.py
    """
    if not text.strip():
        return "nothing"
    short = text if len(text) <= _SHOWN_COUNT else text[: _SHOWN_COUNT - 3] + "..."
    return "'" + "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in short) + "'"


@lru_cache(maxsize=4096)
def _nearest(name: str, known: tuple[str, ...], alike_share: float) -> str:
    folded = {other.casefold(): other for other in reversed(known)}
    near = difflib.get_close_matches(name.casefold(), list(folded), n=1, cutoff=alike_share)
    return folded[near[0]] if near else ""


def nearest(name: str, known: Iterable[str], alike_share: float = 0.6) -> str:
    """The known name most like this one, '' if none is alike enough.

    Source      house (a hint in a fault, never a correction)
    Proved by   tests/given/test_cells.py
    """
    return _nearest(name[:200], tuple(islice(known, _COMPARED_COUNT)), alike_share)


def did_you_mean(name: str, known: Iterable[str], otherwise: str) -> str:
    """A mend that names the nearest known name, or says the other thing.

    Source      house (wording)
    Proved by   tests/given/test_cells.py
    """
    near = nearest(name, known)
    return f"Did you mean '{near}'? {otherwise}" if near else otherwise
