"""What one column of a file holds, as data: the reader, the page and the schema are all drawn from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Holds = Literal["text", "name", "number", "whole", "choice", "time", "date", "list", "yes or no"]

#: greatest length of a text or name cell, in characters
LONGEST_TEXT_COUNT = 500
LONGEST_NAME_COUNT = 60


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a CSV, or one key of works.toml.

    between   least and greatest value taken, in `unit`, both included; plausible, not permitted: limits are rules
    unless    when a required cell may be empty all the same
    refused   words the trade uses here that Truebed does not take, each with how to mend it
    beyond    what a number far out of range likely is, told in the mend
    """

    name: str
    holds: Holds
    meaning: str
    example: str
    required: bool = True
    unit: str = ""
    between: tuple[float, float] | None = None
    choices: tuple[str, ...] = ()
    unless: str = ""
    refused: tuple[tuple[str, str], ...] = ()
    beyond: str = ""

    @property
    def stem(self) -> str:
        """The name without its unit: 'flange_along' of 'flange_along_mm'; the whole name where it has none."""
        return self.name.removesuffix(f"_{self.unit}") if self.unit else self.name

    @property
    def range_text(self) -> str:
        """The range in words, '' where there is none."""
        if self.between is None:
            return ""
        least, most = self.between
        return f"{plain(least)} to {plain(most)}" + (f" {self.unit}" if self.unit else "")

    @property
    def expected(self) -> str:
        """What a cell must hold, in words."""
        if self.choices:
            return "one of: " + ", ".join(self.choices)
        words = {
            "text": f"text of at most {LONGEST_TEXT_COUNT} characters",
            "name": f"a name of at most {LONGEST_NAME_COUNT} letters, digits, spaces, dots, hyphens and underscores",
            "number": "a number",
            "whole": "a whole number",
            "choice": "one of the choices",
            "time": "a date and time with its offset, as 2027-03-11T20:00+00:00, between the years 2000 and 2100",
            "date": "a date, as 2027-09-30",
            "list": "names separated by |",
            "yes or no": "true or false",
        }[self.holds]
        return f"{words} from {self.range_text}" if self.between is not None else words


@dataclass(frozen=True, slots=True)
class FileColumns:
    """One CSV of the works folder. needed: the folder must have it, with at least one row."""

    name: str
    what: str
    columns: tuple[Column, ...]
    needed: bool = True

    @property
    def stem(self) -> str:
        """'covers' of 'covers.csv'."""
        return self.name.removesuffix(".csv")

    def column(self, name: str) -> Column:
        """The column of that name. Raises KeyError if there is none."""
        for column in self.columns:
            if column.name == name:
                return column
        raise KeyError(name)


def plain(value: float) -> str:
    """A number as a person writes it: no exponent, no trailing zeros.

    Valid       any finite value
    Source      house (print form)
    Proved by   tests/given/test_columns.py
    """
    text = f"{value:.9f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text
