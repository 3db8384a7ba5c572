"""Loading a works: all faults of all files together."""

import pytest

from truebed.actions.load import digest_of, load_bytes, load_works
from truebed.errors import FaultsError
from whole_job.small_folder import small_files, write_small_folder


def faults_of(files):
    with pytest.raises(FaultsError) as wrong:
        load_bytes(files)
    return wrong.value.faults


def spoilt(name, old, new):
    files = small_files()
    assert old in files[name]
    return {**files, name: files[name].replace(old, new)}


def test_a_good_folder_loads(tmp_path):
    loaded = load_works(write_small_folder(tmp_path / "works"))
    assert [c.cover for c in loaded.works.covers] == ["T01", "G01"]
    assert loaded.measured == {}
    assert len(loaded.sha256) == 64


def test_faults_of_tables_sheets_methods_and_journal_come_together():
    files = spoilt("sheets/harrow-bed.toml", b"yield_l = 12.4", b"yield_l = -1.0")
    files["covers.csv"] = files["covers.csv"].replace(b"rectangle", b"hexagon", 1)
    files["journal.jsonl"] = b"not json\n"
    named = {f.file for f in faults_of(files)}
    assert {"sheets/harrow-bed.toml", "covers.csv", "journal.jsonl"} <= named


def test_a_cover_whose_method_has_no_file_is_named_with_its_row():
    files = small_files()
    del files["methods/five-layer.toml"]
    fault = next(f for f in faults_of(files) if f.column == "method")
    assert (fault.file, fault.row, fault.found) == ("covers.csv", 2, "'five-layer'")
    assert "two-material" in fault.expected


def test_a_sheet_with_no_cure_point_is_a_fault():
    files = small_files()
    text = files["sheets/harrow-bed.toml"].decode()
    head = text.split("[[strength]]")[0]
    files["sheets/harrow-bed.toml"] = head.encode()
    assert any(f.file == "sheets/harrow-bed.toml" and "strength" in f.sentence() for f in faults_of(files))


def test_an_unknown_rule_set_is_a_fault():
    files = spoilt("works.toml", b'rule_set = "quernford"', b'rule_set = "quernferd"')
    assert any("quernferd" in f.found for f in faults_of(files))


def test_a_record_of_a_cover_that_is_gone_is_a_fault(tmp_path):
    from click.testing import CliRunner

    from truebed.cli.main import app

    works = write_small_folder(tmp_path / "works")
    points = [f"--point={400 * (i % 3 - 1)},{400 * (i // 3 - 1)},-120" for i in range(9)]
    result = CliRunner().invoke(app, ["record", "chamber-top", str(works), "T01", *points, "--by", "RK"])
    assert result.exit_code == 0, result.output
    files = {**small_files(), "journal.jsonl": (works / "journal.jsonl").read_bytes()}
    for name in ("covers.csv", "readings.csv", "condition.csv"):
        files[name] = b"\n".join(line for line in files[name].split(b"\n") if not line.startswith(b"T01"))
    assert any(f.file == "journal.jsonl" and f.found == "'T01'" for f in faults_of(files))


def test_the_digest_moves_with_any_byte_and_not_with_the_order():
    files = {"a": b"1", "b": b"2"}
    assert digest_of(files) == digest_of({"b": b"2", "a": b"1"})
    assert digest_of(files) != digest_of({"a": b"1", "b": b"3"})
    assert digest_of({"ab": b""}) != digest_of({"a": b"b"})
