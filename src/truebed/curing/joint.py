"""The movement joint at the edge of a reinstatement: how far it moves, how wide and deep, when to seal it."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources

from truebed.curing.surfaces import Figure, figure_of
from truebed.errors import NotDeterminedError


@dataclass(frozen=True, slots=True)
class JointData:
    """All of data/joint.toml: classes of sealant, expansion per kelvin by material, figures, sizes of backers."""

    movement_share: Mapping[str, float]
    expansion_per_k: Mapping[str, float]
    figures: Mapping[str, Figure]
    backers_mm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class JointMoves:
    """What a joint goes through.

    length_mm     from the fixed point of the piece to the joint: half of it where it moves from its middle
    coldest_c, hottest_c  effective temperatures of the piece itself
    shrinkage_mm  still to come after sealing; opens the joint
    """

    length_mm: float
    expansion_per_k: float
    coldest_c: float
    hottest_c: float
    shrinkage_mm: float


@dataclass(frozen=True, slots=True)
class Joint:
    """A joint as it is to be made; opens and closes counted from the width at sealing."""

    least_width_mm: float
    depth_mm: float
    backer_mm: float | None
    opens_mm: float
    closes_mm: float
    governed_by: str


@dataclass(frozen=True, slots=True)
class SealWindow:
    """Between which temperatures of the piece a joint of a given width may be sealed."""

    coldest_c: float
    hottest_c: float


@cache
def joint_data() -> JointData:
    """The packaged values.

    Source      data/joint.toml: [iso-11600] classes, [en-1991-1-5] expansion (both from memory)
    Proved by   tests/curing/test_joint.py
    """
    raw = tomllib.loads(resources.files("truebed").joinpath("data/joint.toml").read_text("utf-8"))
    return JointData(
        {row["key"]: float(row["movement_share"]) for row in raw["class"]},
        {row["key"]: float(row["micro_per_k"]) * 1e-6 for row in raw["expansion"]},
        {row["name"]: figure_of(row) for row in raw["figure"]},
        tuple(float(size) for size in raw["backers"]["sizes_mm"]),
    )


def effective_range_c(coldest_air_c: float, hottest_air_c: float, data: JointData) -> tuple[float, float]:
    """Least and greatest mean temperature of a concrete piece from the coldest and hottest shade air of the place.

    Valid       a thick pale piece as a bridge deck; thin black ones go hotter (give their own range then)
    Source      [en-1991-1-5] concrete decks (from memory)
    Raises      NotDeterminedError where the coldest is above the hottest
    Proved by   tests/curing/test_joint.py
    """
    coldest_c = coldest_air_c + data.figures["coldest_above_air_k"].value
    hottest_c = hottest_air_c + data.figures["hottest_above_air_k"].value
    if not coldest_c < hottest_c:
        raise NotDeterminedError(f"air from {coldest_air_c:g} to {hottest_air_c:g} °C is no range of a year")
    return coldest_c, hottest_c


def opening_mm(moves: JointMoves, sealed_c: float, now_c: float) -> float:
    """How much wider the joint is by temperature than when it was sealed; negative where it closed.

    Valid       a piece that moves freely from its fixed point
    Source      algebra: length, expansion, temperature
    Proved by   tests/curing/test_joint.py
    """
    return moves.expansion_per_k * moves.length_mm * (sealed_c - now_c)


def joint_of(moves: JointMoves, sealed_c: float, sealant_class: str, data: JointData) -> Joint:
    """The least width at sealing, the depth and the backer for a class of sealant and a temperature at sealing.

    Valid       movement across the joint only; the class counts each way from the width at sealing
    Source      [iso-11600] classes (from memory); depth and backer: common practice, no source
    Raises      NotDeterminedError for a class that is not known, or values that cannot be
    Proved by   tests/curing/test_joint.py
    """
    share = _share_of(sealant_class, data)
    _refuse(moves, sealed_c)
    opens = max(0.0, opening_mm(moves, sealed_c, moves.coldest_c)) + moves.shrinkage_mm
    closes = max(0.0, -opening_mm(moves, sealed_c, moves.hottest_c))
    width = max(opens, closes) / share
    governed = "opening in the cold" if opens >= closes else "closing in the heat"
    shallow = data.figures["depth_least_mm"].value
    if width < shallow:
        width, governed = shallow, "least depth: no joint is deeper than wide"
    depth = max(shallow, data.figures["depth_ratio"].value * width)
    need = width * (1.0 + data.figures["backer_over_share"].value)
    backer = next((size for size in data.backers_mm if size >= need), None)
    return Joint(width, depth, backer, opens, closes, governed)


def seal_window(moves: JointMoves, width_mm: float, sealant_class: str, data: JointData) -> SealWindow | None:
    """When a joint of a given width may be sealed: the temperatures at which neither cold nor heat asks too much.

    None where there is none: the joint is too narrow for this class at any temperature.

    Valid       width above 0, measured when it is sealed
    Source      algebra from [iso-11600] classes (from memory)
    Raises      NotDeterminedError as joint_of
    Proved by   tests/curing/test_joint.py
    """
    able_mm = _share_of(sealant_class, data) * width_mm
    _refuse(moves, moves.coldest_c)
    per_k = moves.expansion_per_k * moves.length_mm
    if able_mm < moves.shrinkage_mm:
        return None
    low_c = max(moves.coldest_c, moves.hottest_c - able_mm / per_k)
    high_c = min(moves.hottest_c, moves.coldest_c + (able_mm - moves.shrinkage_mm) / per_k)
    return SealWindow(low_c, high_c) if low_c <= high_c else None


def _share_of(sealant_class: str, data: JointData) -> float:
    if sealant_class not in data.movement_share:
        known = ", ".join(data.movement_share)
        raise NotDeterminedError(f"sealant class '{sealant_class}' is not known; the classes are {known}")
    return data.movement_share[sealant_class]


def _refuse(moves: JointMoves, sealed_c: float) -> None:
    if not (moves.length_mm > 0.0 and moves.expansion_per_k > 0.0 and moves.shrinkage_mm >= 0.0):
        raise NotDeterminedError("a joint needs a length and an expansion above 0, and no negative shrinkage")
    if not moves.coldest_c < moves.hottest_c:
        raise NotDeterminedError(f"{moves.coldest_c:g} to {moves.hottest_c:g} °C is no range of temperature")
    if not moves.coldest_c <= sealed_c <= moves.hottest_c:
        raise NotDeterminedError(
            f"sealing at {sealed_c:g} °C lies outside the range {moves.coldest_c:g} to {moves.hottest_c:g} °C; mend one"
        )
