"""Many cuts at once agree with one at a time, and areas with a geometry library."""

import math
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import Polygon

from truebed.chamber.cut import CutQuestion, cut_out
from truebed.chamber.cut_arrays import (
    ManyCutQuestions,
    ManyShapes,
    common_mm2,
    disc_in_rectangle_mm2,
    many_cuts,
    many_waste,
    over_wall_mm2,
)
from truebed.chamber.flange_reach import around_radius_mm
from truebed.chamber.outlines import Outlines
from truebed.chamber.shapes import outline_ring
from truebed.chamber.waste import WasteDepths, WasteRules, waste_areas, waste_of
from truebed.errors import NotDesignedError

RNG = np.random.default_rng(5)
COUNT = 400
KERBS = ("right", "none", "left")


def of(low, high):
    """Numbers between two limits."""
    return RNG.uniform(low, high, COUNT)


def spread():
    """Random covers, as arrays and one by one."""
    flange_round, cut_round = RNG.random(COUNT) < 0.4, RNG.random(COUNT) < 0.2
    along = of(500, 1100)
    across = np.where(flange_round, along, of(500, 1100))
    kerb_toward = RNG.integers(-1, 2, COUNT).astype(float)
    kerb = of(250, 1300)
    margins, least = RNG.uniform(0, 300, (COUNT, 4)), of(0, 80)
    bound, dig = of(40, 260), of(60, 300)
    blade = RNG.choice([np.nan, 350.0, 450.0], COUNT)
    strip = RNG.choice([0.0, 250.0], COUNT)
    shapes = np.where(flange_round, "round", "rectangle")
    around = np.array([around_radius_mm(s, a, b) for s, a, b in zip(shapes, along, across, strict=True)])
    many = ManyCutQuestions(
        along, across, around, margins, least, kerb_toward, kerb, cut_round, bound, dig, blade, strip
    )
    each = [
        CutQuestion(
            float(along[i]), float(across[i]), 0.0, 0.0, float(least[i]), "the fill", KERBS[int(kerb_toward[i]) + 1],
            float(kerb[i]) if kerb_toward[i] else None, float(bound[i]), float(dig[i]),
            None if math.isnan(blade[i]) else float(blade[i]), str(shapes[i]),
            tuple(float(m) for m in margins[i]), "round" if cut_round[i] else "square", strip_least_mm=float(strip[i]),
        )
        for i in range(COUNT)
    ]  # fmt: skip
    return many, each


MANY, EACH = spread()
CUTS = many_cuts(MANY)


def one(question):
    """One cut, or None where it is refused."""
    try:
        return cut_out(question)
    except NotDesignedError:
        return None


def test_each_of_many_cuts_is_the_cut_made_alone():
    made = [one(q) for q in EACH]
    assert [c is not None for c in made] == CUTS.possible.tolist()
    assert 200 < sum(CUTS.possible) < COUNT
    for i, cut in enumerate(made):
        if cut is None:
            continue
        assert CUTS.area_mm2[i] == pytest.approx(cut.area_mm2, rel=1e-9)
        assert CUTS.saw_length_m[i] == pytest.approx(cut.saw_length_m, rel=1e-9)
        assert bool(CUTS.clipped[i]) == cut.clipped_by_kerb
        assert bool(CUTS.snapped[i]) == cut.snapped_to_kerb
        assert CUTS.front[i] + CUTS.back[i] == pytest.approx(cut.along_mm)
        assert CUTS.left[i] + CUTS.right[i] == pytest.approx(cut.across_mm)
        assert cut.saw is not None
        assert CUTS.sawn_mm[i] == pytest.approx(cut.saw.sawn_mm)
        if cut.run_on_mm is None:
            assert math.isnan(CUTS.run_on_mm[i])
        else:
            assert CUTS.run_on_mm[i] == pytest.approx(cut.run_on_mm)


def test_every_kind_of_cut_is_among_them():
    assert CUTS.clipped.sum() > 20
    assert CUTS.snapped.sum() > 20
    assert (CUTS.possible & CUTS.is_round).sum() > 20


def test_a_disc_in_a_rectangle_is_what_a_fine_polygon_has_in_common_with_it():
    turns = np.linspace(0.0, 2.0 * math.pi, 20001)[:-1]
    for radius, front, left, back, right in RNG.uniform(100.0, 900.0, (60, 5)):
        disc = Polygon(np.column_stack((radius * np.cos(turns), radius * np.sin(turns))))
        box = Polygon(((-back, -right), (front, -right), (front, left), (-back, left)))
        found = disc_in_rectangle_mm2(*(np.array([v]) for v in (radius, front, left, back, right)))
        assert found[0] == pytest.approx(disc.intersection(box).area, rel=1e-6)


def shapes(low, high):
    """Random outlines, rectangles and rounds."""
    is_round = RNG.random(COUNT) < 0.5
    along = of(low, high)
    return ManyShapes(along, np.where(is_round, along, of(low, high)), is_round)


def ring(many, i):
    """One of many outlines as a ring."""
    return outline_ring("round" if many.is_round[i] else "rectangle", float(many.along[i]), float(many.across[i]), 0.0)


def test_what_two_outlines_have_in_common_and_what_a_cut_has_over_its_wall():
    body, wall = shapes(500, 700), shapes(500, 1400)
    both, over = common_mm2(body, wall), over_wall_mm2(CUTS, wall)
    for i, cut in enumerate(map(one, EACH)):
        assert both[i] == pytest.approx(Polygon(ring(body, i)).intersection(Polygon(ring(wall, i))).area, rel=3e-4)
        if cut is not None:
            assert over[i] == pytest.approx(Polygon(cut.ring).intersection(Polygon(ring(wall, i))).area, rel=3e-4)


def test_the_waste_of_many_is_that_of_each():
    flange = ManyShapes(MANY.flange_along, MANY.flange_across, np.array([q.flange_shape == "round" for q in EACH]))
    body = replace(flange, along=0.8 * flange.along, across=0.8 * flange.across)
    hollow = replace(flange, along=0.75 * flange.along, across=0.75 * flange.across)
    wall = shapes(700, 1300)
    depths = (MANY.bound, MANY.dig, MANY.dig - 20.0, of(80, 160), np.full(COUNT, 15.0))
    sd = of(0, 10)
    many = many_waste(CUTS, body, flange, wall, hollow, depths, sd)
    for i, cut in enumerate(map(one, EACH)):
        if cut is None:
            continue
        outlines = Outlines(*(ring(s, i) for s in (hollow, body, flange, wall, hollow)), cut.ring)
        bound, dig, top, frame, thick = (float(d[i]) for d in depths)
        asked = WasteDepths(bound, dig, top, frame, thick, float(sd[i]))
        alone = waste_of(waste_areas(outlines, cut.area_mm2), asked, WasteRules())
        assert many.bound_l[i] == pytest.approx(alone.layers[0].volume_l, rel=1e-3, abs=0.02)
        assert many.unbound_l[i] == pytest.approx(alone.layers[1].volume_l, rel=1e-3, abs=0.05)
        assert many.band_l[i] == pytest.approx(alone.plus_minus_l, rel=1e-3)
