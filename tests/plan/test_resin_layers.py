"""Resin in the plan: doses, grams, gel, cure and heat by hand from the sheet's own rows; nothing past the sheet."""

import math
from dataclasses import replace
from datetime import timedelta

import pytest

from plan.sample import case, shelf
from plan.weathered import SHUT, hour, weathered
from truebed.findings import Severity
from truebed.mixing.kits import RoleVolume
from truebed.plan.resin_figures import cited, placed_findings, resin_figures, resin_findings
from truebed.plan.resin_layers import dose_line, lift_of, resin_layer, resin_layers, table_temps_c
from truebed.sheets.sheet import DoseAt, DosedTimeAt, Heat, Limits, Thermal

TOP = shelf().sheets["slate-top"]
#: 10 degC: 4 to 6 %, 20 degC: 2 to 3 %. Gel 20 min at 10 degC and 5 %, 10 min at 20 degC and 2.5 %; order 1.
PLAIN = replace(
    TOP,
    kit=replace(TOP.kit, resin_kg=2.0),
    dose=(DoseAt(10.0, 4.0, 6.0, "t4"), DoseAt(20.0, 2.0, 3.0, "t4")),
    gel=tuple(DosedTimeAt(t, d, 100.0 / d if t == 10.0 else 25.0 / d, "t5") for t in (10.0, 20.0) for d in (2.5, 5.0)),
    cure=tuple(DosedTimeAt(t, d, m, "t5") for t, d, m in ((10.0, 5.0, 90.0), (20.0, 2.5, 45.0))),
)
SURFACE = (RoleVolume("running_surface", "slate-top", "surface", 30.0, 1.0, 28.0, 33.0),)


def layers_of(made, volumes=SURFACE):
    return resin_layers(made, volumes)


def codes(made, volumes=SURFACE):
    return {f.code: f for f in resin_findings(made, layers_of(made, volumes))}


def with_top(top, hours=None, **changes):
    return weathered([hour(0), hour(1)] if hours is None else hours, sheets={"slate-top": top}, **changes)


def test_a_dose_at_a_row_is_the_sheets_own_with_grams_of_one_kit():
    line = dose_line(PLAIN, 10.0, "mix")
    assert (line.least_pct, line.usual_pct, line.most_pct) == (4.0, 5.0, 6.0)
    # 2 kg of resin: 80, 100 and 120 g
    assert (line.least_kg, line.usual_kg, line.most_kg) == (
        pytest.approx(0.080),
        pytest.approx(0.100),
        pytest.approx(0.120),
    )
    assert line.gel_min == pytest.approx(20.0)
    assert line.quick_gel_min == pytest.approx(100.0 / 6.0)  # order 1: time goes by 1 over the dose
    assert (line.cure_min, line.why_not, line.place) == (90.0, "", "t4")


def test_between_two_rows_the_dose_is_straight_and_the_gel_by_arrhenius():
    line = dose_line(PLAIN, 15.0, "")
    assert (line.least_pct, line.usual_pct, line.most_pct) == (3.0, 3.75, 4.5)
    # to 3.75 %: 26.67 min at 10 degC, 6.67 at 20 degC; ln(time) straight over 1/T between them
    cold, warm, at = (1.0 / (273.15 + t) for t in (10.0, 20.0, 15.0))
    part = (at - cold) / (warm - cold)
    by_hand = math.exp((1.0 - part) * math.log(100.0 / 3.75) + part * math.log(25.0 / 3.75))
    assert line.gel_min == pytest.approx(by_hand, rel=1e-9)


def test_a_cure_known_at_one_dose_a_temperature_is_not_told_at_another():
    line = dose_line(PLAIN, 15.0, "")
    assert line.cure_min is None
    assert "how they go with the dose is not known" in line.why_not


@pytest.mark.parametrize("temp_c", [9.9, 20.1, 4.0, 31.0])
def test_outside_the_doses_or_the_limits_nothing_is_told(temp_c):
    line = dose_line(PLAIN, temp_c, "")
    assert (line.least_pct, line.usual_kg, line.gel_min, line.cure_min) == (None, None, None, None)
    assert f"{temp_c:g} °C" in line.why_not


def test_limits_narrower_than_the_doses_rule():
    narrow = replace(PLAIN, limits=replace(PLAIN.limits, temp_least_c=12.0, temp_most_c=18.0))
    assert "not allowed by the sheet" in dose_line(narrow, 11.0, "").why_not
    assert table_temps_c(narrow) == (12.0, 15.0, 18.0)


def test_the_sites_table_has_every_five_degrees_and_both_ends_and_never_more():
    assert table_temps_c(TOP) == (5.0, 10.0, 15.0, 20.0, 25.0, 30.0)
    assert table_temps_c(PLAIN) == (10.0, 15.0, 20.0)
    assert table_temps_c(replace(TOP, dose=())) == ()
    apart = replace(PLAIN, limits=Limits(6.0, 40.0, 21.0, 30.0))
    assert table_temps_c(apart) == ()


@pytest.mark.parametrize("key", ["slate-top", "rime-top"])
def test_the_demos_middle_dose_gels_within_its_working_life_and_cures_when_it_is_ready(key):
    sheet = shelf().sheets[key]
    for life, ready in zip(sheet.life, sheet.ready, strict=True):
        line = dose_line(sheet, life.temp_c, "")
        assert line.gel_min == pytest.approx(life.after_min, abs=0.5)
        assert line.cure_min == pytest.approx(ready.after_min, abs=0.5)


def test_the_nights_ends_are_those_of_its_clocks():
    made = with_top(PLAIN, [hour(0, road_c=18.0, air_c=16.0), hour(1, road_c=15.0, air_c=12.0)], mix_c=17.0)
    (layer,) = layers_of(made).layers
    assert (layer.cold.temp_c, layer.cold.temp_from) == (12.0, "air at 21:00")
    assert (layer.hot.temp_c, layer.hot.temp_from) == (18.0, "road at 20:00")
    assert (layer.pour, layer.thick_mm, layer.unknown) == ("surface", 33.0, ())


def test_only_resin_has_layers_and_mortar_is_known_to_be_there():
    made = weathered([hour(0)], method="two-material")
    found = layers_of(made, ())
    assert (found.layers, found.cement, found.mix_c, len(found.base)) == ((), True, 20.0, 1)


def test_one_lift_stays_below_the_bound_by_hand():
    # 100 kJ/l over 2 kJ/(l K) = 50 K. 30 mm, 0.9 W/(m K), 10 min: r = pi^2 * 270 / 3600 = 0.7402
    hot = replace(dose_line(PLAIN, 20.0, ""), quick_gel_min=10.0)
    warm = replace(PLAIN, heat=Heat(100.0, "100 kJ/l", "p3", 60.0), thermal=Thermal(0.9, 2.0, "p3"))
    r = math.pi**2 * (0.9 / 2.0 * 60.0 * 10.0) / (4.0 * 30.0**2)
    lift, why_not = lift_of(warm, 30.0, hot)
    assert lift.peak_c == pytest.approx(20.0 + 50.0 * 4.0 / math.pi * r ** (r / (1.0 - r)))
    assert (lift.adiabatic_c, lift.lifts_count, why_not) == (70.0, 1, "")


def test_a_layer_too_hot_in_one_lift_is_told_with_its_lifts():
    hot = replace(TOP, heat=Heat(105.0, "105 kJ/l", "p3", 45.0))
    made = with_top(hot)
    (layer,) = layers_of(made).layers
    assert layer.lift.lifts_count > 1
    found = codes(made)["RS-006"]
    assert (found.severity, found.limit) == (Severity.CLOSE, "at most 45 degC")
    assert f"in {layer.lift.lifts_count} lifts" in found.mend
    assert "RS-006" not in codes(with_top(TOP))


def test_lifts_thinner_than_the_sheet_takes_are_no_mend():
    hot = replace(TOP, heat=Heat(105.0, "105 kJ/l", "p3", 45.0), limits=replace(TOP.limits, thickness_least_mm=25.0))
    assert "cooler base" in codes(with_top(hot))["RS-006"].mend


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"heat": None}, "heat of its reaction"),
        ({"heat": Heat(105.0, "", "p3", None)}, "hottest temperature of a layer"),
        ({"thermal": None}, "heat capacity, conductivity"),
        ({"gel": ()}, "gel at the night's highest temperature"),
        ({"heat": Heat(105.0, "", "p3", 15.0)}, "let it cool"),
    ],
)
def test_what_is_missing_for_the_heat_is_named_and_nothing_is_assumed(changes, words):
    made = with_top(replace(TOP, **changes))
    (layer,) = layers_of(made).layers
    assert layer.lift is None
    assert any(words in said for said in layer.unknown)
    assert words in " ".join(f.what for f in resin_findings(made, layers_of(made)))
    assert dict(resin_figures(made, layers_of(made)))["X1.resin.surface.lift-peak"].value is None


def test_a_sheet_without_doses_or_without_its_mass_is_told_and_not_guessed():
    bare = with_top(replace(TOP, dose=(), gel=(), cure=()))
    found = codes(bare)
    assert "no table of doses" in " ".join(f.what for f in resin_findings(bare, layers_of(bare)))
    assert "RS-005" not in found
    massless = with_top(replace(TOP, kit=replace(TOP.kit, resin_kg=None)))
    assert "kit.resin_kg" in codes(massless)["RS-004"].what
    (layer,) = layers_of(massless).layers
    assert (layer.cold.usual_kg, layer.cold.usual_pct is None) == (None, False)


def test_a_night_colder_than_the_doses_is_not_allowed_and_not_extrapolated():
    made = with_top(PLAIN, [hour(0, air_c=8.0, road_c=12.0)], mix_c=12.0)
    found = codes(made)["RS-005"]
    assert (found.severity, found.value) == (Severity.CLOSE, 8.0)
    assert "coldest" in found.what
    figures = dict(resin_figures(made, layers_of(made)))
    assert figures["X1.resin.surface.dose-coldest"].value is None
    assert figures["X1.resin.surface.dose-hottest"].value == pytest.approx(4.5)  # 12 degC: 3.6 to 5.4 %


def test_dew_at_every_hour_is_close_and_at_some_is_advice_with_the_hours_left():
    every = codes(with_top(TOP, [hour(n, road_c=10.0) for n in range(2)]))
    assert every["RS-001"].severity == Severity.CLOSE
    assert "RS-002" not in every
    some = codes(with_top(TOP, [hour(0), hour(1), hour(2, road_c=10.0)]))
    assert some["RS-002"].severity == Severity.ADVICE
    assert "from 20:00 to 22:00 only" in some["RS-002"].what
    assert some["RS-002"].source == cited("dew_margin_k") == "[dew-chart] (memory-high)"
    assert {"RS-001", "RS-002"} & set(codes(with_top(TOP))) == set()


def test_without_humidity_or_weather_dew_is_not_determined():
    assert "no humidity" in codes(with_top(TOP, [hour(0, humidity_pct=None)]))["RS-007"].what
    assert "no weather" in codes(case(lambda _x, _y: 0.0))["RS-007"].what


def test_fast_drying_is_told_with_its_hours_and_what_to_do():
    # mix 30, air 20, 50 %, 28.8 km/h: 5e-6 * (48^2.5 - 0.5*38^2.5) * 32.8 = 1.888 kg/m2 an hour
    made = with_top(TOP, [hour(0, wind_m_per_s=8.0), hour(1, wind_m_per_s=0.0)], mix_c=30.0)
    found = codes(made)["RS-003"]
    assert found.value == pytest.approx(1.888, abs=1e-3)
    assert "from 20:00 to 21:00" in found.what
    assert "mist" in found.mend
    sheeted = with_top(TOP, [hour(0, wind_m_per_s=8.0)], mix_c=30.0, protection="sheet")
    assert "The closure plans a sheet" in codes(sheeted)["RS-003"].mend
    assert "RS-003" not in codes(with_top(TOP, mix_c=20.0))


def test_a_resin_placed_in_a_barred_hour_is_told_with_the_hours_that_are_free():
    made = with_top(TOP, [hour(0), hour(1), hour(2, road_c=10.0)])
    (layer,) = layers_of(made).layers
    early = (SHUT + timedelta(minutes=30), SHUT + timedelta(minutes=120))
    late = (SHUT + timedelta(minutes=100), SHUT + timedelta(minutes=121))
    assert placed_findings(made, layer, *early) == ()
    (found,) = placed_findings(made, layer, *late)
    assert (found.code, found.severity) == ("RS-008", Severity.CLOSE)
    assert "from 21:40 to 22:01" in found.what
    assert "20:00 to 22:00" in found.limit


def test_the_figures_are_those_of_the_layer_with_their_whys():
    made = with_top(PLAIN, [hour(0, air_c=10.0, road_c=15.0)], mix_c=15.0)
    figures = dict(resin_figures(made, layers_of(made)))
    assert figures["X1.resin.surface.hardener-coldest"].value == pytest.approx(100.0)
    assert figures["X1.resin.surface.gel-coldest"].value == pytest.approx(20.0)
    assert figures["X1.resin.surface.cure-coldest"].value == pytest.approx(90.0)
    assert figures["X1.resin.surface.cure-hottest"].value is None
    peak = figures["X1.resin.surface.lift-peak"]
    assert peak.why.margin == pytest.approx(75.0 - peak.value)


def test_a_layer_of_any_sheet_is_the_same_alone():
    made = with_top(TOP)
    (layer,) = layers_of(made).layers
    assert resin_layer(made, "surface", TOP, 33.0, layers_of(made).base) == layer


def test_without_a_road_dew_is_not_determined_in_the_hours_in_which_the_sky_may_bring_it_there():
    clear = replace(hour(1, road_c=None, humidity_pct=80.0, wind_m_per_s=1.0), cloud_share=0.0)
    found = codes(with_top(TOP, [hour(0), clear]))
    assert "not determined from 21:00 to 22:00: no road is given" in found["RS-007"].what
    assert "RS-007" not in codes(with_top(TOP, [hour(0), replace(clear, road_temp_c=20.0)]))
