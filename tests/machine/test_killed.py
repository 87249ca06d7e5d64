"""Papers and fleets whose process is killed before any step of its writing: nothing half-written is taken for whole."""

import json
import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import pytest

from turnwright.cli.main import main

pytest.importorskip("pyarrow")
if not hasattr(os, "fork"):
    pytest.skip("needs fork", allow_module_level=True)

ROOT = Path(__file__).parents[2]
KILLED_AN_HOUR_AGO_S = 3700
MOST_STEPS = 200
Runs = Callable[..., bool]


@pytest.fixture(scope="module")
def runs() -> Iterator[Runs]:
    """Run something that is killed at a step; return whether it came to its end before."""
    words = [sys.executable, str(Path(__file__).with_name("killing.py"))]
    with subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdin is not None and process.stdout is not None
        assert process.stdout.readline() == "ready\n"

        def run(what: str, *arguments: str, folder: Path, at: int) -> bool:
            asked = {"what": what, "arguments": arguments, "folder": str(folder), "at": at}
            print(json.dumps(asked), file=process.stdin, flush=True)
            how = process.stdout.readline().strip()
            assert how in ("ended 0", "killed")
            return how == "ended 0"

        yield run
        process.stdin.close()


def shown(folder: Path) -> dict[str, bytes]:
    """Return what somebody sees in a folder."""
    there = folder.iterdir() if folder.is_dir() else ()
    return {path.name: path.read_bytes() for path in there if not path.name.startswith(".")}


def hidden(folder: Path) -> list[Path]:
    return [path for path in folder.iterdir() if path.name.startswith(".")] if folder.is_dir() else []


def papers(folder: Path, *more: str, by: str = "Wren") -> list[str]:
    words = [str(ROOT / "examples" / "gatehouse.toml"), "--out", str(folder), "--by", by, *more]
    return [*words, "--only", "labels,checklist", "--as", "html"]


@pytest.fixture
def whole(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, bytes]:
    assert main(["document", *papers(tmp_path / "whole")]) == 0
    return shown(tmp_path / "whole")


def test_papers_are_whole_or_not_there_and_the_next_run_finishes(
    runs: Runs, tmp_path: Path, whole: dict[str, bytes]
) -> None:
    for at in count(1):
        folder = tmp_path / f"at-{at}"
        ended = runs("document", *papers(folder), folder=folder, at=at)
        assert shown(folder).items() <= whole.items()
        assert main(["document", *papers(folder)]) == 0
        assert shown(folder) == whole
        if ended:
            break
    assert 8 < at < MOST_STEPS


def test_papers_that_are_replaced_are_the_old_ones_or_the_new_ones(
    runs: Runs, tmp_path: Path, whole: dict[str, bytes], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["document", *papers(tmp_path / "old", by="Ines")]) == 0
    old = shown(tmp_path / "old")
    for at in count(1):
        folder = tmp_path / f"at-{at}"
        assert main(["document", *papers(folder, by="Ines")]) == 0
        ended = runs("document", *papers(folder, "--force"), folder=folder, at=at)
        for name, content in shown(folder).items():
            assert content in (old[name], whole[name])
        assert len(shown(folder)) == len(old)
        assert main(["document", *papers(folder, "--force")]) == 0
        assert shown(folder) == whole
        if ended:
            break
    assert 8 < at < MOST_STEPS


def test_what_a_killed_run_left_is_removed_by_a_later_one(
    runs: Runs, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "papers"
    assert not runs("document", *papers(folder), folder=folder, at=6)
    left = hidden(folder)
    assert left
    assert main(["document", *papers(folder)]) == 0
    assert hidden(folder) == left, "it may belong to a run that is still writing"
    ago = time.time() - KILLED_AN_HOUR_AGO_S
    for path in left:
        os.utime(path, (ago, ago))
    assert main(["document", *papers(folder, "--force", by="Siv")]) == 0
    assert hidden(folder) == []


HEAD = "unit,kva,primary,secondary,rise,insulation,no_load_loss,load_loss,load_loss_at,p_ecr,k_rating,time_constant\n"
UNIT = "{},75 kVA,480 delta,208Y/120,150 K,220 degC,350 W,1950 W,170 degC,0.08,1,2 h\n"


def test_a_fleet_goes_on_where_it_was_and_writes_the_same_bytes(runs: Runs, tmp_path: Path) -> None:
    """Two files of a unit each, put aside after every block of rows."""
    from turnwright.fleet import FleetOptions, run_fleet

    options = FleetOptions(form="plain", threads=1)
    (tmp_path / "profiles").mkdir()
    (tmp_path / "units.csv").write_text(HEAD + "".join(UNIT.format(name) for name in "AB"))
    for number, name in enumerate("AB"):
        rows = (
            f"{name},2025-01-01T{h:02}:{m:02},0.{7 + number},25" for h in range(24) for m in range(0, 60, 15)
        )
        text = "\n".join(["unit,time,load_pu,ambient_c", *rows])
        (tmp_path / "profiles" / f"{name}.csv").write_text(text)
    given = [str(tmp_path / "profiles"), str(tmp_path / "units.csv")]
    run_fleet(*given, tmp_path / "whole.csv", options=options)
    whole = (tmp_path / "whole.csv").read_bytes()
    put_aside = 0
    for at in count(1):
        folder = tmp_path / f"at-{at}"
        folder.mkdir()
        out = folder / "fleet.csv"
        ended = runs("fleet", *given, str(out), folder=folder, at=at)
        assert shown(folder).get("fleet.csv") in (None, whole)
        put_aside += (folder / "fleet.csv.unfinished").exists()
        run_fleet(*given, out, options=options)
        assert shown(folder) == {"fleet.csv": whole}
        if ended:
            break
    assert put_aside >= 4 and 8 < at < MOST_STEPS
