"""The section along the traffic through the cover's centre, at true scale, and the bed enlarged."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from truebed.drawings.levels_text import signed_mm, tenth_mm, whole_or_tenth_mm
from truebed.drawings.sheet_scale import ToSheet, crossing, fitting_scale, scale_bar
from truebed.drawings.svg import (
    BOLD_MM,
    LINE_MM,
    THIN_MM,
    Point,
    arrow,
    document,
    line,
    polygon,
    polyline,
    spread,
    words,
)
from truebed.levels.road_terms import road_level_mm
from truebed.plan.result import CoverDesign

CUT_ROOM_MM = 104.0
_LEFT_MM = 35.0
_RIGHT_MM = 39.0
_TOP_MM = 11.5
_BEYOND_MM = 40.0
_LABEL_GAP_MM = 4.2
_FIRST_LABEL_MM = 8.6
_BED_ROOM_MM = 40.0
_BELOW_FLOOR_MM = 45.0

#: role -> (hatch, how the crew calls it)
ROLES: dict[str, tuple[str, str]] = {
    "running_surface": ("dense", "surface"),
    "edge_seal": ("ink", "joint"),
    "surround_fill": ("stones", "backfill"),
    "under_flange_fill": ("dots", "flange fill"),
    "bed": ("cross", "bed"),
}
Height = Callable[[float], float]


@dataclass(frozen=True, slots=True)
class Cuts:
    """Where the section line cuts each outline: (low x, high x)."""

    opening: Point
    body: Point
    flange: Point
    wall: Point
    chamber: Point
    cut: Point


@dataclass(frozen=True, slots=True)
class Heights:
    """Levels along the section line as functions of x [mm]."""

    road: Height
    rim: Height
    seat: Height
    flange_top: Height
    over_flange: Height
    under_surface: Height
    chamber_top: Height
    floor: Height


def cuts_of(design: CoverDesign) -> Cuts:
    """The section's breaks; an outline that the line misses is taken as shut at the centre.

    Valid       convex outlines about the frame's centre
    Source      algebra
    Proved by   tests/drawings/test_section_view.py
    """
    o = design.outlines
    rings = (o.opening, o.body, o.flange, o.wall, o.chamber, o.cut)
    opening, body, flange, wall, chamber, cut = (crossing(ring) or (0.0, 0.0) for ring in rings)
    return Cuts(opening, body, flange, wall, chamber, cut)


def heights_of(design: CoverDesign) -> Heights:
    """The planes and depths of the design along y = 0; the floor lies level at its depth below the road's centre.

    Valid       any designed cover
    Source      algebra
    Proved by   tests/drawings/test_section_view.py
    """
    setting = design.setting
    floor_mm = road_level_mm(design.road, 0.0, 0.0) - design.cut.dig_depth_mm

    def road(x_mm: float) -> float:
        return road_level_mm(design.road, x_mm, 0.0)

    def seat(x_mm: float) -> float:
        return setting.rim.at(x_mm, 0.0) - design.frame_depth_mm

    return Heights(
        road=road,
        rim=lambda x: setting.rim.at(x, 0.0),
        seat=seat,
        flange_top=lambda x: seat(x) + design.flange_thick_mm,
        over_flange=lambda x: seat(x) + design.flange_thick_mm + design.over_flange_mm,
        under_surface=lambda x: road(x) - design.surface_depth_mm,
        chamber_top=lambda x: setting.chamber_top.at(x, 0.0),
        floor=lambda _x: floor_mm,
    )


@dataclass(frozen=True, slots=True)
class _Area:
    """An area between two levels over a stretch of x. role '' is the frame, 'wall' the chamber."""

    role: str
    a_mm: float
    b_mm: float
    top: Height
    bottom: Height

    def ring(self) -> tuple[Point, ...]:
        """The area's ring in x and z."""
        a, b = self.a_mm, self.b_mm
        return (a, self.bottom(a)), (b, self.bottom(b)), (b, self.top(b)), (a, self.top(a))


def areas_of(design: CoverDesign) -> list[_Area]:
    """Every area of the section, left and right; roles that the method omits are left out.

    Valid       wall inside or outside the flange
    Source      house (drawing of the section's roles)
    Proved by   tests/drawings/test_section_view.py
    """
    cuts, h = cuts_of(design), heights_of(design)
    roles = {v.role for v in design.volumes}
    bottom_mm = min(h.floor(0.0), h.chamber_top(cuts.wall[0]), h.chamber_top(cuts.wall[1])) - _BELOW_FLOOR_MM
    out: list[_Area] = []
    for side, sign in ((0, -1.0), (1, 1.0)):
        o, b, f = cuts.opening[side], cuts.body[side], cuts.flange[side]
        w, c, e = cuts.wall[side], cuts.chamber[side], cuts.cut[side]
        bed_end = min(f, w, key=lambda x: sign * x)
        filled = h.over_flange if "surround_fill" in roles else h.under_surface
        found = [
            _Area(
                "wall", c, min(w, e + sign * _BEYOND_MM, key=lambda x: sign * x), h.chamber_top, lambda _x: bottom_mm
            ),
            _Area("bed", o, bed_end, h.seat, h.chamber_top),
            _Area("under_flange_fill", b, f, filled, h.flange_top),
            *_outside(f, w, e, sign, h, filled),
            _Area("surround_fill", b, e, h.under_surface, h.over_flange),
            _Area("running_surface", b, e, h.road, h.under_surface),
            _Area(
                "edge_seal", e - sign * design.joint_width_mm, e, h.road, lambda x: h.road(x) - design.joint_depth_mm
            ),
            _Area("", o, b, h.rim, h.seat),
            _Area("", b, f, h.flange_top, h.seat),
        ]
        out += [a for a in found if a.role in roles | {"", "wall"}]
    return [a for a in out if abs(a.b_mm - a.a_mm) > 1e-9 and a.top(a.a_mm) - a.bottom(a.a_mm) > 1e-9]


def _outside(f: float, w: float, e: float, sign: float, h: Heights, filled: Height) -> list[_Area]:
    """The fill under and beside the flange's edge, on the wall top as far as it goes, then down to the floor."""
    role = "under_flange_fill"
    if sign * w < sign * f:
        return [_Area(role, w, f, h.seat, h.floor), _Area(role, f, e, filled, h.floor)]
    edge = min(w, e, key=lambda x: sign * x)
    return [_Area(role, f, edge, filled, h.chamber_top), _Area(role, edge, e, filled, h.floor)]


def section_svg(design: CoverDesign) -> str:
    """The section along the traffic at one scale both ways, with depths on the left and layers on the right.

    Valid       any designed cover
    Source      house (drawing)
    Proved by   tests/drawings/test_section_view.py
    """
    cuts, h = cuts_of(design), heights_of(design)
    areas = areas_of(design)
    low_x, high_x = cuts.cut
    one_to = fitting_scale(high_x - low_x, CUT_ROOM_MM)
    top_mm = max(h.road(low_x), h.road(high_x), h.rim(cuts.body[0]), h.rim(cuts.body[1]))
    bottom_mm = min(z for a in areas for _, z in a.ring())
    to = ToSheet(one_to, _LEFT_MM + 4.0 - low_x / one_to, _TOP_MM + top_mm / one_to)
    foot_mm = to.at(0.0, bottom_mm)[1]
    right_mm = to.at(high_x, 0.0)[0] + 4.0
    depths, depths_foot_mm = _depths(design, cuts, h, to)
    layers, layers_foot_mm = _layers(design, areas, to, right_mm)
    labels_foot_mm = max(depths_foot_mm, layers_foot_mm)
    parts = [
        *(_drawn(area, to) for area in areas),
        *_road(h, cuts, to),
        *(line(to.at(e, h.road(e)), to.at(e, _cut_foot_mm(side, cuts, h)), BOLD_MM) for side, e in enumerate(cuts.cut)),
        *depths,
        *layers,
        *_bed_ends(areas, cuts, to, foot_mm),
        *_heading(cuts, to),
        scale_bar((_LEFT_MM + 4.0, foot_mm + 3.0), one_to),
    ]
    height_mm = max(foot_mm + 6.0, labels_foot_mm + 2.0)
    title = f"{design.cover}, section along the traffic, 1:{one_to} both ways"
    return document(right_mm + _RIGHT_MM, height_mm, title, parts)


def _on_wall(side: int, cuts: Cuts) -> bool:
    """Whether the cut's edge on that side stands over the chamber's wall, so that nothing is dug beside it."""
    return abs(cuts.wall[side]) >= abs(cuts.cut[side])


def _cut_foot_mm(side: int, cuts: Cuts, h: Heights) -> float:
    e = cuts.cut[side]
    return h.chamber_top(e) if _on_wall(side, cuts) else h.floor(e)


def _drawn(area: _Area, to: ToSheet) -> str:
    hatch = "ink" if area.role == "" else "brick" if area.role == "wall" else ROLES[area.role][0]
    return polygon(to.ring(area.ring()), THIN_MM * 1.3, hatch, name=f"section-{area.role or 'frame'}-{area.a_mm:.0f}")


def _road(h: Heights, cuts: Cuts, to: ToSheet) -> list[str]:
    """The road either side of the cut and the rim's line across the opening."""
    parts = []
    for side, sign in ((0, -1.0), (1, 1.0)):
        e = cuts.cut[side]
        far = e + sign * 4.0 * to.one_to
        parts.append(line(to.at(e, h.road(e)), to.at(far, h.road(far)), BOLD_MM))
    ends = [to.at(x, h.rim(x)) for x in cuts.opening]
    return [*parts, line(ends[0], ends[1], LINE_MM, "1.6 1")]


def _heading(cuts: Cuts, to: ToSheet) -> list[str]:
    middle = to.at((cuts.opening[0] + cuts.opening[1]) / 2, 0.0)[0]
    return [arrow((middle - 14, 3.0), (middle + 14, 3.0), BOLD_MM), words((middle - 16, 4.2), "traffic", 3.4, "end")]


def _depths(design: CoverDesign, cuts: Cuts, h: Heights, to: ToSheet) -> tuple[list[str], float]:
    """Depths below the road at the left edge of what each belongs to."""
    e, b, f, w = cuts.cut[0], cuts.body[0], cuts.flange[0], cuts.wall[0]
    rows = [(e, h.road, "road", None), (b, h.rim, "rim, + proud", h.rim(b) - h.road(b))]
    if design.surface_depth_mm > 0:
        rows.append((e, h.under_surface, "under surface", design.surface_depth_mm))
    rows += [
        (f, h.flange_top, "flange top", h.road(f) - h.flange_top(f)),
        (f, h.seat, "under flange", h.road(f) - h.seat(f)),
        (max(w, e), h.chamber_top, "chamber top", h.road(max(w, e)) - h.chamber_top(max(w, e))),
    ]
    if not _on_wall(0, cuts):
        rows.append((e, h.floor, "floor of cut", h.road(e) - h.floor(e)))
    feet = sorted(((to.at(x, z(x)), name, depth) for x, z, name, depth in rows), key=lambda r: r[0][1])
    heights = _label_heights([p[1] for p, _, _ in feet])
    parts = [words((_LEFT_MM - 0.8, 4.2), "below the road [mm]", 3.2, "end")]
    for (foot, name, depth), y_mm in zip(feet, heights, strict=True):
        value = "" if depth is None else signed_mm(depth) if name.startswith("rim") else tenth_mm(depth)
        parts.append(words((_LEFT_MM - 11.5, y_mm + 1.1), name, 3.2, "end"))
        parts.append(words((_LEFT_MM - 0.8, y_mm + 1.1), value, 3.4, "end", bold=True))
        parts.append(polyline([(_LEFT_MM, y_mm), (_LEFT_MM + 3.5, foot[1]), foot], THIN_MM))
    return parts, heights[-1]


def _layers(design: CoverDesign, areas: list[_Area], to: ToSheet, right_mm: float) -> tuple[list[str], float]:
    """Names of the layers on the right, each with a leader into its own area."""
    named = {v.role: v for v in design.volumes}
    spots: dict[str, Point] = {}
    for area in areas:
        if max(area.a_mm, area.b_mm) <= 0:
            continue
        middle = (area.a_mm + area.b_mm) / 2
        spot = to.at(middle, (area.top(middle) + area.bottom(middle)) / 2)
        if area.role not in spots or area.role == "under_flange_fill":
            spots[area.role] = spot
    rows = sorted(spots.items(), key=lambda item: (item[1][1], -item[1][0]))
    heights = _label_heights([s[1] for _, s in rows])
    parts = [words((right_mm + 1.8, 4.2), "layers [mm]", 3.2, "start")]
    for (role, spot), y_mm in zip(rows, heights, strict=True):
        label = {"": "frame", "wall": "chamber wall"}.get(role) or ROLES[role][1]
        size = ""
        if role in named and role != "edge_seal":
            size = _range_mm(named[role].least_mm, named[role].most_mm)
        elif role == "edge_seal":
            size = f"{whole_or_tenth_mm(design.joint_width_mm)} x {whole_or_tenth_mm(design.joint_depth_mm)}"
        parts.append(polyline([spot, (right_mm - 1.0, y_mm), (right_mm + 1.0, y_mm)], THIN_MM))
        parts.append(words((right_mm + 1.8, y_mm + 1.1), f"{label} {size}".strip(), 3.2, "start"))
    return parts, heights[-1]


def _label_heights(wanted_mm: list[float]) -> tuple[float, ...]:
    """Labels kept apart, and below the headings."""
    heights = spread(wanted_mm, _LABEL_GAP_MM)
    lower_mm = max(0.0, _FIRST_LABEL_MM - heights[0])
    return tuple(y_mm + lower_mm for y_mm in heights)


def _range_mm(least_mm: float, most_mm: float) -> str:
    least, most = whole_or_tenth_mm(least_mm), whole_or_tenth_mm(most_mm)
    return least if least == most else f"{least} to {most}"


def _bed_ends(areas: list[_Area], cuts: Cuts, to: ToSheet, foot_mm: float) -> list[str]:
    """The bed's thickness at both ends of the section, with leaders from below."""
    parts = []
    inside = [to.at(x, 0.0)[0] for x in cuts.chamber]
    narrow = inside[1] - inside[0] < _BED_ROOM_MM  # then one stands above the other
    for bed in (a for a in areas if a.role == "bed"):
        end = max(bed.a_mm, bed.b_mm, key=abs)
        sign = 1.0 if end > 0 else -1.0
        middle = to.at(end, (bed.top(end) + bed.bottom(end)) / 2)
        raised_mm = 4.8 if narrow and sign < 0 else 0.0
        foot = (inside[0 if sign < 0 else 1] - sign * 9.0, foot_mm - 1.0 - raised_mm)
        text = f"bed {tenth_mm(bed.top(end) - bed.bottom(end))}"
        parts.append(polyline([(middle[0] - sign * 1.5, middle[1]), (foot[0], foot[1] - 3.4)], THIN_MM))
        parts.append(words(foot, text, 3.8, bold=True))
    return parts
