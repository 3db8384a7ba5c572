"""The geometry that the reader's checks stand on, against the polygon library as a second way."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, affinity, box
from shapely.geometry.base import BaseGeometry

from truebed.given.cover import FrameShape, Plan2D
from truebed.given.outline import inside_plan, nose_centre_mm, overlaps, reach_left_mm, shrunk, within

PLAN = Plan2D("rectangle", 700.0, 400.0)
NOSED = Plan2D("D", 700.0, 600.0)
STUB = Plan2D("D", 400.0, 700.0)
#: sides of the second way's circles; the edges of a polygon inside its circle are within r (1 - cos(pi / n))
_QUARTER_SIDES = 2000
_SLACK_MM = 0.001


def _polygon(plan: Plan2D, turn_deg: float = 0.0) -> BaseGeometry:
    a, b = plan.along_mm / 2.0, plan.across_mm / 2.0
    shape: BaseGeometry = box(-a, -b, a, b)
    if plan.shape == "round":
        shape = Point(0.0, 0.0).buffer(a, quad_segs=_QUARTER_SIDES)
    elif plan.shape == "D":
        disc = Point(a - b, 0.0).buffer(b, quad_segs=_QUARTER_SIDES)
        # what lies behind the nose's centre, and the disc before it
        shape = box(-a, -b, a - b, b).union(disc.intersection(box(a - b, -b, a, b)))
    return affinity.rotate(shape, turn_deg, origin=(0.0, 0.0))


@pytest.mark.parametrize("plan", [PLAN, NOSED, STUB, Plan2D("triangular pair", 700.0, 500.0)], ids=lambda p: p.shape)
@pytest.mark.parametrize("turn_deg", [0.0, 9.0, -30.0, 90.0, 135.0, 180.0])
def test_inside_and_reach_of_a_turned_outline_agree_with_the_polygon(plan: Plan2D, turn_deg: float) -> None:
    ring = _polygon(plan, turn_deg)
    assert reach_left_mm(plan, turn_deg) == pytest.approx(ring.bounds[3], abs=_SLACK_MM)
    assert reach_left_mm(plan, turn_deg + 180.0) == pytest.approx(-ring.bounds[1], abs=_SLACK_MM)
    for x in range(-421, 422, 60):
        for y in range(-421, 422, 60):
            assert inside_plan(plan, turn_deg, float(x), float(y)) == ring.contains(Point(x, y)), (x, y)


def test_a_circle_is_the_same_at_every_turn() -> None:
    circle = Plan2D("round", 600.0, 600.0)
    assert reach_left_mm(circle, 33.0) == 300.0
    edge = 300.0 / math.sqrt(2.0)
    assert inside_plan(circle, 33.0, edge - 0.01, edge - 0.01)
    assert not inside_plan(circle, 33.0, edge + 0.01, edge + 0.01)


def test_the_corner_of_a_d_is_road_at_its_nose_and_frame_at_its_back() -> None:
    assert nose_centre_mm(NOSED) == 50.0
    assert inside_plan(NOSED, 0.0, -345.0, 295.0)
    assert not inside_plan(NOSED, 0.0, 345.0, 295.0)
    assert inside_plan(NOSED, 180.0, 345.0, 295.0)


def test_a_square_fits_into_a_circle_only_by_its_corners_and_a_circle_into_a_square_by_its_diameter() -> None:
    circle = Plan2D("round", 850.0, 850.0)
    assert within(Plan2D("rectangle", 600.0, 600.0), circle)
    assert not within(Plan2D("rectangle", 610.0, 610.0), circle)
    assert within(circle, Plan2D("rectangle", 851.0, 851.0))
    assert not within(circle, Plan2D("rectangle", 850.0, 851.0))
    assert within(circle, Plan2D("rectangle", 850.0, 851.0), may_touch=True)


def test_a_shrunk_outline_of_nothing_is_nothing() -> None:
    assert shrunk(PLAN, 30.0) == Plan2D("rectangle", 640.0, 340.0)
    assert shrunk(PLAN, 200.0) is None


@st.composite
def _plans(draw: st.DrawFn) -> Plan2D:
    shape: FrameShape = draw(st.sampled_from(("rectangle", "round", "D", "triangular pair")))
    across = draw(st.integers(60, 900))
    along = across if shape == "round" else draw(st.integers((across + 1) // 2 if shape == "D" else 60, 900))
    return Plan2D(shape, float(along), float(across))


@given(_plans(), _plans())
@settings(max_examples=150, deadline=None)
def test_within_agrees_with_the_polygon_wherever_the_two_are_not_within_a_hair_of_touching(
    inner: Plan2D, outer: Plan2D
) -> None:
    small, large = _polygon(inner), _polygon(outer)
    if within(inner, outer, may_touch=True):
        assert large.buffer(_SLACK_MM * 10).covers(small)
    else:
        assert not large.buffer(-_SLACK_MM * 10).covers(small)


@given(
    _plans(),
    st.integers(-180, 180),
    st.tuples(st.integers(1, 900), st.integers(1, 900)),
    st.tuples(st.integers(-900, 900), st.integers(-900, 900)),
    st.integers(-180, 180),
)
@settings(max_examples=200, deadline=None)
def test_overlaps_agrees_with_the_polygon_wherever_the_two_are_not_within_a_hair_of_touching(
    plan: Plan2D, turn: int, sizes: tuple[int, int], at: tuple[int, int], thing_turn: int
) -> None:
    thing = Plan2D("rectangle", float(sizes[0]), float(sizes[1]))
    place = float(at[0]), float(at[1])
    ring = _polygon(plan, turn)
    other = affinity.translate(_polygon(thing, thing_turn), *place)
    if overlaps(plan, float(turn), thing, place, float(thing_turn)):
        assert ring.distance(other) < _SLACK_MM * 10
    else:
        assert ring.buffer(-_SLACK_MM * 10).intersection(other).area < 1e-6
