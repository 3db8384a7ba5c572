"""Pressure of a rigid frame on a bed that takes no tension, by the exact polygon of contact."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

Array = NDArray[np.float64]
Verdict = Literal["whole bed pressed", "part of the bed lifts", "tips"]


@dataclass(frozen=True, slots=True)
class Bed:
    """A seating as the contact sees it: directed edges and hull, in units of size_mm from (x_mm, y_mm)."""

    edges: Array
    hull: Array
    x_mm: float
    y_mm: float
    size_mm: float
    area_mm2: float


@dataclass(frozen=True, slots=True)
class Contact:
    """How a bed bears one load.

    verdict     'tips' where the load lies outside the hull of the seating: then there is no pressure to tell
    peak_*      greatest pressure and where
    level_*, slope_*  pressure = level + slope_x x + slope_y y [mm] where that is above nought (N/mm2, N/mm2 per mm)
    pressed_share  share of the seating that is pressed
    """

    verdict: Verdict
    peak_n_per_mm2: float | None
    peak_x_mm: float
    peak_y_mm: float
    level_n_per_mm2: float
    slopes_per_mm: tuple[float, float]
    pressed_share: float


def bed_of(seating: BaseGeometry) -> Bed:
    """A seating made ready for contact: its rings turned the right way, scaled by its size.

    Valid       a polygon or several, with holes; overlapping none
    Source      algebra
    Raises      ValueError for a seating without area
    Proved by   tests/curing/test_contact.py
    """
    hull = seating.convex_hull
    if not isinstance(hull, Polygon) or seating.area <= 0.0:
        raise ValueError("a seating without area bears nothing")
    low_x, low_y, high_x, high_y = seating.bounds
    x_mm, y_mm = (low_x + high_x) / 2.0, (low_y + high_y) / 2.0
    size_mm = max(high_x - low_x, high_y - low_y) / 2.0
    middle = np.array([x_mm, y_mm])
    edges = [np.hstack([points[:-1], points[1:]]) for points in ((ring - middle) / size_mm for ring in _rings(seating))]
    outer = (np.asarray(orient(hull).exterior.coords)[:-1] - middle) / size_mm
    return Bed(np.vstack(edges), outer, x_mm, y_mm, size_mm, float(seating.area))


def _rings(seating: BaseGeometry) -> Iterator[Array]:
    """Outer rings anticlockwise and holes clockwise, closed."""
    if isinstance(seating, Polygon):
        turned = orient(seating)
        yield from (np.asarray(ring.coords)[:, :2] for ring in (turned.exterior, *turned.interiors))
    elif hasattr(seating, "geoms"):
        for part in seating.geoms:
            yield from _rings(part)


def _pressed(bed: Bed, load_n: float, at_x_mm: float, at_y_mm: float) -> tuple[int, Array]:
    """The kernel's word and pressure in the bed's own units (N/mm2, lengths of size_mm)."""
    from truebed.curing.contact_kernel import pressed

    force = load_n / bed.size_mm**2
    load = force * np.array([1.0, (at_x_mm - bed.x_mm) / bed.size_mm, (at_y_mm - bed.y_mm) / bed.size_mm])
    v = np.zeros(3)
    return pressed(bed.edges, bed.hull, load, v), v


def contact(bed: Bed, load_n: float, at_x_mm: float, at_y_mm: float) -> Contact:
    """The pressure of a rigid frame under one load: linear over the part that is pressed, nothing elsewhere.

    Valid       load > 0; a rigid frame (a real one bends and presses more under the wheel's nearest side)
    Source      algebra (force and both moments in balance)
    Raises      ValueError where the balance is not found
    Proved by   tests/curing/test_contact.py, tests/oracles/test_contact_ways.py
    """
    from truebed.curing.contact_kernel import CONVERGED, TIPS, pressed_moments

    word, v = _pressed(bed, load_n, at_x_mm, at_y_mm)
    if word == TIPS:
        return Contact("tips", None, at_x_mm, at_y_mm, 0.0, (0.0, 0.0), 0.0)
    if word != CONVERGED:
        raise ValueError("no balance of the frame under its load was found")
    heights = v[0] + bed.hull @ v[1:]
    most, moments = int(np.argmax(heights)), np.zeros(6)
    pressed_moments(bed.edges, v, moments)
    slopes = float(v[1] / bed.size_mm), float(v[2] / bed.size_mm)
    level = float(v[0]) - slopes[0] * bed.x_mm - slopes[1] * bed.y_mm
    whole = bool(np.min(heights) >= -1e-12 * np.max(heights))
    return Contact(
        "whole bed pressed" if whole else "part of the bed lifts",
        float(heights[most]),
        bed.x_mm + float(bed.hull[most, 0]) * bed.size_mm,
        bed.y_mm + float(bed.hull[most, 1]) * bed.size_mm,
        level,
        slopes,
        1.0 if whole else float(moments[0]) * bed.size_mm**2 / bed.area_mm2,
    )


def peak_n_per_mm2(bed: Bed, load_n: float, at_x_mm: float, at_y_mm: float) -> float:
    """The greatest pressure alone: infinite where the frame tips, nought without a load.

    Valid       as contact
    Source      algebra
    Raises      ValueError where the balance is not found
    Proved by   tests/curing/test_contact.py
    """
    from truebed.curing.contact_kernel import CONVERGED, TIPS, greatest_pressure

    if load_n <= 0.0:
        return 0.0
    word, v = _pressed(bed, load_n, at_x_mm, at_y_mm)
    if word == TIPS:
        return float("inf")
    if word != CONVERGED:
        raise ValueError("no balance of the frame under its load was found")
    return greatest_pressure(bed.hull, v)
