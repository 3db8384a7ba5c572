"""What would change the answer: the decision run again with one piece of evidence changed."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from truebed.diagnosis.decide import Decision, decide
from truebed.diagnosis.facts import SOUND_WORDS, UNLOOKED_WORDS, facts_of
from truebed.diagnosis.limits import Limits
from truebed.diagnosis.survey import Survey
from truebed.diagnosis.table import SurveyTest, Table
from truebed.findings import short_number

#: How far a reading is moved, in its own standard deviations; then the place where the answer turns is closed in on.
MOVES_SD = (0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 16.0, 24.0, 32.0)
HALVINGS = 6
#: How far apart two grades, and two words, are held to be, in standard deviations (house; for the order only).
GRADE_SD = 3.0
WORD_SD = 6.0


@dataclass(frozen=True, slots=True)
class Flip:
    """One change of evidence that turns the answer.

    distance_sd   how far from what was found, in standard deviations of that reading; 0 where nobody looked
    unlooked      nobody looked: no reading would have to be wrong
    value         what was put in, into `fields` (columns of condition.csv, or 'readings')
    """

    test: str
    fields: tuple[str, ...]
    was: str
    if_found: str
    value: float | int | str
    repair: str
    distance_sd: float
    unlooked: bool

    def sentence(self) -> str:
        """The change in words."""
        found = f"{self.test}: not looked at; if found {self.if_found}" if self.unlooked else (
            f"{self.test}: {self.was} instead found {self.if_found}"
        )  # fmt: skip
        return f"{found} -> {self.repair}"


Again = Callable[[Survey], Decision]


def flips(survey: Survey, limits: Limits, table: Table, decision: Decision) -> tuple[Flip, ...]:
    """Every single piece of evidence that would turn the answer, nearest first.

    What nobody looked at comes first; then readings, by how many standard deviations they would have to be wrong.

    Valid       one piece changed at a time, every other as found
    Source      algebra (the decision run again); house (order of grades and words)
    Proved by   tests/diagnosis/test_flips.py
    """

    def again(other: Survey) -> Decision:
        return decide(facts_of(other, limits), table)

    found: list[Flip] = []
    for test in table.tests:
        found += _of_test(test, survey, limits, decision, again)
    if not any(step is not None for step in _values(survey, _test(table, "frame steps"))):
        found += _departure_flips(survey, decision, again)
    return tuple(sorted(found, key=lambda flip: (not flip.unlooked, round(flip.distance_sd, 6))))


def _test(table: Table, name: str) -> SurveyTest:
    return next(test for test in table.tests if test.name == name)


def _values(survey: Survey, test: SurveyTest) -> list[float | int | str | None]:
    return [getattr(survey.condition, field) for field in test.fields]


def _unlooked(value: float | int | str | None) -> bool:
    return value is None or (isinstance(value, str) and value.strip().lower() in UNLOOKED_WORDS)


def _with(survey: Survey, **values: object) -> Survey:
    return replace(survey, condition=replace(survey.condition, **values))  # type: ignore[arg-type]


def _of_test(
    test: SurveyTest, survey: Survey, limits: Limits, decision: Decision, again: Again
) -> Iterator[Flip]:  # fmt: skip
    """The flips of one test: filled in where nobody looked, moved where somebody did."""
    values = _values(survey, test)
    if any(_unlooked(value) for value in values) and not _known_otherwise(test, survey):
        yield from _filled(test, survey, decision, again)
    for field, value in zip(test.fields, values, strict=True):
        if _unlooked(value):
            continue
        if isinstance(value, str):
            yield from _other_word(test, field, value, survey, decision, again)
        elif isinstance(value, int) and field.endswith("_class"):
            yield from _other_grade(test, field, value, survey, decision, again)
        elif value is not None:
            error = _error(field, limits)
            if error is None:
                yield from _other_try(test, field, float(value), survey, decision, again)
            else:
                yield from _moved(field, float(value), error, survey, decision, again)


def _known_otherwise(test: SurveyTest, survey: Survey) -> bool:
    """Whether another column or file already tells what the test would."""
    condition = survey.condition
    return (
        (test.name == "lid steps" and condition.lid_step_mm is not None)
        or (test.name == "frame steps" and len(survey.departures) >= 3)
        or (test.name == "hollow taps" and survey.taps_count > 0)
        or (test.name == "depth of soft courses" and condition.courses_class is not None)
    )


def _filled(test: SurveyTest, survey: Survey, decision: Decision, again: Again) -> Iterator[Flip]:
    """What the test could find where nobody looked; each other answer once."""
    told = {decision.repair.key}
    for value in test.tries:
        missing = [f for f, v in zip(test.fields, _values(survey, test), strict=True) if _unlooked(v)]
        repair = again(_with(survey, **dict.fromkeys(missing, value))).repair.key
        if repair not in told:
            told.add(repair)
            yield Flip(test.name, tuple(missing), "", _shown(value, test.fields[0]), value, repair, 0.0, True)


def _shown(value: float | int | str, field: str) -> str:
    if isinstance(value, str):
        return value
    if field.endswith("_class"):
        return f"class {value}"
    return f"{short_number(float(value))} {'%' if field.endswith('_pct') else 'mm'}"


def _other_word(
    test: SurveyTest, field: str, value: str, survey: Survey, decision: Decision, again: Again
) -> Iterator[Flip]:
    told = {decision.repair.key}
    for word in test.words:
        same = (word in SOUND_WORDS) == (value.strip().lower() in SOUND_WORDS)
        repair = again(_with(survey, **{field: word})).repair.key
        if repair not in told:
            told.add(repair)
            yield Flip(test.name, (field,), value, word, word, repair, WORD_SD / 2.0 if same else WORD_SD, False)


def _other_grade(
    test: SurveyTest, field: str, value: int, survey: Survey, decision: Decision, again: Again
) -> Iterator[Flip]:
    told = {decision.repair.key}
    for grade in sorted(range(5), key=lambda g: (abs(g - value), g)):
        repair = again(_with(survey, **{field: grade})).repair.key
        if repair not in told:
            told.add(repair)
            far = GRADE_SD * abs(grade - value)
            yield Flip(test.name, (field,), f"class {value}", f"class {grade}", grade, repair, far, False)


def _error(field: str, limits: Limits) -> float | None:
    """The standard deviation of a numeric column; None for one that says either nothing or a depth."""
    if field == "rock_mm":
        return limits.rock_sd_mm
    if field == "hollow_taps_pct":
        return limits.hollow_sd_pct
    if field == "courses_soft_to_mm":
        return None
    return limits.crack_sd_mm if field == "crack_mm" else limits.step_sd_mm


def _other_try(
    test: SurveyTest, field: str, value_mm: float, survey: Survey, decision: Decision, again: Again
) -> Iterator[Flip]:
    """Another of the values that the test might have found, where a column has no error of its own."""
    told = {decision.repair.key}
    for other in test.tries:
        repair = again(_with(survey, **{field: other})).repair.key
        if repair not in told:
            told.add(repair)
            was, found = _shown(value_mm, field), _shown(other, field)
            yield Flip(test.name, (field,), was, found, other, repair, WORD_SD, False)


def _moved(
    field: str, value_mm: float, error_mm: float, survey: Survey, decision: Decision, again: Again
) -> Iterator[Flip]:
    """The nearest other value, up and down, at which the answer turns."""
    signed = field.startswith(("lid_step", "frame_step"))

    def at(new_mm: float) -> str:
        return again(_with(survey, **{field: new_mm})).repair.key

    for sign in (-1.0, 1.0):
        turn = _turn(at, decision.repair.key, value_mm, sign * error_mm, signed)
        if turn is not None:
            new_mm, repair = turn
            distance = abs(new_mm - value_mm) / error_mm
            was, found = _shown(value_mm, field), _shown(round(new_mm, 1), field)
            where = field.removesuffix("_mm").removesuffix("_pct").replace("_", " ")
            yield Flip(where, (field,), was, found, new_mm, repair, distance, False)


def _turn(
    at: Callable[[float], str], now: str, value_mm: float, unit_mm: float, signed: bool
) -> tuple[float, str] | None:
    """The first value on one side with another answer, closed in on by halving; None where there is none."""
    near = value_mm
    for move in MOVES_SD:
        far = value_mm + move * unit_mm
        if not signed and far < 0.0:
            if near <= 0.0:
                return None
            far = 0.0
        repair = at(far)
        if repair != now:
            for _ in range(HALVINGS):
                middle = (near + far) / 2.0
                other = at(middle)
                near, far, repair = (near, middle, other) if other != now else (middle, far, repair)
            return far, repair
        near = far
    return None


def _departure_flips(survey: Survey, decision: Decision, again: Again) -> Iterator[Flip]:
    """The same for readings on the frame against the fitted road, one at a time."""
    for index, one in enumerate(survey.departures):

        def at(new_mm: float, index: int = index) -> str:
            moved = [replace(d, off_mm=new_mm) if i == index else d for i, d in enumerate(survey.departures)]
            return again(replace(survey, departures=tuple(moved))).repair.key

        for sign in (-1.0, 1.0):
            turn = _turn(at, decision.repair.key, one.off_mm, sign * one.error_mm, True)
            if turn is not None:
                distance = abs(turn[0] - one.off_mm) / one.error_mm
                was, found = _shown(one.off_mm, "_mm"), _shown(round(turn[0], 1), "_mm")
                name = f"frame against road, {one.point}"
                yield Flip(name, ("readings",), was, found, turn[0], turn[1], distance, False)
