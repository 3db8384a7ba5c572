"""A sweep over many covers as one table, a row a cover."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable

import numpy as np

from truebed.levels.rims import CORNERS, QUARTERS
from truebed.levels.road_network import NETWORK_MODELS
from truebed.papers.findings_csv import safe
from truebed.plan.network_sweep import Swept, SweptCover
from truebed.plan.network_types import ROLES, ManyGrounds

Row = Callable[[ManyGrounds, int], float]

#: Columns that are one number of the answer each.
MORE: tuple[tuple[str, Row], ...] = (
    ("rim_level_mm", lambda a, k: float(a.plane[k, 0])),
    ("rim_slope_x_ratio", lambda a, k: float(a.plane[k, 1])),
    ("rim_slope_y_ratio", lambda a, k: float(a.plane[k, 2])),
    ("corner_1_mm", lambda a, k: float(a.corners[k, 0])),
    ("corner_2_mm", lambda a, k: float(a.corners[k, 1])),
    ("corner_3_mm", lambda a, k: float(a.corners[k, 2])),
    ("corner_4_mm", lambda a, k: float(a.corners[k, 3])),
    ("greatest_departure_mm", lambda a, k: float(a.greatest[k])),
    ("bed_least_mm", lambda a, k: float(a.bed_least[k])),
    ("bed_most_mm", lambda a, k: float(a.bed_most[k])),
    ("out_of_tolerance_mm", lambda a, k: float(a.out[k])),
    ("bed_beyond_limits_mm", lambda a, k: float(a.relax[k])),
    ("raise_least_mm", lambda a, k: float(a.raise_least[k])),
    ("raise_most_mm", lambda a, k: float(a.raise_most[k])),
    ("probability_on_chosen_road", lambda a, k: float(a.probability[k])),
    ("cut_along_mm", lambda a, k: float(a.front[k] + a.back[k])),
    ("cut_across_mm", lambda a, k: float(a.left[k] + a.right[k])),
    ("cut_area_m2", lambda a, k: float(a.area_mm2[k]) * 1e-6),
    ("saw_m", lambda a, k: float(a.saw_m[k])),
    *((f"{role}_l", lambda a, k, i=i: float(a.litres[k, i])) for i, role in enumerate(ROLES)),
    ("waste_bound_l", lambda a, k: float(a.bound_l[k])),
    ("waste_unbound_l", lambda a, k: float(a.unbound_l[k])),
    ("waste_plus_minus_l", lambda a, k: float(a.waste_band_l[k])),
)
HEAD = (
    "cover",
    "street",
    "kind",
    "status",
    "why",
    "road",
    "gross_reading",
    "gross_off_mm",
    "corner_names",
    *(name for name, _ in MORE),
)


def _number(value: float) -> str:
    """Six decimals without a tail of noughts; nothing where there is no figure."""
    if not np.isfinite(value):
        return ""
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _gross(cover: SweptCover, answer: ManyGrounds) -> tuple[str, str]:
    which = int(answer.removed[cover.row])
    if which < 0:
        return "", ""
    road = [r.point for r in cover.case.readings if r.where == "road"]
    return safe(road[which]), _number(float(answer.off[cover.row]))


def _row(cover: SweptCover) -> list[str]:
    given, answer = cover.case.cover, cover.answer
    head = [safe(given.cover), safe(given.street), given.kind, cover.status, safe(cover.why)]
    if answer is None:
        return head + [""] * (len(HEAD) - len(head))
    model = int(answer.model[cover.row])
    names = [name for name, _, _ in (QUARTERS if given.body.shape == "round" else CORNERS)]
    figures = [_number(figure(answer, cover.row)) for _, figure in MORE]
    return [*head, NETWORK_MODELS[model] if model >= 0 else "", *_gross(cover, answer), " ".join(names), *figures]


def sweep_csv(swept: Swept) -> bytes:
    """The sweep as CSV (UTF-8 with mark, comma, CRLF), a row a cover in the order of covers.csv; empty: no figure.

    Valid       any sweep
    Source      house (file format)
    Proved by   tests/papers/test_sweep_csv.py
    """
    stream = io.StringIO()
    table = csv.writer(stream, lineterminator="\r\n")
    table.writerow(HEAD)
    table.writerows(_row(cover) for cover in swept.covers)
    return b"\xef\xbb\xbf" + stream.getvalue().encode()
