"""A diagnosis in words: the repair, the reason, what would change the answer, what to test next."""

from __future__ import annotations

from truebed.diagnosis.diagnose import Diagnosis
from truebed.diagnosis.interfaces import Interface
from truebed.diagnosis.margin import Margin, SideMargin

#: How many of a list are told; the rest are counted.
MOST_TOLD = 5
DIGS = {
    "no": "DO NOT DIG",
    "surround": "dig the surround only, leave the iron",
    "frame": "the frame comes out",
    "careful": "DO NOT SAW YET",
}


def diagnosis_lines(diagnosis: Diagnosis, margin: Margin | None = None) -> tuple[str, ...]:
    """The diagnosis of one cover, a line a thing.

    Valid       diagnosis and margin of the same cover; no margin where nothing was sounded
    Source      house (wording)
    Proved by   tests/diagnosis/test_telling.py
    """
    decision = diagnosis.decision
    repair = decision.repair
    lines = [f"{diagnosis.cover}: {repair.key} - {DIGS[repair.dig]}", f"   do: {repair.says}"]
    rest = [f"{row.repair} ({row.reason})" for row in decision.also]
    rest += [key for key in decision.row.then if key != repair.key]
    if rest:
        lines.append(f"   then: {'; '.join(rest)}")
    lines.append(f"   because: {decision.row.reason} {decision.row.source}")
    lines.append(f"   not: {repair.avoids}")
    lines.append(f"   how sure: {_sure(diagnosis)}")
    if diagnosis.dig_anyway:
        lines.append(f"   lifted all the same, by whoever gave this reason: {diagnosis.dig_anyway}")
    lines += [f"   {_interface(one)}" for one in diagnosis.interfaces]
    lines += _listed("would change the answer", tuple(flip.sentence() for flip in diagnosis.flips))
    lines += _listed("test next", diagnosis.test_next)
    lines += [f"   does not go together: {sentence}" for sentence in diagnosis.disagreements]
    if margin is not None:
        lines += margin_lines(margin)
    return tuple(lines)


def margin_lines(margin: Margin) -> tuple[str, ...]:
    """The sound margin of one cover, a line a side.

    Valid       a margin of one cover
    Source      house (wording)
    Proved by   tests/diagnosis/test_telling.py
    """
    lines = [f"   sound margin, {_side(side)}" for side in margin.sides]
    if margin.square_mm is not None:
        lines.append(f"   sound margin all round: {margin.square_mm:.0f} mm")
    lines += [f"   tap next, {t.side}: x {t.x_mm:.0f}, y {t.y_mm:.0f} mm ({t.why})" for t in margin.test_next]
    lines += [f"   {sentence}" for sentence in margin.inside_out]
    return (*lines, f"   {margin.assumed}")


def _sure(diagnosis: Diagnosis) -> str:
    """The probability, the other answers, and whether something nobody looked at could turn it."""
    decision = diagnosis.decision
    text = f"{decision.probability:.2f} over the errors of what was measured"
    others = [f"{one.repair.key} {one.probability:.2f}" for one in decision.others if one.probability >= 0.01]
    text += f" (else {', '.join(others)})" if others else ""
    open_to = sorted({flip.repair for flip in diagnosis.flips if flip.unlooked})
    if open_to:
        text += f"; what nobody looked at could make it {', '.join(open_to)}"
    return text


def _interface(one: Interface) -> str:
    """One interface with its evidence, worst first."""
    chance = "" if one.fault_probability is None else f", fault {one.fault_probability:.2f}"
    missing = f"; missing: {', '.join(one.missing)}" if one.missing else ""
    worst = sorted(one.evidence, key=lambda e: -e.fault_probability)[:2]
    seen = "; " + "; ".join(e.sentence() for e in worst) if worst else ""
    return f"{one.name}: {one.state}{chance}{seen}{missing}"


def _listed(title: str, items: tuple[str, ...]) -> list[str]:
    lines = [f"   {title}: {item}" for item in items[:MOST_TOLD]]
    more = len(items) - MOST_TOLD
    return [*lines, f"   {title}: and {more} more"] if more > 0 else lines


def _side(side: SideMargin) -> str:
    """One side's margin in words."""
    who = f", {side.governed_by} (row {side.row}) is the last unsound one" if side.governed_by else ""
    if side.margin_mm is None:
        return f"{side.side}: NOT KNOWN, more than {side.from_mm:.0f} mm{who}"
    if side.at_kerb:
        return f"{side.side}: {side.margin_mm:.0f} mm, up to the kerb{who}"
    return f"{side.side}: {side.margin_mm:.0f} mm (between {side.from_mm:.0f} and {side.to_mm:.0f} mm){who}"
