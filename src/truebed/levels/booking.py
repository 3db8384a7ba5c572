"""From readings as booked to levels in each cover's own datum, with the errors they share."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.errors import NotDesignedError
from truebed.given.reading import Reading
from truebed.levels.lines import LineEnd, shares_along
from truebed.levels.road_rules import SurveyRules
from truebed.levels.runs import Run, runs_of

Array = NDArray[np.float64]

#: Kinds that are read down from a line.
FROM_LINES = ("straightedge gap", "string-line offset")
#: Points that serve the reduction and are no spots.
SERVING = ("bench mark", "change point", "line end")


@dataclass(frozen=True, slots=True)
class Spot:
    """A reduced spot level. where: 'road', 'frame', 'lid', 'chamber', 'kerb'."""

    point: str
    x_mm: float
    y_mm: float
    level_mm: float
    where: str
    row: int


@dataclass(frozen=True, slots=True)
class Errors:
    """What the levels of some spots share.

    covariance  of the levels [mm2]
    lines       of each spot the free line that it hangs on ('' where its level is known): such a level_mm is less the
                line's own unknown level
    """

    covariance: tuple[tuple[float, ...], ...]
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Survey:
    """One cover's readings reduced.

    spots    in booking order; those of free lines only where they are on the road (the fit finds their line)
    errors   of all spots, in their order
    hanging  spots of free lines that are not on the road, less their line's unknown level; hanging_lines: those lines.
             truebed.levels.hanging gives their levels once the road is fitted
    """

    spots: tuple[Spot, ...]
    errors: Errors
    runs: tuple[Run, ...]
    hanging: tuple[Spot, ...] = ()
    hanging_lines: tuple[str, ...] = ()

    def on(self, where: str) -> tuple[tuple[Spot, ...], Errors]:
        """The spots of one kind of place, and what their levels share."""
        chosen = [i for i, s in enumerate(self.spots) if s.where == where]
        covariance = tuple(tuple(self.errors.covariance[i][j] for j in chosen) for i in chosen)
        return tuple(self.spots[i] for i in chosen), Errors(covariance, tuple(self.errors.lines[i] for i in chosen))


def bench_mark_staff_mm(readings: tuple[Reading, ...], set_up: str) -> float:
    """The staff reading on the bench mark of one set-up.

    Valid       one bench-mark reading a set-up; the bench mark is the cover's zero
    Source      common practice, no source (height of collimation with the bench mark as zero)
    Raises      NotDesignedError where the set-up has none
    Proved by   tests/levels/test_booking.py
    """
    for reading in readings:
        if reading.kind == "staff" and reading.where == "bench mark" and reading.set_up == set_up:
            return reading.value_mm
    raise NotDesignedError(
        f"Staff readings of set-up '{set_up}' have no reading on the bench mark.",
        "Add the bench-mark reading of that set-up to readings.csv.",
    )


@dataclass(slots=True)
class _Forms:
    """Levels as sums of readings: of each reading its level and how much each reading counts in it.

    sights  lines of sight of the first stand of each run, corrected
    """

    level_mm: dict[int, float]
    shares: dict[int, Array]
    sights: list[Array]


def _staff_forms(readings: tuple[Reading, ...], runs: tuple[Run, ...], forms: _Forms) -> None:
    """Levels of all staff readings of all runs, corrected, with their shares."""
    place = {id(r): i for i, r in enumerate(readings)}
    unit = np.eye(len(readings))
    for run in runs:
        carried, count = np.zeros(len(readings)), len(run.readings)
        heights = []
        for stand in run.readings:
            heights.append(carried + unit[place[id(stand[0])]])
            carried = heights[-1] - unit[place[id(stand[-1])]]
        closing = carried if run.misclosure_mm is not None else np.zeros(len(readings))
        forms.sights.append(heights[0] - closing / count)
        for k, (stand, height) in enumerate(zip(run.readings, heights, strict=True)):
            for reading, level_mm in zip(stand[1:], run.booked.levels_mm[k], strict=True):
                index = place[id(reading)]
                forms.level_mm[index] = level_mm + run.corrections_mm[k]
                forms.shares[index] = height - unit[index] - closing * (k + 1) / count


def _ends_of(readings: tuple[Reading, ...]) -> dict[str, list[int]]:
    """Line ends by line: a level's set-up names its line; a staff reading's point does, up to its last space."""
    ends: dict[str, list[int]] = {}
    for i, reading in enumerate(readings):
        if reading.where == "line end":
            if reading.kind in FROM_LINES:
                raise NotDesignedError(
                    f"Line end '{reading.point}' (row {reading.row}) is booked as {reading.kind}, which is read off"
                    " the line.",
                    "Give its own level (kind level, set_up = the line), or a staff reading (point = the line, a space,"
                    " a word).",
                )
            line = reading.set_up if reading.kind == "level" else reading.point.rsplit(" ", 1)[0]
            ends.setdefault(line, []).append(i)
    return ends


def _line_forms(readings: tuple[Reading, ...], rules: SurveyRules, forms: _Forms) -> None:
    """Levels of readings under lines whose ends are levelled, with their shares; free lines are left out."""
    ends = _ends_of(readings)
    unit = np.eye(len(readings))
    for i, reading in enumerate(readings):
        if reading.kind not in FROM_LINES or reading.set_up not in ends:
            continue
        held = ends[reading.set_up]
        line = tuple(LineEnd(readings[j].x_mm, readings[j].y_mm, forms.level_mm[j], readings[j].row) for j in held)
        counts = shares_along(line, reading.x_mm, reading.y_mm, reading.set_up, rules.off_line_most_mm)
        forms.level_mm[i] = float(counts @ np.array([e.level_mm for e in line])) - reading.value_mm
        forms.shares[i] = np.einsum("k,kj->j", counts, np.array([forms.shares[j] for j in held])) - unit[i]


def _sds(readings: tuple[Reading, ...], rules: SurveyRules) -> Array:
    """Error of each reading by its kind."""
    of_kind = {"straightedge gap": rules.gap_sd_mm, "string-line offset": rules.string_sd_mm}
    return np.array([of_kind.get(r.kind, rules.reading_sd_mm) for r in readings])


def reduce_survey(readings: tuple[Reading, ...], rules: SurveyRules) -> Survey:
    """One cover's readings reduced to levels above its own zero, with what their errors share.

    Stands joined by change points share the error of what they hang on; readings under one line share that of its ends.
    Where every level comes off the staff, levels count from the first stand's corrected line of sight, so that what
    its bench-mark reading and its share of the misclosure err (the same in road, frame and chamber) is left out.

    Valid       readings of one cover in the order of the book
    Source      common practice, no source (reduction); algebra (errors: variances added up over the readings used)
    Raises      NotDesignedError where a stand hangs on nothing, a run does not close, a line has one end
    Proved by   tests/levels/test_booking.py, tests/levels/test_lines.py
    """
    runs = runs_of(readings, rules.misclosure_per_root_mm)
    forms = _Forms({}, {}, [])
    unit = np.eye(len(readings))
    for i, reading in enumerate(readings):
        if reading.kind == "level":
            forms.level_mm[i], forms.shares[i] = reading.value_mm, unit[i]
    by_staff_only = bool(runs) and all(r.kind != "level" or r.where == "bench mark" for r in readings)
    _staff_forms(readings, runs, forms)
    if by_staff_only:
        forms.shares = {i: share - forms.sights[0] for i, share in forms.shares.items()}
    _line_forms(readings, rules, forms)
    spots, hanging, hanging_lines, lines, shares = [], [], [], [], []
    for i, reading in enumerate(readings):
        if reading.where in SERVING:
            continue
        free = i not in forms.level_mm
        level_mm = -reading.value_mm if free else forms.level_mm[i]
        spot = Spot(reading.point, reading.x_mm, reading.y_mm, level_mm, reading.where, reading.row)
        if free and reading.where != "road":
            hanging.append(spot)
            hanging_lines.append(reading.set_up)
            continue
        spots.append(spot)
        lines.append(reading.set_up if free else "")
        shares.append(-unit[i] if free else forms.shares[i])
    table = np.array(shares).reshape(len(spots), len(readings)) * _sds(readings, rules)
    covariance = tuple(map(tuple, (table @ table.T).tolist()))
    return Survey(tuple(spots), Errors(covariance, tuple(lines)), runs, tuple(hanging), tuple(hanging_lines))


def reduce_readings(readings: tuple[Reading, ...], rules: SurveyRules | None = None) -> tuple[Spot, ...]:
    """Levels of one cover's points above its own zero [mm]; bench marks, change points and line ends are left out.

    rules       None: the packaged UK values
    Valid       readings of one cover, without free lines (reduce_survey takes those)
    Source      see reduce_survey
    Raises      NotDesignedError as reduce_survey, and where a level hangs on a free line
    Proved by   tests/levels/test_booking.py
    """
    survey = reduce_survey(readings, SurveyRules() if rules is None else rules)
    free = next((line for line in survey.errors.lines if line), None)
    if free is not None or survey.hanging:
        name = free if free is not None else survey.hanging[0].point
        raise NotDesignedError(f"'{name}' hangs on a line without levels.", "Give the level of both ends of the line.")
    return survey.spots
