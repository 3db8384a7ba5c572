"""Staff readings to look for, and how far the kerb stands above the set rim."""

import pytest

from truebed.chamber.plane import Plane
from truebed.chamber.shapes import rectangle_ring
from truebed.given.reading import Reading
from truebed.levels.beside import kerb_upstands, place_words, staff_targets
from truebed.levels.booking import Spot, reduce_readings
from truebed.levels.frame_setting import SettingQuestion, set_frame
from truebed.levels.rims import set_points
from truebed.levels.seat_question import SeatSample
from truebed.levels.surface import RoadSurface


def setting_and_road():
    covariance = tuple(tuple(1e-12 if i == j else 0.0 for j in range(3)) for i in range(3))
    road = RoadSurface("plane", (10.0, 0.0, 0.025), covariance, 0.0, 2.0, (), (), 1.0, 1.0)
    seat = tuple(SeatSample(f"seat {i}", x, y, -120.0) for i, (x, y) in enumerate(rectangle_ring(820.0, 820.0)))
    asked = SettingQuestion(
        road, rectangle_ring(600.0, 600.0), set_points("rectangle", 600.0, 600.0, 0.0), ((500.0, 0.0),), seat,
        Plane(-120.0, 0.0, 0.0), "estimate", 100.0, 10.0, 60.0, -6.0, 0.0, "[sroh-4] S2.3.1 (seen)", 1.0,
    )  # fmt: skip
    return set_frame(asked), road


def test_the_staff_target_read_on_the_point_gives_back_its_level():
    setting, _ = setting_and_road()
    for target, corner in zip(staff_targets(setting, 1520.0), setting.corners, strict=True):
        readings = (
            Reading("C1", "BM", 0.0, 0.0, "staff", 1520.0, "bench mark", "S1"),
            Reading("C1", target.name, corner.x_mm, corner.y_mm, "staff", target.staff_mm, "frame", "S1"),
        )
        assert reduce_readings(readings)[0].level_mm == pytest.approx(corner.rim_mm)


def test_a_lower_corner_has_a_higher_staff_reading():
    setting, _ = setting_and_road()
    targets = {t.name: t for t in staff_targets(setting, 1500.0, 3.0)}
    # gully: 3 below the road; left is uphill
    assert targets["front-left"].staff_mm == pytest.approx(1503.0 - (10.0 + 7.5 - 3.0), abs=1e-4)
    assert targets["front-right"].staff_mm > targets["front-left"].staff_mm


def test_the_kerb_stands_above_the_nearest_rim_point_and_above_the_road():
    setting, road = setting_and_road()
    spots = (
        Spot("K1", 0.0, -350.0, 100.0, "kerb", 9),
        Spot("P1", 0.0, -600.0, -5.0, "road", 10),
    )
    found = kerb_upstands(spots, setting, road)
    assert [k.point for k in found] == ["K1"]
    assert found[0].away_mm == pytest.approx(50.0)
    assert found[0].over_rim_mm == pytest.approx(100.0 - (10.0 - 7.5 - 3.0), abs=1e-4)
    assert found[0].over_road_mm == pytest.approx(100.0 - (10.0 - 0.025 * 350.0))


def test_a_place_is_told_as_the_crew_sees_it():
    assert place_words(330.2, -120.0) == "330 mm ahead and 120 mm to the right of the frame's centre"
    assert place_words(-5.0, 0.3) == "5 mm back of the frame's centre"
    assert place_words(0.0, 80.0) == "80 mm to the left of the frame's centre"
    assert place_words(0.2, -0.2) == "at the frame's centre"
