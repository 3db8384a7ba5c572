"""What wheels ask of the bed, as sentences and rows for the sheet: pressure, a void under a side, who may cross."""

from __future__ import annotations

import math

from truebed.plan.wheel import BedWheel
from truebed.plan.wheel_telling import sides_words, times_text

#: A rock smaller than this is not felt by hand, and not told in figures [mm].
FELT_MM = 0.1
NO_CROSSING = "may not cross: the frame would tip"
CONTROLLED = "Only while traffic management controls who crosses; an opened road is open to all."


def strength_text(strength_n_per_mm2: float) -> str:
    """A strength to wait for: never rounded down; hundredths below one, tenths above.

    Valid       0 and more
    Source      house (writing)
    Proved by   tests/papers/test_wheel_words.py
    """
    parts = 100.0 if strength_n_per_mm2 < 1.0 else 10.0
    up = math.ceil(strength_n_per_mm2 * parts - 1e-9) / parts
    return f"{up:.2f}" if parts > 10.0 else f"{up:.1f}"


def pressure_sentence(wheel: BedWheel | None) -> str:
    """What the rule set's wheels ask of the bed; '' without a wheel.

    Valid       any cover
    Source      house (writing)
    Proved by   tests/papers/test_wheel_words.py
    """
    if wheel is None:
        return ""
    carries = "" if wheel.pressed_share is None else f"; {_carries(wheel.pressed_share)} of the bed carries then"
    where = f", casting {wheel.part} from the back" if wheel.part else ""
    return (
        f"Wheel anywhere on the iron presses the bed at most {strength_text(wheel.peak_n_per_mm2)} N/mm\u00b2 "
        f"({wheel.governed_by}, {wheel.peak_at}{where}){carries}."
    )


def _carries(pressed_share: float) -> str:
    return "all" if pressed_share >= 1.0 else f"{min(pressed_share, 0.999):.1%}".replace("%", " %")


def void_sentence(wheel: BedWheel | None, opening_n_per_mm2: float | None) -> str:
    """What the worst void under one side would do, in one sentence; '' where no void could be tried.

    opening_n_per_mm2  strength of the bed at which the road opens; None where it is not determined
    Valid       a wheel of the same cover
    Source      house (writing)
    Proved by   tests/papers/test_wheel_words.py
    """
    worst = None if wheel is None else wheel.worst_void()
    if wheel is None or worst is None:
        return ""
    head = f"Air left under the whole of {sides_words(wheel, worst)}:"
    if worst.outcome == "tips" or worst.peak_n_per_mm2 is None or worst.times_ratio is None:
        return f"{head} the frame tips under a wheel."
    if worst.outcome == "crushes":
        return f"{head} the rest is pressed more than the bed ever bears; it crushes and the frame rocks loose."
    over = opening_n_per_mm2 is not None and worst.peak_n_per_mm2 > opening_n_per_mm2
    more = ", more than it is strong when the road opens" if over else ""
    moves = "" if worst.rock_mm is None else f", a corner moves {_rock_text(worst.rock_mm)}"
    return (
        f"{head} the bed is pressed {times_text(worst.times_ratio)} times as much "
        f"({strength_text(worst.peak_n_per_mm2)} N/mm\u00b2{more}){moves}."
    )


def _rock_text(rock_mm: float) -> str:
    return f"less than {FELT_MM:g} mm" if rock_mm < FELT_MM else f"{rock_mm:.1f} mm"


def crossing_rows(rows: tuple[tuple[str, float | None], ...], when: tuple[str, ...] = ()) -> list[dict[str, str]]:
    """Each vehicle, the bed strength it wants, and when the bed has it on the late side ('' where that is not given).

    rows        as BedWheel.crossing_rows gives them; when: a text for each row, in their order
    Valid       as many texts as rows, or none
    Source      house (writing)
    Raises      ValueError where texts and rows do not go together
    Proved by   tests/papers/test_wheel_words.py
    """
    texts = when if when else tuple("" for _ in rows)
    return [
        {
            "vehicle": name,
            "strength": NO_CROSSING if strength is None else f"{strength_text(strength)} N/mm\u00b2",
            "when": "" if strength is None else text,
        }
        for (name, strength), text in zip(rows, texts, strict=True)
    ]


def crossing_note(bearing: tuple[str, ...]) -> str:
    """Under what terms the table of vehicles holds.

    bearing     the pours that bear, in words
    Valid       one pour or more
    Source      house (writing)
    Proved by   tests/papers/test_wheel_words.py
    """
    pours = bearing[0] if len(bearing) == 1 else f"{', '.join(bearing[:-1])} and {bearing[-1]}"
    every = "must have" if len(bearing) == 1 else "must each have"
    return f"{CONTROLLED} {pours[0].upper()}{pours[1:]} {every} the strength."
