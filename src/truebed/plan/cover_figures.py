"""The figures of one cover with their whys, made from the same values that the design holds."""

from __future__ import annotations

from truebed.diagnosis.margin import SIDES
from truebed.given.cover import Cover
from truebed.mixing.kits import PourKits, RoleVolume
from truebed.plan.case import Case
from truebed.plan.clocks import KnownClock
from truebed.plan.ground import Ground
from truebed.plan.level_figures import Named, level_figures
from truebed.plan.result import CoverDesign
from truebed.plan.wheel_telling import wheel_figures
from truebed.why import Figure, Why


def margin_whys(cover: Cover, design: CoverDesign, ground: Ground) -> tuple[Why, ...]:
    """The margin of each side of the cut, and what it rests on.

    Valid       a design of the same cover
    Source      soundings.csv, covers.csv; the sheets' least widths
    Proved by   tests/plan/test_cover_figures.py
    """
    found = []
    sides = zip(SIDES, design.cut.margins_mm, ground.margins.sides_mm, strict=False)
    heard = {} if ground.margins.found is None else {s.side: s for s in ground.margins.found.sides}
    for side, cut_mm, sound_mm in sides:
        source, one = f"covers.csv row {cover.row}", heard.get(side)
        if one is not None and one.row:
            source = f"soundings.csv row {one.row}: {one.governed_by}"
        relation = ground.margins.whose if cut_mm <= sound_mm + 1e-9 else design.cut.governed_by
        relation = "drawn in to keep off something" if cut_mm < sound_mm - 1e-9 else relation
        found.append(Why(f"margin to the {side}", cut_mm, "mm", relation, source, (), design.cut.governed_by))
    return tuple(found)


def cut_figures(cover: Cover, design: CoverDesign, ground: Ground) -> Named:
    """The cut-out's figures.

    Valid       a design of the same cover
    Source      algebra
    Proved by   tests/plan/test_cover_figures.py
    """
    cut, row = design.cut, f"covers.csv row {cover.row}"
    margins = margin_whys(cover, design, ground)
    relation = "flange and its margins" + (", stopped at the kerb" if cut.clipped_by_kerb else "")
    relation += ", carried out to the kerb" if cut.snapped_to_kerb else ""
    relation += ", this cover's share of a joined cut" if cut.joined is not None else ""
    found: Named = []
    for label, value, flange in (
        ("along", cut.along_mm, cover.flange.along_mm),
        ("across", cut.across_mm, cover.flange.across_mm),
    ):
        why = Why(
            f"cut-out {label}", value, "mm", relation, "algebra",
            (Why(f"flange {label}", flange, "mm", "as surveyed", row), *margins),
        )  # fmt: skip
        found.append((f"{cover.cover}.cut.{label}", Figure(value, "mm", why)))
    length = Why(
        "length to saw", cut.saw_length_m, "m", "sawn sides of the cut-out: none at a kerb or shared", "algebra"
    )
    found.append((f"{cover.cover}.cut.saw-length", Figure(cut.saw_length_m, "m", length)))
    for label, off in (("least", ground.edge_low_mm), ("greatest", ground.edge_high_mm)):
        edge = Why(
            f"surface laid as one plane less road along the cut's edge, {label}", off, "mm",
            "plane of the laid surface - fitted road along the edge", "algebra",
        )  # fmt: skip
        found.append((f"{cover.cover}.edge.{label}", Figure(off, "mm", edge)))
    depth = Why("depth of the dig at the centre", cut.dig_depth_mm, "mm", "road - floor of the cut-out", "algebra")
    found.append((f"{cover.cover}.cut.dig-depth", Figure(cut.dig_depth_mm, "mm", depth)))
    if cut.run_on_mm is not None and cut.blade_mm is not None:
        why = Why(
            "blade run-on past a corner at the surface", cut.run_on_mm, "mm", "sqrt(D d - d^2)", "algebra",
            (
                Why("blade diameter D", cut.blade_mm, "mm", "as given", "tools.csv"),
                Why("saw depth d", cut.depth_mm, "mm", "bound layer, no deeper than the dig", row),
            ),
        )  # fmt: skip
        found.append((f"{cover.cover}.cut.run-on", Figure(cut.run_on_mm, "mm", why)))
    return found + waste_figures(cover, design)


def waste_figures(cover: Cover, design: CoverDesign) -> Named:
    """Litres and tonnes that come out.

    Valid       a design of the same cover
    Source      algebra; rule set values waste_bound_kg_per_l, waste_unbound_kg_per_l
    Proved by   tests/plan/test_cover_figures.py
    """
    waste = design.waste
    if waste is None:
        return []
    layers = tuple(
        Why(
            f"{w.layer} waste", w.volume_l, "l", "area x thickness less iron and chamber", f"covers.csv row {cover.row}"
        )
        for w in waste.layers
    )
    why = Why("waste, in place", waste.volume_l, "l", "sum of its layers", "algebra", layers)
    found: Named = [(f"{cover.cover}.waste.volume", Figure(waste.volume_l, "l", why, waste.plus_minus_l))]
    if waste.mass_t is not None:
        mass = Why("waste", waste.mass_t, "t", "litres x density of each layer", "rule set (assumption)", (why,))
        found.append((f"{cover.cover}.waste.mass", Figure(waste.mass_t, "t", mass)))
    return found


def ride_figures(case: Case, design: CoverDesign) -> Named:
    """The worst step and straightedge gap over the set frame, water at a grating, the forecast of the bed.

    Valid       a design with its site aids
    Source      rule set values named in each
    Proved by   tests/plan/test_cover_figures.py
    """
    aids, name = design.aids, case.cover.cover
    if aids is None:
        return []
    step, gap, found = aids.ride.worst, aids.ride.worst_gap, []
    why = Why(
        f"worst step of a wheel, {step.place}, on the line y {step.line_y_mm:.0f}", step.step_mm, "mm",
        "level after less level before, for a wheel along the traffic", aids.ride.band_source,
    )  # fmt: skip
    found.append((f"{name}.ride.step", Figure(step.step_mm, "mm", why)))
    if gap is not None:
        limit = aids.ride.gap_limit
        governed = "" if limit is None else f"at most {limit.value:g} mm"
        margin = None if limit is None else limit.value - gap.gap.gap_mm
        known = "" if gap.known else f"; the readings reach {gap.length_mm:.0f} mm of its length"
        why = Why(
            f"greatest gap under a straightedge {gap.way} at {gap.at_mm:.0f}", gap.gap.gap_mm, "mm",
            f"straightedge on the upper hull of road and frame{known}", "" if limit is None else limit.source, (),
            governed, margin,
        )  # fmt: skip
        found.append((f"{name}.ride.gap", Figure(gap.gap.gap_mm, "mm", why)))
    if aids.ponding is not None:
        why = Why(
            "deepest water by the grating", aids.ponding.depth_mm, "mm", "fitted road filled until it spills", "algebra"
        )
        found.append((f"{name}.pond.depth", Figure(aids.ponding.depth_mm, "mm", why)))
    if aids.forecast is not None:
        chance = aids.forecast.reset_probability
        why = Why(
            "chance that the frame finds its place once the chamber top is measured", chance, "probability",
            f"chamber top normal about its estimate, {aids.forecast.top_sd_mm:g} mm",
            "rule set value chamber_top_sd_mm",
        )  # fmt: skip
        found.append((f"{name}.bed.reset-probability", Figure(chance, "probability", why)))
    return found


def volume_why(case: Case, volume: RoleVolume) -> Why:
    """Why a role takes so many litres.

    Valid       a volume of the same case
    Source      algebra
    Proved by   tests/plan/test_cover_figures.py
    """
    return Why(
        f"{volume.role.replace('_', ' ')}, net",
        volume.volume_l,
        "l",
        "solid between its surfaces over the role's outline; "
        f"thickness {volume.least_mm:.1f} to {volume.most_mm:.1f} mm",
        "algebra, exact for planes, twists and circles",
        (
            Why("frame depth", case.cover.frame_depth_mm, "mm", "as surveyed", f"covers.csv row {case.cover.row}"),
            Why("surface depth", case.method.layers.surface_depth_mm, "mm", "method", case.method.file),
        ),
    )


def quantity_figures(case: Case, design: CoverDesign) -> Named:
    """Litres by role and kits by pour.

    Valid       a design of the same case
    Source      algebra; the sheets' yields
    Proved by   tests/plan/test_cover_figures.py
    """
    name = case.cover.cover
    whys = {v.role: volume_why(case, v) for v in design.volumes}
    found: Named = [
        (f"{name}.volume.{v.role}", Figure(v.volume_l, "l", whys[v.role], v.plus_minus_l)) for v in design.volumes
    ]
    for kits in design.kits:
        found += kit_figures(case, kits, tuple(whys[v.role] for v in design.volumes if v.pour == kits.pour))
    return found


def kit_figures(case: Case, kits: PourKits, volumes: tuple[Why, ...]) -> Named:
    """Kits of one pour and its spare.

    Valid       a pour of the same case
    Source      the sheet's yield; the method's allowance
    Proved by   tests/plan/test_cover_figures.py
    """
    sheet = case.sheets[kits.sheet]
    share = case.method.layers.allowance_share
    needed = Why("litres with allowance", kits.needed_l, "l", f"net x (1 + {share:g})", case.method.file, volumes)
    why = Why(
        f"kits of {sheet.name}",
        float(kits.kits),
        "kits",
        "litres with allowance / yield, up to whole kits (never split)",
        "common practice, no source",
        (needed, Why("yield of one kit", sheet.kit.yield_l, "l", "sheet", f"{sheet.file}: kit")),
    )
    found: Named = [(f"{case.cover.cover}.kits.{kits.pour}", Figure(float(kits.kits), "kits", why))]
    if kits.spare_kits is not None:
        spare = Why(
            f"spare kits of {sheet.name}",
            float(kits.spare_kits),
            "kits",
            f"kits for the upper end of the 90 % range (+{kits.plus_minus_l:.1f} l) less the kits needed",
            "algebra; chamber_top_sd_mm of the rule set",
            (why,),
        )
        found.append((f"{case.cover.cover}.spare.{kits.pour}", Figure(float(kits.spare_kits), "kits", spare)))
    return found


def clock_figures(case: Case, known: tuple[KnownClock, ...]) -> Named:
    """Each clock with the half-width of its range.

    Valid       clocks of the same case
    Source      the sheets' own points
    Proved by   tests/plan/test_cover_figures.py
    """
    found: Named = []
    for one in known:
        reading = one.reading
        strength = "" if reading.target_n_per_mm2 is None else f"-{reading.target_n_per_mm2:g}"
        side = "wait" if one.wait else "within"
        spread = max(reading.late_min - reading.minutes_min, reading.minutes_min - reading.early_min)
        key = f"{case.cover.cover}.clock.{reading.pour}.{reading.kind}{strength}.{side}"
        found.append((key, Figure(reading.minutes_min, "min", one.why, spread)))
    return found


def strength_figures(case: Case, ground: Ground, whys: dict[str, Why]) -> Named:
    """Opening strengths by pour and the wheel's demand.

    Valid       a ground of the same case
    Source      rule set, sheet, wheel
    Proved by   tests/plan/test_cover_figures.py
    """
    name = case.cover.cover
    found: Named = []
    for pour, why in whys.items():
        value = why.value if isinstance(why.value, float) else None
        found.append((f"{name}.opening-strength.{pour}", Figure(value, "N/mm2", why)))
    return found + wheel_figures(name, ground.wheel)


def cover_figures(
    case: Case, ground: Ground, design: CoverDesign, known: tuple[KnownClock, ...], strengths: dict[str, Why]
) -> tuple[tuple[str, Figure], ...]:
    """Every figure of one cover.

    Valid       ground, design and clocks of the same case
    Source      as each figure says
    Proved by   tests/plan/test_cover_figures.py
    """
    return tuple(
        level_figures(case, ground, design)
        + cut_figures(case.cover, design, ground)
        + ride_figures(case, design)
        + quantity_figures(case, design)
        + clock_figures(case, known)
        + strength_figures(case, ground, strengths)
    )
