"""What the saw does at a cut-out, in plan: corners, sides that are not sawn, what is in the way, neighbours."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry import LineString, Polygon, box

from truebed.chamber.cut_parts import CornerWork, JoinedCut
from truebed.chamber.plane import Ring
from truebed.drawings.kerb import kerb_edge_mm, kerb_side, meets_kerb
from truebed.drawings.levels_text import whole_or_tenth_mm
from truebed.drawings.sheet_scale import ToSheet
from truebed.drawings.svg import BOLD_MM, LINE_MM, THIN_MM, circle, line, polygon, polyline, words
from truebed.plan.result import CoverDesign

#: A ring of more corners than this stands for a curve: it has no corners to saw past.
CORNERS_MOST = 8
_RUN_ON_DASH = "1.2 0.8"
SHARED_DASH = "3 0.9 0.7 0.9"


def corner_marks(design: CoverDesign, to: ToSheet) -> list[str]:
    """Runs of the blade past corners (dashed), holes cored there (crossed), ends where it stops short (bars)."""
    work = design.cut.corners
    if work is None:
        return _run_on(design, to)
    parts = [line(to.at(*over.start), to.at(*over.end), THIN_MM * 1.5, _RUN_ON_DASH) for over in work.over_cuts]
    for core in work.cores:
        at, radius = to.at(core.x_mm, core.y_mm), core.diameter_mm / 2.0 / to.one_to
        parts.append(circle(at, radius, LINE_MM * 1.4))
        parts += [
            line((at[0] - radius, at[1]), (at[0] + radius, at[1]), THIN_MM),
            line((at[0], at[1] - radius), (at[0], at[1] + radius), THIN_MM),
        ]
    return [*parts, *_stops(design, work, to)]


def _stops(design: CoverDesign, work: CornerWork, to: ToSheet) -> list[str]:
    """A short bar across each sawn side where a blade that stops short begins to rise."""
    if work.way != "stop short" or work.left_length_mm <= 0.0:
        return []
    parts = []
    for side in design.cut.sides:
        if side.kind != "sawn" or side.length_mm <= 0.0:
            continue
        share = min(0.5, work.left_length_mm / side.length_mm)
        run = ((side.end[0] - side.start[0]) / side.length_mm, (side.end[1] - side.start[1]) / side.length_mm)
        for part in (share, 1.0 - share):
            x = side.start[0] + part * (side.end[0] - side.start[0])
            y = side.start[1] + part * (side.end[1] - side.start[1])
            arm = 1.8 * to.one_to
            parts.append(
                line(to.at(x - arm * run[1], y + arm * run[0]), to.at(x + arm * run[1], y - arm * run[0]), LINE_MM)
            )
    return parts


def _run_on(design: CoverDesign, to: ToSheet) -> list[str]:
    """The blade's over-run past each corner, where the plan knows only its length."""
    run_on_mm, cut = design.cut.run_on_mm, to.ring(design.outlines.cut)
    if run_on_mm is None or len(cut) > CORNERS_MOST:
        return []
    tails = []
    for a, b in zip(cut, (*cut[1:], cut[0]), strict=True):
        run, rise = b[0] - a[0], b[1] - a[1]
        length_mm = (run * run + rise * rise) ** 0.5
        step = (run / length_mm * run_on_mm / to.one_to, rise / length_mm * run_on_mm / to.one_to)
        tails += [(b, (b[0] + step[0], b[1] + step[1])), (a, (a[0] - step[0], a[1] - step[1]))]
    if meets_kerb(design):  # no blade runs into the kerb
        side, edge_mm = kerb_side(design), to.at(0.0, kerb_edge_mm(design))[1]
        tails = [(start, end) for start, end in tails if side * (edge_mm - end[1]) < 1.0]
    return [line(start, end, THIN_MM, _RUN_ON_DASH) for start, end in tails]


def cut_line(design: CoverDesign, to: ToSheet) -> list[str]:
    """The cut's outline: heavy where sawn or at a kerb, thin and dash-dotted where a neighbour shares it."""
    ring, pen_mm = to.ring(design.outlines.cut), BOLD_MM * 1.2
    if not any(side.kind == "shared" for side in design.cut.sides):
        return [polygon(ring, pen_mm, name="cut")]
    parts = [polygon(ring, 0.0, name="cut")]
    for side in design.cut.sides:
        shared = side.kind == "shared"
        ends = to.at(*side.start), to.at(*side.end)
        parts.append(line(*ends, LINE_MM if shared else pen_mm, SHARED_DASH if shared else ""))
    return parts


def field_of(low_x_mm: float, low_y_mm: float, high_x_mm: float, high_y_mm: float) -> Polygon:
    """The drawn field as a shape, for what runs off it."""
    return box(low_x_mm, low_y_mm, high_x_mm, high_y_mm)


def joined_parts(joined: JoinedCut | None, cover: str, field: Polygon, to: ToSheet) -> list[str]:
    """The neighbours' shares of a joined cut-out as far as they reach into the field, each with its cover's name."""
    parts = []
    for share in joined.shares if joined is not None else ():
        if share.cover == cover:
            continue
        shown = Polygon(share.ring).intersection(field)
        for ring in _rings(shown):
            parts += _clipped_edges(ring, share.ring, to)
            middle = Polygon(ring).representative_point()
            parts.append(words(to.at(middle.x, middle.y), f"cut of {share.cover}", 3.4))
    return parts


def _clipped_edges(ring: Ring, whole: Ring, to: ToSheet) -> list[str]:
    """The edges of a clipped ring that are the whole ring's own, not the field's."""
    edge = Polygon(whole).exterior.buffer(1e-3)
    ends = zip(ring, (*ring[1:], ring[0]), strict=True)
    return [polyline(to.ring((a, b)), LINE_MM * 1.4) for a, b in ends if edge.covers(LineString((a, b)))]


def kept_off_parts(design: CoverDesign, field: Polygon, to: ToSheet) -> list[str]:
    """What the saw keeps out of, its clearance included, with its name."""
    parts = []
    for kept in design.keep_off:
        for ring in _rings(Polygon(kept.ring).intersection(field)):
            parts.append(polygon(to.ring(ring), LINE_MM, "backward", dash="2 0.8", name="keep-off"))
            middle = Polygon(ring).representative_point()
            parts.append(words(to.at(middle.x, middle.y), kept.what, 3.4, bold=True))
    return parts


def _rings(shape: object) -> list[Ring]:
    """The outer rings of what is left of a shape, in a fixed order."""
    found = [part for part in getattr(shape, "geoms", [shape]) if isinstance(part, Polygon) and part.area > 1.0]
    return sorted(tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1]) for part in found)


def cut_notes(design: CoverDesign) -> list[str]:
    """What the drawing says in words of the saw's corners and of what stands in its way."""
    cut, work = design.cut, design.cut.corners
    notes: list[str] = []
    if work is None:
        if cut.run_on_mm is not None:
            notes.append(
                f"Do NOT saw past the corners: for full depth the blade would run on {cut.run_on_mm:.0f} (dashed). "
                "Break or core."
            )
    else:
        notes += _corner_notes(work)
    if meets_kerb(design):
        carried = cut.snapped_to_kerb and not cut.clipped_by_kerb
        notes.append(
            "The cut is carried out to the kerb: no narrow strip stays." if carried else "The cut stops at the kerb."
        )
    notes += [
        f"{back.side[:1].upper()}{back.side[1:]} side drawn in to {whole_or_tenth_mm(back.to_mm)} for {back.what}."
        for back in cut.pulled_back
    ]
    notes += [f"Only {whole_or_tenth_mm(strip.width_mm)} of road stays to {strip.what}." for strip in cut.strips]
    if cut.joined is not None:
        others = [share.cover for share in cut.joined.shares if share.cover != design.cover]
        notes.append(f"One cut-out with {', '.join(others)}: the dash-dotted line is not sawn.")
    return notes + [f"By hand: {text}." for text in cut.hand_work]


def _corner_notes(work: CornerWork) -> list[str]:
    if work.way == "core" and work.cores:
        across = whole_or_tenth_mm(max(core.diameter_mm for core in work.cores))
        return [f"CORE the corners first, \u00d8{across} (crossed rings); saw from hole to hole."]
    if work.way == "stop short" or (work.left_count and not work.over_cuts):
        return [
            f"STOP the blade at the corners (bars: from there it rises, {whole_or_tenth_mm(work.left_length_mm)} "
            f"short); break the rest, {work.left_count} ends."
        ]
    if work.over_cuts:
        longest: Sequence[float] = [over.length_mm for over in work.over_cuts]
        return [
            f"For full depth the blade runs on up to {max(longest):.0f} past the corners (dashed); "
            "to leave no over-cut, core them, or stop short and break."
        ]
    return []
