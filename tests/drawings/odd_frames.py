"""Odd frames with cuts as the cut-out room makes them: every shape, corner, kerb, obstacle and neighbour."""

from __future__ import annotations

from dataclasses import replace

from papers.sample_plan import bed_point, designs, rectangle, rim_point
from truebed.chamber.cut import cut_out
from truebed.chamber.cut_parts import Neighbour
from truebed.chamber.cut_question import CutQuestion
from truebed.chamber.obstacles import keep_off
from truebed.chamber.outlines import Outlines
from truebed.chamber.plane import Ring
from truebed.chamber.shapes import outline_ring, turned_point
from truebed.plan.result import CoverDesign

K11 = designs()[0]
CORNERS = (("front-left", 1, 1), ("front-right", 1, -1), ("back-right", -1, -1), ("back-left", -1, 1))
QUARTERS = (("front", 1, 0), ("right", 0, -1), ("back", -1, 0), ("left", 0, 1))
PLAIN = CutQuestion(800.0, 800.0, 0.0, 80.0, 70.0, "Gable top", "none", None, 60.0, 200.0, 450.0)


def made(cover: str, question: CutQuestion, opening: str = "") -> CoverDesign:
    """The first sample cover with a frame of the question's flange and the cut that answers it."""
    shape, along_mm, across_mm, turn_deg = (
        question.flange_shape, question.flange_along_mm, question.flange_across_mm, question.turn_deg,
    )  # fmt: skip
    cut = cut_out(replace(question, name=cover))
    inner = opening or shape

    def ring(of: str, less_mm: float) -> Ring:
        return outline_ring(of, along_mm - less_mm, across_mm - less_mm, turn_deg)

    outlines = Outlines(
        opening=ring(inner, 200.0), body=ring(shape, 150.0), flange=ring(shape, 0.0), wall=ring(shape, 20.0),
        chamber=ring(inner, 210.0), cut=cut.ring,
    )  # fmt: skip
    marks = CORNERS if shape in ("rectangle", "triangular pair") else QUARTERS
    half = (along_mm / 2 - 75.0, across_mm / 2 - 75.0)
    places = [(name, *turned_point((sx * half[0], sy * half[1]), turn_deg)) for name, sx, sy in marks]
    corners = tuple(rim_point(*place) for place in places)
    around = tuple(rim_point(f"r{i + 1}", x, y) for i, (x, y) in enumerate(outlines.body))
    setting = replace(
        K11.setting, corners=corners, rim_points=(*corners, *around), greatest_at=corners[0].name,
        bed=tuple(bed_point(name, 1.15 * x, 1.15 * y, 150.0) for name, x, y in places),
    )  # fmt: skip
    return replace(
        K11, cover=cover, shape=shape, turn_deg=turn_deg, outlines=outlines, cut=cut, setting=setting,
        keep_off=question.keep_off,
    )  # fmt: skip


def odd_designs() -> dict[str, CoverDesign]:
    """One of each, by what is odd about it."""
    post = keep_off("lamp post", 575.0, -300.0, 100.0, 150.0, 0.0, 50.0)
    beside = Neighbour("K77", _moved(600.0), _moved(760.0))
    asked = {
        "triangular pair": replace(PLAIN, flange_shape="triangular pair", flange_along_mm=900.0, flange_across_mm=700.0,
                                   turn_deg=20.0),
        "D, cut square to traffic": replace(PLAIN, flange_shape="D", flange_across_mm=650.0, turn_deg=-30.0,
                                            cut_turn="traffic"),
        "round cut": replace(PLAIN, flange_shape="round", cut_form="round"),
        "cored corners": replace(PLAIN, turn_deg=35.0, corner_way="core"),
        "stop short at a kerb": replace(PLAIN, flange_along_mm=620.0, corner_way="stop short", kerb_side="left",
                                        kerb_mm=500.0, strip_least_mm=200.0),
        "obstacle": replace(PLAIN, keep_off=(post,)),
        "joined": replace(PLAIN, neighbours=(beside,), strip_least_mm=300.0),
        "parts": replace(PLAIN, flange_along_mm=1200.0, flange_across_mm=700.0, turn_deg=10.0),
    }  # fmt: skip
    found = {name: made("K1", question, "round" if name == "cored corners" else "") for name, question in asked.items()}
    return found | {"parts": replace(found["parts"], parts_count=3)}


def _moved(size_mm: float) -> tuple[tuple[float, float], ...]:
    return tuple((x + 300.0, y + 1000.0) for x, y in rectangle(size_mm, size_mm))
