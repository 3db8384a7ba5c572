"""How long steps and waits really take: lognormal about what was planned, from records where there are any."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib import resources

from truebed.programme.problem import Lag

#: Standard deviations from the middle to the 95 % edge of a normal distribution (algebra).
TO_LATE_SD = 1.6448536269514722


@dataclass(frozen=True, slots=True)
class Default:
    """One assumed value with its source."""

    name: str
    value: float
    source: str
    read_as: str
    note: str


@dataclass(frozen=True, slots=True)
class Past:
    """What a step of this kind was planned at and what it took on a past night."""

    step: str
    planned_min: float
    actual_min: float


@dataclass(frozen=True, slots=True)
class StepSpread:
    """One kind of step: real minutes = planned x bias_ratio x exp(own_sd Z) x the night's shared factor.

    bias_ratio  median of real over planned
    own_sd      of the logarithm, without what the night shares
    count       records it rests on; 0: default
    """

    bias_ratio: float
    own_sd: float
    count: int = 0

    def long_ratio(self, above_sd: float, night_sd: float) -> float:
        """Real over planned, so many standard deviations above the middle, the night's shared factor included."""
        return self.bias_ratio * math.exp(above_sd * math.hypot(self.own_sd, night_sd))


@dataclass(frozen=True, slots=True)
class Spreads:
    """Everything that varies in a night. *_sd: of logarithms.

    night_sd        shared by all work; temperature_sd: shared by all waits
    """

    default: StepSpread
    night_sd: float
    wait_sd: float
    temperature_sd: float
    breakdown_share: float
    repair_least_min: float
    repair_most_min: float
    steps: Mapping[str, StepSpread] = field(default_factory=dict)

    def of(self, step: str) -> StepSpread:
        """The spread of that kind of step, the default where no records are."""
        return self.steps.get(step, self.default)


@cache
def duration_defaults() -> Mapping[str, Default]:
    """The assumed values of data/durations.toml by name.

    Source      data/durations.toml
    Proved by   tests/programme/test_spread.py
    """
    raw = tomllib.loads(resources.files("truebed").joinpath("data/durations.toml").read_text("utf-8"))
    return {
        str(row["name"]): Default(
            str(row["name"]), float(row["value"]), str(row["source"]), str(row["read_as"]), str(row["note"])
        )
        for row in raw["value"]
    }


def log_sd(cv_ratio: float) -> float:
    """Standard deviation of the logarithm of a lognormal with this coefficient of variation.

    Valid       0 and above
    Source      algebra
    Proved by   tests/programme/test_spread.py
    """
    return math.sqrt(math.log1p(cv_ratio * cv_ratio))


def default_spreads() -> Spreads:
    """The spreads where nothing was ever recorded.

    Source      data/durations.toml
    Proved by   tests/programme/test_spread.py
    """
    of = {name: default.value for name, default in duration_defaults().items()}
    return Spreads(
        StepSpread(1.0, log_sd(of["step_cv_ratio"])),
        log_sd(of["night_cv_ratio"]),
        log_sd(of["wait_cv_ratio"]),
        log_sd(of["temperature_cv_ratio"]),
        of["breakdown_share"],
        of["repair_least_min"],
        of["repair_most_min"],
    )


def fit_spreads(records: Sequence[Past], spreads: Spreads, prior_count: float) -> Spreads:
    """The spreads with every recorded kind of step fitted: greatest penalised likelihood of the logarithms' ratios.

    The default counts as `prior_count` records about the planned minutes with the default spread, so a few nights move
    it a little and many nights replace it. What the night shares is taken out of the fitted variance, never added.

    Valid       minutes above 0
    Source      algebra: the normal likelihood with prior_count records of mean 0 and the default variance
    Raises      ValueError for minutes that are not above 0
    Proved by   tests/programme/test_spread.py
    """
    logs: dict[str, list[float]] = {}
    for past in records:
        if not (past.planned_min > 0.0 and past.actual_min > 0.0 and math.isfinite(past.actual_min)):
            raise ValueError(
                f"a past '{past.step}' of {past.actual_min:g} min planned at {past.planned_min:g} min says nothing: "
                "both must be above 0. Mend or leave out that record."
            )
        logs.setdefault(past.step, []).append(math.log(past.actual_min / past.planned_min))
    fitted = {step: _fit(values, spreads, prior_count) for step, values in sorted(logs.items())}
    return Spreads(
        spreads.default, spreads.night_sd, spreads.wait_sd, spreads.temperature_sd, spreads.breakdown_share,
        spreads.repair_least_min, spreads.repair_most_min, {**spreads.steps, **fitted},
    )  # fmt: skip


def _fit(logs: Sequence[float], spreads: Spreads, prior_count: float) -> StepSpread:
    count = len(logs)
    middle = math.fsum(logs) / (count + prior_count)
    before = spreads.default.own_sd**2 + spreads.night_sd**2
    total = (math.fsum((y - middle) ** 2 for y in logs) + prior_count * (before + middle**2)) / (count + prior_count)
    return StepSpread(math.exp(middle), math.sqrt(max(0.0, total - spreads.night_sd**2)), count)


@dataclass(frozen=True, slots=True)
class WaitSpread:
    """A wait: median minutes, its own spread and its share of the night's temperature; both 0 where it is fixed."""

    median_min: float
    own_sd: float
    temperature_sd: float


def wait_spread(lag: Lag, spreads: Spreads) -> WaitSpread:
    """How a least wait varies: from its clock's middle and late end where it has them, else by default.

    The clock's own range already holds the forecast's doubt: the shared temperature is taken out of it, not added. A
    wait planned at its late end is not widened a second time: its middle is middle_min, and without that it is fixed.

    Valid       a lag with a least
    Source      algebra: the late end is the 95 % edge of a lognormal
    Proved by   tests/programme/test_spread.py
    """
    least_min = 0 if lag.least_min is None else lag.least_min
    middle_min = float(least_min if lag.middle_min is None else lag.middle_min)
    if middle_min <= 0.0:
        return WaitSpread(float(least_min), 0.0, 0.0)
    if lag.late_min is None:
        return WaitSpread(middle_min, spreads.wait_sd, spreads.temperature_sd)
    total_sd = max(0.0, math.log(max(lag.late_min, 1) / middle_min) / TO_LATE_SD)
    shared_sd = min(total_sd, spreads.temperature_sd)
    return WaitSpread(middle_min, math.sqrt(total_sd**2 - shared_sd**2), shared_sd)
