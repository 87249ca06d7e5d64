"""`ask` and `read` on the command line: through files and pipes."""

import io
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from turnwright.cli.main import main
from turnwright.intake import read_job

REQUEST = "480 V three-phase supply. Need 208Y/120 for lights, 22 kVA.\n"


class Ran(NamedTuple):
    status: int
    out: str
    err: str


Run = Callable[..., Ran]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    def ran(*words: str, stdin: bytes = b"") -> Ran:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(stdin), encoding="utf-8"))
        capsys.readouterr()
        status = main(list(words))
        return Ran(status, *capsys.readouterr())

    return ran


@pytest.fixture
def request_file(tmp_path: Path) -> str:
    path = tmp_path / "mail.txt"
    path.write_text(REQUEST, encoding="utf-8")
    return str(path)


def test_read_writes_a_job_file(run: Run, request_file: str) -> None:
    ran = run("read", request_file)
    assert ran.status == 0 and ran.err == ""
    assert read_job(ran.out).load[0].kva is not None


def test_read_from_a_pipe_gives_json_alone(run: Run) -> None:
    ran = run("read", "-", "--format", "json", stdin=REQUEST.encode())
    tree = json.loads(ran.out)
    assert ran.status == 0 and {fact["key"] for fact in tree["facts"]} >= {"supply.system", "load[0].kva"}


def test_read_select_answers_at_once(run: Run, request_file: str) -> None:
    ran = run("read", request_file, "--select")
    assert ran.status == 0 and "Read in the request" in ran.out and "30 kVA" in ran.out
    tree = json.loads(run("read", request_file, "--select", "--format", "json").out)
    assert tree["answer"]["pick"]["kva"] == 30.0


def test_nothing_found_is_status_4(run: Run) -> None:
    ran = run("read", "-", stdin=b"Good morning.\n")
    assert ran.status == 4 and "Nothing" in ran.out
    assert json.loads(run("read", "-", "--format", "json", stdin=b"Good morning.\n").out)["facts"] == []


@pytest.mark.parametrize("word", ["missing.txt", "."])
def test_what_cannot_be_read_is_one_sentence(run: Run, word: str) -> None:
    ran = run("read", word)
    assert ran.status == 2 and ran.out == "" and ran.err.count("\n") == 1


def test_the_original_stays_as_it_was(run: Run, request_file: str) -> None:
    run("read", request_file, "--select")
    assert Path(request_file).read_text(encoding="utf-8") == REQUEST


def test_ask_through_a_pipe_gives_the_job_on_standard_output(run: Run) -> None:
    ran = run("ask", stdin=b"kitchen\n208Y/120\n22 kVA\n480Y/277\nstop\n")
    assert ran.status == 0 and "What has to run" in ran.err
    job = read_job(ran.out)
    assert job.load[0].name == "kitchen"


def test_ask_writes_its_file_and_goes_on_with_it(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    assert run("ask", str(path), stdin=b"kitchen\n208Y/120\n").status == 4
    assert read_job(path.read_text(encoding="utf-8")).load[0].name == "kitchen"
    ran = run("ask", str(path), stdin=b"22 kVA\n480Y/277\n")
    assert ran.status == 0 and "is written" in ran.out
    assert list(tmp_path.iterdir()) == [path]


def test_ask_in_json(run: Run) -> None:
    tree = json.loads(run("ask", "--format", "json", stdin=b"oven\n208 3ph\n24 kW\n120/240 1ph\nstop\n").out)
    assert tree["result"]["verdict"] == "refused" and "[[load]]" in tree["job"]


def test_ask_without_an_answer_writes_nothing(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    ran = run("ask", str(path), stdin=b"")
    assert ran.status == 4 and not path.exists()


def test_ask_where_nothing_can_be_written(run: Run, tmp_path: Path) -> None:
    ran = run("ask", str(tmp_path / "no" / "job.toml"), stdin=b"kitchen\n208Y/120\nstop\n")
    assert ran.status == 2 and ran.out == "" and "Traceback" not in ran.err
