"""What the crew saws, digs and closes off at one cover, as short rows."""

from __future__ import annotations

from truebed.chamber.cut_parts import CornerWork, JoinedCut, SawDepth
from truebed.chamber.outlines import CutOut
from truebed.drawings.levels_text import whole_or_tenth_mm
from truebed.papers.writing import litres, plus_minus, tenth_mm
from truebed.plan.result import CoverDesign

SIDES = ("front", "left", "back", "right")
#: Sizes nearer than this are one size.
SAME_MM = 0.05


def cut_rows(design: CoverDesign) -> list[dict[str, str]]:
    """The cut-out in rows of a name and a text; a row with nothing to say is left away.

    Valid       any design
    Source      house (writing)
    Proved by   tests/papers/test_cut_words.py
    """
    cut = design.cut
    rows = (
        ("saw", _saw(cut)),
        ("margins", margins_words(cut)),
        ("corners", corners_words(cut.corners)),
        ("by hand", hand_words(cut.hand_work)),
        ("drawn in", "; ".join(_pulled(cut))),
        ("narrow", "; ".join(f"only {tenth_mm(s.width_mm)} mm of road left to {s.what}" for s in cut.strips)),
        ("one cut with", joined_words(cut.joined, design.cover)),
        ("keep off", _kept_off(design)),
        ("dig", _dig(design)),
        ("waste", waste_words(design)),
        ("close off", close_off_words(design)),
    )
    return [{"name": name, "text": text} for name, text in rows if text]


def _saw(cut: CutOut) -> str:
    size = f"{tenth_mm(cut.along_mm)} x {tenth_mm(cut.across_mm)}"
    if cut.form == "round" and cut.diameter_mm is not None:
        size = f"\u00d8{tenth_mm(cut.diameter_mm)}"
    turn = f", turned {cut.turn_deg:g}\u00b0 to the traffic" if abs(cut.turn_deg) > 1e-9 and cut.form != "round" else ""
    kerb = ", up to the kerb" if cut.snapped_to_kerb else ", stopped by the kerb" if cut.clipped_by_kerb else ""
    return f"{size} mm{turn}{kerb}; {cut.saw_length_m:.2f} m, {tenth_mm(cut.depth_mm)} mm deep{_passes(cut.saw)}"


def _passes(saw: SawDepth | None) -> str:
    if saw is None:
        return ""
    told = ""
    if saw.pass_count is not None:
        metres = "" if saw.passes_m is None else f", {saw.passes_m:.1f} m of pass"
        told = f" in {saw.pass_count} pass{'' if saw.pass_count == 1 else 'es'}{metres}"
    left = f"; {tenth_mm(saw.left_mm)} mm below is to be broken" if saw.left_mm >= SAME_MM else ""
    return told + left


def margins_words(cut: CutOut) -> str:
    """The margins beyond the flange, once where they are equal, and what governs them.

    Valid       any cut; front, left, back, right in the cut's own axes
    Source      house (writing)
    Proved by   tests/papers/test_cut_words.py
    """
    sides = cut.margins_mm
    if len(sides) != len(SIDES) or max(sides) - min(sides) < SAME_MM:
        told = f"{whole_or_tenth_mm(sides[0] if sides else cut.margin_mm)} mm all round"
    else:
        told = ", ".join(f"{s} {whole_or_tenth_mm(m)}" for s, m in zip(SIDES, sides, strict=True)) + " mm"
    return f"{told} ({cut.governed_by})"


def corners_words(work: CornerWork | None) -> str:
    """What is done at the corners; '' of a round cut.

    Valid       any corner work; None: not known
    Source      house (writing)
    Proved by   tests/papers/test_cut_words.py
    """
    if work is None or work.way == "none":
        return ""
    told = []
    runs = [o.length_mm for o in work.over_cuts if o.length_mm >= SAME_MM and not o.enters]
    if runs:
        told.append(f"run on {max(runs):.0f} mm past the corner at {_count(len(runs), 'end')}")
    cores = [c for c in work.cores if not c.enters]
    if cores:
        told.append(f"core {_count(len(cores), 'hole')} of {cores[0].diameter_mm:.0f} mm first, then saw")
    if work.left_count:
        left = f"{work.left_length_mm:.0f} mm long, {work.left_depth_mm:.0f} deep"
        told.append(f"stop at the corner at {_count(work.left_count, 'end')}, break {left}")
    return "; ".join(told)


def hand_words(hand_work: tuple[str, ...]) -> str:
    """What is left for hand work, places with the same reason put together.

    Valid       sentences 'place: reason', or without a place
    Source      house (writing)
    Proved by   tests/papers/test_cut_words.py
    """
    places: dict[str, list[str]] = {}
    for sentence in hand_work:
        place, colon, reason = sentence.partition(": ")
        places.setdefault(reason if colon else sentence, []).extend([place] if colon else [])
    return "; ".join(f"{' and '.join(at)}: {reason}" if at else reason for reason, at in places.items())


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def _pulled(cut: CutOut) -> list[str]:
    return [
        f"{p.side} from {whole_or_tenth_mm(p.from_mm)} to {whole_or_tenth_mm(p.to_mm)} mm for {p.what}"
        for p in cut.pulled_back
    ]


def _kept_off(design: CoverDesign) -> str:
    """What the saw keeps off that no side of the cut was drawn in for."""
    told = {p.what for p in design.cut.pulled_back}
    return ", ".join(dict.fromkeys(k.what for k in design.keep_off if k.what not in told))


def joined_words(joined: JoinedCut | None, cover: str) -> str:
    """With whom a cut is joined, and metres sawn of the whole and of this cover's share; '' where it stands alone.

    Valid       a joined cut that this cover has a share in
    Source      house (writing)
    Proved by   tests/papers/test_cut_words.py
    """
    if joined is None:
        return ""
    others = [s.cover for s in joined.shares if s.cover != cover]
    own = [s.saw_length_m for s in joined.shares if s.cover == cover]
    share = f"; {own[0]:.2f} m of it here" if own else ""
    line = "; the shared line is not sawn" if joined.sharing else ""
    return f"{', '.join(others)}: {joined.saw_length_m:.2f} m in all{share}{line}"


def _dig(design: CoverDesign) -> str:
    cut = design.cut
    known = cut.saw is not None and cut.saw.below_mm >= SAME_MM
    below = f", {tenth_mm(cut.saw.below_mm)} mm of it below the bound layers" if cut.saw is not None and known else ""
    return f"to {tenth_mm(cut.dig_depth_mm)} mm below the road at the frame's centre{below}"


def waste_words(design: CoverDesign) -> str:
    """What comes out: litres with their range, tonnes, loose litres and loads as far as they are known.

    Valid       any design; '' without a waste
    Source      house (writing)
    Proved by   tests/papers/test_cut_words.py
    """
    waste = design.waste
    if waste is None:
        return ""
    told = [f"{litres(waste.volume_l)}{plus_minus(waste.plus_minus_l)}"]
    if waste.mass_t is not None:
        told.append(f"{waste.mass_t:.2f} t")
    if waste.loose_l is not None:
        told.append(f"{waste.loose_l:.0f} l loose")
    if waste.load_count is not None:
        told.append(_count(waste.load_count, "load"))
    layers = [f"{layer.layer} {litres(layer.volume_l)}" for layer in waste.layers if layer.volume_l >= SAME_MM]
    return f"{', '.join(told)} ({', '.join(layers)})" if layers else ", ".join(told)


def close_off_words(design: CoverDesign) -> str:
    """Former and debris dam.

    Valid       any design; '' without extras
    Source      house (writing)
    Proved by   tests/papers/test_cut_words.py
    """
    extras = design.extras
    if extras is None:
        return ""
    told = []
    if extras.former_length_mm > 0.0:
        told.append(f"former {extras.former_length_mm:.0f} mm long, {extras.former_most_mm:.0f} mm high where highest")
    if extras.dam_mm2 > 0.0:
        told.append(f"board against debris {_board(design, extras.dam_mm2)}")
    return "; ".join(told)


def _board(design: CoverDesign, area_mm2: float) -> str:
    """The board's own size where the chamber's shape is known, else its area."""
    chamber = None if design.outlines.shapes is None else design.outlines.shapes.chamber
    if chamber is None or chamber.kind not in ("round", "rectangle"):
        return f"{area_mm2 / 1.0e6:.2f} m\u00b2"
    if chamber.kind == "round":
        return f"\u00d8{whole_or_tenth_mm(chamber.along_mm)} mm"
    return f"{whole_or_tenth_mm(chamber.along_mm)} x {whole_or_tenth_mm(chamber.across_mm)} mm"
