"""One file is written whole or not at all, and only over what Truebed made."""

import pytest

from truebed.errors import OutputInTheWayError
from truebed.store import one_file
from truebed.store.one_file import refuse_foreign, write_file


def test_a_file_is_written_into_a_folder_made_for_it_and_leaves_nothing_beside_it(tmp_path):
    out = tmp_path / "new" / "table.csv"
    write_file(out, b"a,b\n")
    write_file(out, b"a,b\n1,2\n")
    assert out.read_bytes() == b"a,b\n1,2\n"
    assert [p.name for p in out.parent.iterdir()] == ["table.csv"]


def test_a_failure_leaves_the_former_file_whole(tmp_path, monkeypatch):
    out = tmp_path / "table.csv"
    write_file(out, b"former")

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(one_file.Path, "replace", full)
    with pytest.raises(OSError, match="No space"):
        write_file(out, b"fresh")
    assert out.read_bytes() == b"former"
    assert [p.name for p in tmp_path.iterdir()] == ["table.csv"]


def test_what_truebed_did_not_make_is_refused(tmp_path):
    mine, link, ours = tmp_path / "mine.csv", tmp_path / "link.csv", tmp_path / "ours.csv"
    mine.write_bytes(b"dear diary")
    ours.write_bytes(b"head,er\n1,2\n")
    link.symlink_to(ours)
    refuse_foreign(ours, b"head,er")
    refuse_foreign(tmp_path / "absent.csv", b"head,er")
    for place in (mine, link, tmp_path):
        with pytest.raises(OutputInTheWayError, match="name another"):
            refuse_foreign(place, b"head,er")
