"""What of a drawing leaves its sheet: words by their likely width, and every coordinate of lines and shapes."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree

from truebed.drawings.svg import words_width_mm

#: Line ends and marks may stand on the sheet's very edge.
EDGE_MM = 0.05


def off_the_sheet(svg: str) -> list[str]:
    """The words that leave the sheet, each with where it reaches."""
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own text
    wide, high = (float(v) for v in root.attrib["viewBox"].split()[2:])
    out = []
    for element in root.iter():
        if not element.tag.endswith("}text"):
            continue
        text = element.text or ""
        for x, y in _ends(element, text):
            if not (-EDGE_MM <= x <= wide + EDGE_MM and -EDGE_MM <= y <= high + EDGE_MM):
                out.append(f"'{text}' at {x:.1f}, {y:.1f} of {wide:.1f} x {high:.1f}")
    return out


def _ends(element: ElementTree.Element, text: str) -> list[tuple[float, float]]:
    """Both ends of a label, on its baseline and at the top of its letters."""
    x, y, size = (float(element.attrib[key]) for key in ("x", "y", "font-size"))
    width = words_width_mm(text, size)
    start = {"start": 0.0, "middle": -width / 2, "end": -width}[element.attrib["text-anchor"]]
    turn = re.match(r"rotate\(([-0-9.]+)", element.get("transform", ""))
    angle = math.radians(float(turn.group(1))) if turn else 0.0
    cos, sin = math.cos(angle), math.sin(angle)
    corners = [(start, 0.0), (start + width, 0.0), (start, -0.7 * size), (start + width, -0.7 * size)]
    return [(x + cos * a - sin * b, y + sin * a + cos * b) for a, b in corners]
