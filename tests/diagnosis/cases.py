"""Survey cases with the answer that the repair ladder gives, written by hand from the ladder, not from the program.

label   the right repair for the true state of the ironwork. Where a case says so, the readings err: the sheet holds
        what was read, the label what is true. `digs`: whether the right repair takes the frame out.
"""

from dataclasses import dataclass, field

from diagnosis.sample import SOUND, sheet, steps
from truebed.diagnosis.survey import BedHeight, Departure, Survey

DEEP = BedHeight(90.0, 8.0, 10.0, 60.0, "an invented bed")
SHALLOW = BedHeight(-5.0, 8.0, 10.0, 60.0, "an invented bed")
FITTING = BedHeight(30.0, 8.0, 10.0, 60.0, "an invented bed")


@dataclass(frozen=True)
class Case:
    name: str
    label: str
    found: dict = field(default_factory=dict)
    kind: str = "cover"
    bed: BedHeight | None = FITTING
    departures: tuple = ()
    taps: tuple = (0, 0)
    read_wrong: bool = False

    @property
    def survey(self):
        return Survey(sheet(**self.found), self.departures, *self.taps, self.bed)


def all_but(*left_out, **found):
    """A sound cover but for what is given; `left_out` was not looked at."""
    return {k: v for k, v in (SOUND | found).items() if not k.startswith(left_out or ("-",))}


def on_frame(*offs, error_mm=2.2):
    return tuple(Departure(f"f{i}", 300.0 * (-1) ** i, 300.0, off, error_mm, i) for i, off in enumerate(offs, 2))


CASES = (
    Case("lid 8 mm low in a flush frame, bed sound", "replace cover", all_but(**steps("lid", -8))),
    Case(
        "lid 8 mm low in a flush frame, nobody looked below",
        "replace cover",
        all_but("hollow", "bed", "courses", "slab", **steps("lid", -8), rock_mm=1.5),
    ),
    Case("lid 8 mm low on worn seats", "replace cover", all_but(**steps("lid", -8), seat_wear_class=2)),
    Case("grit: lid rocks 3 mm, seats as new", "re-seat", all_but(rock_mm=3.0)),
    Case("lid rocks, seats not graded", "re-seat", all_but("seat", rock_mm=3.0)),
    Case("lid rocks 4 mm on worn seats", "replace cover", all_but(rock_mm=4.0, seat_wear_class=2)),
    Case(
        "lid rocks, the frame's seats worn through", "replace cover and frame", all_but(rock_mm=6.0, seat_wear_class=4)
    ),
    Case("one corner of the lid 6 mm proud on grit", "re-seat", all_but(**steps("lid", 6, 1, 0, 0), rock_mm=2.0)),
    Case("lid rocks, road beside it potholed", "re-seat", all_but(rock_mm=3.0, surround="potholed")),
    Case("frame 14 mm low, flange hollow", "re-bed", all_but("bed", **steps("frame", -14), hollow_taps_pct=60.0)),
    Case(
        "frame tilted, two corners low",
        "re-bed",
        all_but("bed", **steps("frame", -12, -1, -11, 0), hollow_taps_pct=40.0),
    ),
    Case("frame flush, bed crumbled, hollow all round", "re-bed", all_but(hollow_taps_pct=75.0, bed_state="crumbled")),
    Case("frame 12 mm low, all sound below: set low", "re-bed", all_but(**steps("frame", -12))),
    Case("frame 12 mm proud, all sound below", "re-bed", all_but(**steps("frame", 12))),
    Case(
        "lid low and frame low, courses sound",
        "re-bed",
        all_but("bed", **steps("lid", -7), **steps("frame", -12), hollow_taps_pct=50.0),
    ),
    Case("bed looks sound from inside, taps hollow", "re-bed", all_but(hollow_taps_pct=60.0)),
    Case(
        "surround breaks up over a hollow flange", "re-bed", all_but("bed", surround="potholed", hollow_taps_pct=60.0)
    ),
    Case(
        "courses soft to 220 mm, frame low",
        "rebuild courses",
        all_but("courses_class", **steps("frame", -10), courses_soft_to_mm=220.0),
    ),
    Case("courses loose under a flush frame", "rebuild courses", all_but(courses_class=4)),
    Case("slab cracked, frame low", "rebuild courses", all_but(**steps("frame", -9), slab_state="cracked")),
    Case(
        "lid rocks, frame low, courses loose",
        "rebuild courses",
        all_but("bed", rock_mm=4.0, **steps("frame", -15), courses_class=4),
    ),
    Case(
        "frame 20 mm low, true it would need a 90 mm bed",
        "make up height",
        all_but(**steps("frame", -20), bed_state="thin"),
        bed=DEEP,
    ),
    Case("no room for the bed when set true", "make up height", all_but(**steps("frame", 15)), bed=SHALLOW),
    Case("deep bed, but nothing moves", "nothing", all_but(), bed=DEEP),
    Case("road round sound iron potholed", "refill surround", all_but(surround="potholed")),
    Case("30 mm gap round sound iron", "refill surround", all_but(surround="cracked", crack_mm=30.0)),
    Case("6 mm cracks round sound iron", "seal cracks", all_but(surround="cracked", crack_mm=6.0)),
    Case("potholed, nobody tapped the flange", "measure first", all_but("hollow", "bed", surround="potholed")),
    Case("polished on a bend, all sound", "treat surface", all_but(polish="smooth, on a bend")),
    Case("to be resurfaced, all sound", "lower before resurfacing", all_but(resurfacing="planned")),
    Case(
        "to be resurfaced, frame low", "lower before resurfacing", all_but(**steps("frame", -12), resurfacing="planned")
    ),
    Case(
        "square frame on a round shaft, frame low", "find out first", all_but(**steps("frame", -12), plan_below="other")
    ),
    Case("square frame on a round shaft, lid rocks only", "re-seat", all_but(rock_mm=3.0, plan_below="other")),
    Case("frame cracked", "replace cover and frame", all_but(frame_state="cracked")),
    Case("everything looked at, all sound", "nothing", all_but()),
    Case("nobody looked at anything", "measure first"),
    Case("lid and frame sound, nobody looked below", "measure first", all_but("hollow", "bed", "courses")),
    Case("three corners of the frame read", "measure first", all_but("frame_step_back_left")),
    Case("gully 3 mm low, all sound", "nothing", all_but(**steps("frame", -3)), kind="gully"),
    Case("gully 5 mm proud", "re-bed", all_but(**steps("frame", 5)), kind="gully"),
    Case("frame low by readings on it", "re-bed", all_but("frame_step"), departures=on_frame(-12, -11, -13, -12)),
    Case("frame flush by readings on it", "nothing", all_but("frame_step"), departures=on_frame(-1, 0, -2, 1)),
    Case("hollow by the soundings on the flange", "re-bed", all_but("hollow", "bed"), taps=(12, 8)),
    # near the limits: the sheet holds what was read, the label what is true
    Case("frame truly 8 mm low, read 7", "re-bed", all_but(**steps("frame", -7, -7.5, -6.5, -7)), read_wrong=True),
    Case(
        "frame truly 7 mm low at a corner, read 5.5",
        "re-bed",
        all_but(**steps("frame", -5.5, -4, -4, -3)),
        read_wrong=True,
    ),
    Case(
        "frame truly 5 mm low at a corner, read 6.5",
        "nothing",
        all_but(**steps("frame", -6.5, -4, -4, -3)),
        read_wrong=True,
    ),
    Case("frame truly 5 mm low, read 5.4", "nothing", all_but(**steps("frame", -5.4, -5, -4, -4)), read_wrong=True),
    Case("lid truly 2 mm low, read 2.6", "nothing", all_but(**steps("lid", -2.6, -2, -1, -2)), read_wrong=True),
    Case(
        "lid truly 4 mm low, read 3.5", "replace cover", all_but(**steps("lid", -3.5, -3.2, -3, -3.4)), read_wrong=True
    ),
    Case("lid truly rocks 0.8 mm, read 1.2", "nothing", all_but(rock_mm=1.2), read_wrong=True),
    Case(
        "three taps of twelve hollow, bed truly sound", "nothing", all_but("bed", hollow_taps_pct=20.0), read_wrong=True
    ),
)
