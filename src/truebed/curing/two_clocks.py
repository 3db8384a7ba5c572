"""Two clocks of one layer: the latest believable ready time, the earliest believable end of its working life."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.curing.arrhenius import GAS_J_PER_MOL_K, rate_ratio
from truebed.curing.binder import Binder, age_to_strength_min
from truebed.curing.curve_draws import even_normals
from truebed.curing.curve_points import REFERENCE_C
from truebed.curing.fitted import FittedBinder
from truebed.curing.heat import Cured, Want, cure
from truebed.curing.heat_many import CuredMany, cure_many, outsides_of, stacks_of
from truebed.curing.layer_night import (
    LAYER,
    LayerNight,
    iron_temps_c,
    outside_of,
    refuse_night,
    stack_of,
    taken_for_granted,
    temperatures,
)
from truebed.curing.own_energy import line_draws, settled_c
from truebed.curing.surfaces import WeatherData
from truebed.curing.time_line import TimeLine, time_at
from truebed.sheets.sheet import Limits

Array = NDArray[np.float64]
#: Draws behind the 5 and 95 % edges. As plain Python, without numba, a layer takes one to five seconds.
DRAWS_COUNT = 64
EARLY_PART = 0.05
NEVER = "not within two days by every believable curve"


@dataclass(frozen=True, slots=True)
class Band:
    """Minutes from placing: 5 % early, most probable, 95 % late. None: not determined."""

    early_min: float | None
    central_min: float | None
    late_min: float | None


@dataclass(frozen=True, slots=True)
class Isothermal:
    """What the rule of thumb says: the layer held at one of the temperatures for its whole cure.

    *_off_min   less the coupled most probable time: a wait below nought is unsafe, and so is a life above it
    """

    where: str
    temp_c: float
    ready_min: float | None
    ready_off_min: float | None
    life_min: float | None
    life_off_min: float | None


@dataclass(frozen=True, slots=True)
class TwoClocks:
    """Both clocks of a layer.

    ready       the slowest point has the target; frost before the guard's strength counts as never
    life        the fastest point has used the sheet's working life up; None where the sheet gives none
    governed    which point is slowest, in words; '' where it is not ready
    frosted_share  of the draws (the most probable one with them) in which the layer froze while it was weak
    coldest_young_c  coldest point of the most probable run while it was weak
    """

    night: LayerNight
    ready: Band
    life: Band | None
    governed: str
    isothermal: tuple[Isothermal, ...]
    frosted_share: float
    coldest_young_c: float | None
    hottest_c: float
    draws_count: int
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Asked:
    """A sheet's fit and the figures that an answer is worked out from. life: None where the sheet gives none."""

    fitted: FittedBinder
    life: TimeLine | None
    limits: Limits
    data: WeatherData
    draws_count: int = DRAWS_COUNT


@dataclass(frozen=True, slots=True)
class ReadyRun:
    """Minutes of each binder (the most probable first) to each strength, inf where never or frosted; which froze."""

    minutes: Array
    frosted: NDArray[np.bool_]


def two_clocks(night: LayerNight, asked: Asked) -> TwoClocks:
    """Ready time and working life of one layer with their edges, beside the isothermal answers.

    Valid       what refuse_night lets pass; the layer's own heat, the iron's, the base's, wind and night sky
    Source      as heat.cure; edges: the fit's own draws, the same at every run; house: 5 and 95 %
    Raises      as layer_night.refuse_night
    Proved by   tests/curing/test_two_clocks.py
    """
    refuse_night(night, asked.fitted, asked.limits, asked.data)
    run = ready_run(night, asked, (night.target_n_per_mm2,))
    ready = band_of(run.minutes[:, 0])
    life_minutes = None if asked.life is None else _life_minutes(night, asked, asked.life)
    life = None if life_minutes is None else band_of(life_minutes)
    central = central_cure(night, asked, night.target_n_per_mm2)
    layer = central.layers[0]
    return TwoClocks(
        night,
        ready,
        life,
        "" if ready.central_min is None else _slowest_point(night, central, ready.central_min),
        tuple(_isothermal(asked, night, where, temp_c, ready, life) for where, temp_c in temperatures(night)[:3]),
        float(run.frosted.mean()),
        layer.young_coldest_c,
        layer.hottest_c,
        asked.draws_count,
        (*_how_sure(night, asked, run, ready), *taken_for_granted(night, asked.data)),
    )


def ready_run(night: LayerNight, asked: Asked, strengths_n_per_mm2: tuple[float, ...]) -> ReadyRun:
    """When the slowest point has each strength, for the most probable binder and every draw.

    Valid       strengths up to the sheet's last datum
    Source      as heat_many.cure_many
    Proved by   tests/curing/test_two_clocks.py
    """
    guard_n_per_mm2 = asked.data["frost_safe_n_per_mm2"]
    binders = _binders(asked)
    ages = np.array([[age_to_strength_min(b, s) for s in (*strengths_n_per_mm2, guard_n_per_mm2)] for b in binders])
    reached = np.isfinite(ages)
    cured = _march(night, asked, binders, np.where(reached, ages, 0.0), iron_temps_c(night)[0], slowest=True)
    minutes = np.where(reached, cured.minutes, np.inf)[:, :-1]
    minutes[cured.frosted] = np.inf
    return ReadyRun(minutes, cured.frosted)


def band_of(minutes: Array) -> Band:
    """The band of the most probable binder (first) and the draws (the rest); the edges hold the middle.

    Valid       one draw or more
    Source      algebra: of n draws the one of rank (n + 1) x 5 % from each end, rounded outwards
    Proved by   tests/curing/test_two_clocks.py
    """
    central, draws = float(minutes[0]), minutes[1:]
    if not math.isfinite(central):  # edges about no middle would read as a promise
        return Band(None, None, None)
    ranked = np.sort(draws)
    outer_count = max(1, math.floor((draws.size + 1) * EARLY_PART))
    early, late = min(central, float(ranked[outer_count - 1])), max(central, float(ranked[-outer_count]))
    return Band(*(value if math.isfinite(value) else None for value in (early, central, late)))


def central_cure(night: LayerNight, asked: Asked, strength_n_per_mm2: float) -> Cured:
    """The run of the most probable binder to a strength and past the guard's, with its trace.

    Source      as heat.cure
    Proved by   tests/curing/test_two_clocks.py
    """
    binder, guard_n_per_mm2 = asked.fitted.binder, asked.data["frost_safe_n_per_mm2"]
    stack = stack_of(night, binder, iron_temps_c(night)[0], asked.data)
    ages_min = [age_to_strength_min(binder, strength) for strength in (strength_n_per_mm2, guard_n_per_mm2)]
    wants = tuple(Want(LAYER, "slowest", age_min) for age_min in ages_min if math.isfinite(age_min))
    return cure(stack, outside_of(night, asked.data), wants, guard_n_per_mm2=guard_n_per_mm2)


def isothermal_ready_min(fitted: FittedBinder, target_n_per_mm2: float, temp_c: float) -> float:
    """Minutes to a strength of the most probable binder, held at one temperature.

    Valid       temperatures that the sheet allows
    Source      [astm-c1074] form only, with the fitted energy
    Proved by   tests/curing/test_two_clocks.py
    """
    binder = fitted.binder
    energy_k = binder.activation_j_per_mol / GAS_J_PER_MOL_K
    return age_to_strength_min(binder, target_n_per_mm2) / rate_ratio(temp_c, REFERENCE_C, energy_k)


def _binders(asked: Asked) -> tuple[Binder, ...]:
    return (asked.fitted.binder, *asked.fitted.draws(asked.draws_count))


def _march(
    night: LayerNight, asked: Asked, binders: tuple[Binder, ...], ages_min: Array, iron_c: float, *, slowest: bool
) -> CuredMany:
    """All binders to their ages (binders, wants) at the layer's slowest or fastest point."""
    stacks = stacks_of(
        tuple(stack_of(night, binder, iron_c, asked.data) for binder in binders), asked.data["frost_safe_n_per_mm2"]
    )
    wants = np.empty((*ages_min.shape, 3))
    wants[..., 0] = 0.0 if night.iron_mm is None else 1.0
    wants[..., 1] = 0.0 if slowest else 1.0
    wants[..., 2] = ages_min * 60.0
    return cure_many(stacks, outsides_of((outside_of(night, asked.data),)), wants)


def _life_minutes(night: LayerNight, asked: Asked, line: TimeLine) -> Array:
    """When the fastest point has used the working life up, for the most probable binder and every draw."""
    binders = _binders(asked)
    # Columns past those that fitted.draws takes, so that life and strength are drawn apart.
    at20_min, life_j_per_mol = line_draws(line, even_normals(asked.draws_count, 11)[:, 9:])
    own_j_per_mol = np.array([max(binder.activation_j_per_mol, 1.0) for binder in binders])
    minutes = at20_min

    def march(ages_min: Array) -> Array:
        nonlocal minutes
        cured = _march(night, asked, binders, ages_min[:, None], iron_temps_c(night)[1], slowest=False)
        minutes = cured.minutes[:, 0]
        return minutes

    settled_c(march, at20_min, life_j_per_mol, own_j_per_mol, np.full(len(binders), night.mix_c))
    return minutes


def _isothermal(
    asked: Asked, night: LayerNight, where: str, temp_c: float, ready: Band, life: Band | None
) -> Isothermal:
    """The rule of thumb at one temperature."""
    wait_min = isothermal_ready_min(asked.fitted, night.target_n_per_mm2, temp_c)
    life_min = None if asked.life is None else time_at(asked.life, temp_c).minutes_min
    return Isothermal(
        where,
        temp_c,
        wait_min,
        None if ready.central_min is None else wait_min - ready.central_min,
        life_min,
        None if life is None or life_min is None or life.central_min is None else life_min - life.central_min,
    )


def _slowest_point(night: LayerNight, cured: Cured, ready_min: float) -> str:
    """Which point of the layer was the last to be ready."""
    index = 0 if night.iron_mm is None else 1
    top_mm = 0.0 if night.iron_mm is None else night.iron_mm
    places: list[tuple[float, float, str]] = []
    for column, trace in zip(("middle", "outer edge", "chamber edge"), cured.traces, strict=False):
        row = min(int(np.searchsorted(trace.minutes_min, ready_min)), trace.minutes_min.size - 1)
        inside = (trace.depth_mm > top_mm) & (trace.depth_mm < top_mm + night.thick_mm)
        at = f", {column} of the flange" if len(cured.traces) > 1 else ""
        over = "open to the air" if night.iron_mm is None else "under the iron"
        places += [
            (float(trace.face_age_min[row, 2 * index]), 0.0, f"its top face, {over}{at}"),
            (
                float(trace.face_age_min[row, 2 * index + 1]),
                night.thick_mm,
                f"its lower face, on the {night.below}{at}",
            ),
        ]
        for age_min, depth_mm in zip(trace.cell_age_min[row, inside], trace.depth_mm[inside] - top_mm, strict=True):
            places.append((float(age_min), float(depth_mm), f"{depth_mm:.0f} mm below its top face{at}"))
    return min(places)[2]


def _how_sure(night: LayerNight, asked: Asked, run: ReadyRun, ready: Band) -> tuple[str, ...]:
    """What the edges rest on, and in what way they are not to be believed."""
    said = []
    if bool(run.frosted.any()):
        said.append(
            f"frost: in {run.frosted.mean():.0%} of the curves the layer is below 0 °C before it has "
            f"{asked.data['frost_safe_n_per_mm2']:g} N/mm²; such a layer is never taken as ready"
        )
    if ready.late_min is None and not bool(run.frosted.all()):
        said.append(f"latest ready time not determined: {NEVER}")
    if asked.draws_count < DRAWS_COUNT:
        said.append(
            f"{asked.draws_count} curves instead of {DRAWS_COUNT}: the 5 and 95 % edges are coarser, to the safe side"
        )
    if night.target_n_per_mm2 < asked.fitted.first_datum_n_per_mm2:
        said.append(
            f"{night.target_n_per_mm2:g} N/mm² is below the sheet's first datum "
            f"({asked.fitted.first_datum_n_per_mm2:g} N/mm²): rests on the set times and what is usual"
        )
    if asked.life is None:
        said.append("working life not determined: the sheet gives none")
    return tuple(said)
