"""The night's picture: every step of every cover once, to scale in time, told apart by pattern."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree
from zoneinfo import ZoneInfo

import pytest

from drawings.tools import dark_share, greatest_tint, picture, pixels
from papers.sample_plan import sample_closure
from truebed.drawings.timeline import timeline_svg
from truebed.drawings.timeline_rows import Wait, kind_of, number_of, rows_of, step_numbers
from truebed.programme.problem import Schedule

CLOSURE = sample_closure()
LONDON = ZoneInfo("Europe/London")


def texts(svg: str) -> list[str]:
    """All words on the sheet."""
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own text
    return [e.text or "" for e in root.iter() if e.tag.endswith("text")]


def test_steps_are_numbered_in_the_crew_s_order() -> None:
    names = step_numbers(CLOSURE)
    assert [n for n, _ in names] == list(range(1, 16))
    assert names[0] == (1, "Saw the square")
    assert number_of(CLOSURE, "mix-fill") == 9
    with pytest.raises(KeyError):
        number_of(CLOSURE, "paint")


def test_every_placed_step_is_one_bar_in_a_lane_of_its_own() -> None:
    rows = rows_of(CLOSURE)
    assert [r.cover for r in rows] == ["K11", "K12"]
    for row in rows:
        placed = CLOSURE.solution.schedule.of(row.cover)
        assert sorted((b.start_min, b.end_min) for b in row.bars) == sorted((p.start_min, p.end_min) for p in placed)
        for lane in range(row.lanes):
            lanes = sorted((b.start_min, b.end_min) for b in row.bars if b.lane == lane)
            assert all(a[1] <= b[0] for a, b in pairwise(lanes))


def test_waits_are_the_idle_stretches_and_the_last_cure() -> None:
    (first, _) = rows_of(CLOSURE)
    assert Wait("wait", 145, 183) in first.waits
    assert first.waits[-1] == Wait("cure", 346, 371)  # the seal's 40 minutes from 331


def test_kinds_come_from_noise_and_mixer() -> None:
    tasks = {t.step: t for t in CLOSURE.problem.jobs[0].tasks}
    assert [kind_of(tasks[s]) for s in ("saw", "mix-bed", "lift")] == ["noisy", "mixing", "work"]
    assert kind_of(None) == "work"


def test_the_picture_names_the_hours_and_the_limits() -> None:
    said = texts(timeline_svg(CLOSURE, LONDON))
    for words in ("OPEN BY 06:00", "planned opening 03:01", "noise ends 23:00", "179 min in hand", "TM", "02:00"):
        assert words in said
    for number, name in step_numbers(CLOSURE):
        assert name in said
        assert said.count(str(number)) == 3  # a bar on each cover's row and once in the key


def test_bars_are_to_scale_in_time() -> None:
    root = ElementTree.fromstring(timeline_svg(CLOSURE))  # noqa: S314 - our own text
    mixing = [e for e in root.iter() if e.get("fill") == "url(#diagonal)"]
    widths = sorted(float(e.attrib["width"]) for e in mixing if e.get("height") == "7")
    per_min = 163.0 / 606
    assert widths == pytest.approx(sorted([m * per_min for m in (5, 9, 12, 16)] * 2), abs=0.01)


def test_a_closure_in_which_nothing_is_done_says_so() -> None:
    empty = replace(CLOSURE, solution=replace(CLOSURE.solution, schedule=Schedule((), (), 0)))
    assert "no cover is done in this closure" in texts(timeline_svg(empty))


def test_twice_gives_the_same_text() -> None:
    assert timeline_svg(CLOSURE, LONDON) == timeline_svg(CLOSURE, LONDON)


@pytest.mark.tools
def test_the_picture_is_not_blank_and_has_no_colour(tmp_path: Path) -> None:
    image = pixels(picture(timeline_svg(CLOSURE), tmp_path))
    assert 0.005 < dark_share(image) < 0.4
    assert greatest_tint(image) <= 2
