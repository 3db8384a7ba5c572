"""The office's part of a cover: what is wrong and what would change that, margins, ways to cut, ride and water."""

from __future__ import annotations

from truebed.chamber.cut_parts import CutOption
from truebed.chamber.extras import Extras
from truebed.drawings.levels_text import whole_signed_mm
from truebed.levels.ponding import Ponding
from truebed.levels.ride import Ride
from truebed.levels.setting import Verdict
from truebed.papers.writing import litres, percent, signed_mm, tenth_mm
from truebed.plan.result import CoverDesign

Words = dict[str, object]
#: A tenth of a litre is the least that is told.
NOUGHT_L = 0.05


def office_words(design: CoverDesign) -> Words:
    """One cover's office part; parts with nothing to say are empty.

    Valid       any design
    Source      house (writing)
    Proved by   tests/papers/test_office_words.py
    """
    diagnosis = together(design.diagnosis)
    return {
        "cover": design.cover,
        "repair": diagnosis[0]["text"] if diagnosis else "",
        "diagnosis": diagnosis[1:],
        "margin": together(design.margin),
        "options": [option_words(o) for o in design.cut.options],
        "ride": [] if design.aids is None else ride_lines(design.aids.ride),
        "water": "" if design.aids is None or design.aids.ponding is None else water_words(design.aids.ponding),
        "parts": parts_words(design),
        "levels": [_level(v) for v in (design.setting.clause, design.setting.rim_verdict)],
        "held_back": "" if design.extras is None else held_back_words(design.extras),
    }


def _level(verdict: Verdict) -> str:
    band = f"{signed_mm(verdict.band_low_mm)} to {signed_mm(verdict.band_high_mm)}"
    return (
        f"{'keeps' if verdict.passes else 'BREAKS'}: {verdict.name} {signed_mm(verdict.value_mm)} mm in {band}, "
        f"likely true {percent(verdict.probability)} ({verdict.source})"
    )


def together(lines: tuple[str, ...]) -> list[dict[str, str]]:
    """Lines 'name: text' put together by name, in the order first met; a line without a name stands by itself.

    Valid       any lines; of a diagnosis the first is the cover with its repair
    Source      house (arrangement)
    Proved by   tests/papers/test_office_words.py
    """
    rows: list[dict[str, str]] = []
    for line in lines:
        name, colon, text = line.strip().partition(": ")
        if not colon:
            name, text = "", line.strip()
        side = name.startswith(("sound margin, ", "tap next, "))
        if side:
            name, text = name.split(", ", 1)[0], f"{name.split(', ', 1)[1]} {text}"
        same = next((r for r in rows if name and r["name"] == name), None)
        if same is None:
            rows.append({"name": name, "text": text})
        else:
            same["text"] += f"; {text}"
    return rows


def option_words(option: CutOption) -> dict[str, str]:
    """One way to make the cut as a row of a table.

    Valid       any option
    Source      house (writing)
    Proved by   tests/papers/test_office_words.py
    """
    way = option.form if option.way == "none" else f"{option.form}, {option.way}"
    cores = f"{option.core_count} of \u00d8{option.core_mm:.0f} mm" if option.core_count else ""
    left = f"{option.left_length_mm:.0f} x {option.left_depth_mm:.0f} mm" if option.left_length_mm > 0.0 else ""
    surround = option.more_surround_l
    return {
        "way": way,
        "state": "chosen" if option.chosen else option.why_not,
        "saw": f"{option.saw_length_m:.2f}",
        "over": f"{option.over_cut_m:.2f}",
        "cores": cores,
        "left": left,
        "waste": signed_mm(option.more_waste_l),
        "surround": "" if surround is None else signed_mm(surround),
    }


def ride_lines(ride: Ride) -> list[str]:
    """The worst step under a wheel and the worst gap under the straightedge.

    Valid       any ride
    Source      house (writing)
    Proved by   tests/papers/test_office_words.py
    """
    worst = ride.worst
    verdict = "keeps" if ride.steps_pass else "BREAKS"
    lines = [
        f"worst step under a wheel {signed_mm(worst.step_mm)} mm {worst.place}, wheel line y "
        f"{whole_signed_mm(worst.line_y_mm)}: {verdict} the level band ({ride.band_source})"
    ]
    gap = ride.worst_gap
    if gap is not None:
        axis = "y" if gap.way == "along" else "x"
        reach = "" if gap.known else f", as far as the readings reach ({gap.length_mm:.0f} mm)"
        limit = ride.gap_limit
        allowed = "" if limit is None else f"; allowed {limit.value:g} mm ({limit.source})"
        verdict = "" if ride.gap_passes is None else "keeps: " if ride.gap_passes else "BREAKS: "
        lines.append(
            f"{verdict}worst gap under the straightedge {tenth_mm(gap.gap.gap_mm)} mm, {gap.way} the traffic at "
            f"{axis} {whole_signed_mm(gap.at_mm)}{reach}{allowed}"
        )
    if ride.lines_unjudged:
        lines.append(f"no gap told on {ride.lines_unjudged} lines: the readings do not reach past the frame")
    return lines


def water_words(pond: Ponding) -> str:
    """Water round a set grating.

    Valid       any ponding
    Source      house (writing)
    Proved by   tests/papers/test_office_words.py
    """
    drains = f"{100.0 * pond.to_grating_share:.0f} % of the road read drains to the grating"
    if pond.depth_mm <= pond.film_mm:
        return f"none stands deeper than {pond.film_mm:g} mm; {drains}"
    return (
        f"{tenth_mm(pond.depth_mm)} mm deep at x {whole_signed_mm(pond.at[0])}, y {whole_signed_mm(pond.at[1])}; "
        f"{pond.area_m2:.2f} m\u00b2, {tenth_mm(pond.volume_l)} l; {drains}"
    )


def held_back_words(extras: Extras) -> str:
    """What the former holds back; '' where nothing would run.

    Valid       any extras
    Source      house (writing)
    Proved by   tests/papers/test_office_words.py
    """
    if extras.held_back_l < NOUGHT_L:
        return ""
    return f"without it {litres(extras.held_back_l)} of fill would run into the chamber"


def parts_words(design: CoverDesign) -> str:
    """How likely all castings of a frame in parts lie in the band; '' for one casting.

    Valid       any design
    Source      house (writing)
    Proved by   tests/papers/test_office_words.py
    """
    parts = design.parts
    if parts is None:
        return ""
    worst = f"greatest departure {tenth_mm(parts.greatest_departure_mm)} mm, part {parts.part}"
    if parts.least_probability is None or parts.most_probability is None:
        return worst
    least, most = percent(parts.least_probability), percent(parts.most_probability)
    return f"{worst}; all parts in the band: likely {least}" + ("" if least == most else f" to {most}")
