"""The clocks of a layer for each hour at which it may be placed: most probable, 5 % early, 95 % late."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from truebed.curing.binder import Binder, age_to_strength_min
from truebed.curing.calibrate import NINETY_SD
from truebed.curing.curve_draws import even_normals
from truebed.curing.fitted import FittedBinder, Thermals
from truebed.curing.heat_many import CuredMany, cure_many
from truebed.curing.own_energy import PASSES_COUNT, line_draws, rates, settled_c, steady_c
from truebed.curing.placed_layer import PlacedLayer, PlacingHour, Setting, setting_of
from truebed.curing.surfaces import WeatherData
from truebed.curing.time_line import TimeLine, time_at
from truebed.curing.two_clocks import Band, band_of

Array = NDArray[np.float64]
#: Draws behind the edges; the draws' own passes once the most probable curve has settled.
DRAWS_COUNT, DRAW_PASSES_COUNT = 64, 2


@dataclass(frozen=True, slots=True)
class HourTime:
    """A clock of a layer that is placed so many minutes after the road shut.

    band        minutes from placing; None where never, or where the layer freezes while it is weak
    as_if_c     the steady temperature at which the most probable curve would take as long
    frost_share of the draws (the most probable one with them) in which the layer froze while it was weak
    """

    start_min: float
    band: Band
    as_if_c: float | None
    frost_share: float


@dataclass(frozen=True, slots=True)
class Carrier:
    """What reacts in the layer: the most probable binder and the draws.

    warms       whether it makes heat of its own
    frost_harms whether frost while it is weak is told; without a strength curve it is weak till its time has come
    """

    binders: tuple[Binder, ...]
    warms: bool
    frost_harms: bool = True


@dataclass(frozen=True, slots=True)
class HourQuestion:
    """A layer, its hours, and how far the night's temperatures may be off the forecast (90 % half-width)."""

    layer: PlacedLayer
    hours: tuple[PlacingHour, ...]
    data: WeatherData
    temp_band_c: float
    draws_count: int = DRAWS_COUNT

    def shifts_k(self) -> Array:
        """The draws' errors of temperature, the most probable (none) first."""
        own = even_normals(self.draws_count, 12)[:, 11] * self.temp_band_c / NINETY_SD
        return np.concatenate([[0.0], own])


def carrier_of(fitted: FittedBinder, draws_count: int = DRAWS_COUNT) -> Carrier:
    """A fitted sheet as what reacts.

    Source      the fit's own draws, the same at every run
    Proved by   tests/curing/test_hour_clocks.py
    """
    return Carrier((fitted.binder, *fitted.draws(draws_count)), warms=True)


def heatless_carrier(
    line: TimeLine, thermals: Thermals, draws_count: int = DRAWS_COUNT, *, frost_harms: bool = False
) -> Carrier:
    """A layer without a strength curve: it ages by the energy of one of its times, and makes no heat.

    What makes heat is ready earlier; it also runs out of working life earlier.

    frost_harms  True for cement; a resin or a sealant is not harmed
    Source      house (on the safe side for what is waited for)
    Proved by   tests/curing/test_hour_clocks.py
    """
    _, energies = life_draws(line, draws_count)
    binders = tuple(
        Binder(
            "hyperbola", 1.0, 60.0, 1.0, 0.0, max(float(energy), 1.0), 0.0,
            thermals.conduct_w_per_m_k, thermals.store_kj_per_l_k,
        )
        for energy in energies
    )  # fmt: skip
    return Carrier(binders, warms=False, frost_harms=frost_harms)


def hours_to_strengths(
    question: HourQuestion, carrier: Carrier, strengths_n_per_mm2: Sequence[float]
) -> tuple[tuple[HourTime, ...], ...]:
    """For each strength, when the slowest point has it, hour by hour.

    Valid       strengths up to the sheet's last datum (the caller's to see to)
    Source      as heat_many.cure_many; edges: the fit's draws and the forecast's error, the same at every run
    Proved by   tests/curing/test_hour_clocks.py
    """
    binders = carrier.binders
    guard_n_per_mm2 = question.data["frost_safe_n_per_mm2"]
    wanted = (*strengths_n_per_mm2, guard_n_per_mm2)
    ages = np.array([[age_to_strength_min(b, s) for s in wanted] for b in binders])
    reached = np.isfinite(ages)
    setting = _set(question, carrier, slowest=True)
    cured = _march(setting, np.where(reached, ages, 0.0)[None].repeat(setting.hours_count, 0), slowest=True)
    shape = (setting.hours_count, setting.draws_count, len(wanted))
    minutes = np.where(reached[None], cured.minutes.reshape(shape), np.inf)
    frosted = cured.frosted.reshape(shape[:2])
    minutes[frosted] = np.inf
    energy = binders[0].activation_j_per_mol
    return tuple(
        _hour_times(question.hours, minutes[:, :, i], frosted, float(ages[0, i]), energy)
        for i in range(len(strengths_n_per_mm2))
    )


def hours_to_time(question: HourQuestion, carrier: Carrier, line: TimeLine, *, slowest: bool) -> tuple[HourTime, ...]:
    """When the slowest point has a time of the sheet behind it (a wait), or the fastest (what runs out), by the hour.

    A time has an energy of its own (truebed.curing.own_energy). What runs out is also never taken longer than in
    the bucket, at the kit's own temperature; nor longer than under what is laid over it, which may keep it warm or keep
    the sun off.

    Valid       temperatures that the sheet allows (the caller's to see to)
    Source      as hours_to_strengths; [astm-c1074] form only
    Raises      NotDeterminedError where the mix is at a temperature that the sheet does not allow
    Proved by   tests/curing/test_hour_clocks.py
    """
    minutes, frosted, at20_min = _minutes_of_line(question, carrier, line, slowest=slowest)
    if not slowest:
        minutes = np.minimum(minutes, _in_the_bucket(question, line))
        for under in _under_the_cover(question):
            minutes = np.minimum(minutes, _minutes_of_line(under, carrier, line, slowest=False)[0])
    else:
        minutes[frosted] = np.inf
    return _hour_times(question.hours, minutes, frosted, at20_min, line.activation_j_per_mol)


def life_draws(line: TimeLine, draws_count: int) -> tuple[Array, Array]:
    """Minutes at 20 degC and energies [J/mol] of one of a sheet's times, the most probable first.

    Source      the line's own covariance
    Proved by   tests/curing/test_hour_clocks.py
    """
    return line_draws(line, even_normals(draws_count, 12)[:, 9:11])


def _set(question: HourQuestion, carrier: Carrier, *, slowest: bool, central: bool = False) -> Setting:
    shifts_k = question.shifts_k()
    binders = carrier.binders[:1] if central else carrier.binders
    shifts_k = shifts_k[: len(binders)]
    return setting_of(
        question.layer, binders, question.hours, shifts_k, question.data, slowest=slowest, guarded=carrier.frost_harms
    )


def _march(setting: Setting, ages_min: Array, *, slowest: bool) -> CuredMany:
    """All hours and draws to their ages (hours, draws, wants)."""
    wants = np.empty((setting.hours_count * setting.draws_count, ages_min.shape[2], 3))
    wants[..., 0] = setting.stacks.kin.shape[1] - 2
    wants[..., 1] = 0.0 if slowest else 1.0
    wants[..., 2] = ages_min.reshape(-1, ages_min.shape[2]) * 60.0
    return cure_many(setting.stacks, setting.outsides, wants)


def _minutes_of_line(
    question: HourQuestion, carrier: Carrier, line: TimeLine, *, slowest: bool
) -> tuple[Array, NDArray[np.bool_], float]:
    at20_min, line_j_per_mol = life_draws(line, question.draws_count)
    own_j_per_mol = np.array([max(binder.activation_j_per_mol, 1.0) for binder in carrier.binders])
    start_c = np.array([[hour.mix_c] for hour in question.hours])
    one = _set(question, carrier, slowest=slowest, central=True)
    central_c, _, _ = _settled(
        one, at20_min[:1], line_j_per_mol[:1], own_j_per_mol[:1], start_c, PASSES_COUNT, slowest=slowest
    )
    every = _set(question, carrier, slowest=slowest)
    begin_c = central_c + question.shifts_k()[None, :]
    _, minutes, frosted = _settled(
        every, at20_min, line_j_per_mol, own_j_per_mol, begin_c, DRAW_PASSES_COUNT, slowest=slowest
    )
    return minutes, frosted, float(at20_min[0])


def _settled(
    setting: Setting, at20_min: Array, line_j_per_mol: Array, own_j_per_mol: Array, begin_c: Array, passes_count: int,
    *, slowest: bool,
) -> tuple[Array, Array, NDArray[np.bool_]]:  # fmt: skip
    """Temperature of the point, minutes, and which froze, (hours, draws) each, after so many passes at most."""
    shape = (setting.hours_count, setting.draws_count)
    minutes, frosted = np.zeros(shape), np.zeros(shape, dtype=np.bool_)
    guard_min = np.broadcast_to(setting.guard_ages_min(), shape) if slowest else np.zeros(shape)

    def march(ages_min: Array) -> Array:
        nonlocal minutes, frosted
        # A layer ready by the sheet's time is followed on till no frost harms it, else a later frost would go unseen.
        cured = _march(setting, np.stack([ages_min, guard_min], axis=2), slowest=slowest)
        minutes, frosted = cured.minutes[:, 0].reshape(shape), cured.frosted.reshape(shape)
        return minutes

    temp_c = settled_c(march, at20_min, line_j_per_mol, own_j_per_mol, begin_c, passes_count)
    return temp_c, minutes, frosted


def _under_the_cover(question: HourQuestion) -> tuple[HourQuestion, ...]:
    """The same hours with what is laid over the layer there from the start; () where nothing is."""
    if all(hour.bare is None or np.array_equal(hour.bare.film_w_per_m2_k, hour.boundary.film_w_per_m2_k)
           for hour in question.hours):  # fmt: skip
        return ()
    return (replace(question, hours=tuple(replace(hour, bare=None) for hour in question.hours)),)


def _in_the_bucket(question: HourQuestion, line: TimeLine) -> Array:
    """The time at the kit's own temperature, (hours, draws): no allowance is made for a bucket that warms itself."""
    at20_min, energies = life_draws(line, question.draws_count)
    mix_c = np.array([[hour.mix_c] for hour in question.hours]) + question.shifts_k()[None, :]
    for hour in question.hours:
        time_at(line, hour.mix_c)  # refuses what the sheet does not allow
    return np.asarray(at20_min / rates(mix_c, energies))


def _hour_times(
    hours: tuple[PlacingHour, ...], minutes: Array, frosted: NDArray[np.bool_], age_min: float, energy_j_per_mol: float
) -> tuple[HourTime, ...]:
    return tuple(
        HourTime(
            hour.start_min,
            band_of(minutes[i]),
            _as_if_c(float(minutes[i, 0]), age_min, energy_j_per_mol),
            float(frosted[i].mean()),
        )
        for i, hour in enumerate(hours)
    )


def _as_if_c(minutes_min: float, age_min: float, energy_j_per_mol: float) -> float | None:
    """The steady temperature at which an age at 20 degC takes so many minutes."""
    if not (math.isfinite(minutes_min) and 0.0 < age_min < math.inf and minutes_min > 0.0):
        return None
    return float(steady_c(np.array(age_min), np.array(minutes_min), np.array(energy_j_per_mol)))
