"""The same answer on any machine: whatever its language, clock, folders, rights, fonts and terminal are."""

from __future__ import annotations

import os
import pty
import shutil
import stat
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from turnwright.cli.main import main

ROOT = Path(__file__).parents[2]
EXAMPLE = str(ROOT / "examples" / "gatehouse.toml")
SELECT = ("select", EXAMPLE)
MEMO = ("document", EXAMPLE, "--only", "memo", "--date", "2026-11-25", "--out")
PLAIN = {"PATH": os.defpath, "LC_ALL": "C.UTF-8"}
"""All of the surroundings that an answer needs, and more than that."""
SETPRIV = shutil.which("setpriv")
WITHOUT_RIGHTS = () if os.geteuid() else (SETPRIV or "", "--inh-caps=-all", "--bounding-set=-all")
"""Before a command: the administrator becomes somebody for whom the rights of files hold."""


def run(*words: str, before: tuple[str, ...] = (), **surroundings: str) -> subprocess.CompletedProcess[bytes]:
    """Run a command with these surroundings only, from the folder of the root."""
    return subprocess.run(
        [*before, sys.executable, "-m", "turnwright", *words],
        cwd="/",
        env=PLAIN | surroundings,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
    )


@cache
def usual(*words: str) -> bytes:
    done = run(*words)
    assert (done.returncode, done.stderr) == (0, b"")
    return done.stdout


def papers(folder: Path, **surroundings: str) -> dict[str, bytes]:
    done = run(*MEMO, str(folder), **surroundings)
    assert (done.returncode, done.stderr) == (0, b"")
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.fixture(scope="module")
def usual_papers(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    return papers(tmp_path_factory.mktemp("usual") / "papers")


@pytest.mark.parametrize(
    "surroundings",
    [
        {"LC_ALL": "de_DE.UTF-8", "LANGUAGE": "de"},
        {"LC_ALL": "tr_TR.UTF-8"},
        {"TZ": "Pacific/Kiritimati"},
        {"TZ": "no such zone"},
        {"HOME": "/no/such/folder"},
        {"COLUMNS": "20", "LINES": "5"},
        {"TERM": "dumb", "NO_COLOR": "1"},
        {"PYTHONHASHSEED": "7", "PYTHONOPTIMIZE": "2"},
    ],
    ids=lambda given: " ".join(given),
)
def test_the_answer_is_the_same_byte_by_byte(surroundings: dict[str, str]) -> None:
    done = run(*SELECT, **surroundings)
    assert (done.returncode, done.stderr, done.stdout) == (0, b"", usual(*SELECT))


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp1252", "cp437"])
def test_a_terminal_without_the_signs_gets_plain_ones(encoding: str) -> None:
    done = run(*SELECT, PYTHONIOENCODING=encoding)
    assert (done.returncode, done.stderr) == (0, b"")
    text = done.stdout.decode(encoding)
    assert text.count("?") == usual(*SELECT).count(b"?")
    assert text.count("\n") == usual(*SELECT).count(b"\n")


def test_a_terminal_of_the_old_locale() -> None:
    done = run(*SELECT, LC_ALL="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0")
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.isascii() or done.stdout == usual(*SELECT)


@pytest.mark.parametrize(
    "surroundings", [{"TERM": "xterm"}, {"TERM": "xterm", "NO_COLOR": "1"}, {"TERM": "dumb"}]
)
def test_signs_for_the_terminal_are_written_only_where_it_takes_them(surroundings: dict[str, str]) -> None:
    ours, theirs = pty.openpty()
    words = [sys.executable, "-m", "turnwright", *SELECT]
    process = subprocess.Popen(words, stdout=theirs, env=PLAIN | surroundings, stdin=subprocess.DEVNULL)
    os.close(theirs)
    written = b"".join(_all_of(ours))
    assert process.wait() == 0
    assert (b"\x1b[" in written) == (surroundings == {"TERM": "xterm"})


def _all_of(terminal: int) -> Iterator[bytes]:
    try:
        while part := os.read(terminal, 65536):
            yield part
    except OSError:  # nobody writes to it any more
        return
    finally:
        os.close(terminal)


@pytest.mark.skipif(
    WITHOUT_RIGHTS[:1] == ("",), reason="needs setpriv, or another user than the administrator"
)
def test_an_installation_that_nobody_may_write_to(tmp_path: Path) -> None:
    place = tmp_path / "site"
    shutil.copytree(ROOT / "src", place, ignore=shutil.ignore_patterns("__pycache__"))
    for path in (place, *place.rglob("*")):
        path.chmod(path.stat().st_mode & ~(stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH))
    try:
        done = run(*SELECT, before=WITHOUT_RIGHTS, PYTHONPATH=str(place))
        assert not list(place.rglob("__pycache__"))
    finally:
        for path in (place, *place.rglob("*")):
            path.chmod(path.stat().st_mode | stat.S_IWUSR)
    assert (done.returncode, done.stderr, done.stdout) == (0, b"", usual(*SELECT))


@pytest.mark.skipif(
    WITHOUT_RIGHTS[:1] == ("",), reason="needs setpriv, or another user than the administrator"
)
@pytest.mark.parametrize("words", [("job", "list"), MEMO])
def test_a_folder_that_may_not_be_written_to_is_told(words: tuple[str, ...], tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    where = (str(tmp_path / "papers"),) if words == MEMO else ()
    done = run(*words, *where, before=WITHOUT_RIGHTS, HOME=str(tmp_path))
    assert (done.returncode, done.stdout) == (2, b"")
    assert done.stderr.count(b"\n") == 1 and b"ermission denied" in done.stderr


def test_jobs_are_kept_without_a_home_where_a_place_is_named(tmp_path: Path) -> None:
    store = f"sqlite:///{tmp_path}/jobs.sqlite"
    assert run("job", "save", EXAMPLE, "--store", store, "--author", "Wren", HOME="/no/such").returncode == 0
    assert b"gatehouse" in run("job", "list", "--store", store, HOME="/no/such").stdout


@pytest.mark.parametrize("error", [KeyError("getpwuid(): uid not found: 12345"), OSError("no username")])
def test_a_user_without_a_name_is_asked_for_one(
    error: Exception, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def unknown() -> str:
        raise error

    monkeypatch.setattr("getpass.getuser", unknown)
    assert main(["job", "save", EXAMPLE, "--store", "sqlite://"]) == 2
    assert "Name them with --author" in capsys.readouterr().err


def test_papers_are_the_same_without_fonts_home_and_in_another_zone(
    usual_papers: dict[str, bytes], tmp_path: Path
) -> None:
    elsewhere = papers(
        tmp_path / "papers",
        TZ="Pacific/Kiritimati",
        LC_ALL="tr_TR.UTF-8",
        HOME="/no/such/folder",
        FONTCONFIG_FILE=os.devnull,
        XDG_DATA_DIRS="/no/such/folder",
    )
    assert elsewhere == usual_papers
