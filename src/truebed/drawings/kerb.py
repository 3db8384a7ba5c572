"""The kerb that stopped a cut-out, as drawn in plan."""

from __future__ import annotations

from truebed.drawings.sheet_scale import ToSheet
from truebed.drawings.svg import LINE_MM, polygon, words
from truebed.plan.result import CoverDesign


def kerb_side(design: CoverDesign) -> float:
    """+1 where the cut-out was clipped on the left of the traffic, -1 on the right: the side with the lesser margin."""
    cut_y = [y for _, y in design.outlines.cut]
    flange_y = [y for _, y in design.outlines.flange]
    return 1.0 if max(cut_y) - max(flange_y) < min(flange_y) - min(cut_y) else -1.0


def kerb_edge_mm(design: CoverDesign) -> float:
    """Where the kerb's face lies across the traffic: the clipped edge of the cut-out."""
    side = kerb_side(design)
    return side * max(side * y for _, y in design.outlines.cut)


def kerb_parts(design: CoverDesign, to: ToSheet, low_x_mm: float, high_x_mm: float) -> list[str]:
    """The kerb as a bar along the traffic between two places, with its name; nothing where no kerb was met."""
    if not design.cut.clipped_by_kerb:
        return []
    edge_mm = kerb_edge_mm(design)
    back_mm = edge_mm + kerb_side(design) * 2.0 * to.one_to
    places = ((low_x_mm, edge_mm), (high_x_mm, edge_mm), (high_x_mm, back_mm), (low_x_mm, back_mm))
    ends = [to.at(x, y) for x, y in places]
    text_at = (ends[1][0] - 1.0, min(y for _, y in ends) - 1.2)
    return [polygon(ends, LINE_MM, "dense", name="kerb"), words(text_at, "kerb", 3.6, "end", bold=True)]
