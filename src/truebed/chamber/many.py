"""Litres of all roles for an array of covers: at network scale, in chunks, compiled or by arrays."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.chamber.volume_arrays import Section, litres_by_arrays
from truebed.compiled import COMPILED

Array = NDArray[np.float64]

ROLES = ("bed", "under_flange_fill", "surround_fill", "running_surface", "edge_seal")
OUTLINES = ("opening", "body", "flange", "wall", "chamber", "cut")
#: Covers done at a time: keeps the arrays within the processor's nearer memory.
CHUNK = 2048
#: Rounding allowed when one outline must lie within another [mm].
SLACK_MM = 1.0e-6


@dataclass(frozen=True, slots=True)
class Covers:
    """Many covers, each with its outlines about one middle in one turn.

    outlines    (n, 6, 3): opening, body, flange, wall, chamber, cut; half along, half across, radius. A rectangle has
                an infinite radius, a round infinite half sizes.
    planes      (n, 4, 3): rim, road, chamber top, floor; level, slope along x, slope along y, in local axes
    depths      (n, 6): frame depth, flange thickness, over flange, surface depth, joint width, joint depth
    turns_deg   (n,): of the outlines, anticlockwise from local x
    """

    outlines: Array
    planes: Array
    depths: Array
    turns_deg: Array


def in_own_axes(planes: Array, turns_deg: Array) -> Array:
    """Planes with their slopes along the outlines' own axes.

    Valid       planes (n, 4, 3)
    Source      algebra
    Proved by   tests/chamber/test_many.py
    """
    cos, sin = np.cos(np.radians(turns_deg))[:, None], np.sin(np.radians(turns_deg))[:, None]
    own = planes.copy()
    own[:, :, 1] = cos * planes[:, :, 1] + sin * planes[:, :, 2]
    own[:, :, 2] = cos * planes[:, :, 2] - sin * planes[:, :, 1]
    return own


def _within(inner: Array, outer: Array) -> NDArray[np.bool_]:
    """Whether rectangles or rounds lie within others about the same middle."""
    a, b = np.minimum(inner[:, 0], inner[:, 2]), np.minimum(inner[:, 1], inner[:, 2])
    far = np.minimum(np.hypot(inner[:, 0], inner[:, 1]), inner[:, 2])
    sides = (a <= outer[:, 0] + SLACK_MM) & (b <= outer[:, 1] + SLACK_MM)
    inside: NDArray[np.bool_] = sides & (far <= outer[:, 2] + SLACK_MM)
    return inside


def misfits(covers: Covers) -> tuple[tuple[int, str], ...]:
    """Rows whose outlines do not lie in each other as a frame on a chamber does, or whose numbers are none.

    Valid       any arrays of the stated shapes
    Source      house: section and its roles
    Proved by   tests/chamber/test_many.py
    """
    o = covers.outlines
    pairs = (
        (1, 2, "the body reaches beyond the flange"), (2, 5, "the flange reaches beyond the cut-out"),
        (0, 2, "the opening reaches beyond the flange"), (0, 3, "the opening reaches beyond the chamber's wall"),
        (4, 2, "the chamber is wider than the flange"), (4, 3, "the chamber is wider than its wall"),
    )  # fmt: skip
    found = [(int(i), what) for inner, outer, what in pairs for i in np.flatnonzero(~_within(o[:, inner], o[:, outer]))]
    sizes = np.any(np.isnan(o), axis=(1, 2)) | np.any(~np.isfinite(np.min(o, axis=2)), axis=1) | np.any(o <= 0, (1, 2))
    found += [(int(i), "an outline without a size") for i in np.flatnonzero(sizes)]
    numbers = np.isfinite(covers.planes).all((1, 2)) & np.isfinite(covers.depths).all(1)
    found += [(int(i), "a level, slope or depth that is no number") for i in np.flatnonzero(~numbers)]
    return tuple(sorted(set(found)))


def litres_of_many(covers: Covers, *, by_arrays: bool = not COMPILED) -> Array:
    """Litres (n, 5) of bed, under-flange fill, surround fill, running surface and edge seal.

    by_arrays   numpy's closed form; else the compiled loop (the same where numba is missing, but slow)
    Valid       misfits(covers) is empty
    Source      see truebed.chamber.volume_kernel
    Raises      ValueError naming the first rows that do not fit
    Proved by   tests/chamber/test_many.py
    """
    count = len(covers.outlines)
    litres = np.empty((count, len(ROLES)))
    for start in range(0, count, CHUNK):
        some = slice(start, min(start + CHUNK, count))
        part = Covers(covers.outlines[some], covers.planes[some], covers.depths[some], covers.turns_deg[some])
        wrong = misfits(part) if by_arrays else ()
        if by_arrays and not wrong:
            planes = in_own_axes(part.planes, part.turns_deg)
            litres[some] = litres_by_arrays(Section(part.outlines, planes, part.depths))
        elif not by_arrays and _by_loop(part, litres[some]):
            wrong = misfits(part)
        if wrong:
            named = "; ".join(f"row {start + i}: {what}" for i, what in wrong[:5])
            raise ValueError(f"covers that are no frame on a chamber: {named}")
    return litres


def _by_loop(part: Covers, litres: Array) -> int:
    from truebed.chamber.volume_kernel import all_litres

    turns = np.radians(part.turns_deg)
    rows = np.column_stack([np.cos(turns), np.sin(turns)])
    return all_litres((part.outlines, part.planes, part.depths, rows), SLACK_MM, litres)
