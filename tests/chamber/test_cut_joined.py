"""Cut-outs joined to a neighbour's: unions by hand, what each owns, and the metres sawn told once.

By hand: two cuts of 1100 x 1000, one beside the other along the traffic, 200 mm apart (centres 1300): the strip of
200 x 1000 goes, the whole is 2400 x 1000 = 2.4 m2, sawn 6.8 m, each owns half: 1.2 m2 and 3.4 m.
Set off by 300 mm across: 2 x 1.1 + 0.2 x 0.7 = 2.34 m2; sawn 2 x 4.2 - 2 x 0.7 + 2 x 0.2 = 7.4 m.
Overlapping by 100 x 700: 2.2 - 0.07 = 2.13 m2.
"""

import math
from dataclasses import replace

import pytest

from truebed.chamber.cut import CutQuestion, cut_out, sides_of
from truebed.chamber.cut_parts import Neighbour
from truebed.chamber.joined_cut import joined_cut, on_lines, on_outline, sawn_mm
from truebed.chamber.neighbours import Place, Placed, neighbours_of
from truebed.chamber.obstacles import keep_off
from truebed.chamber.shapes import polygon, rectangle_ring
from truebed.errors import NotDesignedError

PLAIN = CutQuestion(800.0, 700.0, 0.0, 150.0, 60.0, "the fill", "none", None, 100.0, 180.0, 400.0,
                    strip_least_mm=250.0, name="A")  # fmt: skip
ALONE = {"A": replace(PLAIN, name="A"), "B": replace(PLAIN, name="B"), "C": replace(PLAIN, name="C")}


def shifted(ring, x, y):
    """A ring moved."""
    return tuple((px + x, py + y) for px, py in ring)


def beside(x, y, name="B", along=1100.0, across=1000.0):
    """A neighbour with a flange of 800 x 700 and a cut round it."""
    return Neighbour(name, shifted(rectangle_ring(800.0, 700.0), x, y), shifted(rectangle_ring(along, across), x, y))


def joined(*others):
    """The joined cut of the plain cover and others."""
    return cut_out(replace(PLAIN, neighbours=others))


def test_a_strip_of_200_mm_between_two_cuts_is_taken_out():
    cut = joined(beside(1300.0, 0.0))
    assert cut.joined is not None
    assert cut.joined.area_mm2 == pytest.approx(2.4e6)
    assert cut.joined.saw_length_m == pytest.approx(6.8)
    assert len(cut.joined.ring) == 4
    assert [(s.cover, s.area_mm2, s.saw_length_m) for s in cut.joined.shares] == [
        ("A", pytest.approx(1.2e6), pytest.approx(3.4)), ("B", pytest.approx(1.2e6), pytest.approx(3.4)),
    ]  # fmt: skip
    assert cut.saw_length_m == pytest.approx(3.4)
    assert cut.area_mm2 == pytest.approx(1.2e6)
    assert [s.kind for s in cut.sides].count("shared") == 1
    (line,) = cut.joined.sharing
    assert sorted(line) == [pytest.approx((650.0, -500.0)), pytest.approx((650.0, 500.0))]
    assert cut.least_beside_mm == pytest.approx(150.0)


def test_set_off_across_the_strip_goes_over_the_width_that_both_have():
    cut = joined(beside(1300.0, 300.0))
    assert cut.joined is not None
    assert cut.joined.area_mm2 == pytest.approx(2.34e6)
    assert cut.joined.saw_length_m == pytest.approx(7.4)
    assert len(cut.joined.ring) == 8
    assert all(a[0] == pytest.approx(b[0]) or a[1] == pytest.approx(b[1])
               for a, b in zip(cut.joined.ring, (*cut.joined.ring[1:], cut.joined.ring[0]), strict=True))  # fmt: skip


def test_cuts_that_overlap_count_what_they_share_once():
    cut = joined(beside(1000.0, 300.0))
    assert cut.joined is not None
    assert cut.joined.area_mm2 == pytest.approx(2.13e6)
    assert sum(s.area_mm2 for s in cut.joined.shares) == pytest.approx(cut.joined.area_mm2)


def test_a_strip_as_wide_as_the_rule_asks_stays():
    assert joined(beside(1350.0, 0.0)).joined is None
    assert joined(beside(1349.0, 0.0)).joined is not None
    assert cut_out(replace(PLAIN, strip_least_mm=0.0, neighbours=(beside(1300.0, 0.0),))).joined is None


def test_corner_to_corner_the_neck_is_as_wide_as_the_strip_is_asked_to_be():
    # 100 mm apart both ways: the gap and 250 / sqrt(2) = 176.777 mm all round is a square of 453.553 mm
    cut = joined(beside(1200.0, 1100.0))
    assert cut.joined is not None
    assert cut.joined.area_mm2 == pytest.approx(2.2e6 + 453.553**2 - 2 * 176.777**2, rel=1e-6)
    assert polygon(cut.joined.ring).buffer(-124.0).geom_type == "Polygon"


def test_a_row_of_three_is_one_cut_and_shares_add_up():
    cut = joined(beside(1300.0, 0.0), beside(2600.0, 0.0, "C"))
    assert cut.joined is not None
    assert [s.cover for s in cut.joined.shares] == ["A", "B", "C"]
    assert cut.joined.area_mm2 == pytest.approx(3700.0 * 1000.0)
    assert sum(s.area_mm2 for s in cut.joined.shares) == pytest.approx(cut.joined.area_mm2)
    assert sum(s.saw_length_m for s in cut.joined.shares) == pytest.approx(cut.joined.saw_length_m)
    assert cut.joined.shares[1].saw_length_m == pytest.approx(2.6)


def test_three_about_a_point_leave_nothing_unowned():
    cut = joined(beside(1200.0, 100.0), beside(500.0, 1150.0, "C"))
    assert cut.joined is not None
    assert sum(s.area_mm2 for s in cut.joined.shares) == pytest.approx(cut.joined.area_mm2, abs=5.0)
    assert sum(s.saw_length_m for s in cut.joined.shares) == pytest.approx(cut.joined.saw_length_m, abs=1e-3)


@pytest.mark.parametrize(
    ("x_m", "y_m", "turn"), [(1.3, 0.0, 0.0), (1.25, 0.4, 0.0), (1.3, 0.2, 20.0), (0.3, 1.2, -8.0)]
)
def test_seen_from_either_cover_the_joined_cut_is_the_same(x_m, y_m, turn):
    places = {"A": Place(500.0, 200.0, 30.0), "B": Place(500.0 + x_m, 200.0 + y_m, 30.0 + turn)}
    placed = {n: Placed(n, p, ALONE[n].flange_ring(), cut_out(ALONE[n]).ring) for n, p in places.items()}
    seen = {
        n: cut_out(replace(ALONE[n], neighbours=neighbours_of(placed[n], tuple(placed.values()), 250.0))).joined
        for n in "AB"
    }
    from_a, from_b = seen["A"], seen["B"]
    assert from_a is not None
    assert from_b is not None
    assert from_a.area_mm2 == pytest.approx(from_b.area_mm2, rel=1e-9)
    assert from_a.saw_length_m == pytest.approx(from_b.saw_length_m, rel=1e-9)
    for one, other in zip(from_a.shares, from_b.shares, strict=True):
        assert one.cover == other.cover
        assert (one.area_mm2, one.saw_length_m) == pytest.approx((other.area_mm2, other.saw_length_m), rel=1e-6)


def test_a_cut_turned_otherwise_is_squared_to_the_first_one_s_axes():
    turned_so = replace(PLAIN, turn_deg=20.0)
    tilted = Neighbour(
        "B", shifted(turned_so.flange_ring(), 1400.0, 0.0), shifted(cut_out(turned_so).ring, 1400.0, 0.0)
    )
    cut = joined(tilted)
    assert cut.joined is not None
    ring = cut.joined.ring
    assert all(math.isclose(a[0], b[0], abs_tol=1e-6) or math.isclose(a[1], b[1], abs_tol=1e-6)
               for a, b in zip(ring, (*ring[1:], ring[0]), strict=True))  # fmt: skip
    assert polygon(ring).buffer(1e-6).covers(polygon(tilted.cut))


def test_what_one_keeps_off_the_joined_cut_keeps_off():
    post = keep_off("a post", 650.0, 480.0, 60.0, 60.0, 0.0, 0.0)
    cut = cut_out(replace(PLAIN, neighbours=(beside(1300.0, 0.0),), keep_off=(post,)))
    assert cut.joined is not None
    assert polygon(cut.joined.ring).intersection(polygon(post.ring)).area < 1e-3
    assert cut.joined.area_mm2 == pytest.approx(2.4e6 - 60.0 * 50.0)


def test_a_duct_that_parts_two_cuts_leaves_them_apart_and_the_strip_is_told():
    duct = keep_off("a duct", 650.0, 0.0, 60.0, 4000.0, 0.0, 0.0)
    cut = cut_out(replace(PLAIN, neighbours=(beside(1300.0, 0.0),), keep_off=(duct,)))
    assert cut.joined is None
    assert [(s.what, s.width_mm) for s in cut.strips] == [("the cut-out of B", pytest.approx(200.0))]


def test_what_the_neighbour_keeps_off_is_kept_off_here_too():
    post = keep_off("a post", 540.0, 0.0, 60.0, 60.0, 0.0, 0.0)
    cut = cut_out(replace(PLAIN, neighbours=(replace(beside(1900.0, 0.0), keep_off=(post,)),)))
    assert max(x for x, _ in cut.ring) == pytest.approx(510.0)


def test_frames_that_overlap_are_refused_with_the_names():
    with pytest.raises(NotDesignedError, match="flanges of A and B overlap") as refused:
        joined(beside(700.0, 0.0))
    assert "bearing_deg" in refused.value.mend


def test_a_frame_that_stays_is_kept_off_and_a_narrow_strip_before_it_is_told():
    standing = Neighbour("B", shifted(rectangle_ring(800.0, 700.0), 1100.0, 0.0))
    cut = cut_out(replace(PLAIN, neighbours=(standing,)))
    # its flange reaches back to 700; the cut wants 550
    assert cut.joined is None
    assert [(s.what, round(s.width_mm)) for s in cut.strips] == [("the frame of B", 150)]
    close = cut_out(replace(PLAIN, neighbours=(replace(standing, flange=shifted(standing.flange, -200.0, 0.0)),)))
    assert max(x for x, _ in close.ring) == pytest.approx(500.0)
    assert [p.what for p in close.pulled_back] == ["the frame of B"]
    assert "by hand" in close.hand_work[0]


def test_the_kerb_is_not_sawn_in_a_joined_cut_either():
    kerbed = {n: replace(q, kerb_side="left", kerb_mm=450.0) for n, q in ALONE.items()}
    own = cut_out(kerbed["B"]).ring
    other = Neighbour("B", shifted(PLAIN.flange_ring(), 1300.0, 0.0), shifted(own, 1300.0, 0.0), kerbed["B"].kept_off())
    cut = cut_out(replace(kerbed["A"], neighbours=(other,)))
    assert cut.joined is not None
    assert cut.joined.area_mm2 == pytest.approx(2400.0 * 950.0)
    assert cut.joined.saw_length_m == pytest.approx(2.4 + 2 * 0.95)
    assert cut.saw_length_m == pytest.approx(1.2 + 0.95)


def test_sides_on_an_outline_and_along_a_line_are_known():
    ring = rectangle_ring(200.0, 100.0)
    assert on_outline((-50.0, -50.0), (50.0, -50.0), ring)
    assert not on_outline((0.0, -50.0), (0.0, 50.0), ring)
    assert on_lines((0.0, 50.0), (9.0, 50.0), (((-500.0, 50.0), (500.0, 50.0)),))
    assert sawn_mm(ring, ring, (((-500.0, 50.0), (500.0, 50.0)),)) == pytest.approx(400.0)
    assert {s.kind for s in sides_of(ring, PLAIN, None)} == {"sawn"}


def test_nothing_near_joins_nothing():
    assert joined_cut(beside(0.0, 0.0, "A"), (beside(5000.0, 0.0),), 250.0) is None
