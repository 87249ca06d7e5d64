"""The folder of a server's fleets: a killed server's goes with the next start, a living one's and others' stay."""

import os
import signal
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from turnwright.web.fleet.place import HELD, PREFIX, Place, remove_left_behind

pytest.importorskip("fcntl")
HOLD = """
import sys
from turnwright.web.fleet.place import Place
place = Place()
(place.folder / "profiles.csv").write_text("kept")
print(place.folder, flush=True)
sys.stdin.read()
"""


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    monkeypatch.setattr(tempfile, "tempdir", None)
    return tmp_path


def held_by_another() -> tuple[subprocess.Popen[str], Path]:
    process = subprocess.Popen(
        [sys.executable, "-c", HOLD], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert process.stdout is not None
    return process, Path(process.stdout.readline().strip())


def test_a_running_server_keeps_its_folder_and_a_killed_one_loses_it() -> None:
    process, folder = held_by_another()
    try:
        assert remove_left_behind() == () and (folder / "profiles.csv").exists()
    finally:
        process.send_signal(signal.SIGKILL)
        process.communicate()
    assert remove_left_behind() == (folder,) and not folder.exists()


def test_what_is_not_surely_left_behind_stays(own_folder: Path) -> None:
    """No lock in it, a link to elsewhere, a link as the lock, another name, a file."""
    (own_folder / f"{PREFIX}empty").mkdir()
    (own_folder / "elsewhere").mkdir()
    (own_folder / "elsewhere" / HELD).touch()
    (own_folder / f"{PREFIX}link").symlink_to(own_folder / "elsewhere")
    (own_folder / f"{PREFIX}linked-lock").mkdir()
    (own_folder / f"{PREFIX}linked-lock" / HELD).symlink_to(own_folder / "elsewhere" / HELD)
    (own_folder / f"{PREFIX}file").touch()
    there = sorted(own_folder.iterdir())
    assert remove_left_behind() == () and sorted(own_folder.iterdir()) == there


@pytest.mark.skipif(os.getuid() != 0, reason="only root can give a folder away")
def test_what_belongs_to_somebody_else_stays(own_folder: Path) -> None:
    other = own_folder / f"{PREFIX}other"
    other.mkdir()
    (other / HELD).touch()
    os.chown(other, 12345, 12345)
    assert remove_left_behind() == () and other.exists()


def test_closing_leaves_nothing(own_folder: Path) -> None:
    place = Place()
    assert place.folder.parent == own_folder and remove_left_behind() == ()
    place.close()
    assert list(own_folder.iterdir()) == []
