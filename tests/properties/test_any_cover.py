"""Covers of every shape, turn, kerb, thing in the way, neighbour and chamber top, drawn by seed: each gets a design
whose cut, bed and litres stand up to a second look, or a refusal with reason and mend; nothing else is raised.
"""

import pytest

from plan.any_cover import any_case, any_row, cut_faults, hole_l
from plan.sample import shelf
from truebed.errors import NotDesignedError
from truebed.plan.closure import design_all
from truebed.plan.design import design_cover

COUNT, GROUPS = 144, 12


def designs(group):
    """Every case of a group that was designed; refusals are looked at on the way."""
    found = []
    for seed in range(group, COUNT, GROUPS):
        made = any_case(seed)
        try:
            found.append((seed, made, design_cover(made)))
        except NotDesignedError as refused:
            said = (refused.reason.strip(), refused.mend.strip())
            if not all(said) or "nan" in " ".join(said):
                pytest.fail(f"case {seed} is refused without reason or mend: {said}")
    return found


@pytest.mark.parametrize("group", range(GROUPS))
def test_every_design_stands_up_to_a_second_look(group):
    for seed, made, designed in designs(group):
        ground = designed.ground
        assert cut_faults(made, ground) == (), seed
        setting, bed = ground.setting, made.sheet_for("bed").limits
        assert setting.bed_least_mm >= bed.thickness_least_mm - 1e-4, seed
        assert setting.bed_most_mm <= bed.thickness_most_mm + 1e-4, seed
        assert all(s.volume_l >= 0.0 for s in ground.solids.values()), seed
        if ground.top.points and ground.top.rough_mm > 1e-6:
            continue  # the count of squares below knows plane chamber tops only
        if min(s.least_mm for s in ground.solids.values() if s.area_mm2 > 0.0) < 0.0:
            continue  # where surfaces cross, a layer takes nothing from its neighbour
        total = sum(s.volume_l for s in ground.solids.values())
        assert total == pytest.approx(hole_l(ground), rel=0.01), seed


def test_most_kinds_are_designed_and_not_only_refused():
    done = [made for group in range(GROUPS) for _, made, _ in designs(group)]
    assert len(done) > COUNT // 3
    assert {m.cover.body.shape for m in done} == {"rectangle", "round", "D", "triangular pair"}
    assert any(m.cover.parts_count > 1 for m in done)
    assert any(m.obstacles for m in done)
    assert any(m.soundings for m in done)
    assert any(m.measured for m in done)
    assert any(m.neighbours for m in done)
    assert any(m.cover.kerb_side != "none" for m in done)


@pytest.mark.parametrize("seed", [0, 4, 17, 23, 58, 71])
def test_covers_of_a_row_agree_on_their_joined_cut_and_none_joins_a_frame_that_stays(seed):
    works = any_row(seed)
    done, failed, _ = design_all(works, shelf(), works.closures[0], {}, lambda _: None)
    assert len(done) + len(failed) == len(works.covers)
    cuts = {d.design.cover: d.design.cut for d in done}
    for cut in cuts.values():
        if cut.joined is None:
            continue
        group = {s.cover for s in cut.joined.shares}
        assert group <= set(cuts)
        for name in group:
            assert {s.cover for s in cuts[name].joined.shares} == group
            assert cuts[name].joined.area_mm2 == pytest.approx(cut.joined.area_mm2, abs=5.0)
        assert sum(cuts[name].saw_length_m for name in group) == pytest.approx(cut.joined.saw_length_m, abs=1e-3)
