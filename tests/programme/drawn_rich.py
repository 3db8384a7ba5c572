"""Small invented closures that ask for everything at once, drawn from a seed."""

import random
from dataclasses import replace
from itertools import pairwise

from programme.sample import task
from truebed.programme.problem import OPEN, Job, Lag, Problem

FEATURES = ("profile", "forbidden", "points", "walk", "rest", "lanes", "kits", "teams")


def profile(rng, window, low, high):
    minutes = sorted(rng.sample(range(window), rng.randint(1, 4)))
    return tuple((m, rng.randint(low, high)) for m in minutes)


def drawn_lag(rng, given, before, then, window):
    least = profile(rng, window, 0, 6) if "profile" in given and rng.random() < 0.6 else ()
    most = profile(rng, window, 6, 14) if "profile" in given and rng.random() < 0.3 else ()
    return Lag(
        before.step, rng.choice(("start", "end")), then.step, rng.choice(("start", "end")),
        max((w for _m, w in least), default=rng.randint(0, 3)),
        min((w for _m, w in most), default=rng.choice((None, None, 8, 12))),
        f"{before.step} {then.step}", profile=least, greatest_profile=most,
    )  # fmt: skip


def drawn_job(rng, name, given, steps, window, longest):
    tasks = []
    for k in range(rng.randint(1, steps)):
        spans = tuple((a, a + rng.randint(1, 6)) for a in rng.sample(range(window), rng.randint(0, 2)))
        minutes = 0 if rng.random() < 0.05 else rng.randint(1, longest)
        plain = task(name, f"s{k}", minutes, rng.choice((1, 1, 2)), rng.choice(((), (), ("mixer",))),
                     rng.choice(("", "", "resin")), noisy=rng.random() < 0.2)  # fmt: skip
        points = rng.choice((0.0, 10.0, 25.5)) if "points" in given else 0.0
        tasks.append(replace(plain, points=points, not_during=spans if "forbidden" in given else ()))
    lags = [drawn_lag(rng, given, a, b, window) for a, b in pairwise(tasks)]
    if rng.random() < 0.7:
        wait = profile(rng, window, 0, 8) if "profile" in given else ()
        least = max((w for _m, w in wait), default=3)
        lags.append(Lag(tasks[-1].step, "end", OPEN, "start", least, None, "ready", profile=wait))
    stage = rng.randint(0, 1) if "lanes" in given else 0
    kits = (("bed", rng.randint(0, 2)),) if "kits" in given else ()
    return Job(name, rng.randint(1, 4), tuple(tasks), tuple(lags), stage=stage, kits=kits)


def drawn_rich(seed, *, covers=4, steps=4, window=40, longest=5):
    rng = random.Random(seed)  # noqa: S311
    given = {feature for feature in FEATURES if rng.random() < 0.45}
    teams = rng.choice(((2, 2), (1, 2), (3, 1))) if "teams" in given else ()
    people = sum(teams) or rng.randint(2, 3)
    names = [f"C{c}" for c in range(rng.randint(2, covers))]
    at = {name: rng.randint(0, 4) for name in names}
    walks = tuple((a, b, abs(at[a] - at[b])) for k, a in enumerate(names) for b in names[k + 1 :])
    skills = (("resin",), *(rng.choice(((), ("resin",))) for _ in range(people - 1)))
    return Problem(
        closure=f"rich {seed}", window_min=window, tm_set_min=rng.randint(0, 3), tm_clear_min=rng.randint(0, 3),
        noise_ends_min=rng.randint(window // 4, window), people=people,
        skills=(("resin", sum("resin" in has for has in skills)),), tools=(("mixer", 1),),
        jobs=tuple(drawn_job(rng, name, given, steps, window, longest) for name in names),
        crew_skills=skills if rng.random() < 0.5 else (),
        walk_min=walks if "walk" in given else (), most_points=30.0 if "points" in given else None,
        breaks=((window // 5, window // 3, 3),) if "rest" in given else (), stage_min=2, teams=teams,
        stock=(("bed", 3),) if "kits" in given else (),
    )  # fmt: skip
