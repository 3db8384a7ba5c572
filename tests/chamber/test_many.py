"""Litres of arrays of covers: compiled, by arrays and one by one are the same; rows that are no cover are named."""

import dataclasses
import math

import numpy as np
import pytest

from chamber.covers import as_rows, random_cover, shaped
from truebed.chamber.many import CHUNK, ROLES, Covers, in_own_axes, litres_of_many, misfits
from truebed.chamber.solids import role_solids
from truebed.chamber.volume_arrays import Shapes, Tilts, under_all
from truebed.chamber.volume_kernel import under


def some(count, seed):
    rng = np.random.default_rng(seed)
    return [random_cover(rng) for _ in range(count)]


def test_the_loop_the_arrays_and_one_cover_at_a_time_agree_to_a_billionth_of_a_litre():
    covers = some(250, 71)
    one = np.array([[role_solids(shaped(s, t), v)[r].volume_l for r in ROLES] for s, t, v in covers])
    looped = litres_of_many(as_rows(covers), by_arrays=False)
    assert looped == pytest.approx(one, abs=1e-9)
    assert litres_of_many(as_rows(covers), by_arrays=True) == pytest.approx(one, abs=1e-9)
    assert np.count_nonzero(one[:, 4]) > 20  # joints among them
    assert np.ptp(one[:, 0]) > 10.0


@pytest.mark.parametrize("by_arrays", [True, False])
def test_chunks_join_without_a_seam(by_arrays):
    rows = as_rows(some(20, 72))
    many = Covers(*(np.tile(getattr(rows, f), (CHUNK // 10,) + (1,) * (getattr(rows, f).ndim - 1))
                    for f in Covers.__slots__))  # fmt: skip
    litres = litres_of_many(many, by_arrays=by_arrays)
    assert len(litres) == 20 * (CHUNK // 10) > CHUNK
    assert litres == pytest.approx(np.tile(litres_of_many(rows, by_arrays=by_arrays), (CHUNK // 10, 1)), abs=1e-12)


def test_a_hollow_that_is_neither_the_opening_nor_the_chamber_alone_is_both():
    sizes, _, levels = some(1, 73)[0]
    sizes = {
        "opening": ("rectangle", 640.0, 400.0), "chamber": ("rectangle", 400.0, 640.0),
        "body": ("rectangle", 700.0, 700.0), "flange": ("rectangle", 840.0, 840.0), "wall": ("round", 1000.0, 1000.0),
        "cut": ("rectangle", 1100.0, 1100.0),
    }  # fmt: skip
    expected = role_solids(shaped(sizes, 10.0), levels)
    for by_arrays in (True, False):
        litres = litres_of_many(as_rows([(sizes, 10.0, levels)]), by_arrays=by_arrays)[0]
        assert litres == pytest.approx([expected[r].volume_l for r in ROLES], abs=1e-9)


@pytest.mark.parametrize(
    ("outline", "value", "what"),
    [(1, (900.0, 300.0, math.inf), "body reaches beyond the flange"),
     (2, (math.inf, math.inf, 5000.0), "flange reaches beyond the cut-out"),
     (4, (math.inf, math.inf, 5000.0), "chamber is wider than"), (0, (5000.0, 300.0, math.inf), "opening reaches"),
     (3, (math.nan, 300.0, math.inf), "without a size"), (5, (math.inf, math.inf, math.inf), "without a size")],
)  # fmt: skip
@pytest.mark.parametrize("by_arrays", [True, False])
def test_a_row_that_is_no_frame_on_a_chamber_is_named(outline, value, what, by_arrays):
    rows = as_rows(some(4, 74))
    outlines = rows.outlines.copy()
    outlines[2, outline] = value
    with pytest.raises(ValueError, match=rf"row 2: [^;]*{what}"):
        litres_of_many(dataclasses.replace(rows, outlines=outlines), by_arrays=by_arrays)


@pytest.mark.parametrize("by_arrays", [True, False])
@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_a_level_that_is_no_number_is_named(by_arrays, bad):
    rows = as_rows(some(3, 75))
    planes = rows.planes.copy()
    planes[1, 2, 0] = bad
    with pytest.raises(ValueError, match="row 1: a level, slope or depth that is no number"):
        litres_of_many(dataclasses.replace(rows, planes=planes), by_arrays=by_arrays)


def test_random_covers_are_all_right():
    assert misfits(as_rows(some(50, 76))) == ()


def test_a_plane_seen_in_turned_axes_has_the_same_heights():
    planes = np.array([[[5.0, 0.02, -0.01]] * 4])
    own = in_own_axes(planes, np.array([30.0]))[0, 0]
    cos, sin = math.cos(math.radians(30.0)), math.sin(math.radians(30.0))
    assert own[1] * 300.0 + own[2] * 70.0 == pytest.approx(
        0.02 * (cos * 300.0 - sin * 70.0) - 0.01 * (sin * 300.0 + cos * 70.0)
    )


@pytest.mark.parametrize("outline", [(400.0, 300.0, math.inf), (math.inf, math.inf, 350.0), (400.0, 300.0, 420.0),
                                     (400.0, 500.0, 450.0)])  # fmt: skip
def test_positive_and_negative_part_make_the_whole_over_any_rounded_rectangle(outline):
    rng = np.random.default_rng(77)
    h, gx, gy = rng.normal(0, 8, 60), rng.normal(0, 0.02, 60), rng.normal(0, 0.02, 60)
    gx[:5], gy[5:10] = 0.0, 0.0
    a, b, r = (np.full(60, v) for v in outline)
    shapes = Shapes(a, b, r)
    above, below = under_all(shapes, Tilts(h, gx, gy)), under_all(shapes, Tilts(-h, -gx, -gy))
    assert above - below == pytest.approx(h * shapes.areas(), rel=1e-11, abs=1e-6)
    each = [under(outline, (float(p), float(q), float(s))) for p, q, s in zip(h, gx, gy, strict=True)]
    assert above == pytest.approx(each, rel=1e-12, abs=1e-6)
