"""The chain: any change is found, and its reason is named."""

from __future__ import annotations

import hashlib
import json

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from records.night import EVERY_KIND, event, journal_of, kit, top, whole_night
from truebed.records.codec import encode_line
from truebed.records.events import Correction, LevelRead, StepDone, StepStarted, Withdrawal
from truebed.records.journal import RecordRefusedError, append_line, hash_of, read_journal, seal, verify_journal

NIGHT = whole_night()
SHORT = journal_of((event(1, StepStarted("saw")), event(2, StepDone("saw")), event(3, kit())))


def resealed(line: bytes, **changes: object) -> bytes:
    """A line changed by somebody who also knows how to make its hash anew."""
    whole = json.loads(line) | changes
    del whole["hash"]
    whole["hash"] = hashlib.sha256(rfc8785.dumps(whole)).hexdigest()
    return rfc8785.dumps(whole) + b"\n"


def test_a_whole_night_reads_back_without_a_fault() -> None:
    events, faults = read_journal(NIGHT)
    assert faults == ()
    assert len(events) == len(EVERY_KIND)
    assert b"".join(encode_line(one) for one in events) == NIGHT


def test_each_hash_is_sha256_over_the_rest_of_the_line_and_names_the_line_before() -> None:
    before = ""
    for line in NIGHT.splitlines():
        whole = json.loads(line)
        said = whole.pop("hash")
        assert said == hashlib.sha256(rfc8785.dumps(whole)).hexdigest()
        assert whole["prev"] == before
        before = said
    assert hash_of(read_journal(NIGHT)[0][-1]) == before


def test_any_one_changed_byte_of_a_journal_is_found() -> None:
    for place in range(len(SHORT)):
        for flip in (0x01, 0x20, 0x80):
            changed = bytearray(SHORT)
            changed[place] ^= flip
            assert verify_journal(bytes(changed)), (place, flip)


def test_any_one_missing_or_doubled_byte_is_found() -> None:
    for place in range(len(SHORT)):
        assert verify_journal(SHORT[:place] + SHORT[place + 1 :]), place
        assert verify_journal(SHORT[: place + 1] + SHORT[place:]), place


@settings(max_examples=300)
@given(st.integers(0, len(NIGHT) - 1), st.integers(0, 255))
def test_any_other_value_of_any_byte_of_the_night_is_found_at_or_after_its_line(place: int, value: int) -> None:
    if NIGHT[place] == value:
        return
    changed = NIGHT[:place] + bytes([value]) + NIGHT[place + 1 :]
    events, faults = read_journal(changed)
    row = NIGHT[:place].count(b"\n") + 1
    assert len(faults) == 1
    assert faults[0].row == row
    assert len(events) == row - 1


@settings(max_examples=200)
@given(st.binary(max_size=80), st.integers(0, len(SHORT)))
def test_no_bytes_put_into_a_journal_give_a_traceback_or_pass(junk: bytes, place: int) -> None:
    data = SHORT[:place] + junk + SHORT[place:]
    assert bool(verify_journal(data)) == (data != SHORT)


def test_a_changed_line_is_named_with_its_row_and_that_it_was_changed() -> None:
    lines = SHORT.splitlines(keepends=True)
    (fault,) = verify_journal(lines[0] + lines[1].replace(b'"step":"saw"', b'"step":"cut"') + lines[2])
    assert fault.row == 2
    assert "changed line" in fault.found
    assert "Do not edit the journal" in fault.mend


def test_a_removed_line_is_named_as_a_gap() -> None:
    lines = SHORT.splitlines(keepends=True)
    (fault,) = verify_journal(lines[0] + lines[2])
    assert fault.row == 2
    assert "removed or replaced" in fault.found
    (fault,) = verify_journal(lines[1] + lines[2])
    assert fault.row == 1
    assert "removed or replaced" in fault.found


def test_two_lines_changed_about_are_named_as_moved() -> None:
    lines = SHORT.splitlines(keepends=True)
    (fault,) = verify_journal(lines[0] + lines[2] + lines[1])
    assert fault.row == 2
    assert "moved line" in fault.found
    (fault,) = verify_journal(lines[1] + lines[0] + lines[2])
    assert fault.row == 1
    assert "moved line" in fault.found


def test_a_line_twice_is_named_as_repeated() -> None:
    lines = SHORT.splitlines(keepends=True)
    (fault,) = verify_journal(lines[0] + lines[1] + lines[1] + lines[2])
    assert (fault.row, "repeated" in fault.found) == (3, True)


def test_two_journals_joined_are_named_where_the_second_begins() -> None:
    other = journal_of((event(8, StepStarted("saw"), cover="T02"),))
    (fault,) = verify_journal(SHORT + other)
    assert fault.row == 4
    assert "joined on" in fault.found


def test_a_changed_line_with_its_hash_made_anew_breaks_the_line_after_it() -> None:
    lines = SHORT.splitlines(keepends=True)
    (fault,) = verify_journal(lines[0] + resealed(lines[1], author="XX") + lines[2])
    assert fault.row == 3
    assert "removed or replaced" in fault.found


def test_a_last_line_changed_with_its_hash_made_anew_or_cut_off_is_found_only_against_a_noted_hash() -> None:
    lines = SHORT.splitlines(keepends=True)
    noted = json.loads(lines[2])["hash"]
    forged = lines[0] + lines[1] + resealed(lines[2], author="XX")
    cut = lines[0] + lines[1]
    assert verify_journal(forged) == verify_journal(cut) == ()
    for data in (forged, cut):
        (fault,) = verify_journal(data, noted)
        assert "cut off or replaced" in fault.mend
    assert verify_journal(SHORT, noted) == ()
    assert verify_journal(append_line(SHORT, event(9, StepDone("lift"))), noted) == ()


@pytest.mark.parametrize("kept", [1, 40, -1])
def test_a_torn_last_line_is_reported_with_its_mend_and_the_lines_before_it_stand(kept: int) -> None:
    lines = SHORT.splitlines(keepends=True)
    torn = lines[0] + lines[1] + lines[2][:kept]
    events, faults = read_journal(torn)
    assert len(events) == 2
    (fault,) = faults
    assert fault.row == 3
    assert "unfinished last line" in fault.found
    assert "`truebed record mend` sets the unfinished line aside" in fault.mend


def test_an_empty_file_is_no_journal() -> None:
    (fault,) = verify_journal(b"")
    assert fault.found == "an empty file"


def test_a_journal_saved_by_an_editor_with_other_line_ends_is_found() -> None:
    (fault,) = verify_journal(SHORT.replace(b"\n", b"\r\n"))
    assert fault.row == 1


def test_an_unsound_record_is_found_even_when_its_chain_is_whole() -> None:
    line = resealed(SHORT.splitlines(keepends=True)[0], at="2027-06-08T20:00")
    (fault,) = verify_journal(line)
    assert fault.column == "at"


def test_the_same_id_twice_in_a_whole_chain_is_found() -> None:
    first, second = read_journal(SHORT)[0][:2]
    line = resealed(encode_line(second), id=first.id)
    (fault,) = verify_journal(encode_line(first) + line)
    assert (fault.row, fault.column) == (2, "id")


def test_nothing_can_be_appended_to_a_broken_or_torn_journal() -> None:
    for data in (SHORT[:-1], SHORT.replace(b"saw", b"cut", 1), b"\n"):
        with pytest.raises(RecordRefusedError, match="Nothing was recorded"):
            append_line(data, event(9, StepDone("lift")))


def test_appending_leaves_every_earlier_byte_as_it_was() -> None:
    longer = append_line(SHORT, event(9, StepDone("lift")))
    assert longer.startswith(SHORT)
    assert verify_journal(longer) == ()


def test_seven_points_of_a_chamber_top_are_refused_with_a_sentence() -> None:
    with pytest.raises(RecordRefusedError, match=r"7 different points, expected at least 8"):
        append_line(SHORT, event(9, top(49.0, 7)))


def test_a_number_that_is_none_is_refused() -> None:
    with pytest.raises(RecordRefusedError, match="Nothing was recorded"):
        append_line(SHORT, event(9, LevelRead("F1", 0.0, 0.0, float("nan"), "rim")))


def test_an_id_already_used_is_refused() -> None:
    with pytest.raises(RecordRefusedError, match="there already"):
        append_line(SHORT, event(3, StepDone("lift")))


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (Correction("e777", "slip", (("lot", "X"),)), "no earlier record 'e777'"),
        (Withdrawal("e777", "slip"), "no earlier record 'e777'"),
        (Correction("e003", "slip", (("colour", "X"),)), "'colour'"),
        (Correction("e003", "slip", (("kits", 0),)), "one whole kit or more"),
        (Correction("e003", "slip", (("kits", "two"),)), "a whole number"),
    ],
)
def test_a_correction_that_cannot_hold_is_refused_before_it_is_written(data: Correction, says: str) -> None:
    with pytest.raises(RecordRefusedError, match=says):
        append_line(SHORT, event(9, data))


def test_a_correction_of_another_covers_record_is_refused() -> None:
    with pytest.raises(RecordRefusedError, match="of cover 'T01', not of 'T02'"):
        append_line(SHORT, event(9, Withdrawal("e003", "slip"), cover="T02"))


def test_a_correction_is_not_itself_corrected() -> None:
    data = append_line(SHORT, event(9, Correction("e003", "slip", (("kits", 3),))))
    with pytest.raises(RecordRefusedError, match="itself a correction"):
        append_line(data, event(10, Correction("e009", "slip", (("why", "x"),))))
    assert verify_journal(append_line(data, event(10, Withdrawal("e009", "it was two after all")))) == ()


def test_the_first_record_of_a_journal_follows_nothing() -> None:
    assert seal(b"", event(1, StepStarted("saw"))).prev == ""
