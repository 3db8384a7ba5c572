"""A method as a user writes it becomes a method, or every fault in its roles and layers is named."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from truebed.errors import Fault
from truebed.sheets.load import load_sheets
from truebed.sheets.load_method import load_methods
from truebed.sheets.method import Clock, Duration, Link
from truebed.sheets.sheet import Sheet

DEMO = Path(__file__).parents[2] / "src" / "truebed" / "demo" / "folder"
FIVE = (DEMO / "methods" / "five-layer.toml").read_text("utf-8")
SHEETS: Mapping[str, Sheet] = load_sheets(
    {f"sheets/{path.name}": path.read_bytes() for path in (DEMO / "sheets").glob("*.toml")}
)[0]


def faults_of(was: str, now: str, count: int = 1) -> tuple[Fault, ...]:
    text = FIVE.replace(was, now, count)
    assert text != FIVE, "the slip must change the method"
    methods, faults = load_methods({"methods/five-layer.toml": text.encode()}, SHEETS)
    assert bool(methods) != bool(faults)
    return faults


def test_every_method_of_the_demo_loads() -> None:
    files = {f"methods/{path.name}": path.read_bytes() for path in (DEMO / "methods").glob("*.toml")}
    methods, faults = load_methods(files, SHEETS)
    assert [fault.sentence() for fault in faults] == []
    assert sorted(methods) == sorted(Path(file).stem for file in files)


def test_roles_steps_and_links_are_as_written() -> None:
    method = load_methods({"methods/five-layer.toml": FIVE.encode()}, SHEETS)[0]["five-layer"]
    assert method.pours() == ("bed", "fill", "backfill", "surface", "seal")
    bed = method.role("bed")
    assert bed is not None
    assert (bed.sheet, bed.bears) == ("harrow-bed", True)
    saw = method.steps[0]
    assert (saw.key, saw.tools, saw.noisy, saw.duration) == ("saw", ("saw",), True, Duration(5.0, (("saw_m", 2.6),)))
    assert next(link for link in method.links if link.why == "the bed bears the wheel") == Link(
        "set-frame", "end", "open", "start", "the bed bears the wheel", least_clock=Clock("bed", "strength")
    )
    assert method.file == "methods/five-layer.toml"


@pytest.mark.parametrize(
    ("was", "now", "column", "words"),
    [
        ('sheet = "harrow-bed"', 'sheet = "harow-bed"', "role[1].sheet", "Did you mean 'harrow-bed'?"),
        ('sheet = "harrow-bed"', 'sheet = "bead-seal"', "role[1].sheet", "the sealant 'bead-seal' as bed"),
        ('role = "surround_fill"', 'role = "surround-fill"', "role[3].role", "Did you mean 'surround_fill'?"),
        ('role = "surround_fill"', 'role = "bed"', "role[3].role", "a second 'bed'"),
        ("surface_depth_mm = 32.0", "surface_depth_mm = 0.0", "layers.surface_depth_mm", "the depth of the running"),
        ("joint_width_mm = 30.0", "joint_width_mm = 0.0", "layers.joint_width_mm", "the edge is sealed"),
        ("allowance_share = 0.06", "allowance_share = 6.0", "layers.allowance_share", "at most 1"),
        ('pour = "seal"\nbears = false', 'pour = "seal"\nbears = true', "role[5].bears", "A seal carries no wheel."),
        ('key = "five-layer"', 'key = "four-layer"', "key", "the file's own name 'five-layer'"),
        ("people = 2", "people = 0", "step[1].people", "at least 1"),
        ("noisy = true", "noisy = 1", "step[1].noisy", "true or false"),
        ('from = "saw.end"', 'from = "saw"', "link[1].from", "'step.start' or 'step.end'"),
        ('to = "open"', 'to = "opened"', "link[19].to", "'step.start', 'step.end' or 'open'"),
    ],
)
def test_a_slip_in_a_role_a_layer_or_a_link_is_named(was: str, now: str, column: str, words: str) -> None:
    faults = faults_of(was, now)
    assert column in {fault.column for fault in faults}
    assert words in " ".join(fault.sentence() for fault in faults)


def test_a_method_without_a_bed_is_refused() -> None:
    faults = faults_of('role = "bed"', 'role = "under_flange_fill"')
    assert "no bed" in {fault.found for fault in faults}


def test_roles_of_one_pour_share_one_sheet() -> None:
    faults = faults_of('sheet = "lattice-fill"\npour = "backfill"', 'sheet = "lattice-fill"\npour = "fill"')
    assert "pour 'fill' of 'lattice-fill' and of 'weir-flow'" in {fault.found for fault in faults}


def test_a_surface_of_the_fills_own_pour_has_no_depth_of_its_own() -> None:
    merged = 'role = "running_surface"\nsheet = "lattice-fill"\npour = "backfill"'
    faults = faults_of('role = "running_surface"\nsheet = "slate-top"\npour = "surface"', merged)
    assert "layers.surface_depth_mm" in {fault.column for fault in faults}


def test_a_method_where_nothing_bears_is_refused() -> None:
    faults = faults_of("bears = true", "bears = false", count=-1)
    assert "no role that bears" in {fault.found for fault in faults}


def test_a_method_whose_sheet_is_at_fault_is_left_out_without_a_second_complaint() -> None:
    files = {f"sheets/{path.name}": path.read_bytes() for path in (DEMO / "sheets").glob("*.toml")}
    files["sheets/weir-flow.toml"] = files["sheets/weir-flow.toml"].replace(b'kind = "cement"', b'kind = "cemnt"')
    files["methods/five-layer.toml"] = FIVE.encode()
    sheets, sheet_faults = load_sheets(files)
    assert len(sheet_faults) == 1
    assert load_methods(files, sheets) == ({}, ())
