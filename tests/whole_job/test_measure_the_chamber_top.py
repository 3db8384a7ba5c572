"""The hold point: record the chamber top, plan again, and be told what changed."""

import csv

import pytest
from click.testing import CliRunner

from truebed.cli.main import app
from truebed.demo.build import chamber_points
from truebed.papers.plan_json import plan_from_json
from whole_job.small_folder import write_small_folder


def run(*words):
    return CliRunner().invoke(app, [str(w) for w in words], catch_exceptions=False)


@pytest.fixture(scope="module")
def night(tmp_path_factory):
    place = tmp_path_factory.mktemp("night")
    works = write_small_folder(place / "works")
    run("plan", works, "--out", place / "before")
    with (place / "top.csv").open("w", newline="") as handle:
        csv.writer(handle).writerows([("x_mm", "y_mm", "level_mm"), *chamber_points("T01")])
    recorded = run("record", "chamber-top", works, "T01", "--points", place / "top.csv", "--by", "crew lead")
    run("plan", works, "--out", place / "after")
    before, after = (plan_from_json((place / k / "plan.json").read_bytes()) for k in ("before", "after"))
    return place, works, recorded, before, after


def test_the_readings_are_recorded_and_named(night):
    _, works, recorded, _, _ = night
    assert "chamber top of T01 at 8 points" in recorded.output
    assert "chamber top measured" in run("record", "list", works).output
    assert "T01: chamber top measured by crew lead" in run("check", works).output


def test_the_next_plan_uses_them_in_place_of_the_estimate(night):
    before, after = night[3].closures[0].design("T01"), night[4].closures[0].design("T01")
    assert (before.setting.chamber, after.setting.chamber) == ("estimate", "measured")
    assert before.changed == ()
    assert any("chamber top" in sentence for sentence in after.changed)
    assert after.setting.bed_least_mm != before.setting.bed_least_mm


def test_the_other_cover_is_untouched(night):
    assert night[3].closures[0].design("G01") == night[4].closures[0].design("G01")


def test_the_site_sheet_says_what_changed(night):
    from pypdf import PdfReader

    text = " ".join(p.extract_text() for p in PdfReader(night[0] / "after" / "tallow-night-site-pack.pdf").pages)
    flat = " ".join(text.split())
    assert " ".join(night[4].closures[0].design("T01").changed[0].split())[:25] in flat


def test_a_withdrawn_measurement_no_longer_counts(night, tmp_path):
    _, works, recorded, _, _ = night
    event = recorded.output.split("(event ")[1].split(")")[0]
    assert run("record", "withdraw", works, event, "--why", "wrong cover", "--by", "crew lead").exit_code == 0
    assert "measured by" not in run("check", works).output
    assert len(run("record", "list", works).output.splitlines()) == 2
