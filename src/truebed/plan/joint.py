"""The movement joint in the plan: how far it moves, whether the method's joint suffices, and when to seal it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from truebed.chamber.joined_cut import on_lines
from truebed.chamber.outlines import CutOut
from truebed.chamber.plane import Point, Ring
from truebed.curing.joint import Joint, JointData, JointMoves, SealWindow, effective_range_c, joint_data, joint_of
from truebed.curing.joint import seal_window as window_of
from truebed.errors import NotDeterminedError
from truebed.plan.base_hours import base_hours, laid_hours
from truebed.plan.case import Case
from truebed.rules.ruleset import RuleValue
from truebed.sheets.sheet import Sheet

#: Sides that stand this near to square on each other's run count as facing (cosine of 45 degrees).
FACING_RATIO = math.sqrt(0.5)


@dataclass(frozen=True, slots=True)
class Moving:
    """The length that moves towards the joint. extent_mm: of the piece across it; whole: held at the far side."""

    length_mm: float
    extent_mm: float
    whole: bool
    said: str


@dataclass(frozen=True, slots=True)
class SealHour:
    """One hour of the closure. in_window: the joint's width would do if sealed at this temperature; None: not known."""

    at: str
    piece_c: float
    in_window: bool | None
    allowed: bool | None
    advice: tuple[str, ...]

    @property
    def may_seal(self) -> bool | None:
        """Whether it may be sealed then; None where that is not known."""
        if self.in_window is False or self.allowed is False:
            return False
        return None if self.in_window is None or self.allowed is None else True


@dataclass(frozen=True, slots=True)
class JointPlan:
    """The movement joint of one cover.

    width_mm, depth_mm   the method's own
    wanted_depth_mm      depth for that width; deepest_mm, shallowest_mm: what the sheet's limits allow
    backer_mm            rod for the method's width; None where no usual size is large enough
    moves                None where the range of temperature is not determined
    whole_mm             all movement from the coldest to the hottest day, shrinkage included
    asked                what the worst hour of the closure asks, were it sealed then; asked_at, asked_c: that hour
    least_width_mm       the greater of that and the sheet's least width; None where not determined
    window               of the method's width; None where there is none, or it is not determined (unknown)
    hours                () without weather; taken: what was assumed; unknown: what is not determined, and why
    """

    pour: str
    sheet: str
    name: str
    file: str
    sealant_class: str
    class_place: str
    width_mm: float
    depth_mm: float
    wanted_depth_mm: float
    shallowest_mm: float
    deepest_mm: float
    sheet_width_mm: float
    limits_place: str
    backer_mm: float | None
    moving: Moving
    moves: JointMoves | None
    whole_mm: float | None
    asked: Joint | None
    asked_at: str
    asked_c: float | None
    least_width_mm: float | None
    window: SealWindow | None
    hours: tuple[SealHour, ...]
    shrinkage_mm_per_m: float
    shrinkage_from: str
    taken: tuple[str, ...]
    unknown: tuple[str, ...]

    @property
    def any_time(self) -> bool:
        """Whether the joint may be sealed at every temperature of the year, as far as its width goes."""
        if self.window is None or self.moves is None:
            return False
        return (self.window.coldest_c, self.window.hottest_c) == (self.moves.coldest_c, self.moves.hottest_c)


def joint_plan(case: Case, cut: CutOut) -> JointPlan | None:
    """The movement joint of a case; None where its method has none.

    Valid       a cut-out of the same case
    Source      truebed.curing.joint; the sheets; rule values shade_air_coldest_c, shade_air_hottest_c
    Proved by   tests/plan/test_joint.py
    """
    role = next((r for r in case.method.roles if r.role == "edge_seal"), None)
    layers = case.method.layers
    moving = moving_length(cut)
    if role is None or layers.joint_width_mm <= 0.0 or moving is None:
        return None
    sheet = case.sheets[role.sheet]
    data = with_depth(joint_data(), sheet)
    rate, shrinkage_from, given = shrinkage_of(case, data)
    moves, why_not = moves_of(case, moving, rate, data)
    unknown = [] if moves is not None else [why_not]
    if sheet.movement is None:
        unknown.append(
            f"The sheet of {sheet.name} gives no class of movement: least width and time of sealing are not determined."
        )
    asked, asked_at, asked_c = None, "", None
    window, hours = None, _hours(case, sheet, None, determined=False)
    if moves is not None and sheet.movement is not None:
        asked, asked_at, asked_c = worst_hour(moves, hours, sheet.movement.sealant_class, data)
        window = window_of(moves, layers.joint_width_mm, sheet.movement.sealant_class, data)
        hours = _hours(case, sheet, window, determined=True)
        if hours and asked is None:
            unknown.append(
                "Every hour of the closure lies outside the range that shade_air_coldest_c and shade_air_hottest_c "
                "give a piece: the width asked tonight is not determined."
            )
    if not hours:
        unknown.append("No weather of the closure: only the range of temperatures for sealing is told, no hours.")
    return JointPlan(
        pour=role.pour,
        sheet=sheet.key,
        name=sheet.name,
        file=sheet.file,
        sealant_class="" if sheet.movement is None else sheet.movement.sealant_class,
        class_place="" if sheet.movement is None else sheet.movement.place,
        width_mm=layers.joint_width_mm,
        depth_mm=layers.joint_depth_mm,
        wanted_depth_mm=depth_for(layers.joint_width_mm, data),
        shallowest_mm=data.figures["depth_least_mm"].value,
        deepest_mm=sheet.limits.thickness_most_mm,
        sheet_width_mm=sheet.limits.least_width_mm,
        limits_place=f"{sheet.file}: {sheet.limits_place}",
        backer_mm=backer_for(layers.joint_width_mm, data),
        moving=moving,
        moves=moves,
        whole_mm=None if moves is None else _whole_mm(moves),
        asked=asked,
        asked_at=asked_at,
        asked_c=asked_c,
        least_width_mm=None if asked is None else max(asked.least_width_mm, sheet.limits.least_width_mm),
        window=window,
        hours=hours,
        shrinkage_mm_per_m=rate,
        shrinkage_from=shrinkage_from,
        taken=_taken(given, shrinkage_from),
        unknown=tuple(unknown),
    )


def _whole_mm(moves: JointMoves) -> float:
    range_k = moves.hottest_c - moves.coldest_c
    return moves.expansion_per_k * moves.length_mm * range_k + moves.shrinkage_mm


def _taken(shrinkage_given: bool, shrinkage_from: str) -> tuple[str, ...]:
    taken = ["The piece is taken to move as concrete: a resin surface on it is held by what is below (house)."]
    if not shrinkage_given:
        taken.append(f"Shrinkage of the fill: {shrinkage_from}.")
    return tuple(taken)


def moving_length(cut: CutOut) -> Moving | None:
    """The greatest length that moves towards a sealed side: half of the piece, all of it where the far side is held.

    A joined cut-out is one piece. Along a kerb there is no joint: the piece is taken as held there.

    Valid       a cut-out with sides, or a round one; None where no side is sealed
    Source      algebra; joints at sawn sides only, as the take-off has them
    Proved by   tests/plan/test_joint.py
    """
    if not cut.sides:
        extent_mm = max(cut.along_mm, cut.across_mm)
        return Moving(extent_mm / 2.0, extent_mm, whole=False, said="half of the round cut-out, from its middle")
    ring = cut.ring if cut.joined is None else cut.joined.ring
    held = [(s.start, s.end) for s in cut.sides if s.kind == "kerb"]
    if cut.joined is not None:
        edges = zip(ring, (*ring[1:], ring[0]), strict=True)
        held += [(a, b) for a, b in edges if a != b and on_lines(a, b, cut.joined.kerbs)]
    found = [_towards(side.start, side.end, ring, held) for side in cut.sides if side.kind == "sawn"]
    return max(found, key=lambda one: one.length_mm, default=None)


def _towards(start: Point, end: Point, ring: Ring, held: list[tuple[Point, Point]]) -> Moving:
    """The length that moves towards one side of an anticlockwise ring."""
    long_mm = math.dist(start, end)
    nx, ny = (end[1] - start[1]) / long_mm, (start[0] - end[0]) / long_mm
    reach = [x * nx + y * ny for x, y in ring]
    extent_mm, middle_mm = max(reach) - min(reach), (max(reach) + min(reach)) / 2.0
    whole = any(_faces(one, (nx, ny), middle_mm) for one in held)
    said = (
        "all of the piece across that side: the kerb opposite holds it"
        if whole
        else "half of the piece across that side, from its middle"
    )
    return Moving(extent_mm if whole else extent_mm / 2.0, extent_mm, whole, said)


def _faces(line: tuple[Point, Point], normal: Point, middle_mm: float) -> bool:
    """Whether a line lies on the far half of the piece and runs along the side rather than across it."""
    (ax, ay), (bx, by) = line
    long_mm = math.dist(*line)
    across = abs((bx - ax) * normal[0] + (by - ay) * normal[1]) / long_mm
    return across < FACING_RATIO and ((ax + bx) * normal[0] + (ay + by) * normal[1]) / 2.0 < middle_mm


def shrinkage_of(case: Case, data: JointData) -> tuple[float, str, bool]:
    """The greatest shrinkage of the fills [mm/m], where it comes from, and whether every fill's sheet gave it.

    Valid       any case
    Source      the sheets; data/joint.toml where one does not say
    Proved by   tests/plan/test_joint.py
    """
    stated = data.figures["shrinkage_mm_per_m"]
    taken = f"{stated.value:g} mm in a metre taken, {stated.note} ({stated.source}, {stated.read_as})"
    rates: list[tuple[float, str]] = []
    fills = ("under_flange_fill", "surround_fill", "running_surface")
    for role in case.method.roles:
        sheet = case.sheets[role.sheet]
        if role.role not in fills or sheet.kind != "cement":
            continue
        own = sheet.shrinkage
        rates.append((stated.value, taken) if own is None else (own.shrinkage_mm_per_m, f"{sheet.file}: {own.place}"))
    if not rates:
        return stated.value, taken, False
    most = max(rates, key=lambda rate: rate[0])
    return most[0], most[1], all(where != taken for _, where in rates)


def air_rules(case: Case) -> tuple[RuleValue | None, RuleValue | None]:
    """The rule set's coldest and hottest air of the place.

    Valid       any case
    Source      rule values shade_air_coldest_c, shade_air_hottest_c
    Proved by   tests/plan/test_joint.py
    """
    words = case.words()
    return case.rules.find("shade_air_coldest_c", *words), case.rules.find("shade_air_hottest_c", *words)


def moves_of(case: Case, moving: Moving, rate_mm_per_m: float, data: JointData) -> tuple[JointMoves | None, str]:
    """What the joint goes through, else why that is not determined.

    Valid       any case
    Source      [en-1991-1-5] range of a concrete piece from shade air (from memory); the rule set's air
    Proved by   tests/plan/test_joint.py
    """
    coldest, hottest = air_rules(case)
    if coldest is None or hottest is None or isinstance(coldest.value, str) or isinstance(hottest.value, str):
        why_not = (
            f"The rule set '{case.rules.key}' gives no shade_air_coldest_c and shade_air_hottest_c: how far the joint "
            "moves is not determined."
        )
        return None, why_not
    try:
        low_c, high_c = effective_range_c(coldest.value, hottest.value, data)
    except NotDeterminedError as unknown:
        return None, f"How far the joint moves is not determined: {unknown}."
    shrinkage_mm = rate_mm_per_m * moving.length_mm / 1000.0
    return JointMoves(moving.length_mm, data.expansion_per_k["concrete"], low_c, high_c, shrinkage_mm), ""


def with_depth(data: JointData, sheet: Sheet) -> JointData:
    """The joint's data with the sheet's own least thickness as the least depth: it goes before the general one.

    Valid       any sealant
    Source      the sheet's limits
    Proved by   tests/plan/test_joint.py
    """
    general = data.figures["depth_least_mm"]
    own = replace(
        general, value=sheet.limits.thickness_least_mm, source=f"{sheet.file}: {sheet.limits_place}", read_as="seen"
    )
    return replace(data, figures={**data.figures, "depth_least_mm": own})


def depth_for(width_mm: float, data: JointData) -> float:
    """Depth of sealant for a width: about half of it, never below the least.

    Valid       width above 0
    Source      common practice, no source; least depth: the sheet
    Proved by   tests/plan/test_joint.py
    """
    return max(data.figures["depth_least_mm"].value, data.figures["depth_ratio"].value * width_mm)


def backer_for(width_mm: float, data: JointData) -> float | None:
    """The next usual rod that is wide enough to hold by itself in a joint; None where there is none.

    Valid       width above 0
    Source      common practice, no source; usual sizes from memory
    Proved by   tests/plan/test_joint.py
    """
    need_mm = width_mm * (1.0 + data.figures["backer_over_share"].value)
    return next((size for size in data.backers_mm if size >= need_mm), None)


def worst_hour(
    moves: JointMoves, hours: tuple[SealHour, ...], sealant_class: str, data: JointData
) -> tuple[Joint | None, str, float | None]:
    """The joint that the worst hour of the closure asks for, were it sealed then; hours outside the year's range apart.

    Valid       hours of one closure
    Source      truebed.curing.joint
    Proved by   tests/plan/test_joint.py
    """
    asked = [
        (joint_of(moves, hour.piece_c, sealant_class, data), hour)
        for hour in hours
        if moves.coldest_c <= hour.piece_c <= moves.hottest_c
    ]
    if not asked:
        return None, "", None
    joint, hour = max(asked, key=lambda one: (one[0].least_width_mm, max(one[0].opens_mm, one[0].closes_mm)))
    return joint, hour.at, hour.piece_c


def _hours(case: Case, sheet: Sheet, window: SealWindow | None, *, determined: bool) -> tuple[SealHour, ...]:
    if case.closure is None:
        return ()
    found = []
    for hour in laid_hours(sheet, base_hours(case), case.closure.mix_temp_c):
        inside = window is not None and window.coldest_c <= hour.face_c <= window.hottest_c
        found.append(SealHour(hour.at, hour.face_c, inside if determined else None, hour.allowed, hour.advice))
    return tuple(found)


__all__ = [
    "JointPlan",
    "Moving",
    "SealHour",
    "air_rules",
    "backer_for",
    "depth_for",
    "joint_plan",
    "moves_of",
    "moving_length",
    "shrinkage_of",
    "with_depth",
    "worst_hour",
]
