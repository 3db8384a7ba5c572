"""The page docs/works-folder.md, drawn from the same columns that the reader obeys."""

from __future__ import annotations

from truebed.given.column import Column, FileColumns
from truebed.given.columns import FILES, HEADING
from truebed.given.conversion import units_for

_OPENING = """\
# The works folder

<!-- Written by `make schema` from src/truebed/given/; change it there. -->

A works folder is what you give Truebed: files that any spreadsheet or editor can write. Axes, signs and units are
explained in [axes-and-signs.md](axes-and-signs.md). The same columns as a JSON Schema:
[schema/works.schema.json](schema/works.schema.json).

| file | wanted | what stands in it |
|---|---|---|
"""

_NOTES = """\

## How the files may be written

- **Spreadsheet or CSV.** `covers.xlsx` may stand in place of `covers.csv`, and so for the others; both at once is a
  fault. Of several sheets the one named like the file (`covers`) is read. Hidden sheets are not read.
- **Text.** UTF-8 (with or without its mark) or Windows-1252. Cells parted by commas or semicolons. With semicolons
  decimals may be written with a comma; with commas only with a point. No marks between thousands.
- **Header.** In the first filled row, in any order, in capitals or not, with blanks or underscores. An unknown column
  is a fault: nothing is passed over in silence.
- **Rows.** Blank rows are passed over. Row numbers in faults are those a spreadsheet shows; the header is mostly 1.
- **Choices** may be written in capitals or not: `Stop-Go` is `stop-go`.
- **Lists** are parted by `|`.
- **Times** are ISO 8601 with their offset: `2027-03-11T20:00+00:00`. In a spreadsheet type them as text. A time whose
  offset is not that of the works' time zone is taken as it stands, and told back in local time.
- **Names** of covers, closures, methods and sheets become parts of file names: letters, digits, spaces, dots, hyphens
  and underscores. Two names that differ only in capitals are one name.
- **People** are roles or initials, never full names.

## Units in the header

A header may carry another unit: `flange_along_in` in place of `flange_along_mm`. Every value is converted once, to
nine decimals, and told back. Exact factors: inch 25.4 mm, foot 304.8 mm, pound 0.45359237 kg, mile 1609.344 m.

| column's own unit | units a header may carry |
|---|---|
"""

_FAULTS = """\

## Faults

All faults of all files are told at once, each with file, row, column, what was found, what is expected and how to mend
it. With one fault there are no works: nothing is guessed and nothing is left out. Beyond single cells the reader looks
for:

- a cover, closure, person, tool, point, sounding, unit or lot twice; a reading, condition, obstacle, sounding or person
  that names what is not there;
- fewer than six road readings at a cover, or all of them within 30 mm of one straight line;
- readings or soundings in metres by their size, places on the map where places from the frame's centre are wanted, a
  road value that lies so far from its neighbours that the road would be steeper than 1 in 2 (a metre misread);
- a road reading inside the frame or beyond the kerb; a frame or lid reading more than 30 mm off the frame (axes
  mirrored or swapped); signs lost (all road readings on one side) or swapped (kerb readings on the wrong side); two
  points at one place; one point with two values;
- staff readings of a stand that hangs on nothing: no bench mark, and no change point that the stand before read last; a
  bench mark or change point between the other points of its stand; a change point read once; a stand of one reading;
- a gap or offset that names no line; a line of one point, of two kinds, with the level of one end, with the name of a
  stand, or with a point more than 30 mm off it; a negative straightedge gap, or a negative string-line offset down to
  the road;
- frames that cannot be: the opening not inside the body, the body larger than the flange, the flange not reaching over
  the chamber (by sides, and by corners where a square one stands in a round one), a D shorter than its half circle, the
  flange as thick as the frame is deep; parts in a row of a round frame; a kerb without its distance or nearer than the
  flange;
- a cover with neither a sound margin nor soundings; an obstacle in the flange; a sounding inside the frame; a crack
  with one end, a tap or probe with two; a tap, probe or crack that found what it cannot find; a unit without height;
- a closure that opens before it shuts or leaves no time to work; noisy work that ends before the road is shut; a street
  in no closure or in two; hours of weather out of order, twice or missing while a road is shut, air in Fahrenheit under
  a head in Celsius, weather that cannot be; a vibration value without its source;
- a file or folder whose name is nearly a known one. Photographs, PDFs and notes beside the files are let be.

A single reading that is 10 mm or 100 mm off is no fault of the file: the road's fit looks for it and names it.

A folder is refused before it is read if it is missing or empty, holds more than 2000 files, a file of more than 32 MB
or more than 256 MB together, or a link that leads out of it.

## Bookings, lines and gaps

[axes-and-signs.md](axes-and-signs.md) says how stands, change points, straightedges and strings are booked, with a
small example of each.

## Shapes

- `shape` is the body's. Opening and flange have it too, unless `opening_shape` or `flange_shape` says otherwise: a
  round lid in a square flange is `shape` = `rectangle` with `opening_shape` = `round`.
- **round**: write the diameter as *along* and leave *across* empty (or write the same diameter again); with
  `chamber_shape` = `round` likewise for the chamber.
- **D**: *across* is its straight back, *along* the distance from there to its nose, a half circle as wide as the back.
  So *along* is at least half of *across*. Its nose looks along the frame's own x.
- **triangular pair**: the outline of a rectangle; two three-point lids meet along its diagonal, from the back right
  corner to the front left one.
"""


def works_folder_page() -> str:
    """The whole page as Markdown.

    Valid       always
    Source      house
    Proved by   tests/house/test_docs_columns.py
    """
    parts = [_OPENING, "| `works.toml` | yes | The heading: who, where, under which rules. |\n"]
    parts += [f"| `{f.name}` | {'yes' if f.needed else 'if you have it'} | {f.what} |\n" for f in FILES]
    parts += [_others()]
    parts += [
        "\n## works.toml\n\nOne key a line: text in quotation marks, numbers without.\n\n",
        _table(HEADING, "key"),
    ]
    for columns in FILES:
        parts += [f"\n## {columns.name}\n\n{columns.what}\n\n", _table(columns.columns, "column")]
        parts += [_example(columns)]
    units = sorted({c.unit for f in FILES for c in f.columns if len(units_for(c.unit)) > 1 and c.unit})
    parts += [_NOTES, *(f"| {unit} | {', '.join(units_for(unit)[1:])} |\n" for unit in units), _FAULTS]
    return "".join(parts)


def _others() -> str:
    return (
        "| `rates.toml` | if you have it | Prices and carbon factors, each with its source. |\n"
        "| `sheets/*.toml` | yes | Material data sheets. |\n"
        "| `methods/*.toml` | yes | Methods: roles, layers, steps and their clocks. |\n"
        "| `rules/*.toml` | if you have it | Your own rule sets. |\n"
        "| `journal.jsonl` | written | Events of what was done. |\n"
        "| `photos/` | if you have it | Not read. |\n"
    )


def _table(columns: tuple[Column, ...], head: str) -> str:
    lines = [f"| {head} | unit | wanted | holds | meaning | example |\n|---|---|---|---|---|---|\n"]
    for column in columns:
        wanted = "no" if not column.required else f"unless {column.unless}" if column.unless else "yes"
        cells = (f"`{column.name}`", column.unit, wanted, _holds(column), column.meaning, f"`{column.example}`")
        lines.append("| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |\n")
    return "".join(lines)


def _holds(column: Column) -> str:
    if column.choices:
        return ", ".join(column.choices)
    words = {"whole": "whole number", "time": "time with offset", "list": "list", "yes or no": "true or false"}
    what = words.get(column.holds, column.holds)
    if column.between is None:
        return what
    return f"{what}, {column.range_text.removesuffix(f' {column.unit}') if column.unit else column.range_text}"


def _example(columns: FileColumns) -> str:
    """A header and one row that can be copied."""
    header = ",".join(column.name for column in columns.columns)
    row = ",".join(f'"{c.example}"' if "," in c.example else c.example for c in columns.columns)
    return f"\n```csv\n{header}\n{row}\n```\n"
