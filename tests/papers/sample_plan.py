"""A whole plan built by hand, self-consistent, invented: three designed covers and one that could not be designed.

K11 is a rectangle whose chamber wall is narrower than its flange, K12 is round in a square cut turned by 15 degrees,
K13 is a gully whose cut is clipped by the kerb and which is left out tonight.
"""

from __future__ import annotations

import math
from datetime import datetime, timedelta, timezone

from papers.sample_night import closure_parts
from truebed.chamber.outlines import CutOut, Outlines
from truebed.chamber.plane import Plane, Ring
from truebed.curing.clocks import ClockReading
from truebed.findings import Finding, Severity
from truebed.levels.setting import BedPoint, FrameSetting, RimPoint, Verdict
from truebed.levels.surface import GrossReading, RoadPoint, RoadSurface
from truebed.mixing.kits import Batch, PourKits, RoleVolume
from truebed.plan.result import (
    Caution,
    ClosurePlan,
    CoverDesign,
    HoldPoint,
    LoadLine,
    NotDesigned,
    Plan,
)
from truebed.why import Figure, Why

ROAD = Plane(-2.0, 0.012, -0.025)
RIM = Plane(-2.6, 0.0125, -0.0245)
CHAMBER_TOP = Plane(-182.0, 0.004, -0.010)
K11_NAMES = ("front-left", "rear-left", "rear-right", "front-right")
HOLDS = (
    HoldPoint("clean", "Chamber top measured", "measure the chamber top at eight points"),
    HoldPoint("set-frame", "Frame levels", "read the levels at all four corners against the sheet"),
    HoldPoint("read-levels", "Frame levels again", "read the levels again before the bed sets"),
    HoldPoint("pour-fill", "Fill shows all round", "look for fill at every vent"),
    HoldPoint("surface", "Base dry", "base dry, clean and primed before the resin"),
    HoldPoint("prove", "Cover does not rock", "rock the cover at each corner; read the levels"),
)
CAUTIONS = (
    Caution("open-hole", "Open hole", "Guard the opening whenever nobody works at it.", "common practice, no source"),
    Caution("cement-alkaline", "Wet cement", "Gloves and goggles; wash off at once.", "common practice, no source"),
    Caution("resin-vapour", "Resin vapour", "Work upwind; no flames & no smoking.", "common practice, no source"),
)  # fmt: skip


def rectangle(along_mm: float, across_mm: float, turn_deg: float = 0.0) -> Ring:
    """A rectangle about the origin, anticlockwise."""
    half = ((along_mm / 2, across_mm / 2), (-along_mm / 2, across_mm / 2))
    corners = (*half, *((-x, -y) for x, y in half))
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return tuple((cos * x - sin * y, sin * x + cos * y) for x, y in corners)


def round_ring(diameter_mm: float, count: int = 72) -> Ring:
    """A circle as a ring."""
    turns = (2 * math.pi * i / count for i in range(count))
    return tuple((diameter_mm / 2 * math.cos(t), diameter_mm / 2 * math.sin(t)) for t in turns)


def rim_point(name: str, x_mm: float, y_mm: float) -> RimPoint:
    """A point of the sample rim over the sample road."""
    rim_mm, road_mm = RIM.at(x_mm, y_mm), ROAD.at(x_mm, y_mm)
    return RimPoint(name, x_mm, y_mm, rim_mm, road_mm, rim_mm - road_mm)


def bed_point(name: str, x_mm: float, y_mm: float, depth_mm: float) -> BedPoint:
    """A point of the sample bed."""
    under_mm, top_mm = RIM.at(x_mm, y_mm) - depth_mm, CHAMBER_TOP.at(x_mm, y_mm)
    return BedPoint(name, x_mm, y_mm, under_mm, top_mm, under_mm - top_mm)


def setting(corners: tuple[tuple[str, float, float], ...], rim: Ring, seat: Ring, measured: bool) -> FrameSetting:
    """The sample frame's setting: rim plane over the sample road, bed over the sample chamber top."""
    around = tuple(rim_point(f"r{i + 1}", x, y) for i, (x, y) in enumerate(rim))
    worst = max(around, key=lambda p: abs(p.departure_mm))
    named = tuple(name for name, _, _ in corners)
    bed = tuple(bed_point(name, x, y, 150.0) for name, (x, y) in zip(named, seat, strict=True))
    mean = sum(p.departure_mm for p in around) / len(around)
    return FrameSetting(
        rim=RIM, chamber_top=CHAMBER_TOP, chamber="measured" if measured else "estimate", set_down_mm=0.0,
        greatest_departure_mm=abs(worst.departure_mm), greatest_at=worst.name,
        corners=tuple(rim_point(*corner) for corner in corners), rim_points=around, bed=bed,
        bed_least_mm=min(p.bed_mm for p in bed), bed_most_mm=max(p.bed_mm for p in bed),
        bed_limit_least_mm=10.0, bed_limit_most_mm=50.0, bed_governs=False,
        clause=Verdict("clause", mean, -6.0, 6.0, True, 0.987, "[sroh-4] S2.3.1 (seen)"),
        rim_verdict=Verdict("rim", worst.departure_mm, -6.0, 6.0, True, 0.942, "[house] every rim point (assumption)"),
    )  # fmt: skip


def road(gross: bool) -> RoadSurface:
    """Eight readings round the cover on the sample road, the fifth gross if asked."""
    points = []
    for i in range(8):
        x_mm, y_mm = 560 * math.cos(i * math.pi / 4), 560 * math.sin(i * math.pi / 4)
        off_mm = 14.0 if gross and i == 4 else 0.8 * (-1) ** i
        points.append(
            RoadPoint(f"P{i + 1}", x_mm, y_mm, ROAD.at(x_mm, y_mm) + off_mm, off_mm, not (gross and i == 4), i + 2)
        )
    found = (GrossReading("P5", 6, 14.0, 6.1, 3.3, "staff misread by a graduation"),) if gross else ()
    terms = (ROAD.level_mm, ROAD.slope_x_ratio, ROAD.slope_y_ratio)
    spread = ((0.6, 0.0, 0.0), (0.0, 4e-6, 0.0), (0.0, 0.0, 4e-6))
    return RoadSurface("plane", terms, spread, 0.0, 2.0, tuple(points), found, 0.9, 0.6)


def volumes() -> tuple[RoleVolume, ...]:
    """What the roles take."""
    return (
        RoleVolume("bed", "Quoin bed", "bed", 7.4, 1.9, 21.0, 39.0),
        RoleVolume("under_flange_fill", "Marl flow", "fill", 24.6, 2.2, 70.0, 84.0),
        RoleVolume("surround_fill", "Tithe backfill", "backfill", 19.8, 2.0, 74.0, 92.0),
        RoleVolume("running_surface", "Gable top <5 % grit>", "surface", 12.1, 0.9, 32.0, 32.0),
        RoleVolume("edge_seal", "Selvage seal", "seal", 2.7, 0.0, 25.0, 25.0),
    )


def kits() -> tuple[PourKits, ...]:
    """Whole kits of the pours."""
    return (
        PourKits("bed", "Quoin bed", 7.4, 7.8, 1.9, 1, 1, 2.2, (Batch(1, 1, 10.0),), 4.0),
        PourKits("fill", "Marl flow", 24.6, 26.1, 2.2, 3, 0, 3.9, (Batch(1, 2, 20.0), Batch(2, 1, 10.0)), 4.0),
        PourKits("backfill", "Tithe backfill", 19.8, 21.0, 2.0, 2, None, 3.0,
                 (Batch(1, 1, 12.0), Batch(2, 1, 12.0)), 5.0),
        PourKits("surface", "Gable top <5 % grit>", 12.1, 12.8, 0.9, 2, 0, 1.2,
                 (Batch(1, 1, 7.0), Batch(2, 1, 7.0)), 5.0),
        PourKits("seal", "Selvage seal", 2.7, 2.9, 0.0, 3, 1, 0.4, (Batch(1, 3, 3.3),), 0.0),
    )  # fmt: skip


def clocks() -> tuple[ClockReading, ...]:
    """Clocks at the night's temperatures."""
    return (
        ClockReading("bed", "Quoin bed", "life", None, 18.0, 15.0, 21.0, 16.0, "mix", False),
        ClockReading("bed", "Quoin bed", "set", None, 34.0, 29.0, 41.0, 7.5, "air 23:00"),
        ClockReading("fill", "Marl flow", "life", None, 22.0, 19.0, 26.0, 16.0, "mix", False),
        ClockReading("fill", "Marl flow", "set", None, 38.0, 33.0, 46.0, 6.5, "air 00:00"),
        ClockReading("surface", "Gable top <5 % grit>", "life", None, 14.0, 12.0, 16.0, 16.0, "mix", False),
        ClockReading("surface", "Gable top <5 % grit>", "ready", None, 62.0, 55.0, 74.0, 4.5, "air 03:00"),
        ClockReading("fill", "Marl flow", "strength", 20.0, 150.0, 128.0, 181.0, 5.0, "air 02:00"),
    )


def design(cover: str, kind: str, outlines: Outlines, cut: CutOut, **of: object) -> CoverDesign:
    """One cover's design with what the three have in common."""
    round_one = of["shape"] == "round"
    turn_deg = float(str(of["turn_deg"]))
    reach = max(x for x, _ in outlines.body)
    quarters = (("front", reach, 0.0), ("left", 0.0, reach), ("rear", -reach, 0.0), ("right", 0.0, -reach))
    square = tuple((n, x, y) for n, (x, y) in zip(K11_NAMES, rectangle(2 * reach, 2 * reach), strict=True))
    corners = quarters if round_one else square
    rim = round_ring(2 * reach, 16) if round_one else tuple(_along(rectangle(2 * reach, 2 * reach), 4))
    far = max(x for x, _ in outlines.flange)
    seat = tuple((x / reach * far, y / reach * far) for _, x, y in corners)
    changed = of.get("changed", ())
    return CoverDesign(
        cover=cover, street="Tenter Lane", kind=kind, load_class="D400", place="carriageway", method="five-layer",
        method_name="Bed, flowable concrete, flowable backfill, resin surface, sealed joint",
        shape=str(of["shape"]), turn_deg=turn_deg, frame_depth_mm=150.0, flange_thick_mm=12.0, surface_depth_mm=32.0,
        over_flange_mm=12.0, floor_below_mm=20.0, joint_width_mm=30.0, joint_depth_mm=25.0, outlines=outlines, cut=cut,
        road=road(gross=cover == "K11"), setting=setting(corners, rim, seat, measured=bool(changed)), volumes=volumes(),
        dig_l=104.0, kits=kits(), clocks=clocks(), opening_strength_n_per_mm2=20.0, holds=HOLDS, cautions=CAUTIONS,
        changed=tuple(str(line) for line in changed) if isinstance(changed, tuple) else (),
        remark=str(of.get("remark", "")),
    )  # fmt: skip


def _along(ring: Ring, parts: int) -> list[tuple[float, float]]:
    """Points along a ring's edges, `parts` to an edge."""
    out = []
    for (xa, ya), (xb, yb) in zip(ring, (*ring[1:], ring[0]), strict=True):
        out += [(xa + (xb - xa) * i / parts, ya + (yb - ya) * i / parts) for i in range(parts)]
    return out


def designs() -> tuple[CoverDesign, ...]:
    """The three designed covers."""
    square = Outlines(
        rectangle(600, 600), rectangle(640, 640), rectangle(800, 800), rectangle(784, 784), rectangle(580, 580),
        rectangle(950, 950),
    )  # fmt: skip
    disc = Outlines(
        round_ring(600), round_ring(650), round_ring(800), round_ring(1105), round_ring(675), rectangle(960, 960, 15),
    )  # fmt: skip
    kerbed = tuple((x, min(y, 420.0)) for x, y in rectangle(950, 950))
    gully = Outlines(square.opening, square.body, square.flange, square.wall, square.chamber, kerbed)
    cuts = (
        CutOut(square.cut, 950.0, 950.0, 75.0, "sound margin", 3.8, 90.0, 202.0, 155.0, 450.0, False),
        CutOut(
            disc.cut,
            960.0,
            960.0,
            80.0,
            "least width of Gable top",
            3.84,
            90.0,
            202.0,
            None,
            None,
            False,
            turn_deg=15.0,
        ),
        CutOut(kerbed, 950.0, 895.0, 75.0, "sound margin", 3.69, 90.0, 202.0, 155.0, 450.0, True),
    )
    changed = (
        "The measured chamber top lies 6 mm lower than estimated: bed 27.6 to 39.0 mm, was 21.0 to 33.0 mm.",
        "Bed kits: 2, was 1.",
    )
    return (
        design("K11", "cover", square, cuts[0], shape="rectangle", turn_deg=0.0,
               remark="Rocks towards the *kerb* side; #2 lid has a @broken ear & <chipped> seat, $ not priced"),
        design("K12", "cover", disc, cuts[1], shape="round", turn_deg=15.0, changed=changed),
        design("K13", "gully", gully, cuts[2], shape="rectangle", turn_deg=0.0),
    )  # fmt: skip


def findings() -> tuple[Finding, ...]:
    """One of each severity, and one whose words try to be a formula."""
    return (
        Finding("LV", Severity.BREAKS, "K14", "readings span only one side of the cover", None, "", "all round",
                "[house] spread of readings (assumption)", "Read levels on the far side."),
        Finding("LV", Severity.CLOSE, "K11, reading P5", "lies off what the others say and was not used", 14.0, "mm",
                "6.6 mm", "[baarda-1968] (memory-high)", "Read P5 again."),
        Finding("KT", Severity.ADVICE, "K12", "one spare kit of bed covers the upper end of the range", 1.0, "kit"),
        Finding("CU", Severity.STATED, "Tenter-1", "=SUM(A1) is only a word here", -2.5, "C", "", "from memory"),
    )  # fmt: skip


def load() -> tuple[LoadLine, ...]:
    """The load list."""
    return (
        LoadLine("Tenter-1", "Quoin bed", "quoin-bed", 2, 2, "kit", ("K11", "K12"), ""),
        LoadLine("Tenter-1", "Marl flow", "marl-flow", 6, 0, "kit", ("K11", "K12"), "keep dry"),
        LoadLine("Tenter-1", "Tithe backfill", "tithe-backfill", 4, None, "kit", ("K11", "K12"), "=1+1 is not a sum"),
        LoadLine("Tenter-1", "+Gable top", "gable-top", 4, 0, "kit", ("K11", "K12"), ""),
    )


def sample_closure() -> ClosurePlan:
    """The closure: K11 and K12 done, K13 left out, K14 not designed."""
    offset = timezone(timedelta(hours=1))
    problem, solution, hand, left_out, steps = closure_parts()
    return ClosurePlan(
        closure="Tenter-1", streets=("Tenter Lane", "Weft Row"), kind="lane",
        shut=datetime(2031, 10, 14, 20, 0, tzinfo=offset), open_by=datetime(2031, 10, 15, 6, 0, tzinfo=offset),
        noisy_work_ends=datetime(2031, 10, 14, 23, 0, tzinfo=offset), designed=designs(),
        not_designed=(NotDesigned("K14", "Weft Row", "box", "Readings lie on one side only; the road there is unknown.",
                                  "Read at least three levels on the far side."),),
        problem=problem, solution=solution, hand=hand, left_out=left_out, steps=steps,
        people=("lead", "saw", "lift", "resin"), coldest_c=4.5, hottest_c=12.0,
    )  # fmt: skip


def sample_plan() -> Plan:
    """The whole sample plan."""
    why = Why(
        "level of the rim at the front-left corner", 2.0, "mm", "rim plane: a + b x + c y", "algebra",
        (Why("reading P2", 3.0, "mm", "levelled", "readings.csv row 3"), Why("model", "plane", "", "least", "house")),
        "tolerance", 4.0,
    )  # fmt: skip
    return Plan(
        works="Tenter ward ironwork", reference="TW-031", rule_set="uk", time_zone="Europe/London",
        demo=True, truebed="0.1.0", closures=(sample_closure(),), load=load(), findings=findings(),
        figures=(("K11.level.front-left", Figure(2.0, "mm", why, 1.4)), ("K11.rain", Figure(None, "mm", why))),
        notes=("The chamber top of K11 is an estimate until the frame is lifted.",), input_sha256="ab" * 32,
    )  # fmt: skip
