"""The fitted road as a value: model, coefficients, covariance, what each reading says of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Model = Literal["plane", "plane and twist", "five terms", "two planes along", "two planes across", "full quadratic"]


@dataclass(frozen=True, slots=True)
class RoadPoint:
    """One road reading, reduced to a level, with its residual (reading minus fit) and whether the fit used it."""

    point: str
    x_mm: float
    y_mm: float
    level_mm: float
    residual_mm: float
    used: bool
    row: int


@dataclass(frozen=True, slots=True)
class GrossReading:
    """A reading found gross: off_mm from what the others say, its test statistic and the critical value.

    swapped_with  point that it changed places with; '' for none
    """

    point: str
    row: int
    off_mm: float
    statistic_ratio: float
    critical_ratio: float
    likely_cause: str
    swapped_with: str = ""


@dataclass(frozen=True, slots=True)
class ModelTried:
    """A shape that was tried on the readings and why it was taken or not; no errors where geometry cannot carry it."""

    model: Model
    taken: bool
    why: str
    loo_mm: float | None = None
    misfit_ratio: float | None = None


@dataclass(frozen=True, slots=True)
class OtherRoad:
    """Another road that the same readings allow: like the chosen one, with the weight that the readings give it."""

    model: Model
    coefficients: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    ridge_mm: float
    weight_share: float


@dataclass(frozen=True, slots=True)
class RoadSurface:
    """The road around one cover.

    coefficients   in the order of the model's terms; ridge_mm is the fold of a two-plane model
    covariance     of the coefficients, from the stated reading error; of a two-plane model one row more: the fold's
                   place (truebed.levels.road_terms.error_terms gives the terms that belong to it)
    loo_mm         leave-one-out root mean square error of the chosen model
    misfit_ratio   root mean square residual over what the reading error allows; above its limit the model is refused
    weight_share   of all roads that the readings allow, how much speaks for this one; others: the rest of them
    gain           of each row of the covariance by each point: how far 1 mm more in that reading moves it (0 where the
                   reading is not used); of a two-plane model to first order
    tried          every shape, simplest first, with why it was taken or not
    findable_mm    a gross reading of this size is found four times in five wherever it stands; smaller ones may pass
    """

    model: Model
    coefficients: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    ridge_mm: float
    reading_sd_mm: float
    points: tuple[RoadPoint, ...]
    gross: tuple[GrossReading, ...]
    loo_mm: float
    misfit_ratio: float
    others: tuple[OtherRoad, ...] = ()
    weight_share: float = 1.0
    gain: tuple[tuple[float, ...], ...] = ()
    tried: tuple[ModelTried, ...] = ()
    findable_mm: float = 0.0
