"""Findings and figures of what wheels ask of a bed, from the same values as the plan holds."""

from __future__ import annotations

from dataclasses import replace

from truebed.curing.crossing import Crossing, vehicles
from truebed.curing.tyre import TyreDemand, tyre_why
from truebed.findings import Finding, Severity
from truebed.plan.case import Case
from truebed.plan.wheel import BedWheel, PointWheel, VoidCase
from truebed.why import Figure, Why

UNIT_TEXTS = {"n_per_mm2": "N/mm2", "kn": "kN"}
NO_TENSION = "algebra (rigid frame, bed without tension)"


def sides_words(wheel: BedWheel, void: VoidCase) -> str:
    """Under which sides a void does this: 'the right side', 'the front or the back side', 'any one side'.

    Valid       a void of the same wheel
    Source      house (wording)
    Proved by   tests/plan/test_wheel_telling.py
    """
    sides = wheel.sides_like(void)
    if len(sides) > 1 and len(sides) == len(wheel.voids):
        return "any one side"
    return f"{' or '.join(f'the {side}' for side in sides)} side"


def wheel_findings(case: Case, wheel: BedWheel | None, opening_n_per_mm2: float | None) -> list[Finding]:
    """Part of the bed that carries nothing, no wheel in the rule set, a void that must not be, a wheel at a point.

    opening_n_per_mm2  strength of the bed at which the road opens; None where it is not determined
    Valid       a wheel of the same case
    Source      rule set values of wheels; algebra
    Proved by   tests/plan/test_wheel_telling.py
    """
    cover = case.cover
    if wheel is None:
        if cover.place == "footway":
            return []
        return [
            Finding(
                "LD-004", Severity.ADVICE, cover.cover, "the rule set names no wheel load: strength is judged by its "
                "opening value alone", mend="Add wheel_load_kn to your rule set.",
            )
        ]  # fmt: skip
    found = []
    if not wheel.full_contact:
        part = "part" if wheel.pressed_share is None else f"{max(1.0 - wheel.pressed_share, 0.001):.1%}"
        found.append(
            Finding(
                "LD-003", Severity.ADVICE, cover.cover,
                f"with a wheel ({wheel.governed_by}) {wheel.peak_at} {part} of the bed carries nothing, the rest",
                wheel.peak_n_per_mm2, "N/mm2", source="algebra (no tension)",
                mend="Fill the under-flange space fully, and let a competent person judge a narrow seat.",
            )
        )  # fmt: skip
    return found + _void_findings(cover.cover, wheel, opening_n_per_mm2) + _point_findings(cover.cover, wheel)


def _void_findings(name: str, wheel: BedWheel, opening_n_per_mm2: float | None) -> list[Finding]:
    worst = wheel.worst_void()
    if worst is None:
        return []
    mend = (
        "Lower the frame on to a full bed, fill from one side until it shows all round, and sound it with a light "
        "hammer before the road opens."
    )
    source = f"{NO_TENSION}; a void under {worst.lost_share:.0%} of the bed"
    where = f"air left under the whole of {sides_words(wheel, worst)}"
    if worst.peak_n_per_mm2 is None:
        return [
            Finding("LD-006", Severity.ADVICE, name, f"{where} would let the frame tip under a wheel", None, "", "",
                    source, mend)
        ]  # fmt: skip
    if worst.outcome == "crushes":
        limit = "" if wheel.bears_n_per_mm2 is None else f"{wheel.bears_n_per_mm2:g} N/mm2, the most on the bed's sheet"
        what = f"{where} would have the rest pressed more than the bed ever bears: it crushes and the frame rocks loose"
        return [
            Finding("LD-006", Severity.ADVICE, name, what, worst.peak_n_per_mm2, "N/mm2", limit, source, mend)
        ]  # fmt: skip
    if opening_n_per_mm2 is None or worst.peak_n_per_mm2 <= opening_n_per_mm2 or worst.times_ratio is None:
        return []
    return [
        Finding(
            "LD-006", Severity.ADVICE, name,
            f"{where} would have the rest pressed {times_text(worst.times_ratio)} times as much, more than the bed is "
            "strong when the road opens", worst.peak_n_per_mm2, "N/mm2", f"{opening_n_per_mm2:g} N/mm2", source, mend,
        )
    ]  # fmt: skip


def times_text(times_ratio: float) -> str:
    """How many times, for reading: a tenth below ten, whole above.

    Valid       more than nought
    Source      house (wording)
    Proved by   tests/plan/test_wheel_telling.py
    """
    return f"{times_ratio:.0f}" if times_ratio >= 9.95 else f"{times_ratio:.1f}"


def _point_findings(name: str, wheel: BedWheel) -> list[Finding]:
    return [
        Finding(
            "LD-007", Severity.STATED, name,
            f"the rule set gives {point.name} a load and no contact: its whole load is taken at a point of the "
            "opening's edge or corner, which asks more than a tyre can", point.demand.peak_n_per_mm2, "N/mm2",
            source=point.source, mend="Give the wheel's contact, along and across, in your rule set.",
        )
        for point in wheel.points
    ]  # fmt: skip


def _in_texts(why: Why) -> Why:
    """A why with its units as they are read."""
    inputs = tuple(_in_texts(one) for one in why.inputs)
    return replace(why, unit=UNIT_TEXTS.get(why.unit, why.unit), inputs=inputs)


def _point_why(point: PointWheel) -> Why:
    load = Why("one wheel", point.wheel_kn, "kN", f"{point.name}: contains its dynamic effect", point.source)
    at = f"its whole load at the opening's {point.demand.peak_at}: no contact is given"
    return Why(
        f"what {point.name} asks of the bed", point.demand.peak_n_per_mm2, "N/mm2",
        f"{at}; rigid frame, bed without tension", "algebra", (load,),
    )  # fmt: skip


def _tried_why(demand: TyreDemand) -> Why:
    return replace(_in_texts(tyre_why(demand)), what=f"what {demand.tyre.name} asks of the bed")


def pressure_why(wheel: BedWheel) -> Why:
    """The greatest pressure among the rule set's wheels, each of them, and the area that bears.

    Valid       any wheel
    Source      rule set; algebra
    Proved by   tests/plan/test_wheel_telling.py
    """
    each = [_tried_why(d) for d in wheel.tried] + [_point_why(p) for p in wheel.points]
    of_part = f", casting {wheel.part} counted from the back" if wheel.part else ""
    area = Why("bearing area", wheel.area_mm2, "mm2", f"flange over the wall top{of_part}", "algebra")
    return Why(
        "greatest bed pressure under a wheel", wheel.peak_n_per_mm2, "N/mm2",
        f"greatest over the rule set's wheels, each at its worst place; {wheel.governed_by} {wheel.peak_at}; no place "
        f"is believed to press more than {wheel.ceiling_n_per_mm2:.3g} N/mm2", NO_TENSION, (*each, area),
        wheel.governed_by,
    )  # fmt: skip


def void_why(wheel: BedWheel, void: VoidCase) -> Why:
    """What the worst void does, beside the whole bed.

    Valid       a void of the same wheel
    Source      algebra
    Proved by   tests/plan/test_wheel_telling.py
    """
    what = f"greatest bed pressure with air under {sides_words(wheel, void)}"
    lost = Why("hollow share of the bed", void.lost_share, "", "a quarter of the clock round the centre", "house")
    whole = Why("greatest pressure of the whole bed", wheel.peak_n_per_mm2, "N/mm2", "as *.wheel.pressure", NO_TENSION)
    if void.peak_n_per_mm2 is None or void.times_ratio is None:
        relation = "the load passes the edge of what supports the frame: there is no balance"
        return Why(what, "the frame tips", "", relation, NO_TENSION, (lost, whole))
    if void.outcome == "crushes":
        asked = Why("pressure asked of what is left", void.peak_n_per_mm2, "N/mm2", "as if the bed bore it", NO_TENSION)
        bears = Why("most on the bed's sheet", known_text(wheel.bears_n_per_mm2), "N/mm2", "any age", "the bed's sheet")
        relation = "what is left is asked more than the bed ever bears"
        return Why(
            what, "the bed crushes and the frame rocks loose", "", relation, NO_TENSION, (lost, whole, asked, bears)
        )
    times = Why("times the whole bed's", void.times_ratio, "", "one over the other", "algebra")
    rock = () if void.rock_mm is None else (_rock_why(wheel, void.rock_mm),)
    return Why(
        what, void.peak_n_per_mm2, "N/mm2", "the same tyre at its worst place on what is left", NO_TENSION,
        (lost, whole, times, *rock),
    )  # fmt: skip


def known_text(value_n_per_mm2: float | None) -> float | str:
    """A number, or that it is not known.

    Valid       any
    Source      house (wording)
    Proved by   tests/plan/test_wheel_telling.py
    """
    return "not known" if value_n_per_mm2 is None else value_n_per_mm2


def _rock_why(wheel: BedWheel, rock_mm: float) -> Why:
    bed = Why("bed", wheel.bed_mm, "mm", "greatest thickness", "*.bed.most")
    relation = "pressure x thickness / stiffness, highest less lowest as the tyre rolls over; the worst corner"
    return Why("rock of a corner", rock_mm, "mm", relation, "rule set value bed_modulus_n_per_mm2 (assumption)", (bed,))


def crossing_why(crossing: Crossing) -> Why:
    """The least bed strength for one vehicle, while traffic management controls who crosses.

    Valid       a crossing of truebed.curing.crossing
    Source      data/vehicles.toml; algebra
    Proved by   tests/plan/test_wheel_telling.py
    """
    rule, tyre = vehicles()[0], crossing.vehicle.tyre
    inputs = (
        Why("wheel at rest", tyre.wheel_kn, "kN", f"on {tyre.along_mm:g} x {tyre.across_mm:g} mm", tyre.source),
        Why("rolling over at rest", rule.dynamic_ratio, "", "data/vehicles.toml", rule.source),
        Why("reserve", rule.reserve_ratio, "", "data/vehicles.toml", rule.source),
    )
    what = f"bed strength before {crossing.vehicle.name} crosses"
    if crossing.strength_n_per_mm2 is None or crossing.pressure_n_per_mm2 is None:
        return Why(what, "the frame tips", "", "no balance under this wheel", NO_TENSION, inputs)
    pressure = Why(
        "greatest pressure, rolling", crossing.pressure_n_per_mm2, "N/mm2", "anywhere on the iron", NO_TENSION
    )
    relation = "pressure x reserve; only while traffic management controls who crosses, and in every bearing pour"
    return Why(what, crossing.strength_n_per_mm2, "N/mm2", relation, NO_TENSION, (*inputs, pressure))


def wheel_figures(name: str, wheel: BedWheel | None) -> list[tuple[str, Figure]]:
    """Figures '<cover>.wheel.pressure', '.wheel.void' and '.wheel.crossing.<vehicle>'; none without a wheel.

    Valid       any cover
    Source      as each why says
    Proved by   tests/plan/test_wheel_telling.py
    """
    if wheel is None:
        return []
    found = [(f"{name}.wheel.pressure", Figure(wheel.peak_n_per_mm2, "N/mm2", pressure_why(wheel)))]
    worst = wheel.worst_void()
    if worst is not None:
        value = worst.peak_n_per_mm2 if worst.outcome == "stands" else None
        found.append((f"{name}.wheel.void", Figure(value, "N/mm2", void_why(wheel, worst))))
    for one in wheel.crossings:
        key = f"{name}.wheel.crossing.{one.vehicle.key}"
        found.append((key, Figure(one.strength_n_per_mm2, "N/mm2", crossing_why(one))))
    return found
