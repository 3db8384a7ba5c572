"""What a chart of one layer shows: strength at its slowest point with its band, and the temperatures of its faces."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.curing.heat import Cured
from truebed.curing.layer_night import LayerNight, refuse_night
from truebed.curing.two_clocks import Asked, Band, band_of, central_cure, ready_run

#: Strengths at which the band is worked out, as shares of the highest shown; the highest as a share of the target.
LEVELS_SHARE = (
    0.02, 0.05, 0.1, 0.15, 0.2, 0.26, 0.32, 0.38, 0.44, 0.5, 0.55, 0.6, 0.65, 0.7, 0.74, 0.78, 0.81, 0.84, 0.87, 0.9,
    0.92, 0.94, 0.96, 0.98, 1.0,
)  # fmt: skip
ABOVE_RATIO = 1.2


@dataclass(frozen=True, slots=True)
class StrengthLevel:
    """When the slowest point has one strength."""

    strength_n_per_mm2: float
    reached: Band


@dataclass(frozen=True, slots=True)
class FaceTemps:
    """Temperatures of the layer's faces at one minute of the most probable run, in the middle of the flange."""

    minutes_min: float
    top_c: float
    foot_c: float


@dataclass(frozen=True, slots=True)
class LayerCourse:
    """A layer's course, from placing to a little past the latest ready time; levels grow, minutes grow."""

    levels: tuple[StrengthLevel, ...]
    faces: tuple[FaceTemps, ...]


def layer_course(night: LayerNight, asked: Asked) -> LayerCourse:
    """Strength and temperatures over minutes, nothing past the sheet's last datum.

    Valid       as two_clocks
    Source      as two_clocks; the band in time at a strength is that in strength at a time, since strength never falls
    Raises      as layer_night.refuse_night
    Proved by   tests/curing/test_strength_band.py
    """
    refuse_night(night, asked.fitted, asked.limits, asked.data)
    top_n_per_mm2 = min(ABOVE_RATIO * night.target_n_per_mm2, asked.fitted.last_datum_n_per_mm2)
    strengths = tuple(sorted({night.target_n_per_mm2, *(top_n_per_mm2 * share for share in LEVELS_SHARE)}))
    run = ready_run(night, asked, strengths)
    levels = tuple(StrengthLevel(strength, band_of(run.minutes[:, index])) for index, strength in enumerate(strengths))
    return LayerCourse(levels, _faces(night, central_cure(night, asked, top_n_per_mm2)))


def _faces(night: LayerNight, cured: Cured) -> tuple[FaceTemps, ...]:
    trace, first = cured.trace, 0 if night.iron_mm is None else 2
    rows = zip(trace.minutes_min.tolist(), trace.face_c[:, first : first + 2].tolist(), strict=True)
    return tuple(FaceTemps(minutes, *faces) for minutes, faces in rows)
