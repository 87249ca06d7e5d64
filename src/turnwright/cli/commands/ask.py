"""`turnwright ask [FILE]`: guided intake; the questions on standard error, the job file on standard output."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from turnwright.cli.outcome import NOT_ENOUGH_KNOWN, STATUS_OF_VERDICT, Outcome
from turnwright.drafts import write_whole
from turnwright.errors import InputError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from turnwright.ask.interview import Known
    from turnwright.model.result import Result

LONGEST_ANSWER = 100_000


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `ask`."""
    parser.add_argument(
        "file",
        metavar="FILE",
        nargs="?",
        help="job file to write; one that exists is gone on with (default: standard output)",
    )


def run(arguments: Namespace) -> Outcome:
    """Ask until the job is known or somebody stops, and hand over the job file."""
    from turnwright.ask.interview import Interview, Known
    from turnwright.ask.resume import lines_of

    path = Path(arguments.file) if arguments.file else None
    lines = lines_of(path) if path is not None and path.exists() else ()
    keep = None if path is None else lambda text: write_whole(path, text.encode())
    interview = Interview(_read, _say, keep)
    started = Known(lines=lines)
    try:
        known = interview.run(started)
    except KeyboardInterrupt:
        _say("\n")
        known = interview.known
    return _outcome(known, path, arguments.format == "json")


def _outcome(known: Known, path: Path | None, as_json: bool) -> Outcome:
    if not known.lines:
        from turnwright.model.as_json import dumps

        empty = {"schema": 1, "job": None, "result": None}
        return Outcome(
            NOT_ENOUGH_KNOWN, dumps(empty) if as_json else "Nothing was answered; no job is written.\n"
        )
    from turnwright.narrow import select

    result = select(known.job(path.name if path else "job"), ledger_open=as_json)
    if path is not None:
        write_whole(path, known.text.encode())
    return Outcome(STATUS_OF_VERDICT[result.verdict], _text(known, result, path, as_json))


def _text(known: Known, result: Result, path: Path | None, as_json: bool) -> str:
    if as_json:
        from turnwright.model.as_json import dumps

        return dumps({"schema": 1, "job": known.text, "result": result.to_json()})
    if path is None:
        return known.text
    from turnwright.ask.interview import standing
    from turnwright.cli.jobs import typed

    name = typed(str(path))
    return f"{standing(result)}\n{name} is written: turnwright select {name}\n"


def _read(prompt: str) -> str | None:
    """Return one line of standard input; None at its end."""
    _say(prompt)
    if sys.stdin is None:
        return None
    try:
        line = sys.stdin.readline(LONGEST_ANSWER)
    except UnicodeDecodeError:
        raise InputError("FILE-03", "standard input", "is not UTF-8 text.", "Answer in UTF-8.") from None
    if not line:
        _say("\n")
        return None
    return line.rstrip("\r\n")


def _say(text: str) -> None:
    if sys.stderr is None:
        return
    try:
        sys.stderr.write(text)
        sys.stderr.flush()
    except (OSError, ValueError, UnicodeEncodeError):
        return
