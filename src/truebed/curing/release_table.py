"""Release table of one layer: ready time against base temperature, for the site sheet."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from truebed.curing.layer_night import LayerNight, refuse_night
from truebed.curing.two_clocks import Asked, Band, band_of, ready_run


@dataclass(frozen=True, slots=True)
class ReleaseRow:
    """Ready time at one base temperature. warning: frost, '' where there is none; also by a few curves only."""

    base_c: float
    ready: Band
    warning: str


def release_table(night: LayerNight, asked: Asked, step_k: float) -> tuple[ReleaseRow, ...]:
    """Ready time against base temperature, from the least to the most that the sheet allows.

    Valid       a step above 0; air, mix, wind and sky as given; iron not given follows the base
    Source      as two_clocks
    Raises      ValueError for a step of nought or less; as refuse_night for the rest
    Proved by   tests/curing/test_release_table.py
    """
    if not step_k > 0.0:
        raise ValueError(f"a step of {step_k:g} K leads nowhere")
    refuse_night(night, asked.fitted, asked.limits, asked.data)
    least_c, most_c = asked.fitted.allowed_least_c, asked.fitted.allowed_most_c
    count = math.floor((most_c - least_c) / step_k + 1e-9) + 1
    bases = [least_c + step_k * index for index in range(count)]
    bases += [] if math.isclose(bases[-1], most_c) else [most_c]
    return tuple(_release_row(replace(night, base_c=base_c), asked) for base_c in bases)


def _release_row(night: LayerNight, asked: Asked) -> ReleaseRow:
    run = ready_run(night, asked, (night.target_n_per_mm2,))
    warning = "freezes before it is strong enough" if bool(run.frosted.any()) else ""
    return ReleaseRow(night.base_c, band_of(run.minutes[:, 0]), warning)
