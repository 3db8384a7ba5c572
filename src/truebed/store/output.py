"""Writes a folder of results whole or not at all: beside, then renamed."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterable, Mapping
from fnmatch import fnmatchcase
from pathlib import Path, PurePosixPath

from truebed.errors import OutputInTheWayError

#: The file by which Truebed knows a results folder as its own and may replace it.
MARK = "plan.json"


#: Names that results of Truebed have; anything else in a results folder is the user's.
OURS = (
    "plan.json", "findings.csv", "load-list.xlsx", "programme.ics", "*-site-pack.pdf", "drawings", "drawings/*.svg",
    "drawings/*.dxf",
)  # fmt: skip


def foreign_in(out: Path, names: Iterable[str]) -> tuple[str, ...]:
    """What lies in a results folder that is neither among `names` nor named as results of Truebed are."""
    known = set(names) | {str(parent) for name in names for parent in PurePosixPath(name).parents}
    found = sorted(p.relative_to(out).as_posix() for p in out.rglob("*"))
    return tuple(f for f in found if f not in known and not any(fnmatchcase(f, pattern) for pattern in OURS))


def may_replace(out: Path, mark: str) -> bool:
    """Whether a results place is free: absent, an empty folder, or a folder (no link) that Truebed made."""
    if out.is_symlink():
        return False
    if not out.exists():
        return True
    return out.is_dir() and (not any(out.iterdir()) or (out / mark).is_file())


def refuse_in_the_way(out: Path, mark: str = MARK) -> None:
    """Refuse a results place that holds something else. Raises OutputInTheWayError."""
    if not may_replace(out, mark):
        what = "a link" if out.is_symlink() else "a folder with other things in it" if out.is_dir() else "a file"
        raise OutputInTheWayError(f"{out} is {what}, not results of Truebed; name another place with --out.")


def swap(fresh: Path, out: Path, former: Path) -> None:
    """Put `fresh` in the place of `out`, keeping what stood there as `former`; put it back if that fails."""
    out.replace(former)
    try:
        fresh.replace(out)
    except OSError:
        former.replace(out)
        raise


def write_whole(out: Path, files: Mapping[str, bytes], mark: str = MARK) -> None:
    """Write all files under `out`, replacing an earlier result of Truebed; a failure leaves what was there.

    files   relative posix path -> bytes
    Raises  OutputInTheWayError where `out` holds something else
    """
    refuse_in_the_way(out, mark)
    foreign = foreign_in(out, tuple(files)) if out.exists() else ()
    if foreign:
        raise OutputInTheWayError(
            f"{out} also holds {', '.join(foreign[:5])}, which Truebed did not make; take it away or name another "
            "place with --out."
        )
    out.parent.mkdir(parents=True, exist_ok=True)
    beside = Path(tempfile.mkdtemp(prefix=f".{out.name}.", dir=out.parent))
    try:
        for name, data in files.items():
            target = beside / name
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(data)
        beside.chmod(0o755)
        if out.exists():
            former = Path(tempfile.mkdtemp(prefix=f".{out.name}.former.", dir=out.parent))
            swap(beside, out, former / "results")
            shutil.rmtree(former)
        else:
            beside.replace(out)
    finally:
        if beside.exists():
            shutil.rmtree(beside)
