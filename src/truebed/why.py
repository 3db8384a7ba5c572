"""The why-tree: data that stands beside each figure and says where it came from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Why:
    """One node: a value, the relation that gave it, the relation's source, and the inputs.

    what      in the user's words: 'level of the rim at the front-left corner'
    value     number or short text; unit '' for text
    relation  the formula or step in one line: 'rim plane: a + b x + c y'
    source    'readings.csv row 12' | '[key] clause (seen)' | 'algebra' | 'common practice, no source' | 'from memory'
    governed_by  the limit that decided the value, '' where none did
    margin    distance to that limit, in unit; None where none
    """

    what: str
    value: float | str
    unit: str
    relation: str
    source: str
    inputs: tuple[Why, ...] = ()
    governed_by: str = ""
    margin: float | None = None

    def walk(self, depth: int = 0) -> Iterator[tuple[int, Why]]:
        """Every node with its depth, this one first."""
        yield depth, self
        for child in self.inputs:
            yield from child.walk(depth + 1)


@dataclass(frozen=True, slots=True)
class Figure:
    """A number shown to a user, with its uncertainty and its why.

    value      None where the figure is *not determined* (why says the reason)
    plus_minus half-width of the 90 % interval in `unit`; None where the figure is exact or counted
    """

    value: float | None
    unit: str
    why: Why
    plus_minus: float | None = None
