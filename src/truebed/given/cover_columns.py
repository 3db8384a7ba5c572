"""The columns of covers.csv and readings.csv. Ranges are plausible sizes (house), not limits."""

from __future__ import annotations

from truebed.given.column import Column, FileColumns

SHAPES = ("rectangle", "round", "D", "triangular pair")
CHAMBER_SHAPES = ("rectangle", "round")
_MAP = "If it is a place on the map, it belongs into x_m and y_m of covers.csv: here measure from the frame's centre."
CLASSES = ("A15", "B125", "C250", "D400", "E600", "F900")


def _size(what: str, least: float, most: float, example: str, meaning: str) -> tuple[Column, Column]:
    """A pair of plan sizes, along and across."""
    own_shape = {"body": "shape", "chamber": "chamber_shape"}.get(what, f"{what}_shape, else shape,")
    along = Column(
        f"{what}_along_mm",
        "number",
        f"{meaning} along the frame's own x; of a round one its diameter",
        example,
        unit="mm",
        between=(least, most),
    )
    across = Column(
        f"{what}_across_mm",
        "number",
        f"{meaning} along the frame's own y; of a round one empty, or the same diameter again",
        example,
        unit="mm",
        between=(least, most),
        unless=f"{own_shape} is round",
    )
    return along, across


def mm_column(name: str, least: float, most: float, example: str, meaning: str, required: bool = True) -> Column:
    """A column of lengths in mm.

    Valid       least < most
    Source      house
    Proved by   tests/given/test_columns.py
    """
    return Column(name, "number", meaning, example, required=required, unit="mm", between=(least, most))


def place_column(name: str, example: str, meaning: str, required: bool = True) -> Column:
    """A column of places from the frame's centre; what lies far out is likely a place on the map.

    Valid       name x_mm, y_mm, or of another point
    Source      house
    Proved by   tests/given/test_columns.py
    """
    return Column(name, "number", meaning, example, required, "mm", (-5000.0, 5000.0), beyond=_MAP)


COVERS = FileColumns(
    "covers.csv",
    "One row a cover, grating or box.",
    (
        Column("cover", "name", "its name in these works; used in every other file and on every paper", "F-1"),
        Column("street", "text", "the street it stands in, spelt as in closures.csv", "Tallow Row"),
        Column("kind", "choice", "what it is", "cover", choices=("cover", "gully", "box")),
        Column(
            "shape",
            "choice",
            "shape of the body, and of opening and flange where they have no shape of their own",
            "rectangle",
            choices=SHAPES,
        ),
        Column("opening_shape", "choice", "shape of the opening; empty = shape", "round", False, choices=SHAPES),
        Column("flange_shape", "choice", "shape of the flange; empty = shape", "rectangle", False, choices=SHAPES),
        *_size("opening", 50.0, 2500.0, "600", "clear opening"),
        *_size("body", 60.0, 3000.0, "690", "outside of the frame's wall"),
        *_size("flange", 80.0, 3500.0, "850", "outside of the frame's flange (foot)"),
        mm_column("frame_depth_mm", 30.0, 600.0, "150", "top of the frame down to the underside of its flange"),
        mm_column("flange_thick_mm", 3.0, 100.0, "12", "thickness of the flange"),
        Column("frame_mass_kg", "number", "mass of the frame and its lids", "95", unit="kg", between=(1.0, 3000.0)),
        Column("chamber_shape", "choice", "shape of the chamber at its top", "rectangle", choices=CHAMBER_SHAPES),
        *_size("chamber", 50.0, 3500.0, "675", "inside of the chamber at its top"),
        mm_column("wall_mm", 20.0, 1000.0, "215", "thickness of the chamber's wall, the same all round"),
        mm_column(
            "chamber_depth_mm",
            40.0,
            2000.0,
            "185",
            "road at the frame's centre to the sound chamber top; an estimate",
        ),
        Column("load_class", "choice", "class cast in the cover (EN 124)", "D400", choices=CLASSES),
        Column("place", "choice", "where it lies", "carriageway", choices=("carriageway", "kerbside", "footway")),
        Column("method", "name", "key of the method that reinstates it: a file of methods/", "five-layer"),
        mm_column(
            "sound_margin_mm",
            0.0,
            1500.0,
            "150",
            "from the flange's edge out to sound road, as tapped and probed; may be empty with soundings",
            False,
        ),
        mm_column("bound_depth_mm", 0.0, 1000.0, "180", "thickness of the bound layers, as cored or known"),
        Column("severity", "whole", "how much this one matters, the user's own", "60", between=(1, 100)),
        Column(
            "turn_deg",
            "number",
            "turns the frame anticlockwise (from above) from the traffic direction; empty = 0",
            "0",
            required=False,
            unit="deg",
            between=(-180.0, 180.0),
        ),
        Column("x_m", "number", "place in the works' coordinate system, with y_m", "4120.5", False, "m", (-2e7, 2e7)),
        Column("y_m", "number", "place in the works' coordinate system, with x_m", "987.2", False, "m", (-2e7, 2e7)),
        Column(
            "kerb_side",
            "choice",
            "side of the traffic direction on which a kerb stands; empty = none",
            "left",
            required=False,
            choices=("none", "left", "right"),
        ),
        mm_column(
            "kerb_mm",
            0.0,
            20000.0,
            "900",
            "frame's centre to the kerb's face; wanted with a kerb_side",
            False,
        ),
        Column("lane_position", "text", "where in the lane, in words", "nearside wheel path", required=False),
        Column("homes_within_50_m", "whole", "homes within 50 m, for noise", "14", required=False, between=(0, 10000)),
        Column(
            "parts",
            "whole",
            "rigid parts the frame is made of, equal and in a row along its own x; empty = 1",
            "1",
            required=False,
            between=(1, 6),
        ),
        Column("cut_shape", "choice", "how it is sawn; empty = square", "square", False, choices=("square", "round")),
        Column(
            "corner_rule",
            "choice",
            "corners of a square cut: the blade runs on, a core is drilled first, or it stops short; empty = run on",
            "core",
            required=False,
            choices=("run on", "core", "stop short"),
        ),
        Column(
            "cut_turn",
            "choice",
            "a square cut stands with the frame or square to the traffic; empty = frame",
            "frame",
            required=False,
            choices=("frame", "traffic"),
        ),
        Column(
            "bearing_deg",
            "number",
            "direction of the traffic, clockwise from the works' y axis (grid north); with x_m and y_m it places "
            "neighbours",
            "75",
            required=False,
            unit="deg",
            between=(0.0, 360.0),
        ),
        Column("remark", "text", "anything else", "rocks under buses", required=False),
    ),
)

READINGS = FileColumns(
    "readings.csv",
    "One row a level, staff reading, gap or offset, in order of booking. A cover needs six road readings or more; "
    "eight all round are better.",
    (
        Column("cover", "name", "the cover it belongs to", "F-1"),
        Column("point", "text", "name of the point, once for each cover and set-up", "R1"),
        place_column("x_mm", "-560", "along the traffic from the frame's centre"),
        place_column("y_mm", "560", "to the left of it from the frame's centre"),
        Column(
            "kind",
            "choice",
            "level: height above the cover's own zero, up positive. staff: staff reading, down positive. straightedge "
            "gap, string-line offset: from the edge or string down to the point, down positive",
            "level",
            choices=("level", "staff", "straightedge gap", "string-line offset"),
        ),
        mm_column(
            "value_mm", -6000.0, 6000.0, "-14", "the level or the reading; a bigger staff reading is a lower point"
        ),
        Column(
            "where",
            "choice",
            "what the point lies on; change point: read from two stands; line end: a point of the edge or string "
            "itself",
            "road",
            choices=("road", "frame", "lid", "chamber", "kerb", "bench mark", "change point", "line end"),
        ),
        Column(
            "set_up",
            "text",
            "name of the stand, of the straightedge's place or of the string; wanted for all but plain levels",
            "A",
            required=False,
        ),
    ),
)
