"""The load list and the stock it comes from."""

from dataclasses import replace
from datetime import date

from papers.sample_plan import sample_closure
from plan.sample import demo_works, shelf
from truebed.findings import Severity
from truebed.given.works import StockLine
from truebed.mixing.spare import KitNeed, spare_for
from truebed.plan.load import done_designs, gear_lines, good_until, kit_lines, stock_findings

CLOSURE = sample_closure()


def sheets():
    """The sample's sheet keys, each standing on a demo sheet (only yield and water count here)."""
    some = shelf().sheets["harrow-bed"]
    keys = {k.sheet for d in CLOSURE.designed for k in d.kits}
    return {key: replace(some, key=key, name=key) for key in keys}


def test_only_covers_done_tonight_are_loaded():
    done = set(CLOSURE.solution.schedule.done)
    assert set(done_designs(CLOSURE)) == done
    for line in kit_lines(CLOSURE, sheets()):
        assert set(line.for_covers) <= done


def test_kits_of_a_sheet_are_those_of_all_its_covers():
    for line in kit_lines(CLOSURE, sheets()):
        if line.sheet:
            expected = sum(
                k.kits for n in done_designs(CLOSURE) for k in CLOSURE.design(n).kits if k.sheet == line.sheet
            )
            assert line.quantity == expected


def test_spare_of_the_night_is_at_least_any_one_covers_own():
    harrow = shelf().sheets["harrow-bed"].kit.yield_l
    for line in kit_lines(CLOSURE, sheets()):
        if line.sheet and line.spare is not None:
            own = [k for n in done_designs(CLOSURE) for k in CLOSURE.design(n).kits if k.sheet == line.sheet]
            assert line.spare == spare_for(tuple(KitNeed(k.needed_l, k.plus_minus_l, harrow) for k in own))


def test_water_is_listed_for_water_mixed_kits_and_never_more_than_the_kits_take():
    lines = kit_lines(CLOSURE, sheets())
    water = [line for line in lines if line.what.startswith("Mixing water")]
    assert water
    assert all("never more" in line.note for line in water)


def test_tools_formers_and_dams_are_on_the_list():
    what = {line.what for line in gear_lines(demo_works(), CLOSURE)}
    assert {"Former for the opening", "Debris dam for the chamber"} <= what
    assert {t.tool for t in demo_works().tools} <= what


def test_a_lot_is_good_until_its_day():
    assert good_until("", date(2027, 1, 1))
    assert good_until("2027-01-01", date(2027, 1, 1))
    assert not good_until("2026-12-31", date(2027, 1, 1))


def test_stock_runs_down_over_the_closures_and_expired_lots_do_not_count():
    lines = tuple(line for line in kit_lines(CLOSURE, sheets()) if line.sheet)[:1]
    line = lines[0]
    night = {CLOSURE.closure: date(2027, 6, 8)}
    need = line.quantity + (line.spare or 0)

    def found(*stock):
        return stock_findings(replace(demo_works(), stock=tuple(stock)), lines, night)

    assert found(StockLine(line.sheet, "A", need)) == ()
    assert found(StockLine(line.sheet, "A", line.quantity - 1))[0].severity is Severity.BREAKS
    expired = found(StockLine(line.sheet, "A", need, "2027-01-01"))[0]
    assert expired.value == 0.0
    assert f"{need} more have expired by then" in expired.what
    twice = stock_findings(replace(demo_works(), stock=(StockLine(line.sheet, "A", need),)), (line, line), night)
    assert len(twice) == 1
    assert stock_findings(replace(demo_works(), stock=()), lines, night) == ()
