"""A resin that the programme lays in a barred hour is found, with the programme's own minutes."""

from dataclasses import replace
from functools import cache
from types import SimpleNamespace

import pytest

from papers.sample_plan import sample_closure
from plan.weathered import SHUT, hour, weathered
from truebed.plan.laid_findings import laid_findings
from truebed.plan.resin_layers import resin_layers


def rain_in(first):
    """Ten hours, of which only the one that begins so many hours after the shutting has rain."""
    return weathered([hour(i, rain_mm=2.0 if i == first else 0.0) for i in range(10)])


@cache
def closure():
    """The sample night, shut as the weathered cases are. K11's surface is laid from 00:12 to 00:28."""
    return replace(sample_closure(), shut=SHUT)


def designed(case, cover="K11"):
    layers = resin_layers(case, ())
    assert [layer.pour for layer in layers.layers] == ["surface"]
    return SimpleNamespace(design=SimpleNamespace(cover=cover, strength=SimpleNamespace(resin=layers)), case=case)


def found(first, cover="K11", plan=None):
    return laid_findings(closure() if plan is None else plan, (designed(rain_in(first), cover),))


@pytest.mark.parametrize("first", [3, 4])
def test_a_resin_laid_in_rain_or_the_hour_after_it_is_found_with_the_programmes_minutes(first):
    (one,) = found(first)
    assert one.code == "RS-008"
    assert "from 00:12 to 00:28" in one.what
    assert "rain on the face" in one.what


@pytest.mark.parametrize("first", [2, 5, 99])
def test_a_face_that_is_dry_again_or_wet_only_later_is_not_found(first):
    assert found(first) == ()


def test_the_finding_moves_with_the_programme():
    solution = closure().solution
    placed = tuple(
        replace(p, start_min=p.start_min + 60, end_min=p.end_min + 60) if p.step == "surface" else p
        for p in solution.schedule.placed
    )
    later = replace(closure(), solution=replace(solution, schedule=replace(solution.schedule, placed=placed)))
    assert found(3, plan=later) == ()
    assert "from 01:12 to 01:28" in found(5, plan=later)[0].what


def test_a_cover_that_is_not_done_tonight_lays_nothing():
    assert "K13" not in closure().solution.schedule.done
    assert found(4, cover="K13") == ()


def test_a_cover_without_its_case_or_its_aids_has_nothing_to_hold_against_the_hours():
    whole = designed(rain_in(4))
    no_aids = SimpleNamespace(design=SimpleNamespace(cover="K11", strength=None), case=whole.case)
    no_case = SimpleNamespace(design=whole.design, case=None)
    assert laid_findings(closure(), (no_aids, no_case)) == ()
    assert len(laid_findings(closure(), (no_aids, no_case, whole))) == 1
