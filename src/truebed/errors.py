"""What can go wrong with what a user gives: faults (all of them at once) and the few exceptions that carry them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One thing wrong in one place of an input file, with how to mend it.

    row is the line a person sees in a spreadsheet (header = 1); 0 where the fault is of the whole file.
    """

    file: str
    row: int
    column: str
    found: str
    expected: str
    mend: str

    def sentence(self) -> str:
        """The fault as one line for a person."""
        place = self.file + (f", row {self.row}" if self.row else "") + (f", {self.column}" if self.column else "")
        return f"{place}: found {self.found}; expected {self.expected}. {self.mend}"


class TruebedError(Exception):
    """Anything Truebed refuses with a sentence for the user."""


class FaultsError(TruebedError):
    """The input has faults; all that were found travel together."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = tuple(sorted(faults))
        count = len(self.faults)
        super().__init__(f"{count} fault{'s' if count != 1 else ''} in the works folder")


class NotDesignedError(TruebedError):
    """One cover cannot be designed; the others go on. Carries the reason and what would mend it."""

    def __init__(self, reason: str, mend: str) -> None:
        self.reason = reason
        self.mend = mend
        super().__init__(f"{reason} {mend}")


class NotDeterminedError(TruebedError):
    """A value cannot be found from what the sheet or rule set gives; never replaced by a default."""


class OutputInTheWayError(TruebedError):
    """The output place holds something Truebed did not make."""
