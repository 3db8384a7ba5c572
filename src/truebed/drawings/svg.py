"""A small SVG writer: shapes, words, hatches, dimension lines. Coordinates are millimetres on the sheet, y down.

Nothing depends on colour: what differs, differs by line weight, dash or hatch, so a black printer loses nothing. On
a dark screen ink and paper change places; paper keeps black on white.
"""

from __future__ import annotations

import html
import math
from collections.abc import Iterable, Sequence

Point = tuple[float, float]

FONT = "'Source Sans Pro', 'Source Sans 3', Roboto, 'Liberation Sans', Arial, Helvetica, sans-serif"
INK = "#000000"
PAPER = "#ffffff"

THIN_MM = 0.18
LINE_MM = 0.35
BOLD_MM = 0.7

#: Ink and paper change places on a dark screen, and a drawing opened by itself fits the window. Printers and
#: typesetters do not read it: their ink is in the attributes.
_STYLE = (
    "@media screen{svg.drawing{max-width:100%;height:auto}}"
    "@media screen and (prefers-color-scheme:dark){"
    f'.drawing [fill="{PAPER}"]{{fill:{INK}}}.drawing [stroke="{PAPER}"]{{stroke:{INK}}}'
    f'.drawing,.drawing [fill="{INK}"]{{fill:{PAPER}}}.drawing [stroke="{INK}"]{{stroke:{PAPER}}}}}'
)

_STROKE = f'stroke="{INK}" stroke-width="{{}}"'
#: name -> (tile's width, tile's height, turn in degrees, what is drawn in the tile)
_TILES: dict[str, tuple[float, float, float, str]] = {
    "diagonal": (2.2, 2.2, 45.0, '<path d="M0 0V2.2" ' + _STROKE.format(0.45) + "/>"),
    "dense": (1.5, 1.5, 45.0, '<path d="M0 0V1.5" ' + _STROKE.format(0.6) + "/>"),
    "backward": (2.6, 2.6, -45.0, '<path d="M0 0V2.6" ' + _STROKE.format(0.4) + "/>"),
    "cross": (2.4, 2.4, 45.0, '<path d="M0 0V2.4M0 0H2.4" ' + _STROKE.format(0.4) + "/>"),
    "dots": (2.0, 2.0, 0.0, f'<circle cx="0.5" cy="0.5" r="0.26" fill="{INK}"/><circle cx="1.5" cy="1.5" r="0.26" '
             f'fill="{INK}"/>'),
    "stones": (3.4, 3.4, 0.0, f'<circle cx="0.8" cy="2.6" r="0.2" fill="{INK}"/><path d="M1.6 1.7l0.9 -1.1l0.5 1.2z" '
               'fill="none" ' + _STROKE.format(0.2) + "/>"),
    "brick": (5.0, 3.0, 0.0, '<path d="M0 0H5M0 1.5H5M1.2 0V1.5M3.7 1.5V3" ' + _STROKE.format(0.3) + "/>"),
    "flat": (1.4, 1.4, 0.0, '<path d="M0 0.7H1.4" ' + _STROKE.format(0.32) + "/>"),
}  # fmt: skip


def number(value_mm: float) -> str:
    """A coordinate as text: three decimals at most, never '-0'. Raises ValueError for what is not finite."""
    if not math.isfinite(value_mm):
        raise ValueError(f"a drawing cannot hold the coordinate {value_mm}")
    text = f"{value_mm:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def escaped(words: str) -> str:
    """Words made safe for XML: markup escaped, characters that XML forbids dropped."""
    allowed = (c for c in words if c in "\t\n" or (ord(c) >= 32 and not 0xD800 <= ord(c) <= 0xDFFF and ord(c) < 0xFFFE))
    return html.escape("".join(allowed), quote=True)


def words_width_mm(words: str, size_mm: float) -> float:
    """About how wide words of that size run; a little generous, for keeping labels apart."""
    return 0.53 * size_mm * len(words)


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def _pen(width_mm: float, dash: str) -> str:
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return f'stroke="{INK}" stroke-width="{number(width_mm)}"{dashes}' if width_mm > 0 else 'stroke="none"'


def _fill(name: str) -> str:
    if name in _TILES:
        return f'fill="url(#{name})"'
    return f'fill="{ {"none": "none", "ink": INK, "paper": PAPER}[name] }"'


def line(a: Point, b: Point, width_mm: float = LINE_MM, dash: str = "") -> str:
    """One straight line."""
    ends = f'x1="{number(a[0])}" y1="{number(a[1])}" x2="{number(b[0])}" y2="{number(b[1])}"'
    return f"<line {ends} {_pen(width_mm, dash)}/>"


def polyline(points: Iterable[Point], width_mm: float = LINE_MM, dash: str = "") -> str:
    """An open chain of lines."""
    return f'<polyline points="{_points(points)}" fill="none" {_pen(width_mm, dash)}/>'


def polygon(
    points: Iterable[Point], width_mm: float = LINE_MM, fill: str = "none", dash: str = "", name: str = ""
) -> str:
    """A closed shape; fill is 'none', 'ink', 'paper' or a hatch's name; name becomes its id."""
    mark = f'id="{escaped(name)}" ' if name else ""
    return f'<polygon {mark}points="{_points(points)}" {_fill(fill)} {_pen(width_mm, dash)}/>'


def between(outer: Sequence[Point], inner: Sequence[Point], fill: str) -> str:
    """The area between two rings, hatched, without an edge."""
    path = "".join("M" + "L".join(f"{number(x)} {number(y)}" for x, y in ring) + "Z" for ring in (outer, inner))
    return f'<path d="{path}" fill-rule="evenodd" {_fill(fill)} stroke="none"/>'


def box(
    x_mm: float, y_mm: float, width_mm: float, height_mm: float, pen_mm: float = LINE_MM, fill: str = "none"
) -> str:
    """An upright rectangle by its top left corner."""
    size = f'x="{number(x_mm)}" y="{number(y_mm)}" width="{number(width_mm)}" height="{number(height_mm)}"'
    return f"<rect {size} {_fill(fill)} {_pen(pen_mm, '')}/>"


def circle(centre: Point, radius_mm: float, width_mm: float = LINE_MM, fill: str = "none") -> str:
    """A circle."""
    place = f'cx="{number(centre[0])}" cy="{number(centre[1])}" r="{number(radius_mm)}"'
    return f"<circle {place} {_fill(fill)} {_pen(width_mm, '')}/>"


def words(
    at: Point,
    text: str,
    size_mm: float = 3.2,
    anchor: str = "middle",
    bold: bool = False,
    turn_deg: float = 0.0,
    halo: bool = True,
) -> str:
    """Words with their baseline at a point; a paper-white halo keeps them legible over hatches."""
    weight = ' font-weight="700"' if bold else ""
    turn = f' transform="rotate({number(turn_deg)} {number(at[0])} {number(at[1])})"' if turn_deg else ""
    rim = f' stroke="{PAPER}" stroke-width="{number(0.28 * size_mm)}" stroke-linejoin="round" paint-order="stroke"'
    return (
        f'<text x="{number(at[0])}" y="{number(at[1])}" font-size="{number(size_mm)}" text-anchor="{anchor}"'
        f"{weight}{turn}{rim if halo else ''}>{escaped(text)}</text>"
    )


def inverse_words(at: Point, text: str, size_mm: float) -> str:
    """Bold white words, for a black bar."""
    return (
        f'<text x="{number(at[0])}" y="{number(at[1])}" font-size="{number(size_mm)}" text-anchor="middle" '
        f'font-weight="700" fill="{PAPER}">{escaped(text)}</text>'
    )


def arrow(tail: Point, tip: Point, width_mm: float = LINE_MM, head_mm: float = 2.2) -> str:
    """A line with a filled head at its tip."""
    run, rise = tip[0] - tail[0], tip[1] - tail[1]
    length = math.hypot(run, rise)
    along = (run / length, rise / length)
    neck = (tip[0] - along[0] * head_mm, tip[1] - along[1] * head_mm)
    half = 0.36 * head_mm
    left = (neck[0] - along[1] * half, neck[1] + along[0] * half)
    right = (neck[0] + along[1] * half, neck[1] - along[0] * half)
    return line(tail, neck, width_mm) + polygon((tip, left, right), 0.0, "ink")


def dimension(a: Point, b: Point, offset: Point, text: str, size_mm: float = 3.2) -> str:
    """A dimension from a to b, drawn `offset` away, with extension lines, ticks and its words above the line."""
    p, q = (a[0] + offset[0], a[1] + offset[1]), (b[0] + offset[0], b[1] + offset[1])
    reach = math.hypot(*offset)
    over = (offset[0] / reach, offset[1] / reach) if reach > 0 else (0.0, 0.0)
    angle_deg = math.degrees(math.atan2(q[1] - p[1], q[0] - p[0]))
    if angle_deg >= 90.0 or angle_deg < -90.0:  # words read from below or from the right-hand side of the sheet
        angle_deg += 180.0 if angle_deg < -90.0 else -180.0
    up = (math.sin(math.radians(angle_deg)), -math.cos(math.radians(angle_deg)))
    middle = ((p[0] + q[0]) / 2 + up[0], (p[1] + q[1]) / 2 + up[1])
    parts = [line(p, q, THIN_MM)]
    for end, foot in ((p, a), (q, b)):
        if reach > 1.5:
            start = (foot[0] + over[0], foot[1] + over[1])
            parts.append(line(start, (end[0] + over[0], end[1] + over[1]), THIN_MM))
        slant = math.radians(angle_deg - 45.0)
        tick = (0.9 * math.cos(slant), 0.9 * math.sin(slant))
        parts.append(line((end[0] - tick[0], end[1] - tick[1]), (end[0] + tick[0], end[1] + tick[1]), LINE_MM))
    parts.append(words(middle, text, size_mm, turn_deg=angle_deg))
    return "".join(parts)


def moved(down_mm: float, parts: Iterable[str]) -> str:
    """Parts moved down the sheet together; a negative number moves them up."""
    return f'<g transform="translate(0 {number(down_mm)})">{"".join(parts)}</g>'


def spread(wanted_mm: Sequence[float], gap_mm: float) -> tuple[float, ...]:
    """Positions in the given rising order, moved as little as need be so that each is a gap after the one before.

    Runs that touch are moved together about their common middle.
    """
    runs: list[list[float]] = []
    for at_mm in wanted_mm:
        runs.append([at_mm, 1.0])
        while len(runs) > 1:
            (before, count), (last, more) = runs[-2], runs[-1]
            if last - before >= gap_mm * (count + more) / 2:
                break
            total = count + more
            # each run is kept by its middle; the middle of the joined run balances what both wanted
            runs[-2:] = [[(before * count + last * more) / total, total]]
    out: list[float] = []
    for middle, count in runs:
        out += [middle + gap_mm * (i - (count - 1) / 2) for i in range(int(count))]
    return tuple(out)


def hatch_defs() -> str:
    """The hatches' definitions."""
    parts = []
    for name, (width_mm, height_mm, turn_deg, tile) in _TILES.items():
        turn = f' patternTransform="rotate({number(turn_deg)})"' if turn_deg else ""
        parts.append(
            f'<pattern id="{name}" width="{number(width_mm)}" height="{number(height_mm)}" '
            f'patternUnits="userSpaceOnUse"{turn}>{tile}</pattern>'
        )
    return f"<defs>{''.join(parts)}</defs>"


def document(width_mm: float, height_mm: float, title: str, parts: Iterable[str]) -> str:
    """A whole SVG of that size in millimetres on the sheet."""
    size = f'width="{number(width_mm)}mm" height="{number(height_mm)}mm"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 {number(width_mm)} {number(height_mm)}"'
    ground = f'<rect width="{number(width_mm)}" height="{number(height_mm)}" fill="{PAPER}"/>'
    body = "\n".join(parts)
    return (
        f'{head} class="drawing" font-family="{FONT}" fill="{INK}">\n<title>{escaped(title)}</title>\n'
        f"<style>{_STYLE}</style>\n{hatch_defs()}\n"
        f"{ground}\n{body}\n</svg>\n"
    )
