"""Which files of a works folder are which; misspelt, doubled and missing ones are faults."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import PurePosixPath

from truebed.given.columns import FILES
from truebed.given.notes import Notes, nearest, shown

WORKS_TOML = "works.toml"
#: files other rooms read, and folders they stand in
OTHER_FILES = ("rates.toml", "journal.jsonl", "journal.torn")
FOLDERS = ("sheets", "methods", "rules", "photos")
_LET_BE = frozenset(
    {
        *{".md", ".txt", ".pdf", ".doc", ".docx", ".odt", ".eml", ".msg", ".html", ".zip", ".dxf"},
        *{".jpg", ".jpeg", ".png", ".heic", ".webp", ".gif", ".svg", ".mp4", ".mov"},
    }
)
_NOISE = frozenset({"thumbs.db", "desktop.ini"})


def choose_files(files: Mapping[str, bytes], notes: Notes) -> dict[str, str]:
    """Known file name ('covers.csv') -> the name it has in this folder ('Covers.csv', 'covers.xlsx').

    Valid       any mapping of relative names to bytes
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_file_names.py
    """
    if not files:
        notes.fault("works folder", 0, "", "an empty folder", "works.toml, covers.csv and the others", _START)
        return {}
    chosen: dict[str, str] = {}
    doubled: set[str] = set()
    stray: list[str] = []
    for name in sorted(files):
        known = _known(name)
        if known is None:
            stray.append(name)
        elif known in chosen:
            found = f"both {chosen[known]} and {name}"
            doubled.add(known)
            notes.fault(known, 0, "", found, "one of them", "Keep the one that is right and take the other away.")
        else:
            chosen[known] = name
    missed = [name for name in _needed() if name not in chosen]
    named = {_stray(name, chosen, notes) for name in stray}
    for name in missed:
        if name not in named:
            notes.fault(name, 0, "", "no such file", f"{name} in the works folder", _START)
    # which of two is right is not guessed, so neither is read
    return {known: name for known, name in chosen.items() if known not in doubled}


_START = "Put it there; docs/works-folder.md says what stands in it."


def _needed() -> tuple[str, ...]:
    return (WORKS_TOML, *(known.name for known in FILES if known.needed))


def _known(name: str) -> str | None:
    """The known name of a file, None for any other."""
    folded = name.casefold()
    if folded in {WORKS_TOML, *OTHER_FILES}:
        return folded
    for known in FILES:
        if folded in {known.name, f"{known.stem}.xlsx"}:
            return known.name
    return None


def _stray(name: str, chosen: Mapping[str, str], notes: Notes) -> str:
    """Notes a fault for a file that looks misspelt; gives the known name it was likely meant for, or ''."""
    path = PurePosixPath(name)
    if len(path.parts) > 1:
        _stray_folder(name, path.parts[0], notes)
        return ""
    folded = path.name.casefold()
    if folded in _NOISE or folded.startswith((".", "~$")) or not folded:
        return ""
    known = (WORKS_TOML, *(each.name for each in FILES), *OTHER_FILES)
    near = next((each for each in known if each.split(".")[0] == folded.split(".")[0]), "")
    ending = path.suffix.casefold()
    if (ending in _LET_BE or not ending) and (not near or near in chosen):
        return ""
    if not near:
        near = nearest(folded, known, 0.7)
    expected = "a file that Truebed knows"
    if near:
        mend = f"Name it '{near}'" + (" and save it as such" if ending != PurePosixPath(near).suffix else "")
        if near in chosen:
            mend = f"'{near}' is there already: take this one away, or join the two"
        notes.fault(shown(name).strip("'"), 0, "", "a file of this name", expected, f"{mend}.")
    else:
        mend = "Take it out of the folder, or keep it in photos/."
        notes.fault(shown(name).strip("'"), 0, "", "a file of this name", expected, mend)
    return near


def _stray_folder(name: str, folder: str, notes: Notes) -> None:
    """A folder spelt nearly like a known one."""
    if folder in FOLDERS:
        return
    near = nearest(folder, FOLDERS, 0.7)
    if near:
        mend = f"Name the folder '{near}'."
        notes.fault(shown(name).strip("'"), 0, "", f"a folder {shown(folder)}", f"a folder '{near}'", mend)
