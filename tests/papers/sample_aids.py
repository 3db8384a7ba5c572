"""What the ground tells the crew and the office, built by hand for a sample cover; invented, self-consistent."""

from __future__ import annotations

from dataclasses import replace

from papers.sample_plan import K11_NAMES, rectangle
from truebed.chamber.cut_parts import (
    Core,
    CornerWork,
    CutOption,
    CutShare,
    JoinedCut,
    KeepOff,
    OverCut,
    PulledBack,
    SawDepth,
    Strip,
)
from truebed.chamber.extras import Extras
from truebed.chamber.waste import Waste, WasteLayer
from truebed.levels.bed_forecast import BedForecast, BedSpan
from truebed.levels.beside import KerbUpstand, StaffTarget
from truebed.levels.packers import PackerPlace, Stack
from truebed.levels.parts import PartsSetting, PartStep
from truebed.levels.ponding import Ponding
from truebed.levels.ride import Limit, LineGap, Ride, WheelStep
from truebed.levels.sensitivity import Pull
from truebed.levels.straightedge import Gap
from truebed.levels.string_offsets import HeldEnd, StringLine, StringMark
from truebed.plan.result import CoverDesign
from truebed.plan.site_aids import SiteAids, StandTargets

STEP = WheelStep(-232.0, -325.0, -139.0, "onto the frame", 3.2, 3.2)
GAP = LineGap("across", -325.0, Gap(4.6, -300.0, -750.0, 100.0), 1500.0, False)
RIDE = Ride((STEP,), STEP, True, "[house] band (assumption)", (GAP,), GAP, False, Limit(3.0, "[house] gap"), 2)
DRY = Ponding(0.0, (0.0, 0.0), 0.0, 0.0, 0.57, 83.0, (0.0, 0.0), 84.0, 1.0, 20.0, 0.5)
WET = replace(DRY, depth_mm=6.4, at=(-530.0, 330.0), area_m2=0.31, volume_l=1.2)
WASTE = Waste((WasteLayer("bound", 34.6, 0.0, 0.08), WasteLayer("unbound", 39.3, 8.1, 0.08)), 73.9, 8.1, 0.16, 103.0, 2)
EXTRAS = Extras(2480.0, 79360.0, 42.7, 12.3, 384400.0, 0.0, 0.0)
FORECAST = BedForecast(
    (BedSpan("seat 1", 0.0, 0.0, 30.0, 16.8, 43.2), BedSpan("seat 2", 9.0, 0.0, 25.0, 11.7, 38.3)),
    8.0, 0.63, 0.9335, 13.9, 16.4,
)  # fmt: skip
SQUARE_RUN = CutOption("square", "run on", True, "", 9.0e5, 3.8, 1.22, 0, 0.0, 0.0, 0.0, 0.0, 0.0)
ROUND_OPTION = CutOption(
    "round", "none", False, "the kerb is in its way", 1.1e6, 3.9, 0.0, 0, 0.0, 0.0, 0.0, 62.2, None
)
SAW = SawDepth(100.0, 100.0, 90.0, 10.0, 102.0, 2, 7.6)


def staff(design: CoverDesign, set_up: str, mark_mm: float) -> StandTargets:
    """What one stand reads on the set points, its bench mark reading given."""
    corners = design.setting.corners
    return StandTargets(set_up, tuple(StaffTarget(c.name, c.rim_mm, mark_mm - c.rim_mm) for c in corners))


def stacks(design: CoverDesign, pieces_mm: tuple[float, ...]) -> tuple[Stack, ...]:
    """The same pieces under every set point of a frame that stands 35.4 mm over its chamber top."""
    high_mm = 35.4
    residual_mm = high_mm - sum(pieces_mm)
    return tuple(
        Stack(PackerPlace(c.name, c.x_mm, c.y_mm, high_mm), pieces_mm, residual_mm) for c in design.setting.corners
    )


def strings() -> tuple[StringLine, ...]:
    """Two strings, the second held at one end where nobody read the road."""
    marks = (StringMark(K11_NAMES[1], 275.0, 21.8), StringMark(K11_NAMES[0], 925.0, 23.4))
    ends = (HeldEnd(-600.0, 325.0, 12.0, True), HeldEnd(600.0, 325.0, 14.0, True))
    kerbed = (HeldEnd(-245.0, -480.0, 12.0, True), HeldEnd(-245.0, 458.0, 14.0, False))
    return (StringLine(*ends, 1200.0, 25.0, marks), StringLine(*kerbed, 938.0, 30.0, marks))


def aids_of(design: CoverDesign, pieces_mm: tuple[float, ...] = (20.0, 10.0, 5.0)) -> SiteAids:
    """Everything beside the levels."""
    pulls = (Pull("P3", 4, (("front-left", 0.33),), 0.33, 0.1), Pull("P7", 8, (("rear-left", -0.2),), -0.2, 0.1))
    return SiteAids(
        staff=(staff(design, "S1", 1500.0), staff(design, "S2", 1722.0)),
        strings=strings(),
        packers=stacks(design, pieces_mm),
        kerbs=(KerbUpstand("K1", 82, 191.0, 104.6, 105.9, "r6", 163.0),),
        forecast=FORECAST,
        pulls=pulls,
        ride=RIDE,
        ponding=DRY,
    )


def full(design: CoverDesign) -> CoverDesign:
    """A design with all that the ground can tell of a frame of one casting."""
    return replace(
        design, aids=aids_of(design), waste=WASTE, extras=EXTRAS,
        diagnosis=(
            f"{design.cover}: re-bed - the frame comes out", "   do: lift the frame", "   how sure: 0.97",
            "   would change the answer: courses: not looked at", "   would change the answer: slab: cracked",
        ),
        margin=("   sound margin, front: 85 mm (between 60 and 110 mm)", "   sound margin, left: NOT KNOWN",
                "   tap next, left: x 0, y 560 mm (beyond the last tap)", "   taps tell the top 150 mm only"),
        keep_off=(KeepOff("lamp post", rectangle(100.0, 100.0)),),
        cut=replace(
            design.cut, margins_mm=(75.0, 60.0, 75.0, 75.0), saw=SAW, options=(SQUARE_RUN, ROUND_OPTION),
            corners=CornerWork("run on", 90.0, (OverCut((0.0, 0.0), (180.0, 0.0), 180.0, ()),
                               OverCut((0.0, 0.0), (0.0, 180.0), 180.0, ("the kerb",))),
                               left_depth_mm=90.0, left_length_mm=180.0, left_count=1),
            pulled_back=(PulledBack("lamp post", "left", 75.0, 60.0),), strips=(Strip("K12", 88.0),),
            hand_work=("corner at 475, 475: the blade would run into the kerb; break",
                       "corner at -475, 475: the blade would run into the kerb; break", "the pit's lid is lifted"),
            joined=JoinedCut((), 1.8e6, 6.4, (CutShare(design.cover, (), 9.0e5, 3.1), CutShare("K12", (), 9.0e5, 3.3)),
                             (((0.0, 0.0), (0.0, 9.0)),)),
        ),
    )  # fmt: skip


def cored() -> CornerWork:
    """Corners cored before the saw."""
    return CornerWork("core", 90.0, cores=(Core(475.0, 475.0, 153.0, ()), Core(-475.0, 475.0, 153.0, ())))


def in_parts(design: CoverDesign) -> CoverDesign:
    """A frame of two castings: both set as the sample's one, the second's points named after it."""
    both = []
    for number in (1, 2):
        named = tuple(replace(c, name=f"part {number} {c.name}") for c in design.setting.corners)
        both.append(replace(design.setting, corners=named))
    steps = (PartStep(1, 300.0, -325.0, 0.4), PartStep(1, 300.0, 325.0, -1.3))
    parts = PartsSetting(tuple(both), steps, 2.0, "[house] step (assumption)", 3.4, 2, 0.81, 0.93)
    whole = replace(design.setting, corners=(*both[0].corners, *both[1].corners))
    told = replace(design, parts=parts, setting=whole, parts_count=2)
    return replace(told, aids=replace(aids_of(told), strings=(), pulls=(), forecast=None))
