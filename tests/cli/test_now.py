"""`truebed record probe`, `strength-test`, `site-test` and `truebed now`: a night from readings to minutes left."""

import json
import re
from datetime import datetime, timedelta

import pytest
from click.testing import CliRunner

from truebed.cli.main import app
from truebed.errors import TruebedError
from truebed.records.events import ProbeRead, StepDone
from truebed.store.journal import append_event, load_journal
from whole_job.small_folder import write_small_folder

PLACED = datetime.fromisoformat("2027-06-08T22:00:00+01:00")
READINGS = ((5, 15.8), (15, 14.9), (25, 14.4), (35, 14.0), (45, 13.8), (55, 13.6))
WHEN = ("--at", "2027-06-08T23:00")


def run(*words):
    return CliRunner().invoke(app, [str(w) for w in words])


def refused(*words):
    """The sentence of a refusal; anything else fails."""
    result = run(*words)
    assert isinstance(result.exception, TruebedError), result.output
    return str(result.exception)


def probe(works, pour="bed", temp=12.0, *more):
    return run("record", "probe", works, "T01", pour, "--temp", temp, "--place", "slowest face", "--by", "RK", *more)


@pytest.fixture
def works(tmp_path):
    """The bed of T01 placed at 22:00 and read six times."""
    place = write_small_folder(tmp_path / "works")
    append_event(place, StepDone("set-frame"), author="RK", cover="T01", at=PLACED)
    for minutes, temp in READINGS:
        at = PLACED + timedelta(minutes=minutes)
        append_event(place, ProbeRead("bed", temp, "bed", "slowest face"), author="RK", cover="T01", at=at)
    return place


@pytest.fixture(scope="module")
def empty(tmp_path_factory):
    return write_small_folder(tmp_path_factory.mktemp("now") / "works")


def test_a_probe_reading_is_recorded_with_its_pour_place_and_time_in_the_works_own_zone(works):
    result = probe(works, "bed", 13.1, "--at", "2027-06-08T23:05")
    assert result.exit_code == 0
    assert "recorded: T01, bed: probe at the slowest face 13.1 °C at 2027-06-08T23:05:00+01:00" in result.output
    last = load_journal(works)[-1].data
    expected = ProbeRead("bed, slowest face", 13.1, "bed", "slowest face", "2027-06-08T23:05:00+01:00")
    assert last == expected
    assert "probe read: bed, slowest face 13.1 °C" in run("record", "list", works).output


def test_a_dry_run_of_each_records_nothing(empty):
    assert "would record" in probe(empty, "bed", 13.1, "--dry-run").output
    test = ("--kind", "cube", "--strength", 12, "--readings", 3, "--age-min", 60)
    assert (
        "would record" in run("record", "strength-test", empty, "T01", "bed", *test, "--by", "RK", "--dry-run").output
    )
    said = run("record", "site-test", empty, "T01", "waived", "--why", "no press", "--by", "RK", "--dry-run")
    assert "would record: T01: site test waived by RK: no press" in said.output
    assert not (empty / "journal.jsonl").exists()


def test_a_temperature_in_fahrenheit_is_refused_with_that_word_and_let_pass_where_it_is_celsius_all_the_same(works):
    words = ("record", "probe", works, "T01", "bed", "--place", "middle", "--by", "RK", "--temp")
    said = refused(*words, 52)
    assert "looks like Fahrenheit" in said
    assert "52 °F is 11.1 °C" in said
    assert "Fahrenheit" in refused(*words, 104)
    before = len(load_journal(works))
    assert run(*words, 36, "--celsius").exit_code == 0
    assert len(load_journal(works)) == before + 1


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("probe", "T01", "gravy", "--temp", 12, "--place", "middle"), "no pour 'gravy'; its pours are bed, fill"),
        (("probe", "T99", "bed", "--temp", 12, "--place", "middle"), "no cover 'T99'"),
        (("probe", "T01", "bed", "--temp", 12, "--place", "top"), "no probe place 'top'; there are slowest face"),
        (("probe", "T01", "bed", "--temp", 12, "--place", "middle", "--at", "22:10"), "--at: found '22:10'; expected"),
        (("probe", "T01", "bed", "--temp", 12, "--place", "middle", "--at", "2027-06-08"), "a day without a time"),
        (("probe", "T01", "bed", "--temp", 12, "--place", "middle", "--at", "2027-10-31T01:30"), "twice or never"),
        (("probe", "T01", "bed", "--temp", "nan", "--place", "middle"), "not believed"),
        (("strength-test", "T01", "bed", "--kind", "cube", "--strength", 9, "--readings", 3), "--age-min"),
        (("strength-test", "T01", "bed", "--kind", "rebound", "--strength", 9, "--readings", 3), "neither an age"),
        (
            ("strength-test", "T01", "bed", "--kind", "rebound", "--strength", 2100, "--readings", 3, "--age-min", 60),
            "psi, it is 14.5",
        ),
        (
            ("strength-test", "T01", "bed", "--kind", "rebound", "--strength", 9, "--readings", 0, "--age-min", 60),
            "one reading or more",
        ),
        (
            ("strength-test", "T01", "surface", "--kind", "rebound", "--strength", 9, "--readings", 3, "--age-min", 9),
            "follow its cure time",
        ),
        (("site-test", "T01", "waived", "--why", " "), "without why"),
    ],
)
def test_what_cannot_be_recorded_is_refused_with_a_sentence_and_nothing_is_written(empty, words, says):
    kind, cover, *rest = words
    assert says in refused("record", kind, empty, cover, *rest, "--by", "RK")
    assert not (empty / "journal.jsonl").exists()


def test_now_tells_strength_minutes_left_and_the_clock_and_never_says_that_the_road_is_open(works):
    result = run("now", works, "T01", "bed", *WHEN)
    assert result.exit_code == 0, result.exception
    assert "bed: harrow-bed, placed 22:00 (step 'set-frame' done, recorded by RK)" in result.output
    assert "waits for 14 N/mm² (opening strength of the rule set" in result.output
    assert "what the wheel itself asks is in the plan's figure" in result.output
    found = re.search(r"minutes left: (\d+), 90 % range (\d+) to (\d+)", result.output)
    left, early, late = (int(text) for text in found.groups())
    assert early < left < late
    assert re.search(r"believably ready \(95 %\): Wed 09 Jun 00:\d\d", result.output)
    assert "nobody has said whether it is required or waived" in result.output
    assert "the opening cannot be judged yet" in result.output
    assert "a competent person decides" in result.output
    assert "is open" not in result.output


def test_as_data_it_holds_the_same_with_times_and_a_later_look_keeps_the_clock(works):
    one, two = (
        json.loads(run("now", works, "T01", "bed", "--json", "--at", at).output)
        for at in ("2027-06-08T23:00", "2027-06-08T23:20")
    )
    (bed,) = one["pours"]
    assert bed["readings_count"] == 6
    assert bed["placed_at"] == "2027-06-08T22:00:00+01:00"
    assert two["pours"][0]["ready_late_at"] == bed["ready_late_at"]
    assert two["pours"][0]["left_late_min"] == pytest.approx(bed["left_late_min"] - 20.0)
    assert one["open_by"] == "2027-06-09T06:00:00+01:00"


def test_every_bearing_pour_is_answered_or_said_why_not(works):
    result = run("now", works, "T01", *WHEN)
    assert result.exit_code == 0
    assert "bed: harrow-bed" in result.output
    assert (
        "fill: NOT TOLD: nothing in the journal says when it was placed; record the step 'pour-fill'" in result.output
    )
    assert "when all are ready cannot be told, one is not told" in result.output
    assert "surface (the surface takes traffic)" in result.output


def test_a_withdrawn_reading_no_longer_counts(works):
    def count():
        return json.loads(run("now", works, "T01", "bed", "--json", *WHEN).output)["pours"][0]["readings_count"]

    assert count() == 6
    event = load_journal(works)[2]
    run("record", "withdraw", works, event.id, "--why", "probe was out of the bed", "--by", "RK")
    assert count() == 5


def test_a_strength_test_and_a_waiver_reach_the_answer(works):
    before = json.loads(run("now", works, "T01", "bed", "--json", *WHEN).output)["pours"][0]
    run("record", "site-test", works, "T01", "waived", "--why", "no press on site", "--by", "RK")
    assert "Site test waived by RK" in run("now", works, "T01", "bed", *WHEN).output
    words = ("--kind", "rebound", "--strength", 7, "--readings", 9, "--at", "2027-06-08T22:58")
    recorded = run("record", "strength-test", works, "T01", "bed", *words, "--by", "RK")
    assert recorded.exit_code == 0
    after = json.loads(run("now", works, "T01", "bed", "--json", *WHEN).output)["pours"][0]
    assert (after["tests_count"], after["may_be_judged"]) == (1, True)
    assert after["left_min"] < before["left_min"]


def test_with_a_thickness_the_layers_own_heat_is_reckoned_ahead(works):
    result = run("now", works, "T01", "bed", "--thick", 35, *WHEN)
    assert "ahead: 35 mm under 14 mm of iron on brick, air" in result.output
    assert "not allowed by the sheet" in refused("now", works, "T01", "bed", "--thick", 200, *WHEN)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("surface",), "is a resin, which has no strength to wait for: follow the cure time"),
        (("backfill",), "bears no wheel by the method five-layer"),
        (("gravy",), "no pour 'gravy'"),
        (("bed", "--target", 40), "last datum of harrow-bed is 37"),
        (("bed", "--placed", "2027-06-08T23:30"), "after the time asked about"),
        (("bed", "--placed", "2027-06-08T22:57"), "no probe reading since it was placed (left out: 6 probe readings"),
        (("fill", "--placed", "2027-06-08T22:30"), "no probe reading since it was placed"),
        (("bed", "--form", "top"), "no probe place 'top'"),
        (("bed", "--form", "middle", "--target", 40), "last datum"),
    ],
)
def test_what_cannot_be_told_is_refused_with_a_sentence(works, words, says):
    assert says in refused("now", works, "T01", *words, *WHEN)


def test_a_reading_outside_the_sheet_is_not_allowed_by_it(works):
    probe(works, "bed", 4.0, "--at", "2027-06-08T22:58")
    assert "not allowed by the sheet: 4 °C at 58 min" in refused("now", works, "T01", "bed", *WHEN)


def test_the_form_needs_no_reading_and_is_printed_for_every_bearing_pour(empty):
    result = run("now", empty, "T01", "--form", "slowest face")
    assert result.exit_code == 0, result.exception
    assert "T01, bed: Harrow bedding mortar, probe at the slowest face" in result.output
    assert "T01, fill: " in result.output
    assert "A sum of 100 is the late side" in result.output
    assert "| time     | probe °C | points   | sum      |" in result.output


def test_the_same_journal_gives_the_same_answer(works):
    assert run("now", works, "T01", "bed", *WHEN).output == run("now", works, "T01", "bed", *WHEN).output
