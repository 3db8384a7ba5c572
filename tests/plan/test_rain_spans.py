"""Rain keeps resin and sealant off; other steps go on."""

from dataclasses import replace

from plan.sample import shelf
from plan.weathered import hour, weathered
from truebed.plan.rain_spans import kept_dry, wet_spans
from truebed.plan.tasks import tasks_of
from truebed.programme.problem import Job
from truebed.sheets.sheet import BaseState

DRIVERS = dict.fromkeys(
    ["saw_m", "joint_m", "dig_l", "frame_kg", "count"]
    + [f"{p}_{d}" for p in ("bed", "fill", "backfill", "surface", "seal") for d in ("kits", "batches")],
    1.0,
)


def job_of(case):
    return Job("T01", 1, tasks_of(case.cover, case.method, DRIVERS), ())


def test_a_wet_hour_and_the_hour_that_dries_after_it_are_one_span():
    case = weathered([hour(0), hour(1, rain_mm=0.4), hour(2), hour(3), hour(4)])
    assert wet_spans(case) == ((60, 180),)


def test_rain_before_the_closure_wets_its_first_hour_and_no_rain_leaves_no_span():
    assert wet_spans(weathered([hour(-1, rain_mm=1.0), hour(0), hour(1)])) == ((0, 60),)
    dry = weathered([hour(0), hour(1)])
    assert wet_spans(dry) == ()
    assert kept_dry(job_of(dry), dry) == job_of(dry)
    assert wet_spans(replace(dry, closure=None)) == ()


def test_only_steps_of_resin_and_sealant_are_kept_out_of_it():
    case = weathered([hour(0, rain_mm=0.4), hour(1), hour(2)])
    barred = {task.step for task in kept_dry(job_of(case), case).tasks if task.not_during}
    assert barred == {"surface", "seal"}
    assert all(task.not_during == ((0, 120),) for task in kept_dry(job_of(case), case).tasks if task.step in barred)


def test_a_sheet_that_allows_a_wet_base_is_laid_in_the_rain():
    top = shelf().sheets["slate-top"]
    wet = replace(top, base_state=BaseState(dry=True, damp=True, wet=True, place="page 1"))
    case = weathered([hour(0, rain_mm=0.4), hour(1)], sheets={"slate-top": wet})
    assert {task.step for task in kept_dry(job_of(case), case).tasks if task.not_during} == {"seal"}
