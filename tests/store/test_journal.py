"""The journal on disk: nothing lost between processes, nothing half written, nothing silently dropped."""

from __future__ import annotations

import multiprocessing
import os
import uuid
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from truebed.errors import FaultsError
from truebed.records.events import ChamberPoint, ChamberTopMeasured, ProbeRead, StepDone, StepStarted
from truebed.records.journal import RecordRefusedError, read_journal, verify_journal
from truebed.store.journal import append_event, load_journal, set_torn_line_aside, uuid7

AT = datetime.fromisoformat("2027-06-08T22:10:00+01:00")


def started(works: Path, count: int = 2) -> bytes:
    for number in range(count):
        append_event(works, StepStarted(f"step {number}"), author="AR", cover="T01", at=AT)
    return (works / "journal.jsonl").read_bytes()


def write_many(works: str, name: str, count: int) -> None:
    for number in range(count):
        append_event(Path(works), ProbeRead(f"{name} {number}", float(number)), author=name, cover="T01")


def test_the_first_record_begins_the_journal_and_leaves_nothing_else_behind(tmp_path: Path) -> None:
    sealed = append_event(tmp_path, StepStarted("saw"), author="AR", cover="T01", at=AT)
    assert [path.name for path in tmp_path.iterdir()] == ["journal.jsonl"]
    assert load_journal(tmp_path) == (sealed,)
    assert sealed.at == "2027-06-08T22:10:00.000+01:00"


def test_a_folder_without_a_journal_has_no_records(tmp_path: Path) -> None:
    assert load_journal(tmp_path) == ()


def test_each_record_is_chained_to_the_one_before(tmp_path: Path) -> None:
    before = started(tmp_path)
    sealed = append_event(tmp_path, StepDone("step 1"), author="AR", cover="T01", at=AT)
    data = (tmp_path / "journal.jsonl").read_bytes()
    assert data.startswith(before)
    assert sealed.prev == read_journal(before)[0][-1].hash
    assert verify_journal(data) == ()


def test_without_a_time_the_devices_own_is_taken_with_its_offset(tmp_path: Path) -> None:
    before = datetime.now(UTC) - timedelta(milliseconds=1)
    sealed = append_event(tmp_path, StepStarted("saw"), author="AR", cover="T01")
    assert before <= sealed.when() <= datetime.now(UTC)
    assert uuid.UUID(sealed.id).version == 7


def test_two_processes_appending_at_once_lose_nothing(tmp_path: Path) -> None:
    context = multiprocessing.get_context("spawn")
    count = 25
    writers = [context.Process(target=write_many, args=(str(tmp_path), name, count)) for name in ("AR", "BN")]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join(120)
        assert writer.exitcode == 0
    events = load_journal(tmp_path)
    assert len(events) == 2 * count
    for name in ("AR", "BN"):
        mine = [event.data.where for event in events if event.author == name and isinstance(event.data, ProbeRead)]
        assert mine == [f"{name} {number}" for number in range(count)]


@pytest.mark.parametrize("kept", [1, 50, -1])
def test_a_torn_last_line_stops_recording_with_its_mend_and_is_not_dropped(tmp_path: Path, kept: int) -> None:
    data = started(tmp_path)
    last = data.splitlines(keepends=True)[-1]
    torn = data[: -len(last)] + last[:kept]
    path = tmp_path / "journal.jsonl"
    path.write_bytes(torn)
    with pytest.raises(RecordRefusedError, match=r"unfinished last line.*sets the unfinished line aside"):
        append_event(tmp_path, StepDone("saw"), author="AR", cover="T01", at=AT)
    assert path.read_bytes() == torn
    with pytest.raises(FaultsError):
        load_journal(tmp_path)


def test_a_torn_line_set_aside_is_kept_and_recording_goes_on(tmp_path: Path) -> None:
    data = started(tmp_path)
    first, last = data.splitlines(keepends=True)
    (tmp_path / "journal.jsonl").write_bytes(first + last[:70])
    assert set_torn_line_aside(tmp_path) == 70
    assert (tmp_path / "journal.torn").read_bytes() == last[:70] + b"\n"
    assert (tmp_path / "journal.jsonl").read_bytes() == first
    append_event(tmp_path, StepDone("saw"), author="AR", cover="T01", at=AT)
    assert len(load_journal(tmp_path)) == 2
    assert set_torn_line_aside(tmp_path) == 0


def test_a_journal_that_is_only_a_torn_line_begins_anew_after_it_is_set_aside(tmp_path: Path) -> None:
    (tmp_path / "journal.jsonl").write_bytes(b'{"at":"2027')
    assert set_torn_line_aside(tmp_path) == 11
    assert not (tmp_path / "journal.jsonl").exists()
    started(tmp_path, 1)
    assert len(load_journal(tmp_path)) == 1


def test_a_broken_journal_is_not_cut_and_not_written_to(tmp_path: Path) -> None:
    broken = started(tmp_path).replace(b"step 0", b"step 9") + b'{"torn'
    path = tmp_path / "journal.jsonl"
    path.write_bytes(broken)
    with pytest.raises(RecordRefusedError, match="changed line"):
        append_event(tmp_path, StepDone("saw"), author="AR", cover="T01", at=AT)
    with pytest.raises(RecordRefusedError, match="Nothing was set aside"):
        set_torn_line_aside(tmp_path)
    assert path.read_bytes() == broken


def test_an_empty_journal_file_is_refused_not_begun_again(tmp_path: Path) -> None:
    (tmp_path / "journal.jsonl").write_bytes(b"")
    with pytest.raises(RecordRefusedError, match="an empty file"):
        append_event(tmp_path, StepDone("saw"), author="AR", cover="T01", at=AT)
    assert (tmp_path / "journal.jsonl").read_bytes() == b""


def test_an_unsound_record_leaves_no_file(tmp_path: Path) -> None:
    seven = ChamberTopMeasured(tuple(ChamberPoint(float(i), 0.0, 50.0) for i in range(7)))
    with pytest.raises(RecordRefusedError, match="at least 8"):
        append_event(tmp_path, seven, author="AR", cover="T01", at=AT)
    assert list(tmp_path.iterdir()) == []


def test_a_disk_that_fills_half_way_through_a_line_leaves_the_journal_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = started(tmp_path)
    real, calls = os.write, []

    def full(file: int, data: bytes) -> int:
        calls.append(len(data))
        if len(calls) == 1:
            return real(file, data[:30])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "write", full)
    with pytest.raises(RecordRefusedError, match=r"No space left on device.*Free some space"):
        append_event(tmp_path, StepDone("saw"), author="AR", cover="T01", at=AT)
    assert len(calls) == 2
    assert (tmp_path / "journal.jsonl").read_bytes() == before


def test_a_write_taken_in_pieces_is_finished(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    started(tmp_path)
    real = os.write
    monkeypatch.setattr(os, "write", lambda file, data: real(file, data[:17]))
    append_event(tmp_path, StepDone("saw"), author="AR", cover="T01", at=AT)
    assert len(load_journal(tmp_path)) == 3


def test_each_record_is_forced_to_the_disk_before_the_call_returns(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    started(tmp_path)
    sizes: list[int] = []
    real = os.fsync

    def noting(file: int) -> None:
        sizes.append(os.fstat(file).st_size)
        real(file)

    monkeypatch.setattr(os, "fsync", noting)
    append_event(tmp_path, StepDone("saw"), author="AR", cover="T01", at=AT)
    assert sizes == [(tmp_path / "journal.jsonl").stat().st_size]


def test_a_folder_that_is_not_there_gives_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(RecordRefusedError, match="Nothing was recorded"):
        append_event(tmp_path / "no", StepDone("saw"), author="AR", cover="", at=AT)
    with pytest.raises(RecordRefusedError, match="Nothing was set aside"):
        set_torn_line_aside(tmp_path)


def test_a_uuid7_holds_its_time_version_and_variant() -> None:
    made = uuid.UUID(uuid7(0x017F22E279B0, bytes.fromhex("ffffffffffffffffffff")))
    assert made.int >> 80 == 0x017F22E279B0
    assert (made.version, made.variant) == (7, uuid.RFC_4122)
    assert str(made) == "017f22e2-79b0-7fff-bfff-ffffffffffff"


def test_the_example_of_the_standard_is_made_again() -> None:
    # RFC 9562, appendix A.6 (from memory): rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F
    random = (0xCC3 << 62) | (0x18C4DC0C0C07398F)
    assert uuid7(0x017F22E279B0, random.to_bytes(10, "big")) == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


def test_later_ids_sort_after_earlier_ones() -> None:
    assert uuid7(1_000, b"\xff" * 10) < uuid7(1_001, b"\x00" * 10)
