"""Small closures for the programme's tests, all invented."""

from dataclasses import replace

from truebed.programme.problem import OPEN, Job, Lag, Problem, Task


def task(cover, step, minutes, people=1, tools=(), skill="", noisy=False):
    return Task(cover, step, f"{step} it", minutes, people, tools, skill, noisy)


def after(first, then, least=0, greatest=None, why=""):
    """then starts at least/at most so many minutes after the end of first."""
    return Lag(first, "end", then, "start", least, greatest, why or f"{first} before {then}")


def to_open(step, least, why="it must be ready"):
    return Lag(step, "end", OPEN, "start", least, None, why)


def job(cover, weight, tasks, lags):
    return Job(cover, weight, tuple(tasks), tuple(lags))


def problem(*jobs, window=100, tm_set=0, tm_clear=0, noise=None, people=2, skills=(), tools=(), crew_skills=()):
    return Problem(
        closure="night",
        window_min=window,
        tm_set_min=tm_set,
        tm_clear_min=tm_clear,
        noise_ends_min=window if noise is None else noise,
        people=people,
        skills=skills,
        tools=tools,
        jobs=jobs,
        crew_skills=crew_skills,
    )


def wet_job(cover, weight=1, extra=0):
    """Saw (noisy), clean, mix, lay within the mix's life and the wet edge, wait, seal."""
    tasks = (
        task(cover, "saw", 10 + extra, 2, ("saw",), "saw", noisy=True),
        task(cover, "clean", 6, 1),
        task(cover, "mix", 4, 1, ("mixer",)),
        task(cover, "lay", 8 + extra, 2),
        task(cover, "seal", 5, 1, (), "resin"),
    )
    lags = (
        after("saw", "clean"),
        after("clean", "lay", 0, 12, "wet edge"),
        after("mix", "lay", 0),
        Lag("mix", "start", "lay", "end", None, 20 + extra, "the mix's life"),
        after("lay", "seal", 30, None, "the bed sets"),
        to_open("lay", 45),
        to_open("seal", 10),
    )
    return job(cover, weight, tasks, lags)


def wet_closure(covers=3, *, window=200, noise=90, people=3, **more):
    """A closure of wet jobs of different sizes and weights, hours of traffic management on both sides."""
    jobs = tuple(wet_job(f"C{k + 1}", weight=1 + (k * 2) % 3, extra=k % 4) for k in range(covers))
    made = problem(
        *jobs, window=window, tm_set=10, tm_clear=8, noise=noise, people=people,
        skills=(("resin", 1), ("saw", 1)), tools=(("mixer", 1), ("saw", 1)),
    )  # fmt: skip
    return replace(made, **more)
