"""Minutes of a closure in which a resin or a sealant cannot be laid, because by the forecast its base is wet."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from truebed.curing.surfaces import weather_data
from truebed.plan.base_hours import HOUR, closure_hours, rained
from truebed.plan.case import Case
from truebed.plan.clocks import sheet_of
from truebed.programme.problem import Job


def wet_spans(case: Case) -> tuple[tuple[int, int], ...]:
    """Spans of minutes after the shutting in which it rains, or has so lately that the face is taken for wet still.

    Hours without rain given are not taken for wet; what they leave open is told with the hours of the base.

    Valid       a case of a night
    Source      weather.csv; how long a face stays wet: data/surfaces.toml, house
    Proved by   tests/plan/test_rain_spans.py
    """
    closure = case.closure
    if closure is None:
        return ()
    stays_wet_h = weather_data()["stays_wet_h"]
    spans: list[tuple[int, int]] = []
    for hour in closure_hours(case):
        if rained(case.weather, hour.at, stays_wet_h):
            begins = (hour.at - closure.road_shut_from) // timedelta(minutes=1)
            ends = (hour.at + HOUR - closure.road_shut_from) // timedelta(minutes=1)
            if spans and spans[-1][1] == begins:
                spans[-1] = (spans[-1][0], ends)
            else:
                spans.append((begins, ends))
    return tuple(spans)


def kept_dry(job: Job, case: Case) -> Job:
    """The job with the steps that lay resin or sealant kept out of the wet spans, unless the sheet allows a wet base.

    Valid       a job of the same case
    Source      the sheets' words on their bases; without them a resin is laid dry (common practice, no source)
    Proved by   tests/plan/test_rain_spans.py
    """
    spans = wet_spans(case)
    if not spans:
        return job
    barred = set()
    for step in case.method.steps:
        if step.pour:
            sheet = sheet_of(case.method, step.pour, case.sheets)
            wet_allowed = sheet.base_state is not None and sheet.base_state.wet
            if sheet.kind != "cement" and not wet_allowed:
                barred.add(step.key)
    tasks = tuple(replace(task, not_during=spans) if task.step in barred else task for task in job.tasks)
    return replace(job, tasks=tasks)
