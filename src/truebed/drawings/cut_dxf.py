"""The cut-out for a drawing office: layers, rings and rendered dimensions, in millimetres."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from truebed.chamber.outlines import CutOut
from truebed.chamber.plane import Ring
from truebed.drawings.levels_text import whole_or_tenth_mm
from truebed.drawings.sheet_scale import own_box, turned
from truebed.plan.result import CoverDesign

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

#: layer -> (AutoCAD colour index 7: black or white by ground, line weight in hundredths of a millimetre, line type)
LAYERS: dict[str, tuple[int, int, str]] = {
    "CUT": (7, 70, "CONTINUOUS"),
    "FLANGE": (7, 35, "CONTINUOUS"),
    "BODY": (7, 35, "CONTINUOUS"),
    "OPENING": (7, 35, "CONTINUOUS"),
    "WALL": (7, 25, "DASHED"),
    "CHAMBER": (7, 25, "DASHED"),
    "DIMENSIONS": (7, 18, "CONTINUOUS"),
    "READINGS": (7, 18, "CONTINUOUS"),
    "TEXT": (7, 18, "CONTINUOUS"),
    "RUN-ON": (7, 18, "DASHED"),
    "CORES": (7, 35, "CONTINUOUS"),
    "JOINED": (7, 50, "DASHED"),
    "SHARED": (7, 18, "DASHDOT"),
}
_TEXT_MM = 28.0
_FIRST_MM = 70.0
_STEP_MM = 75.0


def cut_dxf(design: CoverDesign) -> bytes:
    """The cover in plan as DXF (R2010, millimetres, local axes), the same bytes each time.

    Valid       any designed cover
    Source      house (drawing)
    Raises      ValueError where the written drawing does not pass its own audit
    Proved by   tests/drawings/test_cut_dxf.py
    """
    from ezdxf._options import options
    from ezdxf.filemanagement import new
    from ezdxf.units import MM

    kept = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True  # no clock and no random ids in the file
    try:
        doc = new("R2010", setup=True, units=MM)
        doc.header["$MEASUREMENT"] = 1
        _fill(doc, design)
        faults = doc.audit().errors
        if faults:
            raise ValueError(f"the drawing of {design.cover} is not sound: {faults[0].message}")
        # the library gathers required classes in a set: put in order before writing, for the same bytes each time
        doc.classes.add_required_classes(doc.dxfversion)
        doc.classes.classes = dict(sorted(doc.classes.classes.items()))
        stream = io.StringIO()
        doc.write(stream)
    finally:
        options.write_fixed_meta_data_for_testing = kept
    return doc.encode(stream.getvalue())


def _fill(doc: Drawing, design: CoverDesign) -> None:
    for name, (color, weight, line_type) in LAYERS.items():
        doc.layers.add(name, color=color, lineweight=weight, linetype=line_type)
    space = doc.modelspace()
    outlines = design.outlines
    rings: tuple[tuple[str, Ring], ...] = (
        ("CUT", outlines.cut),
        ("FLANGE", outlines.flange),
        ("BODY", outlines.body),
        ("OPENING", outlines.opening),
        ("WALL", outlines.wall),
        ("CHAMBER", outlines.chamber),
    )
    for layer, ring in rings:
        if layer == "CUT" and design.cut.diameter_mm is not None:
            space.add_circle((0.0, 0.0), design.cut.diameter_mm / 2.0, dxfattribs={"layer": layer})
        else:
            space.add_lwpolyline(ring, close=True, dxfattribs={"layer": layer})
    _corners(space, design.cut)
    _joint(space, design.cut)
    for i, (name, ring) in enumerate(
        (("opening", outlines.opening), ("flange", outlines.flange), ("cut", outlines.cut))
    ):
        _dimension(space, design, name, ring, _FIRST_MM + _STEP_MM * i)
    _texts(space, design)


def _corners(space: Modelspace, cut: CutOut) -> None:
    """Runs of the blade past the corners and holes to core; what has no room is not drawn."""
    if cut.corners is None:
        return
    for over in cut.corners.over_cuts:
        if not over.enters:
            space.add_line(over.start, over.end, dxfattribs={"layer": "RUN-ON"})
    for core in cut.corners.cores:
        if not core.enters:
            space.add_circle((core.x_mm, core.y_mm), core.diameter_mm / 2.0, dxfattribs={"layer": "CORES"})


def _joint(space: Modelspace, cut: CutOut) -> None:
    """The whole of a joined cut-out and the lines between its owners."""
    if cut.joined is None:
        return
    space.add_lwpolyline(cut.joined.ring, close=True, dxfattribs={"layer": "JOINED"})
    for start, end in cut.joined.sharing:
        space.add_line(start, end, dxfattribs={"layer": "SHARED"})


def _dimension(space: Modelspace, design: CoverDesign, name: str, ring: Ring, away_mm: float) -> None:
    """Along below the cut, across on its left, in the frame's own axes."""
    # a cut that knows its sides knows its own turn: square to the traffic, it may lie otherwise than its frame
    turn_deg = design.cut.turn_deg if name == "cut" and design.cut.sides else design.turn_deg
    own, cut = own_box(ring, turn_deg), own_box(design.outlines.cut, turn_deg)
    start = turned(own.x_low_mm, own.y_low_mm, turn_deg)
    style = {"dimtxt": _TEXT_MM, "dimasz": _TEXT_MM * 0.8, "dimexe": 12.0, "dimexo": 12.0, "dimgap": 8.0, "dimdec": 1}
    style |= {"dimlfac": 1.0, "dimscale": 1.0, "dimzin": 8, "dimtad": 1}
    for end, base, angle_deg in (
        (turned(own.x_high_mm, own.y_low_mm, turn_deg), turned(0.0, cut.y_low_mm - away_mm, turn_deg), turn_deg),
        (turned(own.x_low_mm, own.y_high_mm, turn_deg), turned(cut.x_low_mm - away_mm, 0.0, turn_deg), turn_deg + 90.0),
    ):
        space.add_linear_dim(
            base=base, p1=start, p2=end, angle=angle_deg, text=f"{name} <>", dimstyle="EZDXF", override=style,
            dxfattribs={"layer": "DIMENSIONS"},
        ).render()  # fmt: skip


def _texts(space: Modelspace, design: CoverDesign) -> None:
    from ezdxf.enums import TextEntityAlignment

    def put(text: str, at: tuple[float, float], layer: str = "TEXT", height_mm: float = _TEXT_MM) -> None:
        attributes = {"layer": layer, "style": "OpenSans"}
        entity = space.add_text(plain(text), height=height_mm, dxfattribs=attributes)
        entity.set_placement(at, align=TextEntityAlignment.MIDDLE_CENTER)

    for point in design.road.points:
        space.add_point((point.x_mm, point.y_mm), dxfattribs={"layer": "READINGS"})
        put(point.point, (point.x_mm, point.y_mm + _TEXT_MM), "READINGS", _TEXT_MM * 0.7)
    for corner in design.setting.corners:
        put(corner.name, (corner.x_mm * 0.5, corner.y_mm * 0.5 + _TEXT_MM * 0.7))
        put(f"{corner.rim_mm:+.0f}", (corner.x_mm * 0.5, corner.y_mm * 0.5 - _TEXT_MM * 0.7))
    top_mm = max(y for _, y in design.outlines.cut)
    size = f"{whole_or_tenth_mm(design.cut.along_mm)} x {whole_or_tenth_mm(design.cut.across_mm)} mm"
    if design.cut.diameter_mm is not None:
        size = f"{whole_or_tenth_mm(design.cut.diameter_mm)} mm across"
    put(f"{design.cover}: cut {size}", (0.0, top_mm + 8 * _TEXT_MM), height_mm=_TEXT_MM * 1.4)
    put("traffic (+x) >>>", (0.0, top_mm + 5 * _TEXT_MM))


def plain(text: str) -> str:
    """Text without what DXF reads as a command: line breaks, carets, percent codes.

    Valid       any text
    Source      house (writing)
    Proved by   tests/drawings/test_cut_dxf.py
    """
    kept = "".join(c for c in text if c.isprintable())
    return kept.replace("%%", "% %").replace("^", " ")
