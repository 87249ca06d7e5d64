"""A disk that is really full: a small one in memory, filled; nothing is lost and it is told in one line."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
EXAMPLE = str(ROOT / "examples" / "gatehouse.toml")
SIZE = "size=512k"


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    place = tmp_path / "disk"
    place.mkdir()
    mount, umount = shutil.which("mount"), shutil.which("umount")
    if not sys.platform.startswith("linux") or os.geteuid() or mount is None or umount is None:
        pytest.skip("a disk in memory is made by the administrator of a Linux system only")
    made = subprocess.run(
        [mount, "-t", "tmpfs", "-o", SIZE, "none", str(place)], capture_output=True, check=False
    )
    if made.returncode:
        pytest.skip(f"no disk in memory can be made here: {made.stderr.decode().strip()}")
    try:
        yield place
    finally:
        subprocess.run([umount, str(place)], check=True)


def fill(disk: Path, leave: int = 0) -> Path:
    """Fill a disk but for some bytes."""
    ballast = disk / "ballast"
    with ballast.open("wb", buffering=0) as file:
        try:
            while True:
                file.write(b"\0" * 4096)
        except OSError:
            pass
        file.truncate(max(0, file.tell() - leave) // 4096 * 4096)
    return ballast


def turnwright(*words: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "turnwright", *words]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def listed(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@pytest.mark.parametrize("leave", [0, 16_384, 40_960])
def test_papers_find_no_room(disk: Path, leave: int) -> None:
    """None at all, or for some of the papers only."""
    ballast = fill(disk, leave)
    words = ("document", EXAMPLE, "--out", str(disk / "papers"), "--as", "html")
    done = turnwright(*words)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.count("\n") == 1 and "the disk is full" in done.stderr and "OUT-03" in done.stderr
    assert listed(disk) == ["ballast"]
    ballast.unlink()
    assert turnwright(*words).returncode == 0
    assert "memo.html" in listed(disk / "papers")


def test_a_store_finds_no_room(disk: Path) -> None:
    """A save that is refused leaves the revisions of before; with room again the next save is kept."""
    store = f"sqlite:///{disk / 'jobs.sqlite'}"
    save = ("job", "save", EXAMPLE, "--name", "gate", "--author", "Wren", "--store", store)
    assert turnwright(*save).returncode == 0
    ballast = fill(disk)
    refused = [turnwright(*save) for _ in range(3)]
    assert {done.returncode for done in refused} <= {0, 2}
    told = [done.stderr for done in refused if done.returncode]
    assert told and all(text.count("\n") == 1 and "STO-12" in text for text in told)
    ballast.unlink()
    assert turnwright(*save).returncode == 0
    history = turnwright("job", "history", "gate", "--store", store)
    kept = 2 + sum(done.returncode == 0 for done in refused)
    assert history.returncode == 0
    assert len([line for line in history.stdout.splitlines() if "Wren" in line]) == kept
