"""The command as a whole: exit statuses, one clear message, nothing half-written."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from turnwright.cli.arguments import COMMANDS
from turnwright.cli.main import main
from turnwright.errors import InputError
from turnwright.version import __version__

Run = Callable[..., Any]
Answers = Callable[[object], None]
TURNWRIGHT = (sys.executable, "-m", "turnwright")


def refused(ran: Any) -> str:
    """Hold an outcome to exit 2: one line on standard error, nothing on standard output."""
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.count("\n") == 1 and "Traceback" not in ran.err
    return str(ran.err)


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.name)
def test_every_command_has_its_module_and_its_help(run: Run, command: Any) -> None:
    assert callable(command.module.add_arguments) and callable(command.module.run)
    ran = run(command.name, "--help")
    assert ran.status == 0 and ran.err == ""
    assert "--format {text,json}" in ran.out
    assert all(len(line) <= 80 for line in ran.out.splitlines())
    assert f"  {command.name} " in run("--help").out


def test_version_tells_tool_and_tables(run: Run) -> None:
    ran = run("--version")
    assert ran.status == 0
    assert ran.out.startswith(f"turnwright {__version__}\ntables sha256:")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "no command given"),
        (("selekt",), "Did you mean 'select'?"),
        (("--format", "json", "select"), "stands before a command"),
        (("select",), "required: JOB"),
        (("select", "a.toml", "b.toml"), "unrecognized arguments: b.toml"),
        (("select", "a.toml", "--fromat", "json"), "Did you mean '--format'?"),
        (("select", "a.toml", "--format", "yaml"), "invalid choice: 'yaml'"),
        (("select", "a.toml", "--format"), "expected one argument"),
        (("select", "a.toml", "--al"), "Did you mean '--all'?"),
        (("explain",), "required: JOB"),
    ],
)
def test_usage_that_cannot_be_meant(run: Run, words: tuple[str, ...], said: str) -> None:
    assert said in refused(run(*words))


@pytest.mark.parametrize("word", ["gone.toml", ".", "bad\x00name", "x" * 5000, ""])
def test_a_job_that_cannot_be_read(run: Run, word: str) -> None:
    refused(run("select", word))


def test_a_name_cannot_steer_the_terminal(run: Run) -> None:
    assert "\x1b" not in refused(run("select", "\x1b[31mred"))
    assert "\x1b" not in refused(run("\x1b[31mred"))


@pytest.mark.parametrize(
    ("stdin", "said"),
    [
        (b"", "is empty"),
        (b" \n\t", "is empty"),
        (b"title = 1\nx = '\xff'", "standard input, line 2"),
        (b"title = ", "standard input"),
        (b"[supply]\nsistem = '480 3ph'", "system"),
    ],
)
def test_standard_input_that_cannot_be_used(run: Run, stdin: bytes, said: str) -> None:
    assert said in refused(run("select", "-", stdin=stdin))


def test_closed_standard_input(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", None)
    assert "closed" in refused(run("select", "-"))


@pytest.mark.parametrize(("name", "status"), [("SELECTED", 0), ("REFUSED", 3), ("NEEDS_INPUT", 4)])
@pytest.mark.parametrize("form", ["text", "json"])
def test_the_exit_status_is_that_of_the_verdict(
    run: Run, answers: Answers, job_file: str, samples: ModuleType, name: str, status: int, form: str
) -> None:
    answers(getattr(samples, name))
    ran = run("select", job_file, "--format", form)
    assert (ran.status, ran.err) == (status, "")
    assert ran.out.startswith("{" if form == "json" else "Tile works")


def test_the_job_may_come_from_standard_input(
    run: Run, answers: Answers, job_file: str, samples: ModuleType
) -> None:
    answers(samples.SELECTED)
    ran = run("select", "-", stdin=b"\xef\xbb\xbf" + Path(job_file).read_bytes())
    assert ran.status == 0 and "turnwright explain JOB currents" in ran.out


def test_what_is_wrong_with_a_job_is_one_line(run: Run, answers: Answers, job_file: str) -> None:
    answers(
        InputError("JOB-01", "job.toml, line 3", "'sistem' is no key.", "Did you mean 'system'?\nOr not.")
    )
    assert "job.toml, line 3: 'sistem' is no key. Did you mean 'system'? Or not. [JOB-01]" in refused(
        run("select", job_file)
    )


def test_a_defect_is_one_sentence_with_where_to_report(run: Run, answers: Answers, job_file: str) -> None:
    answers(ZeroDivisionError("division by zero"))
    ran = run("select", job_file)
    assert (ran.status, ran.out) == (1, "")
    assert ran.err.count("\n") == 1 and "Traceback" not in ran.err
    assert "a defect of this tool" in ran.err and "report it" in ran.err and "division by zero" in ran.err


def test_a_defect_in_the_page_writes_nothing(
    run: Run, answers: Answers, job_file: str, samples: ModuleType
) -> None:
    import msgspec

    fault = msgspec.structs.replace(samples.BLOCKS.fault, maximum_a=float("nan"))
    blocks = msgspec.structs.replace(samples.BLOCKS, fault=fault)
    answers(msgspec.structs.replace(samples.SELECTED, blocks=blocks))
    for form in ("text", "json"):
        ran = run("select", job_file, "--format", form)
        assert (ran.status, ran.out) == (1, "")


def test_an_interruption_is_told_without_a_traceback(run: Run, answers: Answers, job_file: str) -> None:
    answers(KeyboardInterrupt())
    assert "stopped" in refused(run("select", job_file))


def test_no_standard_output(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    assert main(["--help"]) == 2
    assert "standard output is closed" in capsys.readouterr().err


def started(*words: str, **options: Any) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*TURNWRIGHT, *words], stderr=subprocess.PIPE, text=True, encoding="utf-8", check=False, **options
    )


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.parametrize("words", [("--help",), ("tables",), ("tables", "--format", "json")])
def test_a_full_disk_is_told_once(words: tuple[str, ...]) -> None:
    with Path("/dev/full").open("w") as full:
        done = started(*words, stdout=full)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1 and "cannot be written" in done.stderr


def test_a_reader_that_leaves_makes_no_noise() -> None:
    read, write = os.pipe()
    os.close(read)
    try:
        done = started("tables", "--format", "json", stdout=write)
    finally:
        os.close(write)
    assert done.returncode == 2 and done.stderr == ""


def test_a_terminal_without_the_signs_still_shows_limits() -> None:
    done = started(
        "tables", "nec_240_21c", stdout=subprocess.PIPE, env={**os.environ, "PYTHONIOENCODING": "ascii"}
    )
    assert done.returncode == 0 and done.stderr == ""
    assert "device before the transformer x primary" in done.stdout


def test_starting_it_as_a_module_is_the_same_command() -> None:
    done = started("--version", stdout=subprocess.PIPE)
    assert done.returncode == 0 and done.stdout.startswith("turnwright ")
