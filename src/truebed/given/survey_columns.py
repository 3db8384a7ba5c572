"""The columns of condition.csv, obstacles.csv, soundings.csv and units.csv. Ranges are plausible sizes (house)."""

from __future__ import annotations

from truebed.given.column import Column, FileColumns
from truebed.given.cover_columns import mm_column, place_column

_CORNERS = ("front_left", "front_right", "back_left", "back_right")


def _steps(name: str, what: str, example: str) -> tuple[Column, ...]:
    """A step at each corner of the frame, as seen along the traffic."""
    return tuple(
        mm_column(f"{name}_{corner}_mm", -200.0, 200.0, example, f"{what}, {corner.replace('_', ' ')}; proud +", False)
        for corner in _CORNERS
    )


def _state(name: str, meaning: str, example: str, *choices: str) -> Column:
    return Column(name, "choice", f"{meaning}; empty = not looked at", example, required=False, choices=choices)


def _rank(name: str, meaning: str, example: str, most: int) -> Column:
    return Column(name, "whole", meaning, example, required=False, between=(0, most))


CONDITION = FileColumns(
    "condition.csv",
    "One row a cover: what the survey found of lid, frame, seating and chamber. Corners as seen along the traffic.",
    (
        Column("cover", "name", "the cover it belongs to", "F-1"),
        mm_column("lid_step_mm", -200.0, 200.0, "-3", "greatest step of lid against frame, up positive", False),
        *_steps("lid_step", "step of lid against frame", "-3"),
        *_steps("frame_step", "step of frame against road", "-14"),
        mm_column("rock_mm", 0.0, 100.0, "2.5", "greatest rock of the lid at a corner", False),
        _rank("seat_wear_class", "wear of the seat, 0 none to 4 worn through", "1", 4),
        Column("hollow_taps_pct", "number", "share of taps that rang hollow", "40", False, "pct", (0.0, 100.0)),
        Column("courses", "text", "courses of brick or rings and their state, in words", "two, sound", required=False),
        _rank("courses_class", "state of the courses, 0 sound to 4 missing", "1", 4),
        mm_column("courses_soft_to_mm", 0.0, 2500.0, "240", "road down to where the courses are no longer soft", False),
        _rank("courses_count", "courses of brick or rings between frame and chamber", "2", 40),
        mm_column("crack_mm", 0.0, 200.0, "6", "widest crack round the frame", False),
        _state("surround", "road round the frame", "cracked", "sound", "cracked", "potholed", "missing"),
        _state("frame_state", "the frame itself", "sound", "sound", "cracked", "broken"),
        _state("slab_state", "cover slab or corbel under the courses", "unknown", "sound", "cracked", "unknown"),
        _state("plan_below", "plan of the chamber below", "as frame", "as frame", "other", "unknown"),
        _state("bed_state", "bed under the frame", "crumbled", "sound", "thin", "crumbled", "missing", "unknown"),
        _state("resurfacing", "whether the road is to be resurfaced soon", "no", "no", "planned"),
        Column("polish", "text", "polish of the iron, in words", "smooth, on a bend", required=False),
        Column(
            "dig_anyway",
            "text",
            "why the frame is to be lifted although the diagnosis says not to dig, in words; empty = it stays",
            "client wants the frame raised",
            required=False,
        ),
    ),
    needed=False,
)

OBSTACLES = FileColumns(
    "obstacles.csv",
    "One row a thing in the way of the saw, a rectangle beside the frame.",
    (
        Column("cover", "name", "the cover it lies by", "F-1"),
        Column("what", "text", "what it is", "valve box"),
        place_column("x_mm", "700", "its middle, along the traffic from the frame's centre"),
        place_column("y_mm", "-650", "its middle, to the left of it from the frame's centre"),
        mm_column("along_mm", 1.0, 10000.0, "150", "its size along its own x"),
        mm_column("across_mm", 1.0, 10000.0, "150", "its size along its own y"),
        Column(
            "turn_deg",
            "number",
            "turns it anticlockwise (from above) from the traffic direction; empty = 0",
            "0",
            required=False,
            unit="deg",
            between=(-180.0, 180.0),
        ),
        mm_column("clear_mm", 0.0, 2000.0, "100", "clearance to keep beside it; empty = 0", False),
    ),
    needed=False,
)

SOUNDINGS = FileColumns(
    "soundings.csv",
    "One row a tap, a probe of the frame's edge, or a crack.",
    (
        Column("cover", "name", "the cover it lies by", "F-1"),
        Column("point", "text", "its name, once for each cover", "C1"),
        Column("kind", "choice", "how it was found", "crack", choices=("tap", "crack", "probe")),
        place_column("x_mm", "430", "along the traffic from the frame's centre; of a crack one end"),
        place_column("y_mm", "60", "to the left of it from the frame's centre; of a crack one end"),
        Column(
            "found",
            "choice",
            "tap: sound or hollow. crack: cracked. probe: sound, cracked or loose",
            "cracked",
            choices=("sound", "hollow", "cracked", "loose"),
        ),
        place_column("to_x_mm", "640", "the other end of a crack, along the traffic; of others empty", False),
        place_column("to_y_mm", "90", "the other end of a crack, to the left; of others empty", False),
        mm_column("width_mm", 0.0, 200.0, "3", "width of a crack; of others empty", False),
    ),
    needed=False,
)

UNITS = FileColumns(
    "units.csv",
    "One row a kind of raising unit, course, frame or packer in the yard.",
    (
        Column("unit", "name", "its name, once", "ring 50"),
        Column(
            "kind",
            "choice",
            "course: a brick course with its joint. ring: a raising ring. frame: a frame of another depth. packer: a "
            "piece that holds the frame up while the bed sets",
            "ring",
            choices=("course", "ring", "frame", "packer"),
        ),
        mm_column("height_mm", 1.0, 600.0, "50", "what one adds to the height; of a frame its depth"),
        Column("count", "whole", "how many there are", "6", between=(0, 100000)),
        Column("fits", "text", "what it fits, in words", "600 square", required=False),
        Column("work_min", "number", "work one takes, your own figure; empty = 0", "15", False, "min", (0.0, 1440.0)),
    ),
    needed=False,
)
