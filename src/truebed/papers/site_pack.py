"""The site pack: the closure's sheet, a sheet for each cover, all findings; one PDF for one closure."""

from __future__ import annotations

import json
from importlib import resources
from zoneinfo import ZoneInfo

from truebed.drawings.timeline_rows import rows_of
from truebed.papers.belonging import findings_of
from truebed.papers.closure_sheet import closure_words
from truebed.papers.cover_sheet import cover_words
from truebed.papers.office_words import office_words
from truebed.papers.typesetting import typeset
from truebed.papers.writing import DECIDES, DEMO, finding_words
from truebed.plan.result import ClosurePlan, CoverDesign, Plan

_PARTS = ("page.typ", "closure.typ", "cover.typ", "ready.typ", "probe.typ", "office.typ", "site_pack.typ")


def site_pack_pdf(plan: Plan, closure: ClosurePlan) -> bytes:
    """The pack as PDF, the same bytes each time: its date is the closure's.

    Valid       a closure of the plan, also one in which nothing is done
    Source      house (paper)
    Proved by   tests/papers/test_site_pack.py
    """
    folder = resources.files("truebed.papers") / "typst"
    template = "\n".join((folder / name).read_text(encoding="utf-8") for name in _PARTS)
    words = json.dumps(pack_words(plan, closure), ensure_ascii=False, allow_nan=False)
    return typeset(template, {"pack": words}, closure.shut)


def pack_words(plan: Plan, closure: ClosurePlan) -> dict[str, object]:
    """Everything the pack prints, as texts and drawings; the template adds only layout.

    Valid       a closure of the plan
    Source      house (writing)
    Proved by   tests/papers/test_site_pack.py
    """
    zone = ZoneInfo(plan.time_zone)
    return {
        "title": f"{plan.works}, {closure.closure}: site pack",
        "works": plan.works,
        "reference": plan.reference,
        "rule_set": plan.rule_set,
        "made_by": f"Truebed {plan.truebed}; input {plan.input_sha256[:16]}",
        "decides": DECIDES,
        "demo": DEMO if plan.demo else "",
        "tonight": closure_words(plan, closure, zone),
        "covers": [cover_words(plan, closure, design, zone) for design in in_order(closure)],
        "office": [office_words(design) for design in in_order(closure)],
        "findings": [finding_words(f) for f in findings_of(plan, closure)],
        "notes": list(plan.notes),
    }


def in_order(closure: ClosurePlan) -> tuple[CoverDesign, ...]:
    """Designed covers: those done tonight by their first step, then the others.

    Valid       any closure
    Source      house (arrangement)
    Proved by   tests/papers/test_site_pack.py
    """
    rank = {row.cover: i for i, row in enumerate(rows_of(closure))}
    return tuple(sorted(closure.designed, key=lambda d: rank.get(d.cover, len(rank))))
