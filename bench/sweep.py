"""Measures of the ground at network scale, and of one cover's ground on the production path."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from statistics import fmean
from time import perf_counter

import numpy as np

from bench.row import Row, row
from truebed.chamber.cut_arrays import ManyShapes
from truebed.compiled import COMPILED
from truebed.errors import NotDesignedError
from truebed.given.cover import Plan2D
from truebed.plan.case import Case
from truebed.plan.ground import set_ground
from truebed.plan.network import ground_of_many
from truebed.plan.network_types import ManyCovers, ManyGrounds, joined
from truebed.plan.network_works import cases_of, limits_of

COVERS, CHUNK, SEED, READINGS = 1_000_000, 50_000, 51, 12
#: Frames of a network: body, flange, opening [mm], depth [mm], round.
FRAMES = np.array([
    (650, 820, 600, 100, 0), (650, 820, 600, 125, 0), (645, 800, 600, 100, 0), (490, 590, 450, 100, 0),
    (660, 830, 600, 100, 1), (330, 410, 300, 60, 0), (855, 1000, 800, 150, 0), (540, 640, 500, 110, 0),
], dtype=float)  # fmt: skip
GIB = 2.0**30


def network(count: int, rng: np.random.Generator) -> ManyCovers:
    """Covers of a network: stock frames, one in eight round, one in five by a kerb, twisted and worn roads, sd 2 mm."""
    body, flange, opening, depth, is_round = FRAMES[rng.integers(len(FRAMES), size=count)].T
    rounds = is_round > 0.0

    def shapes(size: np.ndarray) -> ManyShapes:
        return ManyShapes(size, size, rounds)

    kerbed = (rng.random(count) < 0.2) & ~rounds
    angle = 2.0 * np.pi * np.arange(READINGS) / READINGS
    radius = flange[:, None] / 2.0 * np.where(rounds, 1.0, 1.42)[:, None] + 60.0
    x, y = radius * np.cos(angle), radius * np.sin(angle)
    c = rng.normal(0.0, 1.0, (count, 5)) * np.array([50.0, 0.02, 0.02, 4e-6, 4e-6])
    c[:, 3:] *= (rng.random(count) < 0.3)[:, None]
    level = c[:, :1] + c[:, 1:2] * x + c[:, 2:3] * y + c[:, 3:4] * x * y + c[:, 4:] * (x * x - y * y)
    level += rng.normal(0.0, 2.0, level.shape)
    slipped = np.flatnonzero(rng.random(count) < 0.02)
    level[slipped, rng.integers(READINGS, size=len(slipped))] += 100.0
    return ManyCovers(
        opening=shapes(opening), body=shapes(body), flange=shapes(flange), chamber=shapes(opening + 20.0),
        wall=np.full(count, 215.0), frame_depth=depth, flange_thick=np.full(count, 14.0),
        chamber_depth=depth + rng.normal(34.0, 10.0, count),
        turn_deg=np.where(kerbed, 0.0, rng.normal(0.0, 8.0, count)),
        bound=np.full(count, 60.0), kerb_toward=np.where(kerbed, 1.0, 0.0), kerb=flange / 2.0 + 60.0,
        margins=rng.uniform(60.0, 150.0, (count, 4)), cut_round=rng.random(count) < 0.1,
        cut_with_frame=np.ones(count, dtype=bool), x=x, y=y, level=level,
    )  # fmt: skip


def demo_cases() -> tuple[Case, ...]:
    """The demo's covers, without its neighbours."""
    from truebed.actions.load import load_bytes
    from truebed.demo.build import build_demo

    loaded = load_bytes(build_demo())
    return cases_of(loaded.works, loaded.shelf, {})


def sweep(count: int = COVERS) -> dict[str, float]:
    """A sweep of so many covers, made in chunks, all answers kept; seconds, covers with an answer, peak memory."""
    import resource

    limits, rng = limits_of(demo_cases()[0]), np.random.default_rng(SEED)
    ground_of_many(network(50, rng), limits)
    parts: list[ManyGrounds] = []
    begun = perf_counter()
    for start in range(0, count, CHUNK):
        parts.append(ground_of_many(network(min(CHUNK, count - start), rng), limits))
    whole = joined(parts)
    taken_s = perf_counter() - begun
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024.0 / GIB
    worked = np.count_nonzero(whole.why == 0)
    return {"s": taken_s, "gib": peak, "worked": worked / count, "litres": float(np.nansum(whole.litres))}


def fresh(call: str, *, blocked: str = "") -> dict[str, float]:
    """A call of this module in a fresh process; blocked: a library that it is to do without."""
    block = f"sys.modules[{blocked!r}] = None; " if blocked else ""
    code = f"import sys; {block}import json; from bench import sweep; print(json.dumps(sweep.{call}))"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)  # noqa: S603
    found: dict[str, float] = json.loads(ran.stdout.splitlines()[-1])
    return found


def one_cover_cases(count: int = 30) -> tuple[Case, ...]:
    """Demo covers that a plan designs, then the same with other levels: readings moved by seeded noise of 1 mm."""
    rng = np.random.default_rng(SEED)
    found: list[Case] = []
    cases = [c for c in demo_cases() if _designed(c)]
    while len(found) < count:
        case = cases[len(found) % len(cases)]
        if len(found) >= len(cases):
            moved = tuple(replace(r, value_mm=r.value_mm + float(rng.normal(0.0, 1.0))) for r in case.readings)
            case = replace(case, readings=moved)
        if _designed(case):
            found.append(case)
    return tuple(found)


def _designed(case: Case) -> bool:
    try:
        set_ground(case)
    except NotDesignedError:
        return False
    return True


def one_cover(count: int = 30, rounds: int = 7) -> dict[str, float]:
    """Milliseconds of set_ground over covers, one after another as in a works: mean and worst of each cover's median.

    Each round has sizes of its own, so that no outline of an earlier round is met again; within a round covers with the
    same frame meet it, as they do in a works.
    """
    cases = one_cover_cases(count)
    times = [[_seconds(_other_sizes(case, 0.01 * (1 + r))) for case in cases] for r in range(rounds)]
    medians = [sorted(of_cover)[rounds // 2] for of_cover in zip(*times, strict=True)]
    return {"mean": 1e3 * fmean(medians), "worst": 1e3 * max(medians), "compiled": float(COMPILED)}


def _other_sizes(case: Case, more_mm: float) -> Case:
    """The same cover a trifle larger, so that no outline kept from an earlier call is met again."""

    def larger(size: Plan2D) -> Plan2D:
        return replace(size, along_mm=size.along_mm + more_mm, across_mm=size.across_mm + more_mm)

    cover = case.cover
    return replace(
        case,
        cover=replace(
            cover,
            opening=larger(cover.opening),
            body=larger(cover.body),
            flange=larger(cover.flange),
            chamber=larger(cover.chamber),
        ),
    )


def _seconds(case: Case) -> float:
    begun = perf_counter()
    set_ground(case)
    return perf_counter() - begun


def rows() -> list[Row]:
    """A million covers in a fresh process, and one cover with and without compiled kernels."""
    many, one = fresh("sweep()"), fresh("one_cover()")
    plain = fresh("one_cover(12, 3)", blocked="numba")
    return [
        row(
            "sweep_1e6_ground_gib", many["gib"], "GiB",
            "peak resident memory of a fresh process: road, setting, chance, cut-out, litres, waste; inputs made in "
            f"chunks of {CHUNK}, all answers kept; {COVERS / many['s']:.0f} covers/s, {many['s']:.0f} s, "
            f"{100.0 * many['worked']:.1f} % with every figure, the others with their reason",
            n=COVERS, seed=SEED, goal=2.0,
        ),
        row(
            "ground_one_cover_ms", one["mean"], "ms",
            "plan.ground.set_ground: readings reduced, road fitted among six shapes, margins, cut-out, setting with "
            "both verdicts and their chances, litres by role; not drawings, site aids, the wheel, litre bands; mean "
            f"of 30 covers' medians after warm-up, sizes new to each round, "
            f" worst cover {one['worst']:.1f} ms; without compiled kernels mean "
            f"{plain['mean']:.1f} ms, worst {plain['worst']:.1f} ms",
            n=30, seed=SEED, goal=5.0,
        ),
    ]  # fmt: skip
