"""Points of the frame under a line without levels are levelled by the road under the same line."""

import numpy as np
import pytest

from truebed.errors import NotDesignedError
from truebed.given.reading import Reading
from truebed.levels.booking import reduce_survey
from truebed.levels.hanging import hanging_levels
from truebed.levels.road_fit import fit_road
from truebed.levels.road_rules import SurveyRules


def road(x, y):
    return 5.0 + 0.02 * x - 0.01 * y


def rows(frame_low, road_gaps=(-700.0, 700.0)):
    """Eight levels on a ring, and a tilted straight-edge across the frame with gaps to road and frame."""
    made = []
    for i in range(8):
        angle = 2 * np.pi * (i + 0.5) / 8
        x, y = 750 * np.cos(angle), 750 * np.sin(angle)
        made.append(Reading("C", f"P{i}", x, y, "level", road(x, y), "road", "", 2 + i))
    for n, s in enumerate(road_gaps):
        made.append(Reading("C", f"G{n}", s, 0.0, "straightedge gap", 30 + 0.01 * s - road(s, 0), "road", "S", 20 + n))
    for n, s in enumerate((-330.0, 330.0)):
        gap = 30 + 0.01 * s - (road(s, 0) - frame_low)
        made.append(Reading("C", f"F{n}", s, 0.0, "straightedge gap", gap, "frame", "S", 30 + n))
    return tuple(made)


def test_a_frame_8_mm_low_under_a_straight_edge_without_levels_comes_out_8_mm_low():
    survey = reduce_survey(rows(8.0), SurveyRules())
    spots, errors = survey.on("road")
    found = hanging_levels(survey, fit_road(spots, 2.0, 0.05, errors=errors))
    assert [(s.point, s.where) for s in found] == [("F0", "frame"), ("F1", "frame")]
    for spot in found:
        assert spot.level_mm == pytest.approx(road(spot.x_mm, 0.0) - 8.0, abs=1e-9)


def test_a_line_with_one_road_reading_levels_nothing_and_says_so():
    survey = reduce_survey(rows(8.0, road_gaps=(700.0,)), SurveyRules())
    levelled = reduce_survey(rows(8.0)[:8], SurveyRules()).on("road")
    fitted = fit_road(levelled[0], 2.0, 0.05, errors=levelled[1])
    with pytest.raises(NotDesignedError, match=r"'F0' \(row 30\) was read under line 'S', which has 0 road readings"):
        hanging_levels(survey, fitted)
