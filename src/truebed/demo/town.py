"""The invented town of Quernford: the truth at every cover. Every figure here is made up for the demo."""

from __future__ import annotations

from truebed.chamber.plane import Plane
from truebed.demo.truth import (
    CoverTruth,
    CrownRoad,
    Layout,
    Misreading,
    PlaneRoad,
    Road,
    Staff,
    TwistRoad,
    road_level_mm,
)


def _truth(
    cover: str,
    road: Road,
    *,
    depth_mm: float,
    chamber_ratio: tuple[float, float],
    sunk_mm: float,
    frame_ratio: tuple[float, float],
    trick: str,
    outcome: str,
    sd_mm: float = 1.75,
    layout: Layout = "twelve",
    misreading: Misreading | None = None,
    staff: Staff | None = None,
) -> CoverTruth:
    centre_mm = road_level_mm(road, 0.0, 0.0)
    return CoverTruth(
        cover=cover,
        road=road,
        chamber_top=Plane(centre_mm - depth_mm, *chamber_ratio),
        old_frame=Plane(centre_mm - sunk_mm, *frame_ratio),
        reading_sd_mm=sd_mm,
        layout=layout,
        trick=trick,
        outcome=outcome,
        misreading=misreading,
        staff=staff,
    )


TALLOW_ROW: tuple[CoverTruth, ...] = (
    _truth(
        "T01",
        PlaneRoad(184.0, 0.012, -0.024),
        depth_mm=135.0,
        chamber_ratio=(0.004, -0.006),
        sunk_mm=18.0,
        frame_ratio=(0.015, -0.030),
        trick="a plain square cover, sunk 18 mm",
        outcome="set flush on a plane road",
    ),
    _truth(
        "T02",
        PlaneRoad(-236.0, 0.011, -0.026),
        depth_mm=154.0,
        chamber_ratio=(-0.003, -0.004),
        sunk_mm=14.0,
        frame_ratio=(0.004, -0.022),
        trick="a round lid in a square frame, booked by staff from one set-up and a bench mark",
        outcome="staff readings reduced to levels; set flush",
        staff=Staff(("S1",), (1246.0,)),
    ),
    _truth(
        "T03",
        PlaneRoad(211.0, 0.013, -0.022),
        depth_mm=131.0,
        chamber_ratio=(0.002, 0.003),
        sunk_mm=21.0,
        frame_ratio=(0.020, -0.020),
        trick="one level booked 100 mm too high; a hollow patch on the right",
        outcome="reading R5 found gross, about +100 mm, a booking slip; margins by side, the widest on the right",
        misreading=Misreading("R5", 100.0, "a decimetre slip in the book"),
    ),
    _truth(
        "T04",
        PlaneRoad(197.0, 0.009, -0.025),
        depth_mm=180.0,
        chamber_ratio=(-0.005, -0.008),
        sunk_mm=12.0,
        frame_ratio=(0.009, -0.036),
        trick="frame turned 9 degrees from the traffic, 150 mm deep",
        outcome="cut-out and corners turned with the frame",
    ),
    _truth(
        "G01",
        PlaneRoad(96.0, 0.006, -0.028),
        depth_mm=131.0,
        chamber_ratio=(0.0, -0.004),
        sunk_mm=16.0,
        frame_ratio=(0.006, -0.020),
        layout="kerb",
        sd_mm=1.5,
        trick="a gully against the kerb",
        outcome="set a little low (drainage band); cut-out stopped at the kerb",
    ),
    _truth(
        "G02",
        PlaneRoad(88.0, 0.007, -0.027),
        depth_mm=144.0,
        chamber_ratio=(0.003, 0.0),
        sunk_mm=11.0,
        frame_ratio=(0.010, -0.020),
        layout="kerb",
        sd_mm=1.5,
        trick="an oblong gully against the kerb",
        outcome="set a little low; cut-out stopped at the kerb",
    ),
)

WEIR_CROSS: tuple[CoverTruth, ...] = (
    _truth(
        "W01",
        CrownRoad(240.0, 0.008, 0.022, 0.020, 40.0),
        depth_mm=136.0,
        chamber_ratio=(0.003, 0.002),
        sunk_mm=15.0,
        frame_ratio=(0.010, -0.008),
        layout="two rings",
        trick="the crown of the crossroads runs over the frame; four corners alone would look perfect",
        outcome="two planes along the traffic; least greatest departure of 3 to 5 mm at the ridge and the sides",
    ),
    _truth(
        "W02",
        TwistRoad(226.0, 0.010, -0.018, 8.0),
        depth_mm=130.0,
        chamber_ratio=(0.0, -0.003),
        sunk_mm=13.0,
        frame_ratio=(0.014, -0.014),
        trick="the road twists where two cambers meet; a valve box stands beside the cut",
        outcome="plane and twist; corners off by 3 to 4 mm in turn; the cut stops short of the valve box",
    ),
    _truth(
        "W03",
        PlaneRoad(205.0, 0.004, -0.064),
        depth_mm=136.0,
        chamber_ratio=(0.0, -0.004),
        sunk_mm=17.0,
        frame_ratio=(0.004, -0.050),
        trick="a steep camber, 6.4 % across, over a chamber top estimated level",
        outcome="the bed's limits govern the tilt; close to the limit at two sides",
    ),
    _truth(
        "W04",
        PlaneRoad(219.0, -0.014, -0.021),
        depth_mm=257.0,
        chamber_ratio=(-0.004, -0.004),
        sunk_mm=20.0,
        frame_ratio=(-0.020, -0.021),
        trick="a very deep frame, 220 mm; the road round it tapped and probed",
        outcome="flush; margins by side; the deepest dig and the most backfill of the town",
    ),
    _truth(
        "W05",
        PlaneRoad(178.0, 0.016, 0.019),
        depth_mm=134.0,
        chamber_ratio=(0.002, 0.006),
        sunk_mm=22.0,
        frame_ratio=(0.022, 0.019),
        trick="round cover, two materials, one reading 18 mm out",
        outcome="reading R8 found gross, about -18 mm; the rest stand",
        misreading=Misreading("R8", -18.0, "the staff stood in a pothole"),
    ),
    _truth(
        "W06",
        PlaneRoad(-318.0, 0.013, 0.023),
        depth_mm=152.0,
        chamber_ratio=(0.004, 0.003),
        sunk_mm=10.0,
        frame_ratio=(0.013, 0.030),
        trick="round cover booked by staff from two stands with a change point, closed on the bench mark",
        outcome="the run misses its bench mark by 2 mm, within tolerance; the miss is shared out; set flush",
        staff=Staff(("S1", "S2"), (1184.0, 1327.0), change_level_mm=-74.0, closes_off_mm=3.0),
    ),
    _truth(
        "Q01",
        PlaneRoad(64.0, 0.005, -0.022),
        depth_mm=91.0,
        chamber_ratio=(0.002, 0.0),
        sunk_mm=12.0,
        frame_ratio=(0.010, -0.030),
        layout="ten",
        sd_mm=1.5,
        trick="a small box in the footway, class B125",
        outcome="no wheel load asked; the sheet's own traffic strength releases it",
    ),
)

FROSTING_LANE: tuple[CoverTruth, ...] = (
    _truth(
        "F01",
        PlaneRoad(173.0, -0.010, -0.025),
        depth_mm=139.0,
        chamber_ratio=(-0.004, -0.003),
        sunk_mm=19.0,
        frame_ratio=(-0.010, -0.034),
        trick="the worst cover of a cold night",
        outcome="done first; strength read between the sheet's 0 and 5 degC",
    ),
    _truth(
        "F02",
        PlaneRoad(166.0, -0.011, -0.024),
        depth_mm=159.0,
        chamber_ratio=(0.003, -0.006),
        sunk_mm=15.0,
        frame_ratio=(-0.004, -0.024),
        trick="a cold night's second cover",
        outcome="flush; worked in the waits of F01",
    ),
    _truth(
        "F03",
        PlaneRoad(158.0, -0.009, -0.026),
        depth_mm=133.0,
        chamber_ratio=(0.0, -0.005),
        sunk_mm=13.0,
        frame_ratio=(-0.014, -0.026),
        trick="a round cover on a cold night",
        outcome="flush",
    ),
    _truth(
        "F04",
        PlaneRoad(151.0, -0.012, -0.023),
        depth_mm=141.0,
        chamber_ratio=(-0.006, -0.002),
        sunk_mm=10.0,
        frame_ratio=(-0.012, -0.016),
        layout="ten",
        trick="the least pressing cover of a tight night",
        outcome="left out, with the reason, if the night does not hold it",
    ),
    _truth(
        "F05",
        PlaneRoad(149.0, -0.010, -0.025),
        depth_mm=99.0,
        chamber_ratio=(0.002, -0.004),
        sunk_mm=24.0,
        frame_ratio=(-0.010, -0.025),
        trick="chamber top 97 mm below the road under a 100 mm frame: no bed fits",
        outcome="not designed; mends ranked by work, from the units in the yard",
    ),
)

#: Reported after the others: last, so that its reading errors leave theirs as they were.
LATE_REPORT: tuple[CoverTruth, ...] = (
    _truth(
        "T05",
        PlaneRoad(203.0, 0.010, -0.024),
        depth_mm=136.0,
        chamber_ratio=(0.002, -0.004),
        sunk_mm=0.0,
        frame_ratio=(0.010, -0.024),
        trick="the lid lies 8 mm low in a frame that is flush",
        outcome="do not dig: clean the seats, fit a cover that fills its frame; left out with the reason",
    ),
)

QUERNFORD: tuple[CoverTruth, ...] = TALLOW_ROW + WEIR_CROSS + FROSTING_LANE + LATE_REPORT


def truth_of(cover: str) -> CoverTruth:
    """The truth of one cover of the demo.

    Valid       the covers of QUERNFORD
    Source      invented for the demo
    Raises      KeyError for any other name
    Proved by   tests/demo/test_truth.py
    """
    for truth in QUERNFORD:
        if truth.cover == cover:
            return truth
    raise KeyError(cover)
