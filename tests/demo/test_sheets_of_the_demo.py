"""The demo's invented data sheets and methods hang together; read here by plain TOML, not by Truebed's own loader."""

from __future__ import annotations

import tomllib
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from truebed.demo.build import build_demo

DEMO = build_demo()
SHEETS: dict[str, dict[str, Any]] = {n[7:-5]: tomllib.loads(d.decode()) for n, d in DEMO.items() if n[:7] == "sheets/"}
METHODS: dict[str, dict[str, Any]] = {
    n[8:-5]: tomllib.loads(d.decode()) for n, d in DEMO.items() if n[:8] == "methods/"
}
FIXED_DRIVERS = {"saw_m", "dig_l", "frame_kg", "joint_m", "count"}
#: Single check values of the trade (common practice, no source) that no invented sheet may repeat.
COMMON_PRACTICE = {"life": (15.0,), "set": (15.0,), "ready": (90.0, 60.0), "mix_min": (2.0,), "hold_back_l": (0.2,)}


def by_temp(rows: list[dict[str, Any]]) -> dict[float, float]:
    return {row["temp_c"]: row["after_min"] for row in rows}


@pytest.mark.parametrize("key", sorted(SHEETS))
def test_the_yield_agrees_with_mass_over_density(key: str) -> None:
    kit = SHEETS[key]["kit"]
    for liquid in (kit["liquid_least_l"], kit["liquid_most_l"]):
        assert kit["yield_l"] == pytest.approx((kit["solids_kg"] + liquid) / kit["fresh_density_kg_per_l"], rel=0.05)
    assert (kit["liquid_part"] == "own") == (kit["liquid_least_l"] == kit["liquid_most_l"])


@pytest.mark.parametrize("key", sorted(SHEETS))
def test_times_fall_with_temperature_and_life_ends_before_set_and_set_before_ready(key: str) -> None:
    sheet = SHEETS[key]
    for kind in ("life", "set", "ready"):
        times = sorted(by_temp(sheet.get(kind, [])).items())
        assert all(warm[1] < cold[1] for cold, warm in pairwise(times)), kind
    life, set_, ready = (by_temp(sheet.get(kind, [])) for kind in ("life", "set", "ready"))
    assert life.keys() == set_.keys()
    assert all(life[t] < set_[t] for t in life)
    assert all(set_[t] < ready[t] for t in ready)


@pytest.mark.parametrize("key", sorted(SHEETS))
def test_strength_grows_with_age_begins_after_set_and_is_gained_sooner_when_warmer(key: str) -> None:
    sheet = SHEETS[key]
    points = [(row["temp_c"], row["age_min"], row["strength_n_per_mm2"]) for row in sheet.get("strength", [])]
    if not points:
        assert sheet["kind"] in ("resin", "sealant")
        assert sheet["ready"]
        return
    assert sheet["kind"] == "cement"
    set_ = by_temp(sheet["set"])
    for temp in sorted({t for t, _, _ in points}):
        curve = sorted((age, strength) for t, age, strength in points if t == temp)
        assert all(a[1] < b[1] for a, b in pairwise(curve)), temp
        assert curve[0][0] > set_[temp], temp
        assert curve[-1][1] > sheet["traffic"]["strength_n_per_mm2"]
    temps = sorted({t for t, _, _ in points})
    target = sheet["traffic"]["strength_n_per_mm2"]
    waits = []
    for temp in temps:
        curve = sorted((strength, age) for t, age, strength in points if t == temp)
        assert curve[0][0] < target < curve[-1][0]
        waits.append(np.interp(target, [strength for strength, _ in curve], [age for _, age in curve]))
    assert all(warm < cold for cold, warm in pairwise(waits))


@pytest.mark.parametrize("key", sorted(SHEETS))
def test_a_sheet_is_tested_at_both_ends_of_the_temperatures_it_allows(key: str) -> None:
    sheet = SHEETS[key]
    temps = by_temp(sheet["life"])
    assert min(temps) == sheet["limits"]["temp_least_c"]
    assert max(temps) == sheet["limits"]["temp_most_c"]
    assert min(temps) < 1.2 or not key.startswith("rime")


@pytest.mark.parametrize("key", sorted(SHEETS))
def test_no_invented_figure_is_a_common_practice_value(key: str) -> None:
    sheet = SHEETS[key]
    for kind in ("life", "set", "ready"):
        at_twenty = by_temp(sheet.get(kind, [])).get(20.0)
        assert at_twenty is None or at_twenty not in COMMON_PRACTICE[kind]
    assert sheet["kit"]["mix_min"] not in COMMON_PRACTICE["mix_min"]
    assert sheet["kit"].get("hold_back_l") not in COMMON_PRACTICE["hold_back_l"]


@pytest.mark.parametrize("key", sorted(METHODS))
def test_a_methods_steps_links_and_drivers_name_only_what_it_has(key: str) -> None:
    method = METHODS[key]
    pours = {role["pour"] for role in method["role"]}
    steps = {step["key"] for step in method["step"]}
    drivers = FIXED_DRIVERS | {f"{pour}_{unit}" for pour in pours for unit in ("kits", "batches")}
    for step in method["step"]:
        assert set(step["duration"]) - {"base_min"} <= drivers, step["key"]
        assert step.get("pour", "") in pours | {""}
    for link in method["link"]:
        for end in (link["from"], link["to"]):
            name, _, edge = end.partition(".")
            assert (name == "open" and not edge) or (name in steps and edge in ("start", "end")), end
        for clock in (link.get("least_clock"), link.get("greatest_clock")):
            assert clock is None or clock["pour"] in pours
    bears = {role["role"] for role in method["role"] if role["bears"]}
    assert bears == {"bed", "under_flange_fill"}
    for pour in pours - {"seal"}:
        assert any(link["to"] == "open" and link["least_clock"]["pour"] == pour for link in method["link"]), pour


def test_a_clock_asks_only_for_what_its_sheet_gives() -> None:
    for method in METHODS.values():
        sheets = {role["pour"]: SHEETS[role["sheet"]] for role in method["role"]}
        for link in method["link"]:
            for clock in (link.get("least_clock"), link.get("greatest_clock")):
                if clock is not None:
                    assert sheets[clock["pour"]].get(clock["kind"]), (method["key"], clock)


def test_one_method_has_only_two_materials_and_fills_to_the_road() -> None:
    method = METHODS["two-material"]
    assert {role["sheet"] for role in method["role"]} == {"harrow-bed", "weir-flow"}
    assert method["layers"]["surface_depth_mm"] == 0.0
    assert not [role for role in method["role"] if role["role"] == "edge_seal"]
