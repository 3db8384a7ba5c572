"""What would keep a works without faults from being planned: told by `check` before anybody plans."""

from __future__ import annotations

from truebed.actions.diagnose import diagnose_cover
from truebed.actions.load import Loaded
from truebed.curing.night_temps import night_temps
from truebed.diagnosis.found import diagnosis_findings
from truebed.errors import NotDesignedError, NotDeterminedError
from truebed.given.cover import Cover
from truebed.given.night import Closure
from truebed.levels.booking import reduce_survey
from truebed.levels.road_rules import survey_rules
from truebed.plan.closure import crew_of
from truebed.plan.ground import road_under
from truebed.sheets.method import Step


def outlook(loaded: Loaded) -> tuple[str, ...]:
    """One sentence for each thing that would leave covers undesigned or undone; () where nothing is seen."""
    return tuple(sentence for closure in loaded.works.closures for sentence in closure_outlook(loaded, closure))


def steps_of(loaded: Loaded, closure: Closure) -> tuple[Step, ...]:
    """The steps of all methods that the closure's covers use."""
    methods = {c.method for c in loaded.works.covers if c.street in closure.streets}
    return tuple(step for key in sorted(methods) for step in loaded.shelf.methods[key].steps)


def closure_outlook(loaded: Loaded, closure: Closure) -> list[str]:
    """What one closure lacks: hours of weather, people, skills, tools, mixers with a capacity."""
    works, found = loaded.works, []
    try:
        night_temps(closure, works.weather)
    except NotDeterminedError as unknown:
        found.append(f"{closure.closure}: {unknown}; none of its covers could be designed.")
    crew, steps = crew_of(works, closure), steps_of(loaded, closure)
    most = max((step.people for step in steps), default=0)
    if len(crew) < most:
        found.append(f"{closure.closure}: a step needs {most} people and people.csv gives it {len(crew)}.")
    skills = {skill for _, has in crew for skill in has}
    for skill in sorted({s.skill for s in steps if s.skill} - skills):
        found.append(f"{closure.closure}: nobody of its crew has the skill '{skill}'.")
    kinds = {tool.kind for tool in works.tools}
    for kind in sorted({kind for step in steps for kind in step.tools} - kinds):
        found.append(f"{closure.closure}: tools.csv has no tool of the kind '{kind}'.")
    mixers = [tool for tool in works.tools if tool.kind == "mixer"]
    if mixers and all(tool.capacity_l is None for tool in mixers):
        found.append(f"{closure.closure}: no mixer in tools.csv has a capacity_l.")
    for cover in works.covers:
        if cover.street in closure.streets:
            found += cover_outlook(loaded, cover)
    return found


def cover_outlook(loaded: Loaded, cover: Cover) -> list[str]:
    """What would keep one cover from being designed: a road that cannot be fitted, a diagnosis against lifting it."""
    works, rules = loaded.works, loaded.shelf.rules
    readings = tuple(r for r in works.readings if r.cover == cover.cover)
    try:
        survey = reduce_survey(readings, survey_rules(rules, cover.kind, cover.place, cover.load_class))
        road_under(cover, survey, rules)
        found = diagnose_cover(loaded, cover).diagnosis
    except NotDesignedError as refused:
        return [f"{cover.cover}: {refused.reason} {refused.mend}"]
    except NotDeterminedError as unknown:
        return [f"{cover.cover}: {unknown}."]
    if not found.held_back or all(c.cover != cover.cover for c in works.condition):
        return []
    told = diagnosis_findings(found)[0]
    return [f"{cover.cover}: {told.what}. {told.mend} To lift its frame all the same: dig_anyway in condition.csv."]
