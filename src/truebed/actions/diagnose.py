"""Diagnose the covers of a works folder before anybody digs."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path

from truebed.actions.load import Loaded, load_works
from truebed.diagnosis.diagnose import Diagnosis, diagnose
from truebed.diagnosis.limits import limits_of
from truebed.diagnosis.makeup import MakeupQuestion, makeup
from truebed.diagnosis.margin import Margin, sound_margin
from truebed.diagnosis.survey import BedHeight, bed_height
from truebed.diagnosis.telling import diagnosis_lines
from truebed.errors import NotDesignedError, TruebedError
from truebed.given.cover import Cover
from truebed.levels.booking import Spot, reduce_survey
from truebed.levels.road_rules import survey_rules
from truebed.levels.surface import RoadSurface
from truebed.plan.ground import known_spots, road_under

#: How many make-ups are told.
MOST_CHOICES = 3


class NoSuchCoverError(TruebedError):
    """The works has no cover of that name."""


@dataclass(frozen=True, slots=True)
class Diagnosed:
    """One cover with its diagnosis, its margin (None where nothing was sounded) and what could not be used."""

    cover: Cover
    diagnosis: Diagnosis
    margin: Margin | None
    notes: tuple[str, ...]

    def lines(self) -> tuple[str, ...]:
        """The diagnosis in words."""
        return (*diagnosis_lines(self.diagnosis, self.margin), *(f"   {note}" for note in self.notes))

    def as_data(self) -> dict[str, object]:
        """The diagnosis as plain data, for other programs."""
        one = self.diagnosis
        return {
            "cover": one.cover,
            "repair": one.decision.repair.key,
            "digs": one.digs,
            "reason": one.decision.row.reason,
            "source": one.decision.row.source,
            "avoids": one.decision.repair.avoids,
            "probability": one.decision.probability,
            "settled": one.settled,
            "held_back": one.held_back,
            "dig_anyway": one.dig_anyway,
            "others": [{"repair": o.repair.key, "probability": o.probability} for o in one.decision.others],
            "then": [*(row.repair for row in one.decision.also), *one.decision.row.then],
            "interfaces": [asdict(interface) for interface in one.interfaces],
            "would_change_the_answer": [asdict(flip) for flip in one.flips],
            "test_next": list(one.test_next),
            "disagreements": list(one.disagreements),
            "sound_margin": None if self.margin is None else asdict(self.margin),
            "notes": list(self.notes),
        }


def diagnose_works(works: Path, name: str | None = None) -> tuple[Diagnosed, ...]:
    """Every cover of a works folder, or the one of that name. Raises FaultsError and NoSuchCoverError."""
    loaded = load_works(works)
    covers = [c for c in loaded.works.covers if name is None or c.cover == name]
    if not covers:
        known = ", ".join(c.cover for c in loaded.works.covers)
        raise NoSuchCoverError(f"The works has no cover '{name}'. It has: {known}.")
    return tuple(diagnose_cover(loaded, cover) for cover in covers)


def diagnose_cover(loaded: Loaded, cover: Cover) -> Diagnosed:
    """One cover of a loaded works."""
    given, rules = loaded.works, loaded.shelf.rules
    spots, road, notes = _ground(loaded, cover)
    condition = next((c for c in given.condition if c.cover == cover.cover), None)
    soundings = tuple(s for s in given.soundings if s.cover == cover.cover)
    bed = _bed(loaded, cover)
    diagnosis = diagnose(cover, condition, soundings, spots, road, rules, bed)
    limits = limits_of(rules, cover.kind, cover.place, cover.load_class)
    cut_deg = cover.turn_deg if cover.cut_turn == "frame" else 0.0
    steps = (limits.tap_step_mm, limits.margin_gap_most_mm)
    margin = sound_margin(cover, soundings, *steps, cut_deg) if soundings else None
    if condition is None:
        notes = (*notes, "condition.csv has no row for it: nothing of its state was given")
    return Diagnosed(cover, diagnosis, margin, (*notes, *_made_up(loaded, cover, diagnosis, bed)))


def _ground(loaded: Loaded, cover: Cover) -> tuple[tuple[Spot, ...], RoadSurface | None, tuple[str, ...]]:
    """Spots and fitted road as the plan takes them; where they cannot be had, the reason as a note."""
    rules = loaded.shelf.rules
    readings = tuple(r for r in loaded.works.readings if r.cover == cover.cover)
    try:
        survey = reduce_survey(readings, survey_rules(rules, cover.kind, cover.place, cover.load_class))
    except NotDesignedError as refused:
        return (), None, (f"readings not used: {refused}",)
    try:
        road = road_under(cover, survey, rules)
        return known_spots(survey, road), road, ()
    except NotDesignedError as refused:
        return survey.spots, None, (f"frame against road by its steps alone: {refused}",)


def _bed(loaded: Loaded, cover: Cover) -> BedHeight | None:
    """What the frame set true leaves for the bed of its method, None where the method has no bed."""
    method = loaded.shelf.methods[cover.method]
    for role in method.roles:
        if role.role == "bed":
            return bed_height(cover, loaded.shelf.sheets[role.sheet], loaded.shelf.rules)
    return None


def _made_up(loaded: Loaded, cover: Cover, diagnosis: Diagnosis, bed: BedHeight | None) -> tuple[str, ...]:
    """What of the yard would make up the height, by the estimate of the chamber top, where the repair asks for it."""
    decision = diagnosis.decision
    if bed is None or "make up height" not in {decision.repair.key, *(row.repair for row in decision.also)}:
        return ()
    units = loaded.works.units
    if not units:
        return ("make up height: units.csv lists no course, ring or frame to choose from",)
    answer = makeup(MakeupQuestion((bed.left_mm,), cover.frame_depth_mm, bed.least_mm, bed.most_mm, units))
    basis = "by the estimate of the chamber top, whatever units.csv says a unit fits"
    if answer.choices:
        return tuple(f"make up height, {basis}: {one.sentence()}" for one in answer.choices[:MOST_CHOICES])
    nearest = "" if answer.nearest is None else f"; nearest is {answer.nearest.sentence()}"
    return (f"make up height, {basis}: nothing in the yard does it, {answer.miss_mm:.1f} mm short{nearest}",)


def as_json(diagnosed: tuple[Diagnosed, ...]) -> str:
    """All of them as one JSON text."""
    return json.dumps({"covers": [one.as_data() for one in diagnosed]}, ensure_ascii=False, indent=1)
