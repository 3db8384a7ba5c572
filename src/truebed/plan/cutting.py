"""What the saw is asked at one cover: margins from soundings, things in the way, neighbours, depths, waste."""

from __future__ import annotations

from dataclasses import dataclass

from truebed.chamber.cut import CutQuestion, cut_out
from truebed.chamber.cut_parts import KeepOff, Neighbour
from truebed.chamber.kerb import KERB, behind_kerb
from truebed.chamber.neighbours import Place, Placed, neighbours_of
from truebed.chamber.obstacles import keep_off
from truebed.chamber.outlines import CutOut, Outlines
from truebed.chamber.plane import Ring
from truebed.chamber.waste import Waste, WasteDepths, WasteRules, waste_areas, waste_of
from truebed.diagnosis.margin import Margin, sound_margin
from truebed.errors import NotDesignedError
from truebed.given.cover import Cover
from truebed.plan.case import Case
from truebed.plan.outline import ring_for
from truebed.rules.ruleset import RuleSet

#: How much further than the rule's strip neighbours are looked for, so that rounding loses none [mm].
LOOK_FURTHER_MM = 50.0


@dataclass(frozen=True, slots=True)
class Margins:
    """The margins that the cut takes: front, left, back, right in its own axes; found: what soundings say, if any.

    whose   where they come from, in words
    """

    sides_mm: tuple[float, float, float, float]
    found: Margin | None
    whose: str


def number_or(rules: RuleSet, name: str, words: tuple[str, ...]) -> float | None:
    """A number of the rule set, None where it has none of that name.

    Valid       any rule set
    Source      rule set
    Proved by   tests/plan/test_cutting.py
    """
    rule = rules.find(name, *words)
    return None if rule is None or isinstance(rule.value, str) else rule.value


def margins_of(case: Case) -> Margins:
    """The sound margins of a cover: computed from its soundings side by side, nowhere less than covers.csv gives.

    Where soundings leave a side unknown, the margin of covers.csv stands for it; without one the cover is refused.

    Valid       soundings of the same cover
    Source      truebed.diagnosis.margin; covers.csv
    Raises      NotDesignedError naming where to tap next
    Proved by   tests/plan/test_cutting.py
    """
    cover, rules, given = case.cover, case.rules, case.cover.sound_margin_mm
    if not case.soundings:
        if given is None:
            raise NotDesignedError(
                "There is neither a sound margin in covers.csv nor a row of this cover in soundings.csv.",
                "Tap and probe the road round the frame, and fill soundings.csv (or sound_margin_mm).",
            )
        return Margins((given,) * 4, None, "sound margin, as given in covers.csv")
    axes_deg = 0.0 if cover.cut_turn == "traffic" else None
    words = case.words()
    step_mm, gap_mm = rules.number("tap_step_mm", *words), rules.number("margin_gap_most_mm", *words)
    found = sound_margin(cover, case.soundings, step_mm, gap_mm, axes_deg)
    unknown = [side.side for side in found.sides if side.margin_mm is None]
    if unknown and given is None:
        taps = "; ".join(f"x {t.x_mm:.0f}, y {t.y_mm:.0f}" for t in found.test_next if t.side in unknown)
        raise NotDesignedError(
            f"How far out the road is sound is not known at the {' and the '.join(unknown)} of the frame.",
            f"Tap or probe further out there (mm from the frame's centre: {taps}) and add it to soundings.csv.",
        )
    floor = 0.0 if given is None else given
    if cover.cut_shape == "round" and found.round_mm is not None:
        return Margins((max(floor, found.round_mm),) * 4, found, "sound margin, from soundings (round cut)")
    front, left, back, right = (floor if s.margin_mm is None else max(floor, s.margin_mm) for s in found.sides)
    return Margins((front, left, back, right), found, "sound margin, from soundings")


def obstacles_of(case: Case) -> tuple[KeepOff, ...]:
    """The ground that this cover's obstacles keep.

    Valid       obstacles of the same cover
    Source      obstacles.csv
    Proved by   tests/plan/test_cutting.py
    """
    return tuple(
        keep_off(o.what, o.x_mm, o.y_mm, o.along_mm, o.across_mm, o.turn_deg, o.clear_mm) for o in case.obstacles
    )


def fill_width(case: Case) -> tuple[float, str]:
    """The least width that the surrounding materials need beside the flange, and whose it is.

    Valid       a method's own sheets
    Source      the sheets' limits
    Proved by   tests/plan/test_ground.py
    """
    widest, whose = 0.0, ""
    for role in case.method.roles:
        sheet = case.sheets[role.sheet]
        if role.role != "bed" and sheet.limits.least_width_mm > widest:
            widest, whose = sheet.limits.least_width_mm, sheet.name
    return widest, whose


def cut_question(case: Case, margins: Margins, dig_depth_mm: float, surround_mm: float | None) -> CutQuestion:
    """What the cut-out of a case is asked.

    Valid       margins of the same case
    Source      house (assembly)
    Proved by   tests/plan/test_cutting.py
    """
    cover, words = case.cover, case.words()
    width_mm, whose = fill_width(case)
    strip_mm = number_or(case.rules, "cut_strip_least_mm", words)
    return CutQuestion(
        flange_along_mm=cover.flange.along_mm,
        flange_across_mm=cover.flange.across_mm,
        turn_deg=cover.turn_deg,
        sound_margin_mm=max(margins.sides_mm),
        least_width_mm=width_mm,
        least_width_of=whose,
        kerb_side=cover.kerb_side,
        kerb_mm=cover.kerb_mm,
        saw_depth_mm=cover.bound_depth_mm,
        dig_depth_mm=dig_depth_mm,
        blade_mm=case.blade_mm,
        flange_shape=cover.flange.shape,
        margins_mm=margins.sides_mm,
        cut_form=cover.cut_shape,
        corner_way=cover.corner_rule,
        cut_turn=cover.cut_turn,
        strip_least_mm=0.0 if strip_mm is None else strip_mm,
        keep_off=obstacles_of(case),
        neighbours=case.neighbours,
        pass_depth_mm=number_or(case.rules, "saw_pass_depth_mm", words),
        surround_depth_mm=surround_mm,
        name=cover.cover,
    )


def placed_of(case: Case, *, lifted: bool) -> Placed | None:
    """A cover with its place and, where it is lifted too, the cut that it would have alone; None without a place.

    Valid       a case without neighbours
    Source      covers.csv: x_m, y_m, bearing_deg
    Proved by   tests/plan/test_cutting.py
    """
    cover = case.cover
    if cover.x_m is None or cover.y_m is None or cover.bearing_deg is None:
        return None
    flange, keep = ring_for(cover.flange, cover.turn_deg), obstacles_of(case)
    if cover.kerb_side != "none" and cover.kerb_mm is not None:
        keep = (*keep, KeepOff(KERB, behind_kerb(cover.kerb_side, cover.kerb_mm)))
    ring: Ring = ()
    if lifted:
        try:
            ring = cut_out(cut_question(case, margins_of(case), 0.0, None)).ring
        except NotDesignedError:
            ring = ()
    return Placed(cover.cover, Place(cover.x_m, cover.y_m, cover.bearing_deg), flange, ring, keep)


def neighbours_within(cover: Cover, placed: dict[str, Placed], strip_mm: float | None) -> tuple[Neighbour, ...]:
    """The covers that stand so near that the rule's strip between the cuts would be too narrow, in this one's axes.

    Valid       covers of one coordinate system
    Source      rule set value cut_strip_least_mm
    Proved by   tests/plan/test_cutting.py
    """
    if cover.cover not in placed:
        return ()
    reach_mm = LOOK_FURTHER_MM + (0.0 if strip_mm is None else strip_mm)
    return neighbours_of(placed[cover.cover], tuple(placed.values()), reach_mm)


def waste_for(case: Case, cut: CutOut, outlines: Outlines, chamber_mm: float, level_sd_mm: float) -> Waste:
    """What comes out of the hole, in litres and tonnes.

    chamber_mm  road down to the chamber top at the frame's centre
    Valid       a cut-out of the same case
    Source      rule set values waste_*; algebra
    Proved by   tests/plan/test_cutting.py
    """
    cover, words = case.cover, case.words()
    names = ("waste_bound_kg_per_l", "waste_unbound_kg_per_l", "waste_bulking_ratio", "waste_load_l", "waste_load_kg")
    rules = WasteRules(*(number_or(case.rules, name, words) for name in names))
    area_mm2 = cut.area_mm2 if cut.form == "round" else None
    depths = WasteDepths(
        bound_mm=cover.bound_depth_mm,
        dig_mm=cut.dig_depth_mm,
        chamber_mm=chamber_mm,
        frame_mm=cover.frame_depth_mm,
        flange_thick_mm=cover.flange_thick_mm,
        level_sd_mm=level_sd_mm,
    )
    return waste_of(waste_areas(outlines, area_mm2), depths, rules)
