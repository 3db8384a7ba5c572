"""The words of the page that a cover's layers are watched by: points to sum, who may cross, wheel, joint, resin."""

from __future__ import annotations

import math

from truebed.papers.joint_words import joint_rows
from truebed.papers.now_words import SPAN_WORDS, PointsForm, points_form
from truebed.papers.resin_words import dose_rows, resin_told
from truebed.papers.wheel_words import crossing_note, crossing_rows, pressure_sentence, void_sentence
from truebed.papers.writing import plain_name
from truebed.plan.result import CoverDesign
from truebed.plan.strength_aids import CrossingTime, StrengthAids

Words = dict[str, object]
#: Empty lines of a form beside another on one page.
LINES_MOST_COUNT = 20
BELOW_FIRST = "What asks less than the first strength on a sheet waits as long as for that: before it nothing is told."
#: A table of points is printed at every second degree or so, this many rows at the most.
ROWS_MOST_COUNT = 18


def probe_words(design: CoverDesign) -> Words:
    """Everything the page prints; {} where the design has no such aids.

    Valid       any design
    Source      house (writing)
    Proved by   tests/papers/test_probe_words.py
    """
    aids = design.strength
    if aids is None:
        return {}
    return {
        "forms": forms_of(design, aids),
        "forms_rules": form_rules(aids),
        "pressure": pressure_sentence(aids.wheel),
        "void": void_sentence(aids.wheel, aids.opening_n_per_mm2),
        "crossings": crossing_rows(
            tuple((one.vehicle, one.strength_n_per_mm2) for one in aids.crossings),
            tuple(_when(one) for one in aids.crossings),
        ),
        "crossing_note": _note(aids),
        "joint": joint_rows(aids.joint),
        "resin": [
            {"name": layer.name, "rows": dose_rows(layer), "told": list(resin_told(layer))}
            for layer in aids.resin.layers
        ],
    }


def forms_of(design: CoverDesign, aids: StrengthAids) -> list[Words]:
    """A form for each bearing pour: points by temperature, and empty lines.

    Valid       any aids of that design
    Source      truebed.papers.now_words
    Proved by   tests/papers/test_probe_words.py
    """
    found: list[Words] = []
    for one in aids.points:
        form = points_form(design.cover, one.pour, one.name, "opening", one.table, one.coldest_c)
        found.append(
            {
                "pour": plain_name(one.pour),
                "waits_for": f"{one.table.target_n_per_mm2:.3g} N/mm\u00b2",
                "rows": _few(form),
                "lines": min(form.lines, LINES_MOST_COUNT),
            }
        )
    return found


def _few(form: PointsForm) -> list[dict[str, str]]:
    """Rows of the table, thinned to what a page takes; always the colder of two is kept, so that it stays on the safe
    side, and the last."""
    step = max(1, math.ceil(len(form.table) / ROWS_MOST_COUNT))
    kept = [row for i, row in enumerate(form.table) if i % step == 0 or i == len(form.table) - 1]
    return [{"temp": temp, "points": points} for temp, points in kept]


def form_rules(aids: StrengthAids) -> list[str]:
    """How the forms are kept, once for the page.

    Valid       any aids
    Source      truebed.papers.now_words
    Proved by   tests/papers/test_probe_words.py
    """
    if not aids.points:
        return []
    place = aids.points[0].table.place.key
    return [
        f"Probe at the {place} of the layer. First line with the pour in its place: points 0. Then every ten minutes "
        f"the points of {SPAN_WORDS}; between two rows of the table the colder row. Longer than ten minutes: still "
        "only the points of ten.",
        "A sum of 100 is the late side (95 cases of 100). Warmer than the last row or colder than the first: not "
        "allowed by the sheet: stop, call the office. The opening waits for every layer, the hold points and a "
        "person's word.",
    ]


def _when(one: CrossingTime) -> str:
    """Late minutes of each bearing pour."""
    return ", ".join(
        f"{plain_name(pour).lower()} {'never' if late is None else f'{math.ceil(late)} min'}"
        for pour, late in one.waits_min
    )


def _note(aids: StrengthAids) -> str:
    pours = tuple(dict.fromkeys(pour for one in aids.crossings for pour, _ in one.waits_min))
    if not pours:
        return ""
    told = crossing_note(tuple(plain_name(pour).lower() for pour in pours))
    return f"{told} {BELOW_FIRST}"
