"""Take-off: stand-ins for omitted roles, and how far the litres may be off."""

import math

import pytest

from truebed.chamber.solids import EMPTY, Solid
from truebed.mixing.takeoff import LevelErrors, player, role_volumes, thickness_sd_mm
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
ERRORS = LevelErrors(1.0, 8.0, 0.5)


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
    assert bed.plus_minus_l == pytest.approx(1.6448536 * math.hypot(1.0, 8.0) * 4e5 / 1e6, rel=1e-6)


def test_an_unknown_chamber_top_counts_as_no_error_and_the_surface_has_the_roads_only():
    unknown = LevelErrors(1.0, None, 0.5)
    assert thickness_sd_mm("bed", unknown) == 1.0
    assert thickness_sd_mm("surround_fill", unknown) == pytest.approx(math.hypot(1.0, 0.5))
    assert thickness_sd_mm("running_surface", ERRORS) == 0.5


def test_a_role_with_nothing_to_fill_is_left_out():
    solids = {**SOLIDS, "edge_seal": EMPTY}
    assert [v.role for v in role_volumes(FIVE, solids, ERRORS)][-1] == "running_surface"
