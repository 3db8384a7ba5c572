"""One cover designed: ground, quantities, clocks, job, and what goes on its sheet."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.care.cautions import cautions_for
from truebed.chamber.extras import extras_of
from truebed.curing.opening_strength import opening_strength
from truebed.diagnosis.diagnose import Diagnosis, diagnose
from truebed.diagnosis.found import diagnosis_findings
from truebed.diagnosis.survey import bed_height
from truebed.diagnosis.telling import diagnosis_lines, margin_lines
from truebed.errors import NotDesignedError, NotDeterminedError
from truebed.findings import Finding
from truebed.levels.booking import Survey
from truebed.levels.frame_setting import centre_level_mm
from truebed.levels.surface import RoadSurface
from truebed.mixing.batches import pour_kits
from truebed.mixing.kits import PourKits, RoleVolume
from truebed.mixing.takeoff import role_volumes
from truebed.plan.case import Case
from truebed.plan.clocks import KnownClock, opened_by_strength, read_clocks, sheet_of, with_least_strength
from truebed.plan.cover_figures import cover_figures
from truebed.plan.cover_findings import cover_findings
from truebed.plan.cutting import obstacles_of, waste_for
from truebed.plan.ground import Ground, ground_of, known_spots, litre_errors, rim_errors_mm, road_of
from truebed.plan.night_clocks import night_clocks
from truebed.plan.rain_spans import kept_dry
from truebed.plan.releases import LayerRelease, releases_of
from truebed.plan.result import Caution, CoverDesign, HoldPoint
from truebed.plan.site_aids import site_aids
from truebed.plan.strength_aids import StrengthAids, aids_figures, aids_findings, strength_aids
from truebed.plan.survey_findings import diagnosed_findings
from truebed.plan.tasks import drivers_of, job_of
from truebed.programme.problem import Job
from truebed.sheets.method import Clock
from truebed.why import Figure, Why

HOLD_TEXTS = {
    "measure-chamber-top": "Chamber top measured at eight points or more and entered; plan run again; answer read",
    "frame-levels": "Rim levels at the four marked points read against this sheet; what holds the frame up is tight",
    "frame-levels-again": "Rim levels read again before the bed sets; tap down what is high now",
    "fill-shows-all-round": "Fill shows all round the flange, one moving front, no bubbles",
    "surface-dry": "Base dry and clean, surface at least 3 degC over the dew point (common practice, no source)",
    "cover-does-not-rock": "Seats clean, cover fitted, no rock at any corner, as-laid levels read, photographs taken",
}


@dataclass(frozen=True, slots=True)
class Designed:
    """A designed cover with its job for the programme, its findings and figures, and its strengths' whys."""

    design: CoverDesign
    ground: Ground
    job: Job
    known: tuple[KnownClock, ...]
    findings: tuple[Finding, ...]
    figures: tuple[tuple[str, Figure], ...]
    case: Case | None = None


def mixer_for(case: Case, pour: str) -> float | None:
    """The mixer's capacity where a step mixes this pour in a mixer, else None.

    Valid       a method's own pour
    Source      house: a pour whose step asks for a mixer goes in whole mixer loads
    Raises      NotDesignedError where the method asks for a mixer and there is none
    Proved by   tests/plan/test_design.py
    """
    if not any(step.pour == pour and "mixer" in step.tools for step in case.method.steps):
        return None
    if case.mixer_l is None:
        raise NotDesignedError(
            f"The method {case.method.key} mixes '{pour}' in a mixer and tools.csv gives no mixer with a capacity.",
            "Add a mixer with capacity_l to tools.csv.",
        )
    return case.mixer_l


def quantities(case: Case, ground: Ground) -> tuple[tuple[RoleVolume, ...], tuple[PourKits, ...]]:
    """Litres by role and whole kits by pour.

    Valid       a ground of the same case
    Source      see truebed.mixing
    Raises      NotDesignedError where the mixer is smaller than a kit
    Proved by   tests/plan/test_design.py
    """
    volumes = role_volumes(case.method, ground.solids, litre_errors(case, ground))
    kits = tuple(
        pour_kits(
            pour,
            sheet_of(case.method, pour, case.sheets),
            volumes,
            case.method.layers.allowance_share,
            mixer_for(case, pour),
            spare=ground.top.sd_mm is not None,
        )
        for pour in case.method.pours()
        if any(v.pour == pour for v in volumes)
    )
    return volumes, kits


def strengths(case: Case, ground: Ground) -> tuple[dict[str, float | None], dict[str, Why]]:
    """The strength at which each pour may open, with whys; only bearing pours are asked for the wheel.

    Valid       a ground of the same case
    Source      rule set, else the sheet; the wheel's own demand; the greater governs
    Proved by   tests/plan/test_design.py
    """
    targets: dict[str, float | None] = {}
    whys: dict[str, Why] = {}
    for role in case.method.roles:
        if role.pour in targets and not role.bears:
            continue
        demand = ground.wheel.peak_n_per_mm2 if ground.wheel is not None and role.bears else None
        targets[role.pour], whys[role.pour] = opening_strength(
            case.rules, case.words(), case.sheets[role.sheet], demand
        )
    return targets, whys


def diagnosis_of(case: Case, survey: Survey, road: RoadSurface) -> Diagnosis:
    """What is wrong at the cover; a night that is no part of the repair is refused.

    Valid       survey and road of the same case
    Source      truebed.diagnosis
    Raises      NotDesignedError where the frame must not be lifted and nobody said to do so all the same
    Proved by   tests/plan/test_design.py
    """
    bed = case.sheet_for("bed")
    height = None if bed is None else bed_height(case.cover, bed, case.rules)
    spots = known_spots(survey, road)
    found = diagnose(case.cover, case.condition, case.soundings, spots, road, case.rules, height)
    if found.held_back and case.condition is not None:
        told = diagnosis_findings(found)[0]
        raise NotDesignedError(
            f"{told.what[0].upper()}{told.what[1:]} (probability {found.decision.probability:.2f}).",
            f"{told.mend} To lift the frame all the same, say why in dig_anyway of condition.csv.",
        )
    return found


def clocks_of(
    case: Case,
    targets: dict[str, float | None],
    volumes: tuple[RoleVolume, ...] = (),
    drivers: dict[str, float] | None = None,
) -> tuple[KnownClock, ...]:
    """Every clock of a case's method: from heat and hydration on its night; without a closure, off the sheet's points.

    Valid       targets and volumes of the same case
    Source      see truebed.plan.night_clocks, truebed.plan.clocks
    Raises      NotDesignedError where a sheet does not say
    Proved by   tests/plan/test_design.py
    """
    try:
        if case.closure is not None and drivers is not None:
            return night_clocks(case, targets, volumes, drivers)
        return read_clocks(case.method, case.sheets, targets, case.temps, case.rules)
    except NotDeterminedError as unknown:
        raise NotDesignedError(
            f"A clock is not determined: {unknown}.",
            "Choose a method whose sheets are tested at this temperature, another night, or complete the sheet.",
        ) from unknown


def drivers_for(case: Case, ground: Ground, kits: tuple[PourKits, ...]) -> dict[str, float]:
    """What the cover's durations depend on.

    Valid       parts of one case
    Source      see truebed.plan.tasks
    Proved by   tests/plan/test_design.py, tests/plan/test_tasks.py
    """
    joint_m = ground.cut.saw_length_m if case.method.layers.joint_width_mm > 0.0 else 0.0
    dig_l = sum(s.volume_l for s in ground.solids.values())
    return drivers_of(case.cover, case.method.pours(), ground.cut.saw_length_m, joint_m, dig_l, kits)


def job_for(
    case: Case, drivers: dict[str, float], targets: dict[str, float | None], known: tuple[KnownClock, ...]
) -> Job:
    """The cover's job for the programme: its steps with their durations and waits.

    Valid       parts of one case
    Source      see truebed.plan.tasks
    Proved by   tests/plan/test_design.py, tests/plan/test_tasks.py
    """
    return job_of(case.cover, case.method, with_least_strength(case.method.links, targets), drivers, known)


def design_cover(case: Case) -> Designed:
    """One cover designed.

    Valid       a cover that passed the works folder's checks
    Source      see the rooms levels, chamber, mixing, curing
    Raises      NotDesignedError with the reason and what would mend it
    Proved by   tests/plan/test_design.py, tests/whole_job/test_demo_plan.py
    """
    surveyed = road_of(case)
    found = diagnosis_of(case, *surveyed)
    ground = ground_of(case, surveyed)
    worked = worked_of(case, ground)
    design = drawn_design(case, ground, worked, found)
    by_strength = opened_by_strength(case.method)
    asked = {p: w for p, w in worked.target_whys.items() if p in by_strength}
    findings = (*cover_findings(case, ground, design), *aids_findings(case, worked.aids), *diagnosed_findings(found))
    figures = (*cover_figures(case, ground, design, worked.known, asked), *aids_figures(case, worked.aids))
    return Designed(design, ground, worked.job, worked.known, findings, figures, case)


@dataclass(frozen=True, slots=True)
class Worked:
    """What is worked out of a ground before the design is put together. bed: opening strength of the bed."""

    volumes: tuple[RoleVolume, ...]
    kits: tuple[PourKits, ...]
    target_whys: dict[str, Why]
    known: tuple[KnownClock, ...]
    job: Job
    aids: StrengthAids
    releases: tuple[LayerRelease, ...]
    bed_n_per_mm2: float | None


def worked_of(case: Case, ground: Ground) -> Worked:
    """Litres, kits, strengths, clocks, job and what goes with the clocks.

    Valid       a ground of the same case
    Source      see the rooms mixing, curing
    Raises      NotDesignedError with the reason and what would mend it
    Proved by   tests/plan/test_design.py
    """
    volumes, kits = quantities(case, ground)
    targets, target_whys = strengths(case, ground)
    drivers = drivers_for(case, ground, kits)
    known = clocks_of(case, targets, volumes, drivers)
    job = kept_dry(job_for(case, drivers, targets, known), case)
    bed_pour = next(r.pour for r in case.method.roles if r.role == "bed")
    bed_n_per_mm2 = targets[bed_pour]
    aids = strength_aids(case, ground.cut, ground.wheel, known, volumes, bed_n_per_mm2)
    releases = releases_of(case, known, opening_clocks(case, targets), volumes)
    return Worked(volumes, kits, target_whys, known, job, aids, releases, bed_n_per_mm2)


def drawn_design(case: Case, ground: Ground, worked: Worked, found: Diagnosis) -> CoverDesign:
    """A cover's design, put together.

    Valid       parts of one case
    Source      house (assembly)
    Proved by   tests/plan/test_design.py
    """
    cover, layers = case.cover, case.method.layers
    centre_mm = centre_level_mm(ground.road)
    top_sd_mm = 0.0 if ground.top.sd_mm is None else ground.top.sd_mm
    estimate_sd_mm = ground.top.sd_mm if ground.top.known == "estimate" else None
    road_sd_mm, rim_error_mm = rim_errors_mm(ground, case.rules.number("setting_sd_mm", *case.words()))
    return CoverDesign(
        cover=cover.cover,
        street=cover.street,
        kind=cover.kind,
        load_class=cover.load_class,
        place=cover.place,
        method=case.method.key,
        method_name=case.method.name,
        shape=cover.body.shape,
        turn_deg=cover.turn_deg,
        frame_depth_mm=cover.frame_depth_mm,
        flange_thick_mm=cover.flange_thick_mm,
        surface_depth_mm=layers.surface_depth_mm,
        over_flange_mm=layers.over_flange_mm,
        floor_below_mm=layers.floor_below_mm,
        joint_width_mm=layers.joint_width_mm,
        joint_depth_mm=layers.joint_depth_mm,
        outlines=ground.outlines,
        cut=ground.cut,
        road=ground.road,
        setting=ground.setting,
        volumes=worked.volumes,
        dig_l=sum(s.volume_l for s in ground.solids.values()),
        kits=worked.kits,
        clocks=tuple(k.reading for k in worked.known),
        opening_strength_n_per_mm2=worked.bed_n_per_mm2,
        holds=holds_of(case),
        cautions=cautions_of(case),
        changed=(),
        remark=cover.remark,
        diagnosis=diagnosis_lines(found),
        margin=() if ground.margins.found is None else margin_lines(ground.margins.found),
        waste=waste_for(case, ground.cut, ground.outlines, centre_mm - ground.top.plane.level_mm, top_sd_mm),
        extras=extras_of(ground.outlines, ground.levels),
        parts=ground.seat.parts,
        aids=site_aids(case, ground.survey, ground.road, ground.seat, ground.outlines, estimate_sd_mm),
        road_sd_mm=road_sd_mm,
        rim_error_mm=rim_error_mm,
        keep_off=obstacles_of(case),
        parts_count=cover.parts_count,
        releases=worked.releases,
        strength=worked.aids,
    )


def opening_clocks(case: Case, targets: dict[str, float | None]) -> frozenset[Clock]:
    """The clocks that lead to the road's opening.

    Valid       targets of the same case
    Source      the method's links
    Proved by   tests/plan/test_design.py
    """
    links = with_least_strength(case.method.links, targets)
    return frozenset(link.least_clock for link in links if link.to_step == "open" and link.least_clock is not None)


def holds_of(case: Case) -> tuple[HoldPoint, ...]:
    """The hold points of a case's method, in the order of its steps.

    Valid       any method
    Source      the method's own hold points
    Proved by   tests/plan/test_design.py
    """
    return tuple(
        HoldPoint(step.key, step.hold, HOLD_TEXTS.get(step.hold, step.hold.replace("-", " ").capitalize()))
        for step in case.method.steps
        if step.hold
    )


def cautions_of(case: Case) -> tuple[Caution, ...]:
    """The cautions that the method's steps and its materials call for.

    Valid       any method
    Source      data/cautions.toml; the sheets' hazards
    Proved by   tests/plan/test_design.py
    """
    keys = {key for step in case.method.steps for key in step.cautions}
    keys |= {hazard for role in case.method.roles for hazard in case.sheets[role.sheet].hazards}
    return tuple(Caution(c.key, c.title, c.text, c.source) for c in cautions_for(tuple(sorted(keys))))
