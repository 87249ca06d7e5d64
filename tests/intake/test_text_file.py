"""Files that cannot be used are refused politely, before anything is parsed."""

import os
from pathlib import Path

import pytest

from turnwright.errors import InputError
from turnwright.intake import load_job, load_unit, text_file

JOB = '[supply]\nsystem = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = "22 kVA"\n'


def refusal(path: Path | str) -> InputError:
    with pytest.raises(InputError) as caught:
        load_job(path)
    return caught.value


def test_a_job_is_named_by_its_file_without_folders(tmp_path: Path) -> None:
    path = tmp_path / "hall.toml"
    path.write_text(JOB, encoding="utf-8")
    assert load_job(path).origin == "hall.toml"
    assert load_job(str(path)) == load_job(path)


def test_a_byte_order_mark_is_no_part_of_the_text(tmp_path: Path) -> None:
    path = tmp_path / "hall.toml"
    path.write_bytes(b"\xef\xbb\xbf" + JOB.encode())
    assert load_job(path).lines["supply"] == 1


def test_no_such_file_names_the_one_that_looks_like_it(tmp_path: Path) -> None:
    (tmp_path / "hall.toml").write_text(JOB, encoding="utf-8")
    error = refusal(tmp_path / "hal.toml")
    assert (error.code, error.fix) == ("FILE-01", 'Did you mean "hall.toml"?')
    assert "Check the name" in refusal(tmp_path / "no folder" / "x.toml").fix
    assert refusal("a\0b").code == "FILE-01"


def test_a_folder(tmp_path: Path) -> None:
    error = refusal(tmp_path)
    assert (error.code, error.what) == ("FILE-02", "this is a folder, not a job file.")


def test_something_inside_a_file_as_if_it_were_a_folder(tmp_path: Path) -> None:
    (tmp_path / "hall.toml").write_text(JOB, encoding="utf-8")
    assert refusal(tmp_path / "hall.toml" / "x").code == "FILE-01"


@pytest.mark.parametrize("content", [JOB.encode("utf-16"), b'title = "caf\xe9"', b"\xff\xd8\xff\xe0 picture"])
def test_not_utf_8(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "hall.toml"
    path.write_bytes(content)
    error = refusal(path)
    assert error.code == "FILE-03"
    assert "Save the job file as UTF-8 text" in error.fix


def test_too_large_is_not_even_decoded(tmp_path: Path) -> None:
    path = tmp_path / "hall.toml"
    with path.open("wb") as file:
        file.truncate(text_file.LARGEST_BYTES + 1)
    error = refusal(path)
    assert (error.code, error.what) == (
        "FILE-04",
        "this file is larger than 50 MB, too large for a job file.",
    )


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no endless device here")
def test_a_file_without_end() -> None:
    assert refusal("/dev/zero").code == "FILE-04"


def test_a_file_that_must_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_args: object, **_named: object) -> None:
        raise PermissionError(13, os.strerror(13))

    monkeypatch.setattr("builtins.open", refused)
    error = refusal(tmp_path / "hall.toml")
    assert (error.code, error.what) == ("FILE-05", "this file cannot be read (permission denied).")


def test_a_unit_file_is_called_a_unit_file(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="this is a folder, not a unit file"):
        load_unit(tmp_path)
