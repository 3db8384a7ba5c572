"""Bytes of a text file -> text: UTF-8 (with or without its mark), else Windows-1252; anything else is a fault."""

from __future__ import annotations

from truebed.given.notes import Notes

_MEND = "Save it as 'CSV UTF-8' (a .toml file: as plain UTF-8 text) and put it back."
_EXPECTED = "text in UTF-8 or Windows-1252"


def decode(file: str, data: bytes, notes: Notes) -> str | None:
    """The text of a file, or None and a fault.

    Valid       any bytes
    Source      house (what spreadsheets write)
    Proved by   tests/given/test_spellings.py, tests/properties/test_reader.py
    """
    if not data.strip():
        notes.fault(file, 0, "", "an empty file", _EXPECTED, "Fill it, or take the file out of the folder.")
        return None
    if b"\x00" in data:
        kind = "UTF-16 text" if data[:2] in {b"\xff\xfe", b"\xfe\xff"} else "bytes that are no text (zero bytes)"
        notes.fault(file, 0, "", kind, _EXPECTED, _MEND)
        return None
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        pass
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError as problem:
        row = data[: problem.start].count(b"\n") + 1
        notes.fault(file, row, "", f"the byte 0x{data[problem.start]:02x}", _EXPECTED, _MEND)
        return None
    notes.echo(file, 0, "", "not UTF-8", "read as Windows-1252")
    return text
