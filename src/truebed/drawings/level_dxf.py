"""The fitted road and the set frame for a drawing office: contours, readings, residuals, corner levels."""

from __future__ import annotations

from typing import TYPE_CHECKING

from truebed.chamber.plane import Point
from truebed.drawings.contour_lines import Piece, fold_piece, pieces_of
from truebed.drawings.cut_dxf import plain
from truebed.drawings.dxf_file import Layers, dxf_bytes
from truebed.drawings.levels_text import whole_or_tenth_mm
from truebed.plan.result import CoverDesign

if TYPE_CHECKING:
    from ezdxf.layouts.layout import Modelspace

LAYERS: Layers = {
    "CONTOURS": (18, "CONTINUOUS"),
    "CONTOURS-INSIDE-RIM": (18, "DASHED"),
    "CONTOUR-LEVELS": (18, "CONTINUOUS"),
    "FOLD": (35, "DASHDOT"),
    "CUT": (70, "CONTINUOUS"),
    "FLANGE": (25, "DASHED"),
    "RIM": (50, "CONTINUOUS"),
    "READINGS": (18, "CONTINUOUS"),
    "READINGS-LEFT-OUT": (35, "CONTINUOUS"),
    "RESIDUALS": (18, "CONTINUOUS"),
    "SET-LEVELS": (35, "CONTINUOUS"),
    "TEXT": (18, "CONTINUOUS"),
}
_TEXT_MM = 22.0
_RING_MM = 22.0


def level_dxf(design: CoverDesign) -> bytes:
    """The road and the frame as DXF (R2010, mm, local axes): contours and points stand at their levels, in z.

    Readings are named on READINGS, their residuals [mm] on RESIDUALS; SET-LEVELS has the rim at its corners.

    Valid       any designed cover
    Source      house (drawing)
    Raises      ValueError where the written drawing does not pass its own audit
    Proved by   tests/drawings/test_level_dxf.py
    """
    return dxf_bytes(LAYERS, lambda space: _fill(space, design), design.cover)


def _fill(space: Modelspace, design: CoverDesign) -> None:
    outlines = design.outlines
    for layer, ring in (("CUT", outlines.cut), ("FLANGE", outlines.flange), ("RIM", outlines.body)):
        space.add_lwpolyline(ring, close=True, dxfattribs={"layer": layer})
    step_mm, pieces = pieces_of(design)
    _contours(space, pieces)
    fold = fold_piece(design)
    if fold:
        space.add_lwpolyline(fold, dxfattribs={"layer": "FOLD"})
    _readings(space, design)
    for corner in design.setting.corners:
        at = (corner.x_mm, corner.y_mm)
        space.add_point((*at, corner.rim_mm), dxfattribs={"layer": "SET-LEVELS"})
        _put(space, "SET-LEVELS", f"{corner.name} {corner.rim_mm:+.1f}", (0.55 * at[0], 0.7 * at[1]))
    top_mm = max(*(y for _, y in outlines.cut), *(p.y_mm for p in design.road.points))
    spacing = f"contours every {whole_or_tenth_mm(step_mm)} mm" if pieces else "no contours: level, or not known"
    _put(space, "TEXT", f"{design.cover}: fitted road ({design.road.model}), {spacing}", (0.0, top_mm + 7 * _TEXT_MM))
    _put(
        space, "TEXT", "levels above the cover's zero [mm]; residual = reading - fit [mm]", (0.0, top_mm + 5 * _TEXT_MM)
    )
    _put(space, "TEXT", "traffic (+x) >>>", (0.0, top_mm + 3 * _TEXT_MM))


def _contours(space: Modelspace, pieces: tuple[Piece, ...]) -> None:
    """Each piece as a polyline at its level; the level is written on the longest piece outside the rim."""
    for piece in pieces:
        layer = "CONTOURS-INSIDE-RIM" if piece.inside else "CONTOURS"
        space.add_lwpolyline(piece.points, dxfattribs={"layer": layer, "elevation": piece.level_mm})
    for level_mm in dict.fromkeys(p.level_mm for p in pieces):
        own = [p for p in pieces if p.level_mm == level_mm]
        longest = max(own, key=lambda p: (not p.inside, len(p.points), p.points))
        a, b = longest.points[0], longest.points[-1]
        _put(space, "CONTOUR-LEVELS", f"{level_mm:+g}", ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), 0.7 * _TEXT_MM)


def _readings(space: Modelspace, design: CoverDesign) -> None:
    for point in design.road.points:
        at = (point.x_mm, point.y_mm)
        layer = "READINGS" if point.used else "READINGS-LEFT-OUT"
        space.add_point((*at, point.level_mm), dxfattribs={"layer": layer})
        if not point.used:
            space.add_circle(at, _RING_MM, dxfattribs={"layer": layer})
        said = point.point if point.used else f"{point.point} left out"
        _put(space, layer, said, (at[0], at[1] + 1.6 * _TEXT_MM))
        _put(space, "RESIDUALS", f"{point.residual_mm:+.1f}", (at[0], at[1] - 1.6 * _TEXT_MM))


def _put(space: Modelspace, layer: str, text: str, at: Point, height_mm: float = _TEXT_MM) -> None:
    from ezdxf.enums import TextEntityAlignment

    entity = space.add_text(plain(text), height=height_mm, dxfattribs={"layer": layer, "style": "OpenSans"})
    entity.set_placement(at, align=TextEntityAlignment.MIDDLE_CENTER)
