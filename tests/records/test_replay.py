"""The state from the records: what counts, what is corrected or withdrawn; the order of files is nothing."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from records.night import EVERY_KIND, event, journal_of, kit, top, whole_night
from truebed.records.codec import as_object, decode_object
from truebed.records.events import (
    Correction,
    Event,
    HoldTicked,
    LevelRead,
    OpeningDecided,
    SiteTestDecided,
    StepDone,
    StepStarted,
    StrengthTested,
    Withdrawal,
)
from truebed.records.journal import append_line, read_journal
from truebed.records.replay import WorksState, in_order, replay


def state_of(*events: Event) -> WorksState:
    found, faults = read_journal(journal_of(events))
    assert faults == ()
    return replay(found)


def first_level(state: WorksState, cover: str = "T01") -> float | None:
    measured = state.cover(cover).chamber_top
    return None if measured is None else measured.data.points[0].level_mm


def test_nothing_recorded_is_an_empty_state() -> None:
    state = replay(())
    assert state.covers == ()
    assert state.cover("T01").chamber_top is None


def test_a_later_chamber_top_wins() -> None:
    assert first_level(state_of(event(1, top(50.0)), event(2, top(46.0)))) == 46.0


def test_a_withdrawn_chamber_top_does_not_count_and_the_one_before_holds_again() -> None:
    events = (event(1, top(50.0)), event(2, top(46.0)), event(3, Withdrawal("e002", "staff upside down")))
    assert first_level(state_of(*events)) == 50.0
    assert first_level(state_of(events[0], event(3, Withdrawal("e001", "wrong chamber")))) is None


def test_a_withdrawn_withdrawal_lets_the_record_count_again() -> None:
    events = (event(1, top(50.0)), event(2, Withdrawal("e001", "slip")), event(3, Withdrawal("e002", "it was right")))
    assert first_level(state_of(*events)) == 50.0


def test_a_chamber_top_of_one_cover_says_nothing_of_another() -> None:
    state = state_of(event(1, top(50.0)), event(2, top(70.0), cover="T02"))
    assert first_level(state, "T01") == 50.0
    assert first_level(state, "T02") == 70.0
    assert [one.cover for one in state.covers] == ["T01", "T02"]


def test_a_correction_replaces_its_fields_and_names_itself_and_the_line_stays() -> None:
    events = (event(1, kit()), event(2, Correction("e001", "lot misread", (("lot", "HB-0305"), ("kits", 3)))))
    state = state_of(*events)
    (mixed,) = state.cover("T01").kits
    assert (mixed.data.lot, mixed.data.kits, mixed.data.liquid_l) == ("HB-0305", 3, 6.2)
    assert mixed.corrected_by == ("e002",)
    assert b'"lot":"HB-0304"' in journal_of(events)


def test_a_later_correction_of_the_same_field_wins_and_a_withdrawn_one_does_not_count() -> None:
    first, second = (event(i, Correction("e001", "misread", (("kits", i),))) for i in (2, 3))
    assert state_of(event(1, kit()), first, second).cover("T01").kits[0].data.kits == 3
    withdrawn = state_of(event(1, kit()), first, second, event(4, Withdrawal("e003", "slip")))
    assert withdrawn.cover("T01").kits[0].data.kits == 2


def test_a_corrected_chamber_top_is_the_one_that_counts() -> None:
    points = [{"x_mm": 100.0 * i, "y_mm": 0.0, "level_mm": 61.0} for i in range(8)]
    state = state_of(event(1, top(50.0)), event(2, Correction("e001", "decimetre slip", (("points", points),))))
    assert first_level(state) == 61.0


def test_the_earliest_start_and_the_latest_end_of_a_step_count() -> None:
    state = state_of(
        event(1, StepStarted("mix-fill")),
        event(2, StepStarted("mix-fill")),
        event(5, StepDone("mix-fill")),
        event(9, StepDone("mix-fill")),
    ).cover("T01")
    assert [one.event for one in state.started] == ["e001"]
    assert [one.event for one in state.done] == ["e009"]
    assert state.is_done("mix-fill")
    assert not state.is_done("pour-fill")


def test_a_batch_thrown_away_is_withdrawn_and_the_new_start_counts() -> None:
    state = state_of(
        event(1, StepStarted("mix-fill")),
        event(2, Withdrawal("e001", "thrown away")),
        event(3, StepStarted("mix-fill")),
    )
    assert [one.event for one in state.cover("T01").started] == ["e003"]


def test_a_hold_is_ticked_by_the_last_who_ticked_it_and_unticked_by_a_withdrawal() -> None:
    ticks = (event(1, HoldTicked("frame-levels", "AR")), event(2, HoldTicked("frame-levels", "crew lead")))
    assert [one.data.by for one in state_of(*ticks).cover("T01").holds] == ["crew lead"]
    gone = state_of(*ticks, event(3, Withdrawal("e001", "x")), event(4, Withdrawal("e002", "x")))
    assert not gone.cover("T01").is_ticked("frame-levels")


def test_a_level_read_again_at_a_point_replaces_the_first_and_other_points_stay() -> None:
    state = state_of(
        event(1, LevelRead("F1", 0.0, 0.0, 180.0, "rim")),
        event(2, LevelRead("F2", 1.0, 0.0, 181.0, "rim")),
        event(3, LevelRead("F1", 0.0, 0.0, 184.0, "rim")),
    )
    assert [(one.data.point, one.data.level_mm) for one in state.cover("T01").levels] == [("F2", 181.0), ("F1", 184.0)]


def test_the_decision_to_open_is_the_last_one_and_may_be_of_the_whole_closure() -> None:
    state = state_of(
        event(1, OpeningDecided("open", "crew lead", "all clocks out"), cover=""),
        event(2, OpeningDecided("keep shut", "crew lead", "bed at 3 N/mm2"), cover=""),
    )
    opening = state.cover("").opening
    assert opening is not None
    assert opening.data.decision == "keep shut"


def test_every_kind_of_the_night_arrives_in_the_state() -> None:
    state = replay(read_journal(whole_night())[0]).cover("T01")
    assert state.survey is not None
    assert state.chamber_top is not None
    assert state.opening is not None
    assert [len(part) for part in (state.started, state.done, state.holds, state.photos)] == [1] * 4
    assert [one.data.pour for one in state.probes] == [None, "bed"]
    assert [one.data.test for one in state.tests] == ["rebound", "cube"]
    assert state.site_test is not None
    assert state.site_test.data.decision == "waived"
    assert [one.data.lot for one in state.kits] == ["HB-0305"]
    assert state.levels == ()  # withdrawn


def test_every_strength_test_counts_but_a_withdrawn_one_and_the_latest_decision_about_them() -> None:
    cube = StrengthTested("bed", "cube", 16.0, 3, age_min=64.0)
    state = state_of(
        event(1, cube),
        event(2, replace(cube, strength_n_per_mm2=9.0)),
        event(3, Withdrawal("e002", "of another bed")),
        event(4, SiteTestDecided("required", "RK", "cold night")),
        event(5, SiteTestDecided("waived", "AR", "client's clerk agreed")),
        event(6, Correction("e001", "misread", (("at", "2027-06-08T23:50:00+01:00"), ("readings", 6)))),
    ).cover("T01")
    (test,) = state.tests
    assert (test.data.strength_n_per_mm2, test.data.readings, test.data.at) == (16.0, 6, "2027-06-08T23:50:00+01:00")
    assert state.site_test is not None
    assert (state.site_test.data.decision, state.site_test.data.by) == ("waived", "AR")


def test_within_one_chain_the_chain_decides_though_the_clock_went_back() -> None:
    state = state_of(event(1, top(50.0), minute=60), event(2, top(46.0), minute=10))
    assert first_level(state) == 46.0
    assert [finding.code for finding in state.findings] == ["RC-101"]


def test_between_two_devices_the_clock_decides() -> None:
    one = read_journal(journal_of((event(1, top(50.0), minute=30),)))[0]
    other = read_journal(journal_of((event(2, top(46.0), minute=10), event(3, StepDone("clean"), minute=40))))[0]
    assert first_level(replay(one + other)) == 50.0
    assert first_level(replay(other + one)) == 50.0


@given(st.randoms(use_true_random=False), st.lists(st.integers(0, 90), min_size=6, max_size=6))
def test_the_state_does_not_depend_on_the_order_in_which_records_are_read(dice: Random, minutes: list[int]) -> None:
    mine = tuple(event(i, data, minute=minutes[i % 6]) for i, data in enumerate(EVERY_KIND))
    yours = tuple(event(50 + i, top(40.0 + i), minute=minutes[-1 - i]) for i in range(5))
    events = [*read_journal(journal_of(mine))[0], *read_journal(journal_of(yours))[0]]
    expected = replay(events)
    order = in_order(events)
    dice.shuffle(events)
    assert replay(events) == expected
    assert in_order(events) == order
    for chain in (mine, yours):
        ids = [one.id for one in order if one.id in {e.id for e in chain}]
        assert ids == [one.id for one in chain]


def test_the_same_record_from_two_files_counts_once() -> None:
    events = read_journal(whole_night())[0]
    assert replay(events + events) == replay(events)


def test_two_records_under_one_id_are_a_finding_that_breaks_a_limit() -> None:
    one = read_journal(journal_of((event(1, top(50.0)),)))[0]
    other = read_journal(journal_of((event(1, top(46.0), minute=9),)))[0]
    state = replay(one + other)
    assert [(f.code, f.severity.value) for f in state.findings] == [("RC-103", "breaks a limit")]
    assert first_level(state) == 50.0


@pytest.mark.parametrize("data", [Withdrawal("e777", "slip"), Correction("e777", "slip", (("lot", "X"),))])
def test_putting_right_a_record_that_is_not_there_is_a_finding(data: Withdrawal) -> None:
    state = replay((event(1, kit()), event(2, data)))
    assert [finding.code for finding in state.findings] == ["RC-102"]
    assert len(state.cover("T01").kits) == 1


def test_a_correction_that_would_make_a_record_unsound_is_a_finding_and_the_record_stands() -> None:
    state = replay((event(1, kit()), event(2, Correction("e001", "slip", (("kits", 0),)))))
    assert [finding.code for finding in state.findings] == ["RC-105"]
    assert state.cover("T01").kits[0].data.kits == 2


def test_a_record_of_a_kind_not_known_is_kept_and_said() -> None:
    whole = as_object(event(1, StepStarted("saw"))) | {"kind": "frame weighed", "data": {"mass_kg": 92}}
    state = replay((decode_object(whole),))
    assert [finding.code for finding in state.findings] == ["RC-104"]
    assert state.covers == ()


def test_two_withdrawals_of_each_other_end_without_a_hang() -> None:
    pair = (event(1, Withdrawal("e002", "x")), event(2, Withdrawal("e001", "x")), event(3, StepDone("saw")))
    assert replay(pair).cover("T01").is_done("saw")


def test_a_ring_of_forged_hashes_ends_without_a_hang() -> None:
    ring = (
        replace(event(1, StepDone("saw")), prev="b", hash="a"),
        replace(event(2, StepDone("lift")), prev="a", hash="b"),
    )
    assert replay(ring).cover("T01").is_done("lift")


def test_replaying_a_longer_journal_only_adds() -> None:
    data = journal_of((event(1, StepStarted("saw")),))
    longer = append_line(data, event(2, StepDone("saw")))
    before, after = (replay(read_journal(one)[0]).cover("T01") for one in (data, longer))
    assert after.started == before.started
    assert rfc8785.dumps(len(after.done)) == b"1"
