"""The columns of covers.csv, readings.csv and condition.csv. Ranges are plausible sizes (house), not limits."""

from __future__ import annotations

from truebed.given.column import Column, FileColumns

SHAPES = ("rectangle", "round")
CLASSES = ("A15", "B125", "C250", "D400", "E600", "F900")


def _size(what: str, least: float, most: float, example: str, meaning: str) -> tuple[Column, Column]:
    """A pair of plan sizes, along and across."""
    shape = "chamber_shape" if what == "chamber" else "shape"
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
        unless=f"{shape} is round",
    )
    return along, across


def _mm(name: str, least: float, most: float, example: str, meaning: str, required: bool = True) -> Column:
    return Column(name, "number", meaning, example, required=required, unit="mm", between=(least, most))


COVERS = FileColumns(
    "covers.csv",
    "One row a cover, grating or box.",
    (
        Column("cover", "name", "its name in these works; used in every other file and on every paper", "F-1"),
        Column("street", "text", "the street it stands in, spelt as in closures.csv", "Tallow Row"),
        Column("kind", "choice", "what it is", "cover", choices=("cover", "gully", "box")),
        Column("shape", "choice", "shape of opening, body and flange", "rectangle", choices=SHAPES),
        *_size("opening", 50.0, 2500.0, "600", "clear opening"),
        *_size("body", 60.0, 3000.0, "690", "outside of the frame's wall"),
        *_size("flange", 80.0, 3500.0, "850", "outside of the frame's flange (foot)"),
        _mm("frame_depth_mm", 30.0, 600.0, "150", "top of the frame down to the underside of its flange"),
        _mm("flange_thick_mm", 3.0, 100.0, "12", "thickness of the flange"),
        Column("frame_mass_kg", "number", "mass of the frame and its lids", "95", unit="kg", between=(1.0, 3000.0)),
        Column("chamber_shape", "choice", "shape of the chamber at its top", "rectangle", choices=SHAPES),
        *_size("chamber", 50.0, 3500.0, "675", "inside of the chamber at its top"),
        _mm("wall_mm", 20.0, 1000.0, "215", "thickness of the chamber's wall, the same all round"),
        _mm(
            "chamber_depth_mm",
            40.0,
            2000.0,
            "185",
            "road at the frame's centre to the sound chamber top; an estimate",
        ),
        Column("load_class", "choice", "class cast in the cover (EN 124)", "D400", choices=CLASSES),
        Column("place", "choice", "where it lies", "carriageway", choices=("carriageway", "kerbside", "footway")),
        Column("method", "name", "key of the method that reinstates it: a file of methods/", "five-layer"),
        _mm("sound_margin_mm", 0.0, 1500.0, "150", "from the flange's edge out to sound road, as tapped and probed"),
        _mm("bound_depth_mm", 0.0, 1000.0, "180", "thickness of the bound layers, as cored or known"),
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
        _mm(
            "kerb_mm",
            0.0,
            20000.0,
            "460",
            "frame's centre to the kerb's face; wanted with a kerb_side",
            False,
        ),
        Column("lane_position", "text", "where in the lane, in words", "nearside wheel path", required=False),
        Column("homes_within_50_m", "whole", "homes within 50 m, for noise", "14", required=False, between=(0, 10000)),
        Column("remark", "text", "anything else", "rocks under buses", required=False),
    ),
)

_NO_GAPS = "Truebed does not take {0}s yet: give levels or staff readings of the same points."

READINGS = FileColumns(
    "readings.csv",
    "One row a spot level or staff reading. A cover needs six road readings or more; eight all round are better.",
    (
        Column("cover", "name", "the cover it belongs to", "F-1"),
        Column("point", "text", "name of the point, once for each cover and set-up", "R1"),
        _mm("x_mm", -5000.0, 5000.0, "-560", "along the traffic from the frame's centre"),
        _mm("y_mm", -5000.0, 5000.0, "560", "to the left of it from the frame's centre"),
        Column(
            "kind",
            "choice",
            "level: height above the cover's own zero, up positive. staff: staff reading, down positive",
            "level",
            choices=("level", "staff"),
            refused=(
                ("straightedge gap", _NO_GAPS.format("straightedge gap")),
                ("string-line offset", _NO_GAPS.format("string-line offset")),
            ),
        ),
        _mm("value_mm", -6000.0, 6000.0, "-14", "the level or the reading; a bigger staff reading is a lower point"),
        Column(
            "where",
            "choice",
            "what the point lies on",
            "road",
            choices=("road", "frame", "lid", "chamber", "kerb", "bench mark"),
        ),
        Column(
            "set_up",
            "text",
            "name of the instrument's stand; wanted for staff readings, and each needs one bench-mark reading a cover",
            "A",
            required=False,
        ),
    ),
)

CONDITION = FileColumns(
    "condition.csv",
    "One row a cover: what the survey found; read and kept.",
    (
        Column("cover", "name", "the cover it belongs to", "F-1"),
        _mm("lid_step_mm", -200.0, 200.0, "4", "greatest step of lid against frame, up positive", False),
        _mm("rock_mm", 0.0, 100.0, "2.5", "greatest rock of the lid at a corner", False),
        Column("seat_wear_class", "whole", "wear of the seat, 0 none to 4 worn through", "1", False, between=(0, 4)),
        Column("hollow_taps_pct", "number", "share of taps that rang hollow", "40", False, "pct", (0.0, 100.0)),
        Column("courses", "text", "courses of brick or rings and their state", "two, sound", required=False),
        _mm("crack_mm", 0.0, 200.0, "6", "widest crack round the frame", False),
        Column("polish", "text", "polish of the iron, in words", "smooth, on a bend", required=False),
    ),
    needed=False,
)
