"""The same store on a real PostgreSQL server, started here as a user without rights over the machine."""

import os
import shutil
import socket
import subprocess
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

pytest.importorskip("sqlalchemy")
pytest.importorskip("psycopg")

from turnwright.store import Asked, Store

pytestmark = pytest.mark.system
NOON = "2026-03-04T12:00:00+00:00"
JOB = '[supply]\nsystem = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = "{} kVA"\n'


def _programs():
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    return found[-1].parent if found else None


def _as_nobody(*words, cwd):
    user = ["runuser", "-u", "nobody", "--"] if os.geteuid() == 0 else []
    subprocess.run([*user, *map(str, words)], cwd=cwd, check=True, capture_output=True)


@pytest.fixture(scope="module")
def server():
    programs = _programs()
    if programs is None:
        pytest.skip("needs the package postgresql")
    if os.geteuid() == 0 and shutil.which("runuser") is None:
        pytest.skip("needs the program runuser, as root")
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    with tempfile.TemporaryDirectory(prefix="pg", dir="/tmp") as folder:
        Path(folder).chmod(0o777)
        data = Path(folder) / "data"
        _as_nobody(programs / "initdb", "-D", data, "-A", "trust", "-U", "keeper", "-E", "UTF8", cwd=folder)
        options = f"-h 127.0.0.1 -p {port} -k {folder}"
        _as_nobody(
            programs / "pg_ctl", "-D", data, "-w", "-l", f"{folder}/log", "-o", options, "start", cwd=folder
        )
        try:
            yield f"keeper@127.0.0.1:{port}"
        finally:
            _as_nobody(programs / "pg_ctl", "-D", data, "-m", "immediate", "stop", cwd=folder)


@pytest.fixture
def url(server, request):
    """A database of the test's own."""
    import psycopg

    name = request.node.name
    with psycopg.connect(f"postgresql://{server}/postgres", autocommit=True) as connection:
        connection.execute(f'create database "{name}"')
    return f"postgresql+psycopg://{server}/{name}"


def test_saves_lists_and_searches(url):
    with Store(url) as store:
        store.save("hall", JOB.format(22), author="Ines", saved_at=NOON)
        late = store.save("hall", JOB.format(40), author="Olav", saved_at=NOON, based_on=0)
        assert [r.author for r in late.meanwhile] == ["Ines"]
        assert [(r.number, r.kva) for r in store.history("hall")] == [(1, 30.0), (2, 45.0)]
        assert [j.newest.key for j in store.jobs(Asked(least_kva=40, finding="bond-once")).jobs] == ["hall"]
        assert [one.changed for one in store.recheck()] == [{}]


def test_many_at_once_lose_nothing(url):
    def save(person):
        return (
            Store(url)
            .save("quay", JOB.format(20 + person), author=f"p{person}", saved_at=NOON)
            .revision.number
        )

    with ThreadPoolExecutor(8) as pool:
        assert sorted(pool.map(save, range(16))) == list(range(1, 17))
