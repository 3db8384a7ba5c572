"""A layer as it is placed on the night, and what it meets at each hour at which it may be placed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.curing.binder import Binder, age_to_strength_min
from truebed.curing.heat import kin_row, lay_columns
from truebed.curing.heat_many import Outsides, Stacks
from truebed.curing.stack import Boundary, Edge, Layer, Stack
from truebed.curing.surfaces import WeatherData

Array = NDArray[np.float64]
IRON, LAYER, BELOW = "iron", "layer", "below"
#: Places of temperatures in a row of heat_many.Stacks.lay: the layer's own, and those of the air at its chamber side.
TEMP, INNER, SIDE = 3, 7, 9


@dataclass(frozen=True, slots=True)
class PlacedLayer:
    """Sizes and neighbours of a layer.

    thick_least_mm   rules the slowest point, thick_most_mm the fastest
    face        surface that meets the weather: 'iron' where the flange lies on the layer
    below       material under it
    iron_mm     thickness of the flange on it; None: open to the air
    base_mm     how deep its base lies under the road
    strip_mm, upright_mm   width of the flange and height of the frame's wall on it, where its sides are open
    """

    thick_least_mm: float
    thick_most_mm: float
    face: str
    below: str
    iron_mm: float | None = None
    strip_mm: float | None = None
    upright_mm: float = 0.0
    base_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class PlacingHour:
    """What a layer meets that is placed so many minutes after the road shut.

    boundary    on the clock from placing, under what is laid over it; bare: without, for what runs out
    base_why    what the base is believed to be, in a sentence
    *_cold_c    for what is waited for; *_warm_c for what runs out
    """

    start_min: float
    boundary: Boundary
    air_c: float
    base_cold_c: float
    base_warm_c: float
    iron_cold_c: float
    iron_warm_c: float
    mix_c: float
    bare: Boundary | None = None
    base_why: str = ""

    def meets(self, *, slowest: bool) -> Boundary:
        """What meets the top: covered for what is waited for, bare for what runs out while it is being placed."""
        return self.boundary if slowest or self.bare is None else self.bare


@dataclass(frozen=True, slots=True)
class Setting:
    """Hours and draws laid out for the march, hour by hour with all draws in each.

    shifts      by how much each draw's temperatures are off the forecast [K], the most probable first
    """

    stacks: Stacks
    outsides: Outsides
    hours_count: int
    draws_count: int

    def guard_ages_min(self) -> Array:
        """Age of each hour and draw at which no frost harms the layer; nought where none does, or it never comes."""
        ages = self.stacks.guard[:, -2].reshape(self.hours_count, self.draws_count) / 60.0
        return np.where(np.isfinite(ages), ages, 0.0)


def strip_stack(layer: PlacedLayer, binder: Binder, data: WeatherData, *, slowest: bool) -> Stack:
    """The stack of one layer with all temperatures at nought: they are laid on afterwards.

    slowest     least thickness and open sides; else greatest thickness and an endless strip
    Source      materials: data/surfaces.toml; the layer's own: the binder
    Proved by   tests/curing/test_hour_clocks.py
    """
    iron, below = data.materials["cast-iron"], data.materials[layer.below]
    thick_mm = layer.thick_least_mm if slowest else layer.thick_most_mm
    layers = (
        Layer(LAYER, thick_mm, binder.conduct_w_per_m_k, binder.store_kj_per_l_k, 0.0, binder),
        Layer(BELOW, data["below_deep_mm"], below.conduct_w_per_m_k, below.store_kj_per_l_k, 0.0),
    )
    if layer.iron_mm is None:
        return Stack(layers)
    flange = Layer(IRON, layer.iron_mm, iron.conduct_w_per_m_k, iron.store_kj_per_l_k, 0.0)
    if layer.strip_mm is None or not slowest:
        return Stack((flange, *layers))
    film = data["chamber_film_w_per_m2_k"]
    edge = Edge(IRON, layer.strip_mm, film, film, 0.0, layer.upright_mm, layer.iron_mm)
    return Stack((flange, *layers), edge)


def setting_of(
    layer: PlacedLayer,
    binders: tuple[Binder, ...],
    hours: tuple[PlacingHour, ...],
    shifts_k: Array,
    data: WeatherData,
    *,
    slowest: bool,
    guarded: bool = True,
) -> Setting:
    """Every binder at every hour, ready to be marched.

    shifts_k    (binders,) by how much each draw's temperatures are off the forecast [K]
    guarded     frost while weak is told; False for what no frost harms (resin, sealant)
    Valid       boundaries with the same points of time
    Source      algebra
    Raises      ValueError where the boundaries' times differ
    Proved by   tests/curing/test_hour_clocks.py
    """
    templates = [strip_stack(layer, binder, data, slowest=slowest) for binder in binders]
    lay = np.tile(np.array([lay_columns(stack) for stack in templates]), (len(hours), 1, 1, 1))
    draws = len(binders)
    names = [part.name for part in templates[0].layers]
    base = np.array([hour.base_cold_c if slowest else hour.base_warm_c for hour in hours])
    iron = np.array([hour.iron_cold_c if slowest else hour.iron_warm_c for hour in hours])
    mix = np.array([hour.mix_c for hour in hours])
    for name, own_c in ((IRON, iron), (LAYER, mix), (BELOW, base)):
        if name in names:
            lay[:, :, names.index(name), TEMP] = (own_c[:, None] + shifts_k[None, :]).reshape(-1, 1)
    chamber_c = (base[:, None] + shifts_k[None, :]).reshape(-1, 1, 1)
    lay[..., INNER] = chamber_c
    lay[..., SIDE] = np.where(np.isnan(lay[..., SIDE]), np.nan, chamber_c)
    guard_n_per_mm2 = data["frost_safe_n_per_mm2"]
    kin = [[kin_row(part.binder) for part in stack.layers] for stack in templates]
    ages = [
        [
            60.0 * age_to_strength_min(part.binder, guard_n_per_mm2) if guarded and part.binder is not None else 0.0
            for part in s.layers
        ]
        for s in templates
    ]
    repeat = (len(hours), 1)
    stacks = Stacks(
        lay, np.tile(np.array(kin), (*repeat, 1)), np.tile(np.array(ages), repeat), np.full(len(lay), np.nan)
    )
    return Setting(stacks, _outsides(tuple(hour.meets(slowest=slowest) for hour in hours), shifts_k), len(hours), draws)


def _outsides(boundaries: tuple[Boundary, ...], shifts_k: Array) -> Outsides:
    """Boundaries of every hour and draw; a draw's air is off the forecast as its other temperatures are."""
    times = boundaries[0].minutes_min
    if not all(np.array_equal(times, one.minutes_min) for one in boundaries):
        raise ValueError("the boundaries of one batch must have the same points of time")
    values = np.array([(one.air_c, one.film_w_per_m2_k, one.flux_w_per_m2) for one in boundaries])
    both = np.repeat(values, len(shifts_k), axis=0)
    both[:, 0, :] += np.tile(shifts_k, len(boundaries))[:, None]
    return Outsides(np.asarray(times) * 60.0, both)


def boundary_from(whole: Boundary, start_min: float, span_min: float, step_min: float) -> Boundary:
    """A boundary on the clock from placing: the night's own from a minute on, held at its last past its end.

    Valid       step above 0
    Source      algebra
    Proved by   tests/curing/test_hour_clocks.py
    """
    times = np.arange(0.0, span_min + step_min / 2.0, step_min)
    at = times + start_min
    columns = (whole.air_c, whole.film_w_per_m2_k, whole.flux_w_per_m2)
    return Boundary(times, *(np.interp(at, whole.minutes_min, column) for column in columns))


def hour_temps(hour: PlacingHour) -> tuple[tuple[str, float], ...]:
    """The temperatures that a sheet's limits are held against, by name.

    Source      house
    Proved by   tests/curing/test_hour_clocks.py
    """
    return (
        ("air", hour.air_c),
        ("base", hour.base_cold_c),
        ("base", hour.base_warm_c),
        ("mix", hour.mix_c),
    )
