"""The load list: kits, spare, water, tools for each closure, and the stock they come from."""

from __future__ import annotations

import math
from datetime import date

from truebed.findings import Finding, Severity
from truebed.given.works import Works
from truebed.mixing.kits import PourKits
from truebed.mixing.spare import KitNeed, spare_for
from truebed.plan.result import ClosurePlan, LoadLine
from truebed.sheets.sheet import Sheet


def done_designs(plan: ClosurePlan) -> tuple[str, ...]:
    """Covers of the closure that are done tonight, by name.

    Valid       a plan of one closure
    Source      the programme
    Proved by   tests/plan/test_load.py
    """
    return tuple(sorted(plan.solution.schedule.done))


def kit_lines(plan: ClosurePlan, sheets: dict[str, Sheet]) -> list[LoadLine]:
    """Kits of each sheet for the covers done tonight; spare so that whole kits are enough in 95 of 100 nights.

    Valid       a plan of one closure
    Source      see truebed.mixing.spare
    Proved by   tests/plan/test_load.py
    """
    by_sheet: dict[str, list[tuple[str, PourKits]]] = {}
    for name in done_designs(plan):
        for kits in plan.design(name).kits:
            by_sheet.setdefault(kits.sheet, []).append((name, kits))
    lines = []
    for key in sorted(by_sheet):
        rows, sheet = by_sheet[key], sheets[key]
        total = sum(k.kits for _, k in rows)
        known = all(k.spare_kits is not None for _, k in rows)
        needs = tuple(KitNeed(k.needed_l, k.plus_minus_l, sheet.kit.yield_l) for _, k in rows)
        spare = spare_for(needs) if known else None
        covers = tuple(dict.fromkeys(name for name, _ in rows))
        lines.append(LoadLine(plan.closure, sheet.name, key, total, spare, "kits", covers, ""))
        if sheet.kit.liquid_part == "water":
            litres = math.ceil((total + (spare if spare is not None else 0)) * sheet.kit.liquid_most_l)
            note = f"at most {sheet.kit.liquid_most_l:g} l a kit, measured; never more"
            lines.append(LoadLine(plan.closure, f"Mixing water for {sheet.name}", "", litres, None, "l", covers, note))
    return lines


def gear_lines(works: Works, plan: ClosurePlan) -> list[LoadLine]:
    """Tools, formers and joint strips for the covers done tonight.

    Valid       a plan of one closure
    Source      tools.csv; common practice, no source
    Proved by   tests/plan/test_load.py
    """
    names = done_designs(plan)
    if not names:
        return []
    lines = [LoadLine(plan.closure, t.tool, "", t.count, None, "pieces", (), t.kind) for t in works.tools]
    designs = [plan.design(n) for n in names]
    lines.append(
        LoadLine(plan.closure, "Former for the opening", "", len(names), None, "pieces", names, "clear opening")
    )
    lines.append(LoadLine(plan.closure, "Debris dam for the chamber", "", len(names), None, "pieces", names, ""))
    strip = [d for d in designs if d.joint_width_mm > 0.0]
    if strip:
        metres = math.ceil(sum(d.cut.saw_length_m for d in strip))
        note = f"{strip[0].joint_width_mm:g} x {strip[0].joint_depth_mm:g} mm"
        lines.append(LoadLine(plan.closure, "Joint strip", "", metres, None, "m", tuple(d.cover for d in strip), note))
    return lines


def good_until(expires: str, day: date) -> bool:
    """Whether a lot is still good on a day; an empty date has no end.

    Valid       ISO dates (the reader sees to that)
    Source      stock.csv
    Proved by   tests/plan/test_load.py
    """
    return not expires or date.fromisoformat(expires) >= day


def stock_findings(works: Works, lines: tuple[LoadLine, ...], nights: dict[str, date]) -> tuple[Finding, ...]:
    """Kits wanted against kits in stock, closure after closure from the same stock; expired lots do not count.

    Valid       no stock.csv: nothing to say
    Source      stock.csv
    Proved by   tests/plan/test_load.py
    """
    if not works.stock:
        return ()
    used: dict[str, int] = {}
    found = []
    for line in lines:
        if not line.sheet:
            continue
        day = nights[line.closure]
        good = sum(s.kits for s in works.stock if s.sheet == line.sheet and good_until(s.expires, day))
        stale = sum(s.kits for s in works.stock if s.sheet == line.sheet) - good
        expired = f"; {stale} more have expired by then" if stale else ""
        spare = f" and {line.quantity + line.spare} with spare" if line.spare else ""
        left = good - used.get(line.sheet, 0)
        used[line.sheet] = used.get(line.sheet, 0) + line.quantity
        wanted = line.quantity + (line.spare if line.spare is not None else 0)
        if left < wanted:
            severity = Severity.BREAKS if left < line.quantity else Severity.CLOSE
            found.append(
                Finding(
                    "KT-001", severity, f"{line.closure}, {line.what}",
                    f"{max(left, 0)} good kits left in stock{expired}; {line.quantity} wanted{spare}",
                    float(max(left, 0)), "kits", f"{wanted} kits", "stock.csv", f"Order {wanted - max(left, 0)} more.",
                )
            )  # fmt: skip
    return tuple(found)
