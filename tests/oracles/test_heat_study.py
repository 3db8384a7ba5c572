"""The table of docs/theory/heat.md, computed again: coupled against isothermal, both ways of failing."""

from dataclasses import replace
from pathlib import Path

import pytest

from curing.heat_samples import GUARD, MORTAR, night, slowest
from truebed.curing.arrhenius import GAS_J_PER_MOL_K, rate_ratio
from truebed.curing.binder import age_to_strength_min
from truebed.curing.flange_section import Flange, flange_stack
from truebed.curing.heat import Want, cure
from truebed.curing.section_2d import Around
from truebed.curing.stack import Stack, steady_boundary

PAGE = Path(__file__).parents[2] / "docs" / "theory" / "heat.md"
FROST = steady_boundary(-2.0, 12.0, -60.0)
AROUND = Around(-2.0, 12.0, -60.0, 6.0, 5.0)


def isothermal_min(temp_c, binder=MORTAR):
    energy_k = binder.activation_j_per_mol / GAS_J_PER_MOL_K
    return age_to_strength_min(binder, 20.0) / rate_ratio(temp_c, 20.0, energy_k)


def coupled_min(bed_mm, mix_c, binder=MORTAR):
    stack = night(bed_mm, mix_c, binder=binder)
    stack = Stack((replace(stack.layers[0], start_c=-2.0), *stack.layers[1:]))
    return cure(stack, FROST, (slowest(binder),), guard_n_per_mm2=GUARD).minutes_min[0]


def edge_min(bed_mm, mix_c):
    stack = flange_stack(Flange(bed_mm, mix_c, 2.0, MORTAR, 0.8, 1.445, frame_c=-2.0), AROUND)
    want = Want("bed", "slowest", slowest().age_min)
    return cure(stack, FROST, (want,), guard_n_per_mm2=GUARD).minutes_min[0]


def page_rows():
    lines = PAGE.read_text("utf-8").split("| bed mm |")[1].splitlines()[2:]
    table = lines[: next(i for i, line in enumerate(lines) if not line.startswith("|"))]
    return [[float(cell) for cell in line.strip("|").split("|")] for line in table]


def test_the_pages_table_is_what_is_computed():
    rows = page_rows()
    assert len(rows) == 12
    for bed_mm, mix_c, *said in rows:
        coupled = coupled_min(bed_mm, mix_c)
        off = [isothermal_min(temp_c) - coupled for temp_c in (-2.0, 2.0, mix_c)]
        assert [coupled, edge_min(bed_mm, mix_c), *off] == pytest.approx(said, abs=0.6)


def test_no_single_temperature_is_safe_for_all():
    assert isothermal_min(12.0) < coupled_min(30.0, 12.0) - 25.0
    slow = replace(MORTAR, tau_min=168.0)
    assert isothermal_min(2.0, slow) < coupled_min(30.0, 12.0, slow) - 60.0
    assert isothermal_min(-2.0) > coupled_min(30.0, 12.0) + 50.0


def test_the_study_is_met_where_it_was_made_with_another_program():
    assert coupled_min(30.0, 12.0) == pytest.approx(108.3, abs=0.2)
    assert coupled_min(30.0, 12.0, replace(MORTAR, tau_min=168.0)) == pytest.approx(584.0, abs=1.0)
    assert coupled_min(30.0, 12.0, replace(MORTAR, activation_j_per_mol=45000.0)) == pytest.approx(147.0, abs=0.5)
