"""Straight-edges and string lines: fixed by their ends, or found together with the road."""

import numpy as np
import pytest

from truebed.errors import NotDesignedError
from truebed.given.reading import Reading
from truebed.levels.booking import reduce_readings, reduce_survey
from truebed.levels.lines import LineEnd, free_columns, shares_along
from truebed.levels.road_fit import fit_road
from truebed.levels.road_rules import SurveyRules

RULES = SurveyRules()
ENDS = (LineEnd(-900.0, 0.0, 10.0, 2), LineEnd(900.0, 0.0, 28.0, 3))


def test_a_points_line_level_is_between_the_ends_by_distance():
    assert shares_along(ENDS, 0.0, 0.0, "S", 50.0) == pytest.approx([0.5, 0.5])
    assert shares_along(ENDS, 450.0, 20.0, "S", 50.0) == pytest.approx([0.25, 0.75])
    assert shares_along(ENDS, -1200.0, 0.0, "S", 50.0) == pytest.approx([7 / 6, -1 / 6])


def test_three_ends_make_the_straight_line_of_least_squares():
    ends = (LineEnd(0.0, 0.0, 0.0, 2), LineEnd(0.0, 500.0, 3.0, 3), LineEnd(0.0, 1000.0, 0.0, 4))
    assert shares_along(ends, 0.0, 500.0, "S", 50.0) == pytest.approx([1 / 3] * 3)


def test_a_line_with_one_end_and_a_point_beside_its_line_are_refused():
    with pytest.raises(NotDesignedError, match="Line 'S' has the level of one end only"):
        shares_along(ENDS[:1], 0.0, 0.0, "S", 50.0)
    with pytest.raises(NotDesignedError, match=r"lies 80 mm beside line 'S' in plan \(at most 50\)"):
        shares_along(ENDS, 0.0, -80.0, "S", 50.0)


def end(line, x, y, level, row=2):
    return Reading("C", f"{line} {x:g} {y:g}", x, y, "level", level, "line end", line, row)


def gap(line, x, y, value, where="road", kind="straightedge gap"):
    return Reading("C", f"{line}-{x:g}-{y:g}", x, y, kind, value, where, line, 9)


def test_a_gap_is_taken_down_from_the_line_between_its_ends():
    rows = (
        end("S", -900.0, 0.0, 10.0),
        end("S", 900.0, 0.0, 28.0),
        gap("S", 450.0, 0.0, 4.5),
        gap("S", 0.0, 0.0, 1.0, "frame"),
    )
    assert [(s.level_mm, s.where) for s in reduce_readings(rows)] == [
        (pytest.approx(19.0), "road"),
        (pytest.approx(18.0), "frame"),
    ]


def test_readings_under_one_line_share_the_error_of_its_ends():
    rows = (end("S", -900.0, 0.0, 10.0), end("S", 900.0, 0.0, 28.0), gap("S", 450.0, 0.0, 4.5),
            gap("S", 0.0, 0.0, 1.0), gap("T", 1.0, 1.0, 0.0, kind="string-line offset"))  # fmt: skip
    survey = reduce_survey(rows, SurveyRules(reading_sd_mm=3.0, gap_sd_mm=1.0, string_sd_mm=2.0))
    found = np.array(survey.errors.covariance)
    assert found[0, 0] == pytest.approx(9 * (0.25**2 + 0.75**2) + 1.0)
    assert found[0, 1] == found[1, 0] == pytest.approx(9 * (0.25 * 0.5 + 0.75 * 0.5))
    assert found[2, 2] == pytest.approx(4.0)
    assert found[2, 0] == 0.0
    assert survey.errors.lines == ("", "", "T")


def test_line_ends_read_by_staff_hang_on_their_stand():
    rows = (
        Reading("C", "BM", 0, 0, "staff", 1500.0, "bench mark", "A", 2),
        Reading("C", "S left", -900.0, 0.0, "staff", 1490.0, "line end", "A", 3),
        Reading("C", "S right", 900.0, 0.0, "staff", 1470.0, "line end", "A", 4),
        gap("S", 0.0, 0.0, 5.0),
    )
    (spot,) = reduce_readings(rows)
    assert spot.level_mm == pytest.approx(15.0)
    (variance,) = reduce_survey(rows, RULES).errors.covariance[0]
    assert variance == pytest.approx(4 * 0.5 + 1.0)


def test_a_line_end_booked_as_a_gap_is_refused_with_its_row():
    with pytest.raises(NotDesignedError, match=r"\(row 9\) is booked as straightedge gap"):
        reduce_survey((gap("S", 0.0, 0.0, 1.0, "line end"),), RULES)


def test_a_reading_of_a_free_line_that_is_not_on_the_road_hangs_and_is_said_to():
    rows = (gap("S", 0.0, 0.0, 1.0, "frame"), gap("S", 600.0, 0.0, 1.0))
    survey = reduce_survey(rows, RULES)
    assert [s.where for s in survey.hanging] == ["frame"]
    with pytest.raises(NotDesignedError, match="line without levels"):
        reduce_readings(rows)


def road(x, y):
    return 12.0 + 0.02 * x - 0.015 * y + 2e-5 * x * y


def surveyed(levels, seed=0, sd=0.0):
    """Readings under four free straight-edges round the frame, and `levels` spot levels between them."""
    rng = np.random.default_rng(seed)
    rows = []
    for k, (cx, cy, dx, dy) in enumerate([(0, 600, 1, 0), (0, -600, 1, 0), (650, 0, 0, 1), (-650, 0, 0, 1)]):
        for s in (-700.0, -250.0, 250.0, 700.0):
            x, y = cx + dx * s, cy + dy * s
            line = 40.0 + 0.03 * s + 5 * k
            rows.append(gap(f"S{k}", x, y, line - road(x, y) + rng.normal(0, sd)))
    for k in range(levels):
        angle = 0.4 + 2 * np.pi * k / levels
        x, y = 800 * np.cos(angle), 800 * np.sin(angle)
        rows.append(Reading("C", f"L{k}", x, y, "level", road(x, y) + rng.normal(0, 2 * sd), "road", "", 50 + k))
    return tuple(rows)


def fitted(rows, **more):
    spots, errors = reduce_survey(rows, RULES).on("road")
    return fit_road(spots, RULES.reading_sd_mm, 0.05, errors=errors, **more)


def test_free_lines_and_a_few_levels_give_the_road_exactly_where_nothing_errs():
    found = fitted(surveyed(4), models=("plane", "plane and twist"))
    assert found.model == "plane and twist"
    assert found.coefficients == pytest.approx((12.0, 0.02, -0.015, 2e-5), abs=1e-9)
    for point in found.points:
        assert point.level_mm == pytest.approx(road(point.x_mm, point.y_mm), abs=1e-6)


def test_the_joint_fit_is_least_squares_with_the_lines_as_unknowns():
    rows = surveyed(5, seed=3, sd=1.0)
    found = fitted(rows, models=("plane and twist",))
    spots, errors = reduce_survey(rows, RULES).on("road")
    x, y, z = (np.array([getattr(s, k) for s in spots]) for k in ("x_mm", "y_mm", "level_mm"))
    columns = [np.ones_like(x), x, y, x * y]
    for name in ("S0", "S1", "S2", "S3"):
        on = np.array([line == name for line in errors.lines], float)
        columns += [on, on * (x if name in {"S0", "S1"} else y)]
    sd = np.sqrt(np.diag(np.array(errors.covariance)))
    scale = np.array([np.linalg.norm(c) for c in columns])
    expected = np.linalg.lstsq(np.column_stack(columns) / scale / sd[:, None], z / sd, rcond=None)[0] / scale
    assert found.coefficients == pytest.approx(expected[:4], rel=1e-8)


def test_a_gap_read_wrong_by_15_mm_is_named_though_its_line_is_free():
    rows = list(surveyed(5, seed=4, sd=1.0))
    wrong = rows[5]
    rows[5] = Reading(*(getattr(wrong, k) + (15.0 if k == "value_mm" else 0) if k == "value_mm" else getattr(wrong, k)
                        for k in wrong.__slots__))  # fmt: skip
    found = fitted(tuple(rows), models=("plane and twist",))
    assert [g.point for g in found.gross] == [wrong.point]
    assert found.gross[0].off_mm == pytest.approx(-15.0, abs=5.0)


@pytest.mark.parametrize("levels", [0, 1, 2])
def test_lines_without_enough_levels_fix_the_road_only_up_to_a_plane_and_are_refused(levels):
    rows = tuple(r for r in surveyed(levels) if r.kind == "level" or r.set_up in {"S0", "S1", "S2", "S3"})
    with pytest.raises(NotDesignedError, match="only up to a plane") as refused:
        fitted(rows)
    assert "at least three points" in refused.value.mend


def test_intervals_of_a_road_read_under_levelled_lines_hold_as_claimed():
    """Ends err by 2 mm and are shared: counted as if independent, the mean level would be claimed far too well."""
    rng = np.random.default_rng(8)
    inside = naive = 0
    for _ in range(300):
        rows = []
        for k, y in enumerate((-600.0, 600.0)):
            rows += [end(f"S{k}", x, y, 0.01 * x + rng.normal(0, 2), 2) for x in (-900.0, 900.0)]
            rows += [gap(f"S{k}", x, y, rng.normal(0, 1)) for x in (-800.0, -300.0, 300.0, 800.0)]
        spots, errors = reduce_survey(tuple(rows), RULES).on("road")
        found = fit_road(spots, 2.0, 0.05, errors=errors, models=("plane",))
        inside += abs(found.coefficients[0]) <= 1.645 * found.covariance[0][0] ** 0.5
        naive += abs(found.coefficients[0]) <= 1.645 * (np.mean(np.diag(np.array(errors.covariance))) / 8) ** 0.5
    assert inside / 300 == pytest.approx(0.90, abs=3 * (0.09 / 300) ** 0.5)
    assert naive / 300 < 0.85


def test_a_free_lines_columns_are_its_height_and_tilt():
    x, y = np.array([0.0, 100.0, 200.0, 7.0]), np.array([0.0, 0.0, 0.0, 9.0])
    columns = free_columns(("S", "S", "S", ""), x, y)
    assert columns[:, 0].tolist() == [-1.0, -1.0, -1.0, 0.0]
    assert np.abs(columns[:, 1]).tolist() == pytest.approx([100.0, 0.0, 100.0, 0.0])
    assert free_columns(("", ""), x[:2], y[:2]).shape == (2, 0)
