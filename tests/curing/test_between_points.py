"""Times between a sheet's own points, and the refusal of any other."""

from __future__ import annotations

import pytest

from curing.sample_sheet import strengths, times
from truebed.curing.between_points import age_to_strength, bracket_c, time_between, time_to_strength
from truebed.errors import NotDeterminedError

SET = times((5.0, 64.0), (20.0, 34.0), (30.0, 23.0))
DATA = strengths((20.0, 45.0, 5.5), (20.0, 90.0, 15.0), (20.0, 180.0, 22.5))


@pytest.mark.parametrize(("temp_c", "after_min"), [(5.0, 64.0), (20.0, 34.0), (30.0, 23.0)])
def test_at_a_sheets_temperature_its_own_value_stands(temp_c: float, after_min: float) -> None:
    found = time_between(SET, temp_c, "set")
    assert found.minutes_min == after_min
    assert found.activation_j_per_mol is None


@pytest.mark.parametrize(("temp_c", "pair_c"), [(5.1, (5.0, 20.0)), (19.9, (5.0, 20.0)), (20.1, (20.0, 30.0))])
def test_a_time_is_read_between_the_two_nearest_points(temp_c: float, pair_c: tuple[float, float]) -> None:
    found = time_between(SET, temp_c, "set")
    assert (found.cold.temp_c, found.warm.temp_c) == pair_c
    assert found.warm.after_min < found.minutes_min < found.cold.after_min


@pytest.mark.parametrize("temp_c", [2.0, 4.999, 30.001, -5.0])
def test_nothing_is_read_outside_the_sheets_temperatures(temp_c: float) -> None:
    with pytest.raises(NotDeterminedError, match=rf"the sheet gives times from 5 to 30 °C; {temp_c:g} °C is outside"):
        time_between(SET, temp_c, "set")


def test_a_sheet_with_one_temperature_answers_for_that_one_only() -> None:
    assert bracket_c([20.0], 20.0, "set") == (20.0, 20.0)
    with pytest.raises(NotDeterminedError, match="at 20 °C only; 19 °C is outside"):
        bracket_c([20.0], 19.0, "set")


def test_a_sheet_with_no_point_answers_nothing() -> None:
    with pytest.raises(NotDeterminedError, match="the sheet gives no life"):
        bracket_c([], 20.0, "life")


@pytest.mark.parametrize(("target", "age_min"), [(5.5, 45.0), (15.0, 90.0), (22.5, 180.0)])
def test_at_a_datum_the_age_is_the_datums_own(target: float, age_min: float) -> None:
    assert age_to_strength(DATA, target, "strength").age_min == age_min


def test_half_way_in_strength_is_half_way_in_the_logarithm_of_age() -> None:
    # between 45 min and 90 min, half way from 5.5 to 15: the geometric mean, 45 * sqrt(2)
    assert age_to_strength(DATA, 10.25, "strength").age_min == pytest.approx(45.0 * 2.0**0.5, rel=1e-12)


@pytest.mark.parametrize("target", [0.1, 5.4])
def test_a_target_below_the_first_datum_takes_that_datums_age(target: float) -> None:
    found = age_to_strength(DATA, target, "strength")
    assert found.age_min == 45.0
    assert found.below is None


def test_nothing_past_the_last_datum_is_promised() -> None:
    with pytest.raises(NotDeterminedError, match=r"22\.6 N/mm² is more than the sheet's last datum at 20 °C"):
        age_to_strength(DATA, 22.6, "strength")


def test_where_strength_stands_still_the_earliest_age_that_has_it_is_taken() -> None:
    flat = strengths((20.0, 60.0, 10.0), (20.0, 120.0, 20.0), (20.0, 240.0, 20.0), (20.0, 480.0, 30.0))
    assert age_to_strength(flat, 20.0, "strength").age_min == 120.0
    assert age_to_strength(flat, 25.0, "strength").age_min == pytest.approx(240.0 * 2.0**0.5)


def test_a_strength_reached_at_one_temperature_only_is_not_read_between_two() -> None:
    weak_in_heat = (*DATA, *strengths((30.0, 45.0, 11.0), (30.0, 90.0, 20.0)))
    assert time_to_strength(weak_in_heat, 21.0, 20.0, "strength")[0].minutes_min < 180.0
    with pytest.raises(NotDeterminedError, match="last datum at 30 °C"):
        time_to_strength(weak_in_heat, 21.0, 25.0, "strength")
