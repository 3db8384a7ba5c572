"""Take-off: stand-ins for omitted roles, and how far the litres may be off."""

import numpy as np
import pytest

from truebed.chamber.sensitivity import FIRST, PARAMETERS
from truebed.chamber.solids import EMPTY, Solid
from truebed.mixing.takeoff import LitreErrors, player, role_volumes
from truebed.sheets.method import Layers, Method, Role

LAYERS = Layers(40.0, 10.0, 20.0, 30.0, 25.0, 0.05)


def method(*roles):
    return Method("m", "m", tuple(Role(r, f"sheet-{p}", p, False) for r, p in roles), LAYERS, (), ())


FIVE = method(
    ("bed", "bed"), ("under_flange_fill", "fill"), ("surround_fill", "back"), ("running_surface", "top"),
    ("edge_seal", "seal"),
)  # fmt: skip
SOLIDS = {
    "bed": Solid(10.0, 4e5, 20.0, 30.0), "under_flange_fill": Solid(25.0, 5e5, 12.0, 70.0),
    "surround_fill": Solid(20.0, 6e5, 30.0, 36.0), "running_surface": Solid(22.0, 6e5, 40.0, 40.0),
    "edge_seal": Solid(3.0, 1e5, 25.0, 25.0),
}  # fmt: skip
RIM, ROAD, TOP = FIRST["rim"], FIRST["road"], FIRST["top"]


def rates(**by_level):
    """Litres for one mm of rim, road and top level."""
    found = {}
    for role, (rim, road, top) in by_level.items():
        found[role] = np.zeros(len(PARAMETERS))
        found[role][[RIM, ROAD, TOP]] = rim, road, top
    return found


def errors(rim_sd, top_sd, road_sd):
    covariance = np.zeros((len(PARAMETERS), len(PARAMETERS)))
    for at, sd in ((RIM, rim_sd), (TOP, top_sd), (ROAD, road_sd)):
        covariance[at, at] = sd**2
    return LitreErrors(RATES, covariance)


RATES = rates(
    bed=(0.4, 0.0, -0.4), under_flange_fill=(0.5, 0.0, -0.5), surround_fill=(-0.6, 0.6, 0.0),
    running_surface=(0.0, 0.0, 0.0), edge_seal=(0.0, 0.0, 0.0),
)  # fmt: skip
ERRORS = errors(1.0, 8.0, 0.5)


def test_each_role_takes_its_own_solid():
    found = {v.role: v.volume_l for v in role_volumes(FIVE, SOLIDS, ERRORS)}
    assert found == {
        "bed": 10.0, "under_flange_fill": 25.0, "surround_fill": 20.0, "running_surface": 22.0, "edge_seal": 3.0,
    }  # fmt: skip


def test_no_litre_is_lost_where_a_method_omits_roles():
    two = method(("bed", "bed"), ("under_flange_fill", "fill"))
    found = {v.role: v.volume_l for v in role_volumes(two, SOLIDS, ERRORS)}
    assert found == {"bed": 10.0, "under_flange_fill": 70.0}
    assert player(two, "edge_seal").role == "under_flange_fill"
    assert player(method(("bed", "bed")), "running_surface").role == "bed"


def test_the_bed_band_is_1_645_times_level_error_times_area():
    bed = role_volumes(FIVE, SOLIDS, ERRORS)[0]
    assert bed.plus_minus_l == pytest.approx(1.6448536 * 0.4 * (1.0**2 + 8.0**2) ** 0.5, rel=1e-6)


def test_roles_that_one_pour_fills_share_the_rims_error_instead_of_adding_it_up():
    # fill gains what the surround loses when the rim is wrong: of the rim's 1 mm a tenth of a litre is left
    two = method(("bed", "bed"), ("under_flange_fill", "fill"))
    fill = role_volumes(two, SOLIDS, errors(1.0, 0.0, 0.0))[1]
    assert fill.plus_minus_l == pytest.approx(1.6448536 * 0.1, rel=1e-6)


def test_a_role_with_nothing_to_fill_is_left_out():
    solids = {**SOLIDS, "edge_seal": EMPTY}
    assert [v.role for v in role_volumes(FIVE, solids, ERRORS)][-1] == "running_surface"
