"""The sample closure's problem, schedule and texts: fifteen steps a cover, two covers, by hand."""

from __future__ import annotations

from truebed.plan.result import HandWay, StepText
from truebed.programme.problem import OPEN, Job, Lag, LeftOut, Placed, Problem, Schedule, Solution, Task

#: key, name, people, tools, noisy, hold, pour, minutes, start of K11, start of K12, start by hand (K11 only)
_ROWS: tuple[tuple[str, str, int, tuple[str, ...], bool, str, str, int, int, int], ...] = (
    ("saw", "Saw the square", 2, ("saw",), True, "", "", 16, 30, 62),
    ("break-out", "Break out to the chamber", 2, ("breaker",), True, "", "", 24, 46, 90),
    ("lift", "Lift the frame", 2, ("lifter",), False, "", "", 10, 70, 114),
    ("clean", "Clean and damp the chamber top; measure it", 2, (), False, "Chamber top measured", "", 13, 80, 124),
    ("mix-bed", "Mix the bed", 1, ("mixer",), False, "", "bed", 5, 89, 133),
    ("set-frame", "Lay the bed, set the frame on packers", 3, ("lifter",), False, "Frame levels", "bed", 9, 94, 138),
    ("read-levels", "Read the levels again before set", 1, (), False, "Frame levels again", "", 4, 104, 148),
    ("former", "Former in the opening, joint strips", 1, (), False, "", "", 8, 112, 156),
    ("mix-fill", "Mix the flowable concrete", 1, ("mixer",), False, "", "fill", 9, 129, 175),
    ("pour-fill", "Pour until it shows all round", 2, (), False, "Fill shows all round", "fill", 7, 138, 184),
    ("strip", "Packers and former out", 1, (), False, "", "", 7, 183, 230),
    ("backfill", "Mix and pour the backfill", 2, ("mixer",), False, "", "backfill", 12, 192, 240),
    ("surface", "Prime, mix and lay the resin surface", 2, ("mixer",), False, "Base dry", "surface", 16, 252, 300),
    ("seal", "Strike the joint strips and seal", 1, (), False, "", "seal", 11, 320, 370),
    ("prove", "Fit the cover, rock test, read levels", 2, (), False, "Cover does not rock", "", 10, 336, 386),
)


def tasks(cover: str) -> tuple[Task, ...]:
    """A cover's steps."""
    return tuple(Task(cover, r[0], r[1], r[7], r[2], r[3], "", r[4]) for r in _ROWS)


def lags() -> tuple[Lag, ...]:
    """The waits that matter on the picture."""
    return (
        Lag("saw", "end", "break-out", "start", 0, None, "the cut bounds the break-out"),
        Lag("mix-bed", "start", "set-frame", "end", None, 18, "inside the bed's working life"),
        Lag("set-frame", "end", "pour-fill", "start", 34, None, "the bed has set"),
        Lag("pour-fill", "end", "strip", "start", 38, None, "the fill has set"),
        Lag("backfill", "end", "surface", "start", 48, None, "the backfill has set"),
        Lag("surface", "end", "seal", "start", 50, None, "the surface has set"),
        Lag("surface", "end", OPEN, "start", 62, None, "the surface takes wheels"),
        Lag("seal", "end", OPEN, "start", 40, None, "the seal takes wheels"),
        Lag("pour-fill", "end", OPEN, "start", 150, None, "the fill has its strength"),
    )


def closure_parts() -> tuple[Problem, Solution, HandWay, tuple[LeftOut, ...], tuple[StepText, ...]]:
    """Problem, solution, the hand way, what is left out, and the crew's texts."""
    jobs = tuple(Job(cover, 10, tasks(cover), lags()) for cover in ("K11", "K12", "K13"))
    problem = Problem("Tenter-1", 600, 30, 25, 180, 4, (("saw", 1), ("lift", 2)), (("mixer", 1), ("saw", 1)), jobs)
    placed = [Placed("K11", r[0], r[8], r[8] + r[7]) for r in _ROWS]
    placed += [Placed("K12", r[0], r[9], r[9] + r[7]) for r in _ROWS]
    schedule = Schedule(("K11", "K12"), tuple(sorted(placed, key=lambda p: (p.start_min, p.cover))), 421)
    by_hand = Schedule(("K11",), tuple(Placed("K11", r[0], r[8], r[8] + r[7]) for r in _ROWS), 371)
    solution = Solution(schedule, 20, 20, True, 409, False)
    left_out = (LeftOut("K13", "its noisy steps cannot end by 23:00", 18),)
    steps = tuple(StepText(r[0], r[1], r[2], r[3], r[4], r[5], r[6]) for r in _ROWS)
    return problem, solution, HandWay(("K11",), 371, by_hand), left_out, steps
