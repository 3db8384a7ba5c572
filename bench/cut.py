"""Measures of the cut-out: one cover, and many at once against one at a time."""

from __future__ import annotations

import numpy as np

from bench.row import Row, row, seconds
from truebed.chamber.cut import CutQuestion, cut_out
from truebed.chamber.cut_arrays import ManyCutQuestions, many_cuts
from truebed.chamber.cut_parts import Neighbour
from truebed.chamber.obstacles import keep_off

PLAIN = CutQuestion(800.0, 700.0, 0.0, 150.0, 60.0, "the fill", "left", 600.0, 100.0, 180.0, 400.0,
                    strip_least_mm=250.0, pass_depth_mm=50.0, surround_depth_mm=80.0)  # fmt: skip
COUNT = 1_000_000
SEED = 71


def questions(count: int, seed: int) -> ManyCutQuestions:
    """Random covers, a third beside a kerb on each side."""
    rng = np.random.default_rng(seed)
    along, across = rng.uniform(500, 1100, (2, count))
    return ManyCutQuestions(
        along, across, np.hypot(along, across) / 2.0, rng.uniform(50, 250, (count, 4)), np.full(count, 60.0),
        rng.integers(-1, 2, count).astype(float), rng.uniform(600, 1500, count), rng.random(count) < 0.1,
        rng.uniform(60, 200, count), rng.uniform(100, 300, count), np.full(count, 450.0), np.full(count, 250.0),
    )  # fmt: skip


def one_at_a_time(asked: ManyCutQuestions, count: int) -> list[float]:
    """Areas of the first square cuts, made alone."""
    sides = ("right", "none", "left")
    return [
        float(cut_out(CutQuestion(
            float(asked.flange_along[i]), float(asked.flange_across[i]), 0.0, 0.0, 60.0, "the fill",
            sides[int(asked.kerb_toward[i]) + 1], float(asked.kerb[i]) if asked.kerb_toward[i] else None,
            float(asked.bound[i]), float(asked.dig[i]), 450.0, "rectangle",
            tuple(float(m) for m in asked.margins[i]), strip_least_mm=250.0,
        )).area_mm2 or 0.0)
        for i in range(count)
    ]  # fmt: skip


def rows() -> list[Row]:
    """The rows of the cut-out."""
    from dataclasses import replace

    plain_s, calls = seconds(lambda: cut_out(PLAIN))
    duct = keep_off("a duct", 560.0, 0.0, 60.0, 3000.0, 0.0, 30.0)
    other = tuple((x + 1300.0, y) for x, y in PLAIN.flange_ring())
    cut = tuple((x + 1300.0, y) for x, y in cut_out(PLAIN).ring)
    hard = replace(PLAIN, neighbours=(Neighbour("B", other, cut),))
    joined_s, joined_calls = seconds(lambda: cut_out(hard))
    drawn_s, drawn_calls = seconds(lambda: cut_out(replace(PLAIN, keep_off=(duct,))))
    asked = questions(COUNT, SEED)
    many_s, _ = seconds(lambda: many_cuts(asked), least_s=0.1)
    areas = many_cuts(asked).area_mm2
    squares = [i for i in range(500) if not asked.is_round[i]]
    alone = one_at_a_time(asked, 500)
    off = max(abs(alone[i] - float(areas[i])) / alone[i] for i in squares)
    return [
        row("cut_out_one_cover_ms", 1e3 * plain_s, "ms", "beside a kerb, all corner rules and the round cut compared",
            n=calls, goal=0.5),
        row("cut_out_drawn_in_ms", 1e3 * drawn_s, "ms", "the same, drawn in from a duct", n=drawn_calls),
        row("cut_out_joined_ms", 1e3 * joined_s, "ms", "the same, joined to a neighbour", n=joined_calls),
        row("cut_out_many_vs_one", 1e6 * many_s / COUNT, "us a cover",
            f"arrays against one at a time; greatest difference of area {off:.1e}", n=COUNT, seed=SEED,
            peer=1e6 * plain_s, ratio=plain_s * COUNT / many_s),
    ]  # fmt: skip
