"""Every clock of a method, read once."""

import pytest

from plan.sample import case, shelf
from truebed.errors import NotDeterminedError
from truebed.plan.clocks import asked_clocks, late_minutes_of, minutes_of, read_clocks, sheet_of, target_of
from truebed.sheets.method import Clock

TARGETS = {"bed": 12.0, "fill": 12.0, "backfill": None, "surface": None, "seal": None}


def test_each_clock_is_asked_once_and_waits_are_told_from_lives():
    asked = asked_clocks(shelf().methods["five-layer"].links)
    assert len(asked) == len(set(asked))
    assert (Clock("bed", "life"), False) in asked
    assert (Clock("bed", "set"), True) in asked
    assert (Clock("bed", "set"), False) in asked


def test_waits_are_read_at_the_coldest_and_lives_at_the_hottest():
    temps = case().temps
    known = read_clocks(shelf().methods["five-layer"], shelf().sheets, TARGETS, temps, shelf().rules)
    for one in known:
        assert one.reading.temp_c == (temps.coldest_c if one.wait else temps.hottest_c)
        assert one.reading.early_min <= one.reading.minutes_min <= one.reading.late_min
        assert one.why.inputs


def test_an_undetermined_opening_strength_is_never_a_default():
    with pytest.raises(NotDeterminedError, match="not determined"):
        read_clocks(
            shelf().methods["five-layer"], shelf().sheets, {**TARGETS, "bed": None}, case().temps, shelf().rules
        )


def test_a_method_may_ask_for_more_strength_to_open_than_the_road_does_but_never_for_less():
    from dataclasses import replace

    from truebed.plan.clocks import with_least_strength

    links = shelf().methods["five-layer"].links
    bed = next(link for link in links if link.to_step == "open" and link.least_clock.pour == "bed")
    for own, expected in ((6.0, 12.0), (20.0, 20.0)):
        asked = replace(bed, least_clock=replace(bed.least_clock, strength_n_per_mm2=own))
        raised = with_least_strength((asked,), TARGETS)[0]
        assert raised.least_clock.strength_n_per_mm2 == expected
    assert with_least_strength(links, TARGETS) == links


def test_pours_that_open_by_their_strength_are_told_from_those_that_open_by_ready_times():
    from truebed.plan.clocks import opened_by_strength

    assert opened_by_strength(shelf().methods["five-layer"]) == {"bed", "fill"}


def test_minutes_are_found_by_clock_and_side():
    known = read_clocks(shelf().methods["five-layer"], shelf().sheets, TARGETS, case().temps, shelf().rules)
    within = minutes_of(known, Clock("bed", "set"), wait=False)
    wait = minutes_of(known, Clock("bed", "set"), wait=True)
    assert within < wait
    with pytest.raises(KeyError):
        minutes_of(known, Clock("bed", "ready"), wait=True)


def test_the_sheet_of_a_pour_is_its_roles():
    assert sheet_of(shelf().methods["five-layer"], "bed", shelf().sheets).key == "harrow-bed"
    with pytest.raises(KeyError):
        sheet_of(shelf().methods["five-layer"], "nothing", shelf().sheets)


def test_the_strength_waited_for_is_the_methods_own_else_the_pours_and_never_a_default():
    sheet = shelf().sheets["harrow-bed"]
    assert target_of(Clock("bed", "strength", 9.0), TARGETS, sheet) == 9.0
    assert target_of(Clock("bed", "strength"), TARGETS, sheet) == 12.0
    assert target_of(Clock("bed", "ready"), TARGETS, sheet) is None
    with pytest.raises(NotDeterminedError, match="neither the rule set nor the sheet says"):
        target_of(Clock("seal", "strength"), TARGETS, sheet)


def test_the_programme_takes_the_edge_that_a_reading_names_and_else_its_middle():
    from dataclasses import replace

    known = read_clocks(shelf().methods["five-layer"], shelf().sheets, TARGETS, case().temps, shelf().rules)
    one = next(k for k in known if k.clock == Clock("bed", "set") and k.wait)
    assert minutes_of((one,), one.clock, wait=True) == one.reading.minutes_min
    late = replace(one, reading=replace(one.reading, used_min=one.reading.late_min))
    assert minutes_of((late,), one.clock, wait=True) == late_minutes_of((one,), one.clock) > one.reading.minutes_min
    with pytest.raises(KeyError):
        late_minutes_of(known, Clock("bed", "life"))
