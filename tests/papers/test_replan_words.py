"""The rest of a night in words: what is late, held or left is said; odds are never invented."""

from dataclasses import replace

from truebed.papers.replan_words import ADVISES, handover_lines, replan_lines
from truebed.programme.problem import OPEN, Job, Lag, Placed, Problem, Task
from truebed.programme.replan_types import Answer, Happened, NightState, Overrun, Replanned

TASK = Task("A", "bed", "Bed it", 10, 1)
JOB = Job("A", 1, (TASK,), (Lag("bed", "end", OPEN, "start", 90, None, "the bed has its strength"),))
PROBLEM = Problem("night", 200, 0, 5, 200, 2, (), (), (JOB,))
STATE = NightState(130, (Happened("A", "bed", 110, 120),), (("mixer", 1),))


def clock(minute):
    return f"+{minute}"


def answer(*answers, open_min=210, overruns=()):
    return Replanned(answers, (), (), overruns, open_min, 0)


def test_a_late_cover_is_said_with_its_time_and_whom_to_tell():
    text = "\n".join(replan_lines(PROBLEM, STATE, answer(Answer("A", "late", 210)), clock))
    assert "the road opens +210 at the earliest, 10 min AFTER it must (+200)" in text
    assert "A: OPENS LATE, at +210; kept closed until then" in text
    assert "tell the road authority and whoever runs the closure now: A closed past the deadline" in text
    assert "odds: not worked out" in text
    assert text.endswith(ADVISES)


def test_with_a_held_cover_no_opening_time_is_told():
    found = answer(Answer("A", "held", None, needs=("mixer",)), open_min=150)
    text = "\n".join(replan_lines(PROBLEM, STATE, found, clock))
    assert "THE ROAD DOES NOT OPEN in whole: A kept closed" in text
    assert "the road opens" not in text
    assert "it needs mixer" in text


def test_an_overrun_is_said_with_its_minutes_and_reason():
    found = answer(Answer("A", "finished", 190), open_min=190, overruns=(Overrun("A", "bed", "fill", 7, "wet edge"),))
    text = "\n".join(replan_lines(PROBLEM, STATE, found, clock))
    assert "OVERRUN A: fill comes 7 min too late after bed (wet edge)" in text
    assert "closed past the deadline" not in text


def test_the_handover_names_every_cover_begun_its_answer_and_when_it_is_made_safe():
    safe = replace(answer(Answer("A", "made safe", 210)), safe=(Placed("A", "make safe", 150, 170),))
    for lines in (handover_lines(PROBLEM, STATE, safe, clock), replan_lines(PROBLEM, STATE, safe, clock)):
        assert any(line.strip().startswith("A: made safe") for line in lines)
        assert f"   MAKE SAFE A: {clock(150)} to {clock(170)}" in lines
    begun = next(line for line in handover_lines(PROBLEM, STATE, safe, clock) if line.startswith("begun"))
    assert all(fact.cover in begun for fact in STATE.happened)


def test_the_handover_says_what_is_curing_and_what_is_missing():
    lines = handover_lines(PROBLEM, STATE, answer(Answer("A", "late", 210)), clock)
    assert "curing: A after bed until +210 (the bed has its strength)" in lines
    assert "missing: mixer (1 broken)" in lines
    assert "running: nothing" in lines
