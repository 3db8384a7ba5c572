"""Properties of the sound margin: more sound evidence never widens it; turning the scene turns the answer."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from diagnosis.sample import cover, tap
from truebed.chamber.shapes import turned_point
from truebed.diagnosis.margin import sound_margin

PLACE = st.tuples(st.integers(-1500, 1500), st.integers(-1500, 1500)).filter(
    # exact diagonals belong to two sides alike: which one is a matter of the last digit once turned
    lambda p: abs(abs(abs(p[0]) - 430) - abs(abs(p[1]) - 380)) > 1
)
FOUND = st.sampled_from(["sound", "hollow", "loose", "cracked"])


@st.composite
def soundings(draw, found=FOUND):
    some = []
    for row, (place, word, to) in enumerate(draw(st.lists(st.tuples(PLACE, found, st.none() | PLACE), max_size=8)), 2):
        kind = "crack" if to is not None and word == "cracked" else "tap"
        some.append(tap(*place, word, row=row, kind=kind, to=to if kind == "crack" else None))
    return tuple(some)


def margins(on, some):
    return sound_margin(on, some, 150.0, 150.0)


@settings(deadline=None, max_examples=150)
@given(soundings(), soundings(st.just("sound")), st.sampled_from(["none", "left", "right"]))
def test_more_sound_evidence_never_widens_a_margin_and_never_unmakes_one(some, more, kerb_side):
    on = cover(kerb_side=kerb_side, kerb_mm=None if kerb_side == "none" else 700.0)
    later = tuple(replace(s, row=s.row + 100) for s in more)
    before, after = margins(on, some), margins(on, some + later)
    for was, now in zip(before.sides, after.sides, strict=True):
        if was.margin_mm is not None:
            assert now.margin_mm is not None
            assert now.margin_mm <= was.margin_mm + 1e-9
    if before.square_mm is not None:
        assert after.square_mm is not None
        assert after.square_mm <= before.square_mm + 1e-9
        assert after.round_mm <= before.round_mm + 1e-9


@settings(deadline=None, max_examples=150)
@given(soundings(), st.integers(-179, 180))
def test_turning_the_whole_scene_turns_the_answer(some, turn):
    def around(x, y):
        return turned_point((x, y), float(turn))

    spun = tuple(
        replace(
            s, x_mm=around(s.x_mm, s.y_mm)[0], y_mm=around(s.x_mm, s.y_mm)[1],
            to_x_mm=None if s.to_x_mm is None else around(s.to_x_mm, s.to_y_mm)[0],
            to_y_mm=None if s.to_y_mm is None else around(s.to_x_mm, s.to_y_mm)[1],
        )
        for s in some
    )  # fmt: skip
    straight, turned = margins(cover(), some), margins(cover(turn_deg=float(turn)), spun)
    for a, b in zip(straight.sides, turned.sides, strict=True):
        assert (a.margin_mm is None) == (b.margin_mm is None)
        assert a.margin_mm is None or abs(a.margin_mm - b.margin_mm) < 1e-5
        assert a.row == b.row
    for a, b in zip(straight.test_next, turned.test_next, strict=True):
        x, y = around(a.x_mm, a.y_mm)
        assert a.side == b.side
        assert abs(x - b.x_mm) < 1e-4
        assert abs(y - b.y_mm) < 1e-4


@settings(deadline=None, max_examples=150)
@given(soundings())
def test_every_unsound_sounding_off_the_flange_lies_inside_a_cut_with_these_margins(some):
    found = margins(cover(), some)
    if found.square_mm is None:
        return
    front, left, back, right = (one.margin_mm for one in found.sides)
    for one in some:
        if one.found == "sound" and one.kind != "crack":
            continue
        for x, y in [(one.x_mm, one.y_mm)] + ([(one.to_x_mm, one.to_y_mm)] if one.to_x_mm is not None else []):
            assert -430 - back <= x <= 430 + front
            assert -380 - right <= y <= 380 + left
