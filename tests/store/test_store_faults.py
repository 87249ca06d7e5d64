"""Stores that cannot be used: one clear message each, and the file stays as it was."""

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

sa = pytest.importorskip("sqlalchemy")

from turnwright.cli.main import main  # noqa: E402
from turnwright.errors import InputError  # noqa: E402
from turnwright.store import Store, schema  # noqa: E402

JOB = '[supply]\nsystem = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = "22 kVA"\n'
NOON = "2026-03-04T12:00:00+00:00"


@pytest.fixture
def path(tmp_path):
    with Store(f"sqlite:///{tmp_path / 'jobs.sqlite'}") as store:
        for number in range(12):
            store.save(f"job {number}", JOB, author="Ines", saved_at=NOON)
    return tmp_path / "jobs.sqlite"


def refused(path, code, do=lambda store: store.jobs(), patience_s=0.2):
    """Check that a store is refused and left as it is."""
    before = path.read_bytes()
    with pytest.raises(InputError) as told, Store(f"sqlite:///{path}", patience_s=patience_s) as store:
        do(store)
    assert told.value.code == code, told.value
    assert path.read_bytes() == before
    return str(told.value)


def save(store):
    store.save("job 1", JOB, author="Olav", saved_at=NOON)


@pytest.mark.parametrize("left", [0.9, 0.5, 0.1])
def test_a_truncated_store(path, left):
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * left)])
    assert "copy" in refused(path, "STO-06", lambda store: (list(store.recheck()), save(store)))


def test_a_store_of_a_newer_version(path):
    with sqlite3.connect(path) as raw:
        raw.execute("UPDATE schema_version SET version = 99")
    raw.close()
    assert "newer version" in refused(path, "STO-09")


def test_a_database_of_something_else(tmp_path):
    path = tmp_path / "letters.sqlite"
    with sqlite3.connect(path) as raw:
        raw.execute("CREATE TABLE letter (body TEXT)")
    raw.close()
    assert "something else" in refused(path, "STO-10")


def test_a_locked_store_is_read_and_not_written(path):
    holder = sqlite3.connect(path, isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    try:
        with Store(f"sqlite:///{path}", patience_s=0.2) as store:
            assert store.jobs().total == 12
        assert "another program" in refused(path, "STO-05", save)
    finally:
        holder.close()
    with Store(f"sqlite:///{path}") as store:
        save(store)


@pytest.mark.skipif(not hasattr(os, "seteuid"), reason="needs rights of files")
def test_a_store_that_may_only_be_read(path):
    """As somebody without rights over the file: it can be looked at or not, never a traceback, never a change."""
    with tempfile.TemporaryDirectory() as folder:
        other = Path(folder) / "jobs.sqlite"
        shutil.copy(path, other)
        other.chmod(0o444)
        Path(folder).chmod(0o555)
        root = os.geteuid() == 0
        if root:
            os.seteuid(65534)
        try:
            told = refused(other, "STO-11", save)
            assert "may only be read" in told
        finally:
            if root:
                os.seteuid(0)
            Path(folder).chmod(0o755)


FULL = """
import resource, signal, sys
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]), resource.RLIM_INFINITY))
from turnwright.cli.main import main
sys.exit(main(["job", "save", sys.argv[3], "--name", "late", "--store", f"sqlite:///{sys.argv[1]}"]))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="needs limits of files")
def test_a_full_disk(path, tmp_path):
    """No file may grow beyond a few pages: as with a full disk the save is told to have failed, and nothing is lost."""
    job = tmp_path / "job.toml"
    job.write_text(JOB, encoding="utf-8")
    words = [sys.executable, "-c", FULL, str(path), "8192", str(job)]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    assert done.returncode == 2 and done.stdout == ""
    assert done.stderr.count("\n") == 1 and "STO-12" in done.stderr
    with Store(f"sqlite:///{path}") as store:
        assert store.jobs().total == 12
        save(store)


def test_a_folder_in_place_of_a_store(tmp_path):
    with pytest.raises(InputError, match="STO-06"):
        Store(f"sqlite:///{tmp_path}")


def test_the_command_says_it_in_one_line(path, capsys):
    path.write_bytes(path.read_bytes()[:5000])
    assert main(["job", "list", "--store", f"sqlite:///{path}"]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and "STO-" in err


def test_a_migration_that_fails_leaves_the_older_form(tmp_path, monkeypatch):
    url = f"sqlite:///{tmp_path / 'old.sqlite'}"
    engine = sa.create_engine(url)
    with engine.begin() as connection:
        schema.upgrade(connection, to=2)
    engine.dispose()

    def fails(connection):
        schema.JOB.create(connection)
        raise sa.exc.OperationalError("CREATE TABLE", {}, Exception("database or disk is full"))

    with monkeypatch.context() as patched:
        patched.setattr(schema, "STEPS", (*schema.STEPS[:2], fails))
        with pytest.raises(InputError, match="STO-12"):
            Store(url)
    with Store(url) as store:
        save(store)
        assert store.jobs().total == 1
