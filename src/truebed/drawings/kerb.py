"""The kerb that a cut-out meets, as drawn in plan."""

from __future__ import annotations

from truebed.drawings.sheet_scale import ToSheet
from truebed.drawings.svg import LINE_MM, polygon, words
from truebed.plan.result import CoverDesign


def meets_kerb(design: CoverDesign) -> bool:
    """Whether the cut-out ends at a kerb: clipped by it, carried out to it, or with a side along it."""
    cut = design.cut
    return cut.clipped_by_kerb or cut.snapped_to_kerb or any(side.kind == "kerb" for side in cut.sides)


def kerb_edge_mm(design: CoverDesign) -> float:
    """Where the kerb's face lies across the traffic: the cut's side along it, else the cut's edge on that side."""
    along = [(side.start[1] + side.end[1]) / 2.0 for side in design.cut.sides if side.kind == "kerb"]
    if along:
        return along[0]
    side = kerb_side(design)
    return side * max(side * y for _, y in design.outlines.cut)


def kerb_side(design: CoverDesign) -> float:
    """+1 where the kerb is left of the traffic, -1 on the right; without a side along it: the lesser margin."""
    along = [side.start[1] + side.end[1] for side in design.cut.sides if side.kind == "kerb"]
    if along:
        return 1.0 if along[0] > 0.0 else -1.0
    cut_y = [y for _, y in design.outlines.cut]
    flange_y = [y for _, y in design.outlines.flange]
    return 1.0 if max(cut_y) - max(flange_y) < min(flange_y) - min(cut_y) else -1.0


def kerb_parts(design: CoverDesign, to: ToSheet, low_x_mm: float, high_x_mm: float) -> list[str]:
    """The kerb as a bar along the traffic between two places, with its name; nothing where no kerb was met."""
    if not meets_kerb(design):
        return []
    edge_mm = kerb_edge_mm(design)
    back_mm = edge_mm + kerb_side(design) * 2.0 * to.one_to
    places = ((low_x_mm, edge_mm), (high_x_mm, edge_mm), (high_x_mm, back_mm), (low_x_mm, back_mm))
    ends = [to.at(x, y) for x, y in places]
    text_at = (ends[1][0] - 1.0, min(y for _, y in ends) - 1.2)
    return [polygon(ends, LINE_MM, "dense", name="kerb"), words(text_at, "kerb", 3.6, "end", bold=True)]
