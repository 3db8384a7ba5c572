"""One layer's question: what is refused with which sentence, and the stack and outside made from it."""

import math
from dataclasses import replace

import pytest

from curing.rime_bed import NIGHT, asked
from truebed.curing.layer_night import (
    cloud_of_share,
    iron_temps_c,
    outside_of,
    refuse_night,
    stack_of,
    taken_for_granted,
    temperatures,
    wind_of_m_per_s,
)
from truebed.errors import FaultsError, NotDeterminedError

RIME = asked()
DATA = RIME.data


def refuse(**changes):
    refuse_night(replace(NIGHT, **changes), RIME.fitted, RIME.limits, DATA)


def faults(**changes):
    with pytest.raises(FaultsError) as caught:
        refuse(**changes)
    return [fault.sentence() for fault in caught.value.faults]


def test_what_the_sheet_allows_passes():
    refuse()
    refuse(base_c=0.0, air_c=20.0, mix_c=20.0, thick_mm=60.0, target_n_per_mm2=35.0)


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({"thick_mm": -30.0}, "thickness: found -30 mm; expected more than 0 mm"),
        ({"thick_mm": math.nan}, "thickness: found nan"),
        ({"target_n_per_mm2": 0.0}, "target: found 0 N/mm²"),
        ({"iron_mm": -1.0}, "iron's thickness: found -1 mm"),
        ({"wind_m_per_s": -1.0}, "wind: found -1 m/s; expected 0 to 60 m/s"),
        ({"cloud_share": 1.5}, "cloud: found 1.5"),
        ({"air_c": 80.0}, "air: found 80 °C; expected -45 to 50 °C"),
        ({"air_c": math.nan}, "air: found nan °C"),
        ({"base_c": -60.0}, "base: found -60 °C"),
        ({"iron_mm": None, "strip_mm": 100.0}, "flange's width: found 100 mm without iron"),
        ({"iron_mm": None, "iron_c": 2.0}, "iron's temperature: found 2 °C without iron"),
    ],
)
def test_what_cannot_be_is_a_fault_with_value_limit_and_mend(changes, word):
    (said,) = faults(**changes)
    assert word in said


@pytest.mark.parametrize(
    ("name", "value", "celsius"), [("air", 60.0, "15.6"), ("base", 36.0, "2.2"), ("mix", 54.0, "12.2")]
)
def test_what_looks_like_fahrenheit_is_said_to_and_what_it_would_be(name, value, celsius):
    (said,) = faults(**{f"{name}_c": value})
    assert f"{name}: found {value:g}, which looks like Fahrenheit" in said
    assert f"it is {celsius} °C" in said
    assert "not allowed by the sheet" in said


def test_all_faults_come_together():
    assert len(faults(thick_mm=-1.0, air_c=60.0, wind_m_per_s=-2.0)) == 3


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({"air_c": -2.0}, "not allowed by the sheet: air -2 °C; it lets it be used from 0 to 20 °C"),
        ({"base_c": -1.0, "mix_c": 25.0}, "base -1 °C, mix 25 °C"),
        ({"iron_c": -3.0}, "iron -3 °C"),
        ({"thick_mm": 80.0}, "a layer of 80 mm; it lets it be 14 to 60 mm thick"),
        ({"target_n_per_mm2": 36.0}, "the sheet's last datum is 35 N/mm²"),
    ],
)
def test_what_the_sheet_does_not_allow_or_give_is_refused(changes, word):
    with pytest.raises(NotDeterminedError, match="rime-bed") as caught:
        refuse(**changes)
    assert word in str(caught.value)


def test_iron_that_is_not_given_is_colder_for_a_wait_and_warmer_for_a_life():
    assert iron_temps_c(NIGHT) == (0.0, 2.0)
    assert iron_temps_c(replace(NIGHT, air_c=9.0)) == (2.0, 9.0)
    assert iron_temps_c(replace(NIGHT, iron_c=7.0)) == (7.0, 7.0)
    assert temperatures(replace(NIGHT, iron_c=7.0))[-1] == ("iron", 7.0)
    assert len(temperatures(NIGHT)) == 3


def test_the_stack_stands_from_the_top_down_and_has_an_edge_only_with_a_width():
    stack = stack_of(NIGHT, RIME.fitted.binder, -1.0, DATA)
    assert [(layer.name, layer.thick_mm, layer.start_c) for layer in stack.layers] == [
        ("iron", 15.0, -1.0), ("layer", 30.0, 12.0), ("brick", 500.0, 2.0),
    ]  # fmt: skip
    assert stack.edge is None
    bare = stack_of(replace(NIGHT, iron_mm=None, below="ground"), RIME.fitted.binder, 0.0, DATA)
    assert [layer.name for layer in bare.layers] == ["layer", "ground"]
    edge = stack_of(replace(NIGHT, strip_mm=100.0), RIME.fitted.binder, 0.0, DATA).edge
    assert (edge.flange, edge.width_mm, edge.outer_film_w_per_m2_k) == ("iron", 100.0, 16.0)


def test_a_clear_sky_takes_heat_and_a_clouded_one_takes_less():
    clear, clouded = (outside_of(replace(NIGHT, cloud_share=share), DATA) for share in (0.0, 1.0))
    assert clear.air_c[0] == 0.0
    assert -100.0 < clear.flux_w_per_m2[0] < -60.0
    assert clear.flux_w_per_m2[0] < clouded.flux_w_per_m2[0] < 0.0
    assert clear.film_w_per_m2_k[0] > 16.0  # 4 + 4 v by wind alone


def test_what_was_taken_is_said():
    open_question = replace(NIGHT, wind_m_per_s=None, cloud_share=None)
    assert wind_of_m_per_s(open_question, DATA) == DATA["wind_taken_m_per_s"]
    assert cloud_of_share(open_question, DATA) == DATA["cloud_taken_share"]
    said = " ".join(taken_for_granted(open_question, DATA))
    assert "no wind given: 3 m/s taken" in said
    assert "no sky given" in said
    assert "0 °C taken for the wait, 2 °C for working life" in said
    assert "the flange is taken as endless" in said
    told = " ".join(taken_for_granted(replace(NIGHT, strip_mm=100.0, iron_c=1.0), DATA))
    assert "no wind given" not in told
    assert "endless" not in told
    assert "iron's temperature not given" not in told
