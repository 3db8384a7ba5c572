"""Results are written whole or not at all."""

import pytest

from truebed.errors import OutputInTheWayError
from truebed.store.output import may_replace, refuse_in_the_way, swap, write_whole

FILES = {"plan.json": b"{}", "drawings/a.svg": b"<svg/>"}


def listing(place):
    return sorted(p.name for p in place.iterdir())


def test_files_and_folders_are_written(tmp_path):
    write_whole(tmp_path / "out", FILES)
    assert (tmp_path / "out" / "drawings" / "a.svg").read_bytes() == b"<svg/>"
    assert listing(tmp_path) == ["out"]


def test_an_earlier_result_is_replaced_whole(tmp_path):
    write_whole(tmp_path / "out", {**FILES, "drawings/old-cut.svg": b"x"})
    write_whole(tmp_path / "out", FILES)
    assert not (tmp_path / "out" / "drawings" / "old-cut.svg").exists()
    assert listing(tmp_path) == ["out"]


def test_a_folder_that_is_not_ours_is_left_alone(tmp_path):
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "letters.txt").write_text("mine")
    with pytest.raises(OutputInTheWayError, match="not results of Truebed"):
        write_whole(tmp_path / "out", FILES)
    assert listing(tmp_path / "out") == ["letters.txt"]


def test_a_note_of_the_users_in_an_earlier_result_is_never_thrown_away(tmp_path):
    write_whole(tmp_path / "out", FILES)
    (tmp_path / "out" / "drawings" / "NOTES.txt").write_text("mine")
    with pytest.raises(OutputInTheWayError, match=r"drawings/NOTES\.txt"):
        write_whole(tmp_path / "out", FILES)
    assert (tmp_path / "out" / "drawings" / "NOTES.txt").read_text() == "mine"


def test_a_link_is_not_replaced_by_a_folder(tmp_path):
    (tmp_path / "real").mkdir()
    (tmp_path / "out").symlink_to(tmp_path / "real")
    with pytest.raises(OutputInTheWayError, match="is a link"):
        write_whole(tmp_path / "out", FILES)


def test_a_file_in_the_way_is_left_alone_and_an_empty_folder_is_free(tmp_path):
    (tmp_path / "file").write_text("x")
    with pytest.raises(OutputInTheWayError, match="is a file"):
        refuse_in_the_way(tmp_path / "file")
    (tmp_path / "empty").mkdir()
    assert may_replace(tmp_path / "empty", "plan.json")
    assert may_replace(tmp_path / "nothing", "plan.json")


def test_a_failure_while_writing_leaves_what_was_there(tmp_path):
    write_whole(tmp_path / "out", FILES)
    with pytest.raises(TypeError):
        write_whole(tmp_path / "out", {"plan.json": b"{}", "bad": None})
    assert (tmp_path / "out" / "drawings" / "a.svg").exists()
    assert listing(tmp_path) == ["out"]


def test_a_swap_that_fails_puts_the_former_back(tmp_path):
    (tmp_path / "out").mkdir()
    (tmp_path / "former").mkdir()
    with pytest.raises(OSError, match=r"\w"):
        swap(tmp_path / "never-made", tmp_path / "out", tmp_path / "former" / "results")
    assert listing(tmp_path) == ["former", "out"]
