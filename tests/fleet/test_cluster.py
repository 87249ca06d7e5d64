"""The same parts on a cluster: two worker processes of Dask distributed, one of them killed in the middle."""

import os
import signal
import socket

import pytest

from turnwright.errors import InputError, MissingExtra
from turnwright.fleet import FleetOptions, run_fleet
from turnwright.fleet import cluster as on_cluster

UNITS = [f"T{i:02}" for i in range(16)]


@pytest.fixture
def folder(place, make):
    """A folder of one file a unit, one of them broken."""
    make.write_units(place / "units.csv", UNITS)
    (place / "profiles").mkdir()
    for name in UNITS:
        make.write(place / "profiles" / f"{name}.parquet", make.profile([name], steps=40_000))
    (place / "profiles" / "broken.parquet").write_bytes(b"PAR1 and no more")
    return place


def free_port():
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        return listening.getsockname()[1]


@pytest.mark.system  # needs processes that talk over the network
@pytest.mark.filterwarnings("default")
def test_a_killed_worker_changes_no_byte(folder):
    distributed = pytest.importorskip("distributed")
    options = FleetOptions(form="arrays", price_kwh=0.12)
    given = (folder / "profiles", folder / "units.csv")
    alone, shared = folder / "out" / "alone.csv", folder / "out" / "shared.csv"
    expected = run_fleet(*given, alone, options=options)
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=None, host="127.0.0.1"
    ) as cluster:
        killed, seen = [], []

        def listen(progress):
            seen.append(progress)
            if not killed:
                killed.append(cluster.workers[0].pid)
                os.kill(killed[0], signal.SIGKILL)

        report = run_fleet(
            *given, shared, options=options, progress=listen, cluster=cluster.scheduler_address
        )
    assert killed and len(seen) == len(UNITS)
    assert seen[-1].done == len(UNITS) * 40_000 == report.steps
    assert shared.read_bytes() == alone.read_bytes()
    assert [fault.code for fault in report.faults] == [fault.code for fault in expected.faults] == ["FLT-02"]
    assert sorted(path.name for path in (folder / "out").iterdir()) == ["alone.csv", "shared.csv"]


def test_nobody_answers(folder, monkeypatch):
    pytest.importorskip("distributed")
    monkeypatch.setattr(on_cluster, "WAIT_S", 0.3)
    with pytest.raises(InputError) as caught:
        run_fleet(
            folder / "profiles",
            folder / "units.csv",
            folder / "out" / "o.csv",
            cluster=f"tcp://127.0.0.1:{free_port()}",
        )
    assert caught.value.code == "FLT-16" and "dask scheduler" in caught.value.fix
    assert list((folder / "out").iterdir()) == []


def test_without_the_client_the_extra_is_named(folder, monkeypatch):
    def missing(name):
        raise ModuleNotFoundError(name=name)

    monkeypatch.setattr(on_cluster, "import_module", missing)
    with pytest.raises(MissingExtra) as caught:
        run_fleet(
            folder / "profiles", folder / "units.csv", folder / "out" / "o.csv", cluster="tcp://127.0.0.1:1"
        )
    assert caught.value.code == "FLT-15" and "turnwright[cluster]" in caught.value.fix


class Client:
    """A client whose workers run another version."""

    def __init__(self, versions):
        self.versions = versions

    def run(self, function):
        if isinstance(self.versions, Exception):
            raise self.versions
        return self.versions


@pytest.mark.parametrize(
    "versions", [{"a": "0.0.1", "b": on_cluster.__version__}, ModuleNotFoundError("turnwright")]
)
def test_workers_of_another_version_are_refused(versions):
    with pytest.raises(InputError) as caught:
        on_cluster._same_version(Client(versions), "tcp://host:1")
    assert caught.value.code == "FLT-16" and on_cluster.__version__ in caught.value.what
    on_cluster._same_version(Client({"a": on_cluster.version_here()}), "tcp://host:1")
