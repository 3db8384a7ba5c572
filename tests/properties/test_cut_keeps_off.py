"""Any cut that is made holds its flange and its least width, and the saw enters nothing it must not.

Judged by truebed.chamber.cut_check, which shares nothing with what makes the cut.
"""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from truebed.chamber.cut import CutQuestion, cut_out
from truebed.chamber.cut_check import Surroundings, faults_of_cut
from truebed.chamber.cut_parts import CornerWay, KeepOff, Neighbour
from truebed.chamber.neighbours import moved
from truebed.chamber.obstacles import keep_off
from truebed.chamber.outlines import CutOut
from truebed.errors import NotDesignedError

WAYS: tuple[CornerWay, ...] = ("run on", "core", "stop short")


@st.composite
def questions(draw: st.DrawFn, shapes: tuple[str, ...] = ("rectangle", "round", "D", "triangular pair")) -> CutQuestion:
    """A frame of any shape and turn, perhaps beside a kerb."""
    shape = draw(st.sampled_from(shapes))
    along = draw(st.floats(400.0, 1100.0))
    across = along if shape == "round" else draw(st.floats(400.0, 1100.0))
    across = min(across, 2.0 * along) if shape == "D" else across
    side = draw(st.sampled_from(["none", "left", "right"]))
    return CutQuestion(
        along, across, draw(st.floats(-180.0, 180.0)), draw(st.floats(0.0, 300.0)), draw(st.floats(0.0, 100.0)),
        "the fill", side, draw(st.floats(300.0, 1500.0)) if side != "none" else None, draw(st.floats(40.0, 200.0)),
        draw(st.floats(60.0, 300.0)), draw(st.sampled_from([None, 350.0, 450.0])), shape,
        draw(st.one_of(st.none(), st.tuples(*[st.floats(0.0, 300.0)] * 4))),
        corner_way=draw(st.sampled_from(WAYS)), cut_turn=draw(st.sampled_from(["frame", "traffic"])),
        strip_least_mm=draw(st.sampled_from([0.0, 250.0])), name="M",
    )  # fmt: skip


@st.composite
def things(draw: st.DrawFn) -> tuple[KeepOff, ...]:
    """Up to three things in the way, somewhere round the frame."""
    found = []
    for i in range(draw(st.integers(0, 3))):
        x, y = draw(st.floats(-1200.0, 1200.0)), draw(st.floats(-1200.0, 1200.0))
        size = (draw(st.floats(10.0, 900.0)), draw(st.floats(10.0, 300.0)))
        found.append(keep_off(f"thing {i}", x, y, *size, draw(st.floats(-90.0, 90.0)), draw(st.floats(0.0, 100.0))))
    return tuple(found)


def made(question: CutQuestion) -> CutOut | None:
    """The cut, or None where it is refused, with a reason and what mends it."""
    try:
        return cut_out(question)
    except NotDesignedError as refused:
        if not (refused.reason and refused.mend):
            raise
        return None


def around(question: CutQuestion) -> Surroundings:
    """What stands round a question's cut, for the checker."""
    standing = tuple(n.flange for n in question.neighbours if not n.cut)
    return Surroundings(
        question.flange_ring(), question.least_width_mm, question.kerb_side, question.kerb_mm,
        (*(k.ring for k in question.keep_off), *standing), tuple(n.flange for n in question.neighbours if n.cut),
    )  # fmt: skip


def with_all(question: CutQuestion, **more: object) -> CutQuestion:
    """The question with more of it."""
    return replace(question, **more)  # type: ignore[arg-type]


@settings(max_examples=1500)
@given(questions(), things())
def test_a_cut_among_kerbs_and_obstacles_has_no_fault(question: CutQuestion, found: tuple[KeepOff, ...]) -> None:
    asked = with_all(question, keep_off=found)
    cut = made(asked)
    if cut is None:
        return
    assert faults_of_cut(cut, around(asked)) == ()
    chosen = [o for o in cut.options if o.chosen]
    assert len(chosen) == 1
    assert chosen[0].saw_length_m == cut.saw_length_m


@settings(max_examples=150)
@given(
    questions(("rectangle", "round")), questions(("rectangle", "D")), st.floats(-2000.0, 2000.0),
    st.floats(-2000.0, 2000.0), st.booleans(), things(),
)  # fmt: skip
def test_a_cut_beside_a_neighbour_has_no_fault_and_shares_add_up(
    question: CutQuestion, other: CutQuestion, x: float, y: float, dug: bool, found: tuple[KeepOff, ...]
) -> None:
    # one kerb for both, far enough for the other's frame: the neighbour stands in the same axes
    alone = with_all(other, name="N", kerb_side="none", kerb_mm=None)
    own = made(alone)
    if own is None:
        return
    place = (x, y, 0.0)
    neighbour = Neighbour("N", moved(alone.flange_ring(), *place), moved(own.ring, *place) if dug else ())
    asked = with_all(question, kerb_side="none", kerb_mm=None, keep_off=found, neighbours=(neighbour,))
    cut = made(asked)
    if cut is None:
        return
    assert faults_of_cut(cut, around(asked)) == ()
    if cut.joined is not None:
        assert abs(sum(s.area_mm2 for s in cut.joined.shares) - cut.joined.area_mm2) < 10.0
        assert abs(sum(s.saw_length_m for s in cut.joined.shares) - cut.joined.saw_length_m) < 1e-3


def test_most_of_a_plain_spread_of_covers_are_designed() -> None:
    """The properties above say nothing of covers that are refused: here few are."""
    right = 0
    for i in range(200):
        shape, side = ("rectangle", "triangular pair", "D")[i % 3], ("none", "left", "right")[i % 3]
        post = keep_off("a post", 800.0 - i, 500.0, 60.0, 60.0, 3.0 * i, 40.0)
        asked = CutQuestion(600.0 + 2.0 * i, 700.0, 7.0 * i, 100.0 + i, 60.0, "the fill", side, 750.0 + i, 100.0, 180.0,
                            400.0, shape, keep_off=(post,))  # fmt: skip
        cut = made(asked)
        right += cut is not None and faults_of_cut(cut, around(asked)) == ()
    assert right >= 140
