"""Writes one file of results whole or not at all: beside, then renamed."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from truebed.errors import OutputInTheWayError


def refuse_foreign(out: Path, begins: bytes) -> None:
    """Refuse a place that holds anything but a file of ours, known by how it begins. Raises OutputInTheWayError."""
    if out.is_symlink() or (out.exists() and not out.is_file()):
        what = "a link" if out.is_symlink() else "no file"
        raise OutputInTheWayError(f"{out} is {what}; name another file with --out.")
    if out.exists():
        with out.open("rb") as stream:
            if stream.read(len(begins)) != begins:
                raise OutputInTheWayError(f"{out} is not a file that Truebed made; name another with --out.")


def write_file(out: Path, data: bytes) -> None:
    """Write a file; a failure leaves what was there, and no part of the new one."""
    out.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(prefix=f".{out.name}.", dir=out.parent)
    beside = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        beside.chmod(0o644)
        beside.replace(out)
    finally:
        beside.unlink(missing_ok=True)
