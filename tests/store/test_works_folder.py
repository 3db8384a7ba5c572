"""Reading a works folder from disk: what is read, and what is refused before it is read."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from given.base_folder import base_folder
from truebed.errors import Fault, FaultsError
from truebed.given.folder import parse_works
from truebed.store import works_folder
from truebed.store.works_folder import read_folder


def _write(root: Path, files: dict[str, bytes]) -> Path:
    for name, data in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return root


def _refused(path: Path) -> tuple[Fault, ...]:
    with pytest.raises(FaultsError) as caught:
        read_folder(path)
    return caught.value.faults


def test_the_files_of_a_folder_are_read_by_their_relative_names_in_order(tmp_path: Path) -> None:
    files = base_folder() | {"sheets/harrow-bed.toml": b"x", "journal.jsonl": b"{}"}
    read = read_folder(_write(tmp_path, files))
    assert read == files
    assert list(read) == sorted(files)
    assert parse_works(read)[1] == ()


def test_photographs_and_hidden_files_are_not_read(tmp_path: Path) -> None:
    extra = {"photos/a.jpg": b"x", ".DS_Store": b"x", ".git/config": b"x", "sheets/.hidden.toml": b"x", "a.toml": b"y"}
    assert read_folder(_write(tmp_path, extra)) == {"a.toml": b"y"}


def test_a_missing_folder_is_refused(tmp_path: Path) -> None:
    assert [f.found for f in _refused(tmp_path / "nowhere")] == ["nothing there"]


def test_a_file_in_place_of_a_folder_is_refused(tmp_path: Path) -> None:
    _write(tmp_path, {"covers.csv": b"x"})
    assert [f.found for f in _refused(tmp_path / "covers.csv")] == ["a file"]


def test_a_path_that_is_none_is_refused() -> None:
    assert "cannot be followed" in _refused(Path("a\x00b"))[0].found


@pytest.mark.parametrize("extra", [{}, {".hidden": b"x"}, {"photos/a.jpg": b"x"}])
def test_a_folder_with_nothing_to_read_is_refused(tmp_path: Path, extra: dict[str, bytes]) -> None:
    assert [f.found for f in _refused(_write(tmp_path, extra))] == ["an empty folder"]


def test_a_file_that_is_too_large_is_refused_by_its_size_and_nothing_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(path: Path, mode: str = "r") -> object:
        raise AssertionError(f"{path} was opened")

    _write(tmp_path, {"works.toml": b"x"})
    with (tmp_path / "covers.csv").open("wb") as file:
        file.truncate(works_folder.MOST_FILE_BYTES_COUNT + 1)
    monkeypatch.setattr(Path, "open", never)
    assert [(f.file, f.expected) for f in _refused(tmp_path)] == [("covers.csv", "at most 32.0 MB")]


def test_a_file_of_just_the_greatest_size_is_read(tmp_path: Path) -> None:
    with (tmp_path / "covers.csv").open("wb") as file:
        file.truncate(works_folder.MOST_FILE_BYTES_COUNT)
    assert len(read_folder(tmp_path)["covers.csv"]) == works_folder.MOST_FILE_BYTES_COUNT


def test_files_that_are_too_large_together_are_refused(tmp_path: Path) -> None:
    for number in range(9):
        with (tmp_path / f"{number}.csv").open("wb") as file:
            file.truncate(works_folder.MOST_FILE_BYTES_COUNT)
    assert [f.found for f in _refused(tmp_path)] == ["288.0 MB of files"]


def test_too_many_files_are_refused(tmp_path: Path) -> None:
    for number in range(works_folder.MOST_FILES_COUNT):
        (tmp_path / f"{number}.md").touch()
    assert len(read_folder(tmp_path)) == works_folder.MOST_FILES_COUNT
    (tmp_path / "one.md").touch()
    assert [f.found for f in _refused(tmp_path)] == ["more than 2000"]


def test_a_link_that_leads_out_of_the_folder_is_refused_with_its_name(tmp_path: Path) -> None:
    outside = _write(tmp_path / "outside", {"secret.csv": b"x", "deep/more.csv": b"x"})
    root = _write(tmp_path / "works", {"works.toml": b"x"})
    (root / "covers.csv").symlink_to(outside / "secret.csv")
    (root / "sheets").symlink_to(outside / "deep", target_is_directory=True)
    faults = _refused(root)
    assert [f.file for f in faults] == ["covers.csv", "sheets"]
    assert {f.found for f in faults} == {"a link that leads out of the works folder"}


def test_links_inside_the_folder_are_read_if_they_lead_to_a_file(tmp_path: Path) -> None:
    root = _write(tmp_path, {"covers-new.csv": b"x"})
    (root / "covers.csv").symlink_to("covers-new.csv")
    assert read_folder(root)["covers.csv"] == b"x"
    (root / "round").symlink_to(".", target_is_directory=True)
    (root / "dangling.csv").symlink_to("gone.csv")
    faults = _refused(root)
    assert [f.file for f in faults] == ["dangling.csv", "round"]


def test_a_pipe_is_refused_and_never_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "covers.csv")
    assert [(f.file, f.found) for f in _refused(tmp_path)] == [("covers.csv", "something that is no plain file")]


def test_a_name_that_cannot_be_printed_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a\nb.csv").touch()
    Path(os.fsdecode(os.fsencode(tmp_path) + b"/\xff.csv")).touch()
    assert {f.found for f in _refused(tmp_path)} == {"a name with hidden characters"}
    assert all(f.sentence().isprintable() for f in _refused(tmp_path))


def test_a_file_that_may_not_be_read_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _write(tmp_path, {"covers.csv": b"x", "works.toml": b"x"})
    real_open = Path.open

    def locked(path: Path, mode: str = "r") -> object:
        if path.name == "covers.csv":
            raise PermissionError(13, "Permission denied")
        return real_open(path, mode)

    monkeypatch.setattr(Path, "open", locked)
    assert [(f.file, f.found) for f in _refused(tmp_path)] == [
        ("covers.csv", "a file that cannot be read (Permission denied)")
    ]
