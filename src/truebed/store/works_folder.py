"""A works folder on disk -> its files' bytes. Refuses what cannot be a works folder before it reads it."""

from __future__ import annotations

import os
import stat
from dataclasses import dataclass, field
from pathlib import Path

from truebed.errors import Fault, FaultsError

MOST_FILE_BYTES_COUNT = 32 * 1024 * 1024
MOST_FOLDER_BYTES_COUNT = 256 * 1024 * 1024
MOST_FILES_COUNT = 2000
_NOT_READ = frozenset({"photos"})


@dataclass(slots=True)
class _Found:
    """What the walk has met so far."""

    root: Path
    files: dict[str, int] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    entries_count: int = 0

    def fault(self, file: str, found: str, expected: str, mend: str) -> None:
        self.faults.append(Fault(file, 0, "", found, expected, mend))


def read_folder(path: Path) -> dict[str, bytes]:
    """The files of a works folder by their relative names ('covers.csv', 'sheets/x.toml'), in order of name.

    photos/ and hidden files are not read; whoever parses the bytes decides about the rest.

    Source      house (docs/works-folder.md)
    Raises      FaultsError where the folder is missing, empty, no folder, too large, or a link leads out of it
    Proved by   tests/store/test_works_folder.py
    """
    root = _root(path)
    found = _Found(root)
    _walk(root, "", found)
    if not found.files and not found.faults:
        found.fault(str(path), "an empty folder", "works.toml, covers.csv and the others", _START)
    total_bytes_count = sum(found.files.values())
    if total_bytes_count > MOST_FOLDER_BYTES_COUNT:
        expected = f"at most {_mb(MOST_FOLDER_BYTES_COUNT)} together"
        found.fault(str(path), f"{_mb(total_bytes_count)} of files", expected, _ELSEWHERE)
    if found.faults:
        raise FaultsError(tuple(found.faults))
    files = {name: _read(root / name, name, found) for name in sorted(found.files)}
    if found.faults:
        raise FaultsError(tuple(found.faults))
    return files


_START = "Put the files there; docs/works-folder.md says what stands in them."
_ELSEWHERE = "Keep large files outside the works folder, or photographs in photos/."


def _mb(bytes_count: int) -> str:
    return f"{bytes_count / (1024 * 1024):.1f} MB"


def _root(path: Path) -> Path:
    """The folder itself, links resolved."""

    def refuse(found: str, mend: str) -> FaultsError:
        return FaultsError((Fault(str(path), 0, "", found, "a works folder", mend),))

    try:
        root = path.resolve(strict=True)
    except FileNotFoundError:
        raise refuse("nothing there", "Check the path.") from None
    except (OSError, RuntimeError, ValueError) as problem:
        raise refuse(f"a path that cannot be followed ({_reason(problem)})", "Check the path.") from None
    if not root.is_dir():
        raise refuse("a file", "Give the folder the file stands in.")
    return root


def _reason(problem: Exception) -> str:
    return problem.strerror if isinstance(problem, OSError) and problem.strerror else type(problem).__name__


def _walk(folder: Path, prefix: str, found: _Found) -> None:
    """Notes every file below a folder, in order of name, without opening one."""
    try:
        with os.scandir(folder) as listing:
            entries = sorted(listing, key=lambda entry: entry.name)
    except OSError as problem:
        found.fault(prefix or ".", f"a folder that cannot be listed ({_reason(problem)})", "a readable folder", _RIGHTS)
        return
    for entry in entries:
        if entry.name.startswith(".") or (not prefix and entry.name.casefold() in _NOT_READ):
            continue
        found.entries_count += 1
        if found.entries_count > MOST_FILES_COUNT:
            if found.entries_count == MOST_FILES_COUNT + 1:
                expected = f"at most {MOST_FILES_COUNT} files and folders"
                found.fault(str(found.root.name), f"more than {MOST_FILES_COUNT}", expected, _ELSEWHERE)
            return
        _entry(entry, prefix + entry.name, found)


_RIGHTS = "Let your user read it."


def _entry(entry: os.DirEntry[str], name: str, found: _Found) -> None:
    if not name.isprintable():
        found.fault(ascii(name), "a name with hidden characters", "a printable name", "Rename it.")
        return
    try:
        if entry.is_symlink() and not _link_stays(Path(entry.path), name, found):
            return
        told = entry.stat()
    except (OSError, RuntimeError) as problem:
        found.fault(name, f"a file that cannot be read ({_reason(problem)})", "a readable file", _RIGHTS)
        return
    if stat.S_ISDIR(told.st_mode):
        _walk(Path(entry.path), f"{name}/", found)
    elif not stat.S_ISREG(told.st_mode):
        found.fault(name, "something that is no plain file", "a plain file", "Take it out of the folder.")
    elif told.st_size > MOST_FILE_BYTES_COUNT:
        found.fault(name, _mb(told.st_size), f"at most {_mb(MOST_FILE_BYTES_COUNT)}", _ELSEWHERE)
    else:
        found.files[name] = told.st_size


def _link_stays(link: Path, name: str, found: _Found) -> bool:
    """True for a link to a plain file inside the works folder."""
    target = link.resolve(strict=True)
    if not target.is_relative_to(found.root):
        mend = "Copy the file into the folder in its place."
        found.fault(name, "a link that leads out of the works folder", "a file of its own", mend)
        return False
    if target.is_dir():
        found.fault(name, "a link to a folder", "a folder of its own", "Copy the folder in its place.")
        return False
    return True


def _read(path: Path, name: str, found: _Found) -> bytes:
    """The bytes of one file, never more than allowed even if it grows while it is read."""
    try:
        with path.open("rb") as file:
            data = file.read(MOST_FILE_BYTES_COUNT + 1)
    except OSError as problem:
        found.fault(name, f"a file that cannot be read ({_reason(problem)})", "a readable file", _RIGHTS)
        return b""
    if len(data) > MOST_FILE_BYTES_COUNT:
        found.fault(name, "a file that grew while it was read", f"at most {_mb(MOST_FILE_BYTES_COUNT)}", _ELSEWHERE)
    return data
