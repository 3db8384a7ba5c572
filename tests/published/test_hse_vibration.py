"""HSE hand-arm vibration ready-reckoner and limit values, Control of Vibration at Work Regulations 2005.

Read on hse.gov.uk: 5 m/s2 for 3 h is 150 points; 100 points = 2.5 m/s2 A(8), 400 = 5 m/s2. [hse-vibration]
"""

import pytest

from truebed.care.vibration import daily_exposure_m_per_s2, vibration_points


def test_five_metres_per_second_squared_for_three_hours_is_150_points():
    assert vibration_points(5.0, 180.0) == pytest.approx(150.0)


@pytest.mark.parametrize(("vibration", "points"), [(2.5, 100.0), (5.0, 400.0)])
def test_eight_hours_at_the_action_and_limit_values_give_their_points(vibration, points):
    assert vibration_points(vibration, 480.0) == pytest.approx(points)
    assert daily_exposure_m_per_s2(points) == pytest.approx(vibration)


@pytest.mark.parametrize(
    ("vibration", "to_action_min", "to_limit_min"),
    [(3.0, 333, 1333), (5.0, 120, 480), (7.0, 61.2, 244.9), (12.0, 20.8, 83.3), (20.0, 7.5, 30.0)],
)
def test_minutes_to_action_and_limit_follow_the_energy_law(vibration, to_action_min, to_limit_min):
    assert vibration_points(vibration, to_action_min) == pytest.approx(100.0, rel=0.005)
    assert vibration_points(vibration, to_limit_min) == pytest.approx(400.0, rel=0.005)
