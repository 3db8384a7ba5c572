"""Sweep a works folder: the ground of every cover in batches, as one table."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from truebed.actions.load import load_works
from truebed.papers.sweep_csv import HEAD, sweep_csv
from truebed.plan.network_sweep import Swept, sweep_works
from truebed.store.one_file import refuse_foreign, write_file

Progress = Callable[[str], None]
#: How a table of a sweep begins.
BEGINS = b"\xef\xbb\xbf" + ",".join(HEAD).encode()


@dataclass(frozen=True, slots=True)
class SweptWorks:
    """A sweep and the size of its table."""

    swept: Swept
    size: int


def sweep_folder(works: Path, out: Path, tell: Progress, *, dry_run: bool = False) -> SweptWorks:
    """Sweep a works folder into the table `out`. Raises FaultsError, OutputInTheWayError."""
    refuse_foreign(out, BEGINS)
    loaded = load_works(works)
    swept = sweep_works(loaded.works, loaded.shelf, loaded.measured, tell)
    data = sweep_csv(swept)
    if not dry_run:
        write_file(out, data)
    return SweptWorks(swept, len(data))
