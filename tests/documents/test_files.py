"""Files written all or none."""

import errno
import os
from pathlib import Path

import pytest

from turnwright.documents.files import write_all
from turnwright.errors import InputError

FILES = {"memo.html": b"one", "labels.html": b"two"}


def listed(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_files_are_written_into_a_new_folder(tmp_path: Path) -> None:
    write_all(tmp_path / "a" / "b", FILES)
    assert listed(tmp_path / "a" / "b") == ["labels.html", "memo.html"]
    assert (tmp_path / "a" / "b" / "memo.html").read_bytes() == b"one"


def test_files_that_are_there_stay_unless_forced(tmp_path: Path) -> None:
    (tmp_path / "memo.html").write_bytes(b"old")
    with pytest.raises(InputError, match=r"memo.html is there already.*--force.*OUT-02") as error:
        write_all(tmp_path, FILES)
    assert error.value.code == "OUT-02"
    assert listed(tmp_path) == ["memo.html"]
    assert (tmp_path / "memo.html").read_bytes() == b"old"
    write_all(tmp_path, FILES, force=True)
    assert (tmp_path / "memo.html").read_bytes() == b"one"


def test_a_file_in_place_of_the_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "out").write_bytes(b"")
    with pytest.raises(InputError, match="this is a file, not a folder"):
        write_all(tmp_path / "out", FILES)
    with pytest.raises(InputError, match="OUT-01"):
        write_all(tmp_path / "out" / "deeper", FILES)


@pytest.mark.parametrize("name", ["nul\0byte", "x" * 300])
def test_a_name_no_folder_can_have_is_told(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError, match="OUT-01"):
        write_all(tmp_path / name, FILES)


@pytest.mark.parametrize("fault", [errno.ENOSPC, errno.EDQUOT])
def test_a_full_disk_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: int
) -> None:
    written: list[int] = []

    def full(descriptor: int) -> None:
        written.append(descriptor)
        if len(written) == 2:
            raise OSError(fault, os.strerror(fault))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(InputError, match="the disk is full") as error:
        write_all(tmp_path / "new", FILES)
    assert error.value.code == "OUT-03"
    assert listed(tmp_path) == []


def test_a_failure_while_replacing_keeps_no_temporary_files(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(self: Path, target: Path) -> Path:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(InputError, match="cannot be written"):
        write_all(tmp_path, FILES)
    assert listed(tmp_path) == []
