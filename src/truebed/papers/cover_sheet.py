"""The words of one cover's sheets: levels, layers, kits, clocks, steps, hold points."""

from __future__ import annotations

import math
from zoneinfo import ZoneInfo

from truebed.drawings.clock import clock
from truebed.drawings.departure_diagram import departure_diagram_svg, departure_rows
from truebed.drawings.plan_view import plan_view_svg
from truebed.drawings.road_contours import road_contours_svg
from truebed.drawings.section_view import section_svg
from truebed.drawings.timeline_rows import number_of
from truebed.findings import Severity, short_number
from truebed.levels.setting import FrameSetting, Verdict
from truebed.mixing.kits import PourKits
from truebed.papers.belonging import cover_of, findings_of
from truebed.papers.clock_words import whole_minutes
from truebed.papers.cut_words import cut_rows
from truebed.papers.probe_words import probe_words
from truebed.papers.ready_words import ready_words
from truebed.papers.setting_words import (
    again_words,
    corner_rows,
    forecast_words,
    joint_words,
    kerb_words,
    stand_heads,
    string_rows,
)
from truebed.papers.writing import (
    ROLE_WORDS,
    finding_words,
    litres,
    percent,
    plain_name,
    plus_minus,
    signed_mm,
    span,
    tenth_mm,
)
from truebed.plan.result import ClosurePlan, CoverDesign, Plan, StepText
from truebed.programme.problem import Placed

Words = dict[str, object]
#: Printed on the cover's own sheet; the rest stands on the closure's last pages.
HEAVY = (Severity.BREAKS, Severity.CLOSE)
ALWAYS = ("LV-001", "LV-006")
#: Close to a limit, and told on the cover's sheets in their own words: verdicts, forecast of the bed, ride.
TOLD_BESIDE = ("LV-004", "BD-002", "BD-007", "RD-001", "RD-002")
#: What the linear programme may leave of a limit.
ROUNDING_MM = 1e-4
NO_TIME = "\u2013"


def cover_words(plan: Plan, closure: ClosurePlan, design: CoverDesign, zone: ZoneInfo) -> Words:
    """Everything one cover's sheets print, as texts.

    Valid       a cover designed in that closure, done tonight or not
    Source      house (writing)
    Proved by   tests/papers/test_cover_sheet.py
    """
    tonight = design.cover in closure.solution.schedule.done
    left_out = [out for out in closure.left_out if out.cover == design.cover]
    setting = design.setting
    names = {kits.sheet: kits.name for kits in design.kits if kits.name}
    own = [f for f in findings_of(plan, closure) if cover_of(f, plan) == design.cover]
    heavy = [f for f in own if f.severity in HEAVY or f.code in ALWAYS]
    here = [f for f in heavy if f.severity is Severity.BREAKS or f.code not in TOLD_BESIDE]
    return {
        "cover": design.cover,
        "street": design.street,
        "kind": f"{design.kind}, {design.shape}, class {design.load_class}, {design.place}",
        "method": design.method_name,
        "remark": design.remark,
        "tonight": tonight,
        "why_not": left_out[0].reason if left_out else "",
        "plan_svg": plan_view_svg(design, cut_notes_too=False),
        "section_svg": section_svg(design),
        "road_svg": road_contours_svg(design, design.road_sd_mm),
        "departure_svg": departure_diagram_svg(design.cover, departure_rows(design)),
        "corners": corner_rows(design),
        "stands": stand_heads(design),
        "packers": design.aids is not None and bool(design.aids.packers),
        "pieces": any(row["pieces"] for row in corner_rows(design)),
        "measured": setting.chamber == "measured",
        "strings": string_rows(design),
        "joint": joint_words(design),
        "kerbs": kerb_words(design),
        "again": again_words(design),
        "forecast": forecast_words(design),
        "verdicts": [verdict_words(v) for v in (setting.clause, setting.rim_verdict)],
        "bed": _bed(setting),
        "bed_ok": setting.bed_limit_least_mm - ROUNDING_MM <= setting.bed_least_mm
        and setting.bed_most_mm <= setting.bed_limit_most_mm + ROUNDING_MM,
        "chamber": setting.chamber,
        "cut": cut_rows(design),
        "strength": _strength(design),
        "layers": [
            {
                "role": ROLE_WORDS.get(v.role, plain_name(v.role)),
                "sheet": names.get(v.sheet, v.sheet),
                "thick": span(v.least_mm, v.most_mm),
                "volume": litres(v.volume_l) + plus_minus(v.plus_minus_l),
            }
            for v in design.volumes
        ],
        "kits": [kit_words(closure, design, kits, zone) for kits in in_mixing_order(closure, design)],
        "ready": ready_words(closure, design, zone),
        "probe": probe_words(design),
        "steps": step_rows(closure, design, zone),
        "holds": [
            {"name": plain_name(h.name), "what": h.what, "after": _after(closure, design.cover, h.after_step)}
            for h in design.holds
        ],
        "cautions": ", ".join(c.title for c in design.cautions),
        "findings": [finding_words(f) for f in here],
        "told_beside": ", ".join(f.code for f in heavy if f not in here),
        "more_findings": str(len(own) - len(heavy)),
        "spread": _spread(plan, design),
        "changed": list(design.changed),
    }


def _spread(plan: Plan, design: CoverDesign) -> str:
    """How sure the levels to set are, in words; '' where the plan has no interval for them."""
    figures = dict(plan.figures)
    known = [figures.get(f"{design.cover}.level.{corner.name}") for corner in design.setting.corners]
    widths = [f.plus_minus for f in known if f is not None and f.plus_minus is not None]
    return f"\u00b1{max(widths):.0f} mm (90 %)" if widths else ""


def verdict_words(verdict: Verdict) -> dict[str, str]:
    """A level verdict as a row.

    Valid       any verdict
    Source      house (writing)
    Proved by   tests/papers/test_cover_sheet.py
    """
    names = {"clause": "mean against the road beside it (clause)", "rim": "every point of the rim (stricter)"}
    return {
        "name": names.get(verdict.name, verdict.name),
        "value": signed_mm(verdict.value_mm),
        "band": f"{signed_mm(verdict.band_low_mm)} to {signed_mm(verdict.band_high_mm)}",
        "result": "keeps" if verdict.passes else "BREAKS",
        "probability": percent(verdict.probability),
        "source": verdict.source,
    }


def _bed(setting: FrameSetting) -> str:
    limits = f"{tenth_mm(setting.bed_limit_least_mm)} to {tenth_mm(setting.bed_limit_most_mm)}"
    governs = " The bed's limits governed the setting." if setting.bed_governs else ""
    return (
        f"{tenth_mm(setting.bed_least_mm)} to {tenth_mm(setting.bed_most_mm)} mm; the mortar allows {limits} mm."
        f"{governs} Chamber top: {setting.chamber}."
    )


def _strength(design: CoverDesign) -> str:
    strength = design.opening_strength_n_per_mm2
    return "not determined" if strength is None else f"{short_number(strength)} N/mm\u00b2"


def mixing_step(closure: ClosurePlan, cover: str, pour: str) -> Placed | None:
    """The step in which a pour is mixed, or first handled: the mixer's step for it, else the first of that pour.

    Valid       a cover that is done; None where no step of the schedule is known to take the pour
    Source      house (look-up)
    Proved by   tests/papers/test_cover_sheet.py
    """
    texts = closure.texts(cover)
    own = [p for p in closure.solution.schedule.of(cover) if _takes(p.step, texts.get(p.step), pour)]
    mixed = [p for p in own if p.step in texts and "mixer" in texts[p.step].tools]
    return next(iter(mixed or own), None)


def _takes(step: str, text: StepText | None, pour: str) -> bool:
    if text is not None and text.pour:
        return text.pour == pour
    return step in (pour, f"mix-{pour}", f"mix_{pour}")


def in_mixing_order(closure: ClosurePlan, design: CoverDesign) -> tuple[PourKits, ...]:
    """Kits in the order in which they are mixed; unknown times last, in the method's order.

    Valid       any design
    Source      house (arrangement)
    Proved by   tests/papers/test_cover_sheet.py
    """

    def start(kits: PourKits) -> float:
        step = mixing_step(closure, design.cover, kits.pour)
        return math.inf if step is None else step.start_min

    return tuple(sorted(design.kits, key=start))


def kit_words(closure: ClosurePlan, design: CoverDesign, kits: PourKits, zone: ZoneInfo) -> Words:
    """One pour's kits with its batches: clock time at which each begins, and by when it is in place.

    Batches begin at even steps through the mixing step; in place by = begin + working life.

    Valid       any pour of the design
    Source      house (writing)
    Proved by   tests/papers/test_cover_sheet.py
    """
    step = mixing_step(closure, design.cover, kits.pour)
    lives = [whole_minutes(c) for c in design.clocks if c.pour == kits.pour and c.kind == "life"]
    batches = []
    for i, batch in enumerate(kits.batches):
        begin = None if step is None else step.start_min + i * (step.end_min - step.start_min) // len(kits.batches)
        batches.append(
            {
                "number": str(batch.number),
                "kits": f"{batch.kits} kit{'s' if batch.kits != 1 else ''}",
                "litres": litres(batch.litres_l),
                "begin": NO_TIME if begin is None else clock(closure, begin, zone),
                "by": clock(closure, begin + min(lives), zone) if begin is not None and lives else NO_TIME,
            }
        )
    spare = "spare not determined" if kits.spare_kits is None else f"+ {kits.spare_kits} spare"
    return {
        "pour": plain_name(kits.pour),
        "sheet": kits.name if kits.name else kits.sheet,
        "liquid": kits.liquid,
        "kits": str(kits.kits),
        "spare": spare,
        "needed": f"needs {litres(kits.needed_l)}{plus_minus(kits.plus_minus_l)}; left over {litres(kits.left_over_l)}",
        "mix": f"mix each batch {kits.mix_min:g} min" if kits.mix_min > 0 else "",
        "batches": batches,
    }


def step_rows(closure: ClosurePlan, design: CoverDesign, zone: ZoneInfo) -> list[dict[str, str]]:
    """The cover's steps with clock times; without times where it is not done tonight.

    Valid       any design
    Source      house (writing)
    Proved by   tests/papers/test_cover_sheet.py
    """
    texts = closure.texts(design.cover)
    placed = {p.step: p for p in closure.solution.schedule.of(design.cover)}
    tasks = [t for job in closure.problem.jobs if job.cover == design.cover for t in job.tasks]
    order = sorted(
        tasks, key=lambda t: (placed[t.step].start_min, placed[t.step].end_min) if t.step in placed else (0, 0)
    )
    numbers = _numbers(closure)
    who = {a.step: ", ".join(a.people) for a in closure.assigned if a.cover == design.cover}
    rows = []
    for task in order:
        at, text = placed.get(task.step), texts.get(task.step)
        rows.append(
            {
                "from": NO_TIME if at is None else clock(closure, at.start_min, zone),
                "to": NO_TIME if at is None else clock(closure, at.end_min, zone),
                "number": numbers.get(task.step, ""),
                "name": text.name if text is not None else task.name,
                "minutes": str(task.minutes),
                "people": who.get(task.step, str(task.people)),
                "tools": ", ".join(task.tools),
                "noisy": "noisy" if task.noisy else "",
                "hold": plain_name(text.hold) if text is not None else "",
            }
        )
    return rows


def _numbers(closure: ClosurePlan) -> dict[str, str]:
    """The steps' numbers as the night's picture gives them; steps that nobody does tonight have none."""
    used = dict.fromkeys(p.step for p in closure.solution.schedule.placed)
    return {step: str(number_of(closure, step)) for step in used}


def _after(closure: ClosurePlan, cover: str, step: str) -> str:
    number = _numbers(closure).get(step)
    text = closure.texts(cover).get(step)
    name = step if text is None else text.name
    return f"step {number}" if number else name
