"""The march against SciPy's BDF on the same cells: temperatures within 0.05 K, release within half a minute."""

import numpy as np
import pytest

from curing.heat_samples import GUARD, night, slowest
from oracles.heat_ode import HeatOde
from truebed.curing.heat import cure
from truebed.curing.heat_grid import cells_of
from truebed.curing.stack import Boundary, steady_boundary

HOURLY = Boundary(
    np.arange(5.0) * 60.0, np.array([4.0, 1, -2, -3, -3]), np.array([10.0, 18, 9, 14, 12]),
    np.array([80.0, -20, -60, -65, -50]),
)  # fmt: skip


def same_equations(stack, boundary, fineness=1):
    layers = stack.layers
    cells = cells_of(tuple(layer.binder is not None for layer in layers), fineness)
    of = cells.layer_of
    sizes = np.array([layer.thick_mm / 1000 for layer in layers])[of] * cells.fractions
    conduct = np.array([layer.conduct_w_per_m_k for layer in layers])[of]
    hold = np.array([layer.store_kj_per_l_k * 1e6 for layer in layers])[of]
    start = np.array([layer.start_c for layer in layers])[of]
    at = next(i for i, layer in enumerate(layers) if layer.binder is not None)
    b = layers[at].binder
    return HeatOde(
        sizes, conduct, hold, start, int(cells.first_of[at]), int(cells.first_of[at + 1]), b.tau_min * 60,
        b.shape_ratio, b.activation_j_per_mol, b.heat_kj_per_l * 1e6, boundary.minutes_min * 60, boundary.air_c,
        boundary.film_w_per_m2_k, boundary.flux_w_per_m2,
    )  # fmt: skip


@pytest.mark.parametrize("boundary", [steady_boundary(0.0, 12.0, -60.0), HOURLY], ids=["steady", "hourly"])
@pytest.mark.parametrize(("bed_mm", "mix_c"), [(20.0, 20.0), (30.0, 12.0), (50.0, 5.0)])
def test_temperatures_and_release_agree_with_a_stiff_integrator(boundary, bed_mm, mix_c):
    stack = night(bed_mm, mix_c)
    ours = cure(stack, boundary, (slowest(),), guard_n_per_mm2=GUARD)
    released_s, found = same_equations(stack, boundary).to_age(
        slowest().age_min * 60, 1e-8, dense_output=True, max_step=600
    )
    assert ours.minutes_min[0] == pytest.approx(released_s / 60, abs=0.05)
    late = (ours.trace.minutes_min > 5.0) & (ours.trace.minutes_min < released_s / 60)
    theirs = found.sol(ours.trace.minutes_min[late] * 60)[: ours.trace.cell_c.shape[1]].T
    assert np.abs(ours.trace.cell_c[late] - theirs).max() < 0.05


def test_a_bare_bed_agrees_too():
    stack = night()
    bare = type(stack)(stack.layers[1:])
    boundary = steady_boundary(0.0, 12.0, -60.0)
    ours = cure(bare, boundary, (slowest(),), guard_n_per_mm2=GUARD)
    released_s, _ = same_equations(bare, boundary).to_age(slowest().age_min * 60, 1e-8)
    assert ours.minutes_min[0] == pytest.approx(released_s / 60, abs=0.05)
