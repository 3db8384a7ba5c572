"""The load list as a spreadsheet: a sheet a closure, one for all together, with a column to tick at loading."""

from __future__ import annotations

import io
from datetime import datetime
from typing import Any

from truebed.plan.result import ClosurePlan, LoadLine, Plan

HEAD = ("loaded", "what", "sheet", "quantity", "spare", "unit", "for covers", "note")
_WIDTHS = (9, 34, 22, 10, 16, 8, 26, 40)
_TOTAL = "all closures"
_NO_CLOSURE_DATE = datetime(2000, 1, 1)  # noqa: DTZ001 - the workbook's own date has no zone


def load_list_xlsx(plan: Plan) -> bytes:
    """The load list as XLSX, the same bytes each time; words are words, never formulas.

    Valid       any plan
    Source      house (paper)
    Proved by   tests/papers/test_load_list.py
    """
    import xlsxwriter

    stream = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    book = xlsxwriter.Workbook(stream, options)
    book.set_properties({"title": f"{plan.works}: load list", "created": _created(plan), "comments": plan.truebed})
    formats = _formats(book)
    names = sheet_names(tuple(c.closure for c in plan.closures))
    for closure, name in zip(plan.closures, names, strict=True):
        lines = tuple(line for line in plan.load if line.closure == closure.closure)
        _write(book.add_worksheet(name), formats, plan, closure.closure, (*lines, *packer_lines(closure)))
    packers = tuple(line for closure in plan.closures for line in packer_lines(closure))
    _write(book.add_worksheet(_TOTAL), formats, plan, _TOTAL, totals((*plan.load, *packers)))
    book.close()
    return stream.getvalue()


def packer_lines(closure: ClosurePlan) -> tuple[LoadLine, ...]:
    """The pieces that stand under tonight's frames, a line a size; a line without size where none are in the yard.

    Valid       any closure; () where no cover has packers
    Source      house (counting)
    Proved by   tests/papers/test_load_list.py
    """
    done = [d for d in closure.designed if d.cover in closure.solution.schedule.done and d.aids is not None]
    pieces: dict[float, list[str]] = {}
    bare: list[tuple[str, float]] = []
    for design in done:
        stacks = () if design.aids is None else design.aids.packers
        for stack in stacks:
            for height_mm in stack.pieces_mm:
                pieces.setdefault(height_mm, []).append(design.cover)
            if not stack.pieces_mm:
                bare.append((design.cover, stack.place.height_mm))
    lines = [
        _packers(closure, f"Packer {height_mm:g} mm", pieces[height_mm], "under the frames, as the covers' sheets say")
        for height_mm in sorted(pieces, reverse=True)
    ]
    if bare:
        heights = [height_mm for _, height_mm in bare]
        note = f"{min(heights):.1f} to {max(heights):.1f} mm high, as the covers' sheets say; none of it in units.csv"
        lines.append(_packers(closure, "Packer made to height", [cover for cover, _ in bare], note))
    return tuple(lines)


def _packers(closure: ClosurePlan, what: str, covers: list[str], note: str) -> LoadLine:
    return LoadLine(closure.closure, what, "", len(covers), None, "pieces", tuple(dict.fromkeys(covers)), note)


def _created(plan: Plan) -> datetime:
    if not plan.closures:
        return _NO_CLOSURE_DATE
    return min(c.shut for c in plan.closures).replace(tzinfo=None)


def _formats(book: Any) -> dict[str, Any]:
    wrap = {"text_wrap": True, "valign": "top", "border": 1}
    return {
        "title": book.add_format({"bold": True, "font_size": 14}),
        "head": book.add_format({"bold": True, "border": 1, "bottom": 2, "text_wrap": True}),
        "text": book.add_format(wrap),
        "kept": book.add_format(wrap | {"quote_prefix": True}),
        "number": book.add_format(wrap | {"bold": True, "font_size": 14, "num_format": "0"}),
    }


def _write(sheet: Any, formats: dict[str, Any], plan: Plan, title: str, lines: tuple[LoadLine, ...]) -> None:
    """One page: title, head, lines; set up for A4 across, the head on every page."""
    demo = " (DEMO: invented)" if plan.demo else ""
    _text(sheet, 0, 0, f"{plan.works}, {plan.reference}: load list, {title}{demo}", formats, "title")
    for column, (name, width) in enumerate(zip(HEAD, _WIDTHS, strict=True)):
        sheet.set_column(column, column, width)
        sheet.write_string(2, column, name, formats["head"])
    for row, line in enumerate(lines, start=3):
        sheet.set_row(row, 24)
        spare: str | int = line.spare if line.spare is not None else "not determined" if line.sheet else ""
        cells: tuple[str | int, ...] = (
            "\u2610", line.what, line.sheet, line.quantity, spare, line.unit, ", ".join(line.for_covers), line.note,
        )  # fmt: skip
        for column, cell in enumerate(cells):
            if isinstance(cell, str):
                _text(sheet, row, column, cell, formats, "text")
            else:
                sheet.write_number(row, column, cell, formats["number"])
    sheet.freeze_panes(3, 0)
    sheet.set_paper(9)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(2)
    sheet.set_footer("&LTruebed advises; a competent person decides.&R&P of &N")


def _text(sheet: Any, row: int, column: int, text: str, formats: dict[str, Any], style: str) -> None:
    """A text cell; one that would read as a formula keeps its quote when edited or saved elsewhere."""
    risky = text.startswith(("=", "+", "-", "@", "\t", "\r"))
    sheet.write_string(row, column, text, formats["kept" if risky else style])


def totals(lines: tuple[LoadLine, ...]) -> tuple[LoadLine, ...]:
    """Lines of all closures together: quantities added by what, sheet and unit, in the order first met.

    What is for no cover (tools) goes from night to night: the greatest number, not the sum. A spare that is not
    determined in one closure is not determined in the sum.

    Valid       any lines
    Source      algebra
    Proved by   tests/papers/test_load_list.py
    """
    groups: dict[tuple[str, str, str], list[LoadLine]] = {}
    for line in lines:
        groups.setdefault((line.what, line.sheet, line.unit), []).append(line)
    out = []
    for (what, sheet, unit), found in groups.items():
        spares = [line.spare for line in found]
        spare = None if any(s is None for s in spares) else sum(s for s in spares if s is not None)
        covers = tuple(dict.fromkeys(cover for line in found for cover in line.for_covers))
        notes = "; ".join(dict.fromkeys(line.note for line in found if line.note))
        counts = [line.quantity for line in found]
        quantity = sum(counts) if covers else max(counts)
        out.append(LoadLine("", what, sheet, quantity, spare, unit, covers, notes))
    return tuple(out)


def sheet_names(closures: tuple[str, ...]) -> tuple[str, ...]:
    """A sheet's name for each closure: no more than 31 characters, none that a spreadsheet forbids, none twice.

    Valid       any names
    Source      house (the spreadsheet format's own limits, from memory)
    Proved by   tests/papers/test_load_list.py
    """
    taken = {_TOTAL, "history"}
    out = []
    for closure in closures:
        plain = (
            "".join("-" if c in "[]:*?/\\'" or not c.isprintable() else c for c in closure).strip()[:31] or "closure"
        )
        name, count = plain, 1
        while name.lower() in taken:
            count += 1
            name = f"{plain[:27]} {count}"
        taken.add(name.lower())
        out.append(name)
    return tuple(out)
