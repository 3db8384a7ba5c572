"""The why of a clock names the hour, the layer, the curve and every hour of placing."""

from plan.night_case import clock, plain_clocks


def inputs(why):
    return {one.what: one for one in why.inputs}


def test_a_waits_why_tells_the_thinnest_place_the_colder_base_and_the_hour_that_governs():
    one = clock(plain_clocks(), "bed", "strength")
    found = inputs(one.why)
    assert one.why.value == one.reading.minutes_min
    hour = found["the hour that governs"]
    assert f"placed {hour.value:.0f} min after shutting" == one.reading.from_what
    assert "slowest hour" in hour.relation
    assert hour.inputs[1].relation.startswith("colder end: base between the extremes")
    layer = found["thickness of the layer"]
    assert "thinnest place, under a flange of" in layer.relation
    assert "with open sides" in layer.relation
    assert one.why.governed_by.startswith(one.reading.from_what)


def test_a_lifes_why_tells_the_thickest_place_the_warmer_base_and_the_sheets_own_times():
    one = clock(plain_clocks(), "bed", "life", wait=False)
    found = inputs(one.why)
    assert "thickest place" in found["thickness of the layer"].relation
    assert "open sides" not in found["thickness of the layer"].relation
    assert found["the hour that governs"].inputs[1].relation.startswith("warmer end")
    line = next(w for name, w in found.items() if name.endswith("at 20 °C"))
    assert [p.value for p in line.inputs] == [36.0, 22.0, 14.0]
    assert "its own energy" in line.relation


def test_every_hour_of_placing_stands_with_its_range():
    one = clock(plain_clocks(), "bed", "strength")
    told = inputs(one.why)["by the hour of placing"].inputs
    assert [w.what for w in told] == [f"placed {h.start_min:.0f} min after shutting" for h in one.reading.hours]
    assert [w.value for w in told] == [f"{h.band.central_min:.0f}" for h in one.reading.hours]
    assert (
        told[0].relation
        == f"90 % range {one.reading.hours[0].band.early_min:.0f} to {one.reading.hours[0].band.late_min:.0f}"
    )


def test_the_range_tells_its_draws_and_the_forecasts_error():
    band = inputs(clock(plain_clocks(), "fill", "strength").why)["90 % range"]
    assert "64 believable curves" in band.relation
    assert "± " in band.relation


def test_a_layer_without_a_curve_says_that_its_own_heat_is_left_out():
    found = inputs(clock(plain_clocks(), "seal", "ready").why)
    assert "own heat is left out" in found["own heat"].relation
    curve = inputs(clock(plain_clocks(), "bed", "strength").why)["strength curve"]
    assert curve.value == 37.0
    assert "fitted to 11 strengths" in curve.relation
