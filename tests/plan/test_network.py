"""A sweep gives what the one-cover path gives, in slices as in one go, and says why where it gives nothing."""

import itertools
from dataclasses import fields, replace
from functools import cache

import numpy as np
import pytest

from plan.network_sample import random_cases
from plan.sample import case
from truebed.errors import NotDesignedError
from truebed.given.cover import Plan2D
from truebed.levels.frame_setting import centre_level_mm
from truebed.levels.road_network import NETWORK_MODELS
from truebed.plan import network
from truebed.plan.cutting import waste_for
from truebed.plan.ground import road_of, set_ground
from truebed.plan.network import ground_of_many
from truebed.plan.network_types import BED_HOLDS, CROSSING, REASONS, ROLES, ManyGrounds, joined
from truebed.plan.network_works import sorted_out

COUNT, SEED = 140, 7


@cache
def swept():
    """Random covers with the sweep's answer: (case, batch's answer, its row)."""
    cases = random_cases(COUNT, SEED)
    batches, apart = sorted_out(cases)
    assert apart == ()
    found = []
    for batch in batches:
        answer = ground_of_many(batch.covers, batch.limits)
        found += [(cases[place], answer, k) for k, place in enumerate(batch.rows)]
    return tuple(found)


@cache
def paired():
    """The same with the one-cover path's ground, or its refusal."""
    pairs = []
    for one, answer, k in swept():
        try:
            ground = set_ground(one)
        except NotDesignedError as refused:
            ground = refused
        pairs.append((one, answer, k, ground))
    return tuple(pairs)


def alike():
    """Pairs in which both took the same road and both set the frame."""
    return [
        (one, answer, k, ground)
        for one, answer, k, ground in paired()
        if not isinstance(ground, Exception) and answer.model[k] >= 0
        and NETWORK_MODELS[answer.model[k]] == ground.road.model
    ]  # fmt: skip


def test_most_covers_have_the_same_road_and_the_others_a_shape_the_batch_does_not_try():
    assert len(alike()) >= 0.6 * COUNT
    for _, answer, k, ground in paired():
        if not isinstance(ground, Exception) and NETWORK_MODELS[answer.model[k]] != ground.road.model:
            assert ground.road.model not in NETWORK_MODELS or len(ground.road.gross) > 1


def levels_off_mm(answer, k, ground):
    return np.max(np.abs(answer.corners[k] - [c.rim_mm for c in ground.setting.corners]))


def test_levels_are_those_of_the_one_cover_path_but_where_the_bed_leaves_two_planes_equally_good():
    off = [(levels_off_mm(a, k, g), g.setting.bed_governs) for _, a, k, g in alike()]
    assert max(mm for mm, by_bed in off if not by_bed) <= 1e-6
    assert sum(mm <= 1e-6 for mm, _ in off) >= 0.85 * len(off)


def test_bed_and_departure_are_those_of_the_one_cover_path():
    for _, answer, k, ground in alike():
        setting = ground.setting
        assert answer.greatest[k] == pytest.approx(setting.greatest_departure_mm, abs=1e-6)
        assert answer.bed_least[k] == pytest.approx(setting.bed_least_mm, abs=1e-6)
        assert answer.bed_most[k] == pytest.approx(setting.bed_most_mm, abs=1e-6)


def test_litres_by_role_are_those_of_the_one_cover_path():
    compared = 0
    for _, answer, k, ground in alike():
        if answer.why[k] == CROSSING:
            continue
        assert answer.litres[k] == pytest.approx([ground.solids[r].volume_l for r in ROLES], abs=1e-6)
        compared += 1
    assert compared >= 0.5 * COUNT


def test_cut_and_waste_are_those_of_the_one_cover_path():
    for one, answer, k, ground in alike():
        cut = ground.cut
        assert answer.front[k] + answer.back[k] == pytest.approx(cut.along_mm, abs=1e-6)
        assert answer.left[k] + answer.right[k] == pytest.approx(cut.across_mm, abs=1e-6)
        assert answer.area_mm2[k] == pytest.approx(cut.area_mm2, rel=1e-9)
        assert answer.saw_m[k] == pytest.approx(cut.saw_length_m, abs=1e-9)
        deep_mm = centre_level_mm(ground.road) - ground.top.plane.level_mm
        waste = waste_for(one, cut, ground.outlines, deep_mm, ground.top.sd_mm)
        # there a circle is a ring of its own area: where a square cuts it, areas differ by some 5e-5
        assert answer.bound_l[k] + answer.unbound_l[k] == pytest.approx(waste.volume_l, rel=1e-4)


def same_road(one, answer, k):
    return answer.model[k] >= 0 and road_of(one)[1].model == NETWORK_MODELS[answer.model[k]]


def test_frames_that_the_bed_holds_out_are_refused_by_both_and_by_as_much():
    refused = [(a, k, g) for c, a, k, g in paired() if isinstance(g, Exception) and same_road(c, a, k)]
    assert len(refused) >= 5
    for answer, k, ground in refused:
        assert answer.why[k] > 0
        if answer.why[k] == BED_HOLDS:
            assert f"{answer.out[k]:.1f} mm out of tolerance" in ground.reason
            assert answer.greatest[k] > answer.free[k]
    assert any(a.why[k] == BED_HOLDS for a, k, _ in refused)
    for one, answer, k, ground in paired():
        if answer.why[k] == BED_HOLDS and same_road(one, answer, k):
            assert isinstance(ground, Exception)


def test_the_tolerance_held_an_even_raising_by_what_is_told_lets_the_frame_sit():
    done = 0
    for one, answer, k in swept():
        if answer.why[k] == BED_HOLDS and np.isfinite(answer.raise_least[k]):
            low, high = answer.raise_least[k], answer.raise_most[k]
            depth_mm = one.cover.chamber_depth_mm - (low + high) / 2.0
            (batch,), _ = sorted_out((replace(one, cover=replace(one.cover, chamber_depth_mm=depth_mm)),))
            assert ground_of_many(batch.covers, batch.limits).why[0] in (0, CROSSING)
            done += 1
    assert done >= 3


def same_bytes(one, other):
    return all(getattr(one, f.name).tobytes() == getattr(other, f.name).tobytes() for f in fields(ManyGrounds))


def test_slices_and_smaller_blocks_give_the_same_bytes_as_the_whole(monkeypatch):
    batch = max(sorted_out(random_cases(COUNT, SEED))[0], key=lambda b: len(b.rows))
    whole, count = ground_of_many(batch.covers, batch.limits), len(batch.rows)
    cuts = [np.arange(0, 7), np.arange(7, 8), np.arange(8, count)]
    assert same_bytes(joined([ground_of_many(batch.covers.some(c), batch.limits) for c in cuts]), whole)
    monkeypatch.setattr(network, "BLOCK_COUNT", 5)
    told = []
    assert same_bytes(ground_of_many(batch.covers, batch.limits, lambda done, of: told.append((done, of))), whole)
    assert told[-1] == (count, count)
    assert max(b[0] - a[0] for a, b in itertools.pairwise(told)) <= 5


def why_of(**changes):
    (batch,), _ = sorted_out((case(**changes),))
    answer = ground_of_many(batch.covers, batch.limits)
    return REASONS[answer.why[0]], answer


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"chamber": Plan2D("rectangle", 860.0, 620.0)}, "no seat"),
        ({"kerb_side": "left", "kerb_mm": 300.0}, "crosses the kerb"),
        ({"chamber_depth_mm": 40.0}, "bed's limits"),
        ({"turn_deg": 9.0, "kerb_side": "left", "kerb_mm": 800.0}, "turned against the traffic"),
        ({"turn_deg": 9.0, "cut_turn": "traffic"}, "turned against the"),
        ({"flange": Plan2D("round", 830.0, 830.0), "wall_mm": 80.0}, "different shapes that cut each other"),
        ({"readings": ()}, None),
    ],
)
def test_covers_without_an_answer_carry_the_reason_and_no_figures(changes, words):
    if words is None:
        batches, (apart,) = sorted_out((case(**changes),))
        assert (batches, apart.status) == ((), "refused")
        assert "only 0 road readings" in apart.why
        return
    why, answer = why_of(**changes)
    assert words in why
    assert np.isnan(answer.litres).all()


def test_layers_that_cross_are_told_and_given_no_litres():
    why, answer = why_of(frame_depth_mm=55.0, chamber_depth_mm=85.0)
    assert "layers cross" in why
    assert np.isnan(answer.litres).all()
    assert np.isfinite(answer.corners).all()
