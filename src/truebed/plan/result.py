"""The plan as a value: designs of covers, closures with their programmes, findings, figures."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from truebed.chamber.cut_parts import KeepOff
from truebed.chamber.extras import Extras
from truebed.chamber.outlines import CutOut, Outlines
from truebed.chamber.waste import Waste
from truebed.curing.clocks import ClockReading
from truebed.findings import Finding
from truebed.levels.parts import PartsSetting
from truebed.levels.setting import FrameSetting
from truebed.levels.surface import RoadSurface
from truebed.mixing.kits import PourKits, RoleVolume
from truebed.plan.releases import LayerRelease
from truebed.plan.site_aids import SiteAids
from truebed.plan.strength_aids import StrengthAids
from truebed.programme.crew import Assignment
from truebed.programme.problem import LeftOut, Problem, Schedule, Solution
from truebed.programme.reach import LatestStart
from truebed.why import Figure


@dataclass(frozen=True, slots=True)
class HoldPoint:
    """A point where work stops until somebody named has looked: after which step, and what is looked at."""

    after_step: str
    name: str
    what: str


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution for people, with its source."""

    key: str
    title: str
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class CoverDesign:
    """One cover, designed. Names of materials are the sheets' names; `figures` maps ids to figures with whys.

    changed   sentences saying what a measured chamber top changed against the estimate; () before measuring
    diagnosis, margin   in words, a line a thing; () where nothing was surveyed
    extras    former, debris dam; parts: of a frame of several castings; aids: what helps to set it, and its ride
    road_sd_mm     greatest error of the fitted road round the rim, one standard deviation
    rim_error_mm   at each point of setting.rim_points, in their order, the half-width that holds the rim's true
                   departure nine times in ten: reading and setting error; () where it is not known
    keep_off       obstacles in the saw's way, their clearance included
    parts_count    equal rigid parts in a row along the frame's own x
    strength       the wheel, joint, resin, points to sum on paper: what goes with the clocks
    releases       ready times against the base's temperature, of each layer that the opening waits for
    """

    cover: str
    street: str
    kind: str
    load_class: str
    place: str
    method: str
    method_name: str
    shape: str
    turn_deg: float
    frame_depth_mm: float
    flange_thick_mm: float
    surface_depth_mm: float
    over_flange_mm: float
    floor_below_mm: float
    joint_width_mm: float
    joint_depth_mm: float
    outlines: Outlines
    cut: CutOut
    road: RoadSurface
    setting: FrameSetting
    volumes: tuple[RoleVolume, ...]
    dig_l: float
    kits: tuple[PourKits, ...]
    clocks: tuple[ClockReading, ...]
    opening_strength_n_per_mm2: float | None
    holds: tuple[HoldPoint, ...]
    cautions: tuple[Caution, ...]
    changed: tuple[str, ...]
    remark: str = ""
    diagnosis: tuple[str, ...] = ()
    margin: tuple[str, ...] = ()
    waste: Waste | None = None
    extras: Extras | None = None
    parts: PartsSetting | None = None
    aids: SiteAids | None = None
    road_sd_mm: float | None = None
    rim_error_mm: tuple[float, ...] = ()
    keep_off: tuple[KeepOff, ...] = ()
    parts_count: int = 1
    releases: tuple[LayerRelease, ...] = ()
    strength: StrengthAids | None = None


@dataclass(frozen=True, slots=True)
class NotDesigned:
    """One cover that could not be designed: why, and what would mend it."""

    cover: str
    street: str
    kind: str
    reason: str
    mend: str


@dataclass(frozen=True, slots=True)
class HandWay:
    """The same closure done one cover after another, from the same durations and lags."""

    done: tuple[str, ...]
    open_min: int
    schedule: Schedule


@dataclass(frozen=True, slots=True)
class StepText:
    """What the crew reads for one step: its name, people, tools, hold point; pour: the pour it mixes or
    places; method: whose step it is ('' = every method's)."""

    step: str
    name: str
    people: int
    tools: tuple[str, ...]
    noisy: bool
    hold: str
    pour: str = ""
    method: str = ""


@dataclass(frozen=True, slots=True)
class ClosurePlan:
    """One closure with its programme. shut/open_by carry the works' own offset.

    latest      the last minute of each step with which its cover still opens the road, by its own chain
    protection  what is to be laid over fresh layers for the times to hold, in a sentence; '' for nothing
    """

    closure: str
    streets: tuple[str, ...]
    kind: str
    shut: datetime
    open_by: datetime
    noisy_work_ends: datetime
    designed: tuple[CoverDesign, ...]
    not_designed: tuple[NotDesigned, ...]
    problem: Problem
    solution: Solution
    hand: HandWay
    left_out: tuple[LeftOut, ...]
    steps: tuple[StepText, ...]
    people: tuple[str, ...]
    coldest_c: float | None
    hottest_c: float | None
    time_zone: str = ""
    assigned: tuple[Assignment, ...] = ()
    latest: tuple[LatestStart, ...] = ()
    protection: str = ""

    def texts(self, cover: str) -> dict[str, StepText]:
        """The step texts of that cover's own method, by step. Raises KeyError if it has no design here."""
        method = self.design(cover).method
        return {text.step: text for text in self.steps if text.method in ("", method)}

    def design(self, cover: str) -> CoverDesign:
        """The design of that cover. Raises KeyError if it has none here."""
        for design in self.designed:
            if design.cover == cover:
                return design
        raise KeyError(cover)


@dataclass(frozen=True, slots=True)
class LoadLine:
    """One line of a closure's load list."""

    closure: str
    what: str
    sheet: str
    quantity: int
    spare: int | None
    unit: str
    for_covers: tuple[str, ...]
    note: str


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything that was found. figures: (id, figure) in id order; ids look like 'C04.level.front-left'."""

    works: str
    reference: str
    rule_set: str
    time_zone: str
    demo: bool
    truebed: str
    closures: tuple[ClosurePlan, ...]
    load: tuple[LoadLine, ...]
    findings: tuple[Finding, ...]
    figures: tuple[tuple[str, Figure], ...]
    notes: tuple[str, ...]
    input_sha256: str
