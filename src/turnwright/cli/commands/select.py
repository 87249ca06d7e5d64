"""`turnwright select JOB`: the answer, findings, and the next question."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from turnwright.cli.jobs import job_of, typed
from turnwright.cli.outcome import STATUS_OF_VERDICT, Outcome

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from turnwright.model.result import Result


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `select`."""
    parser.add_argument("job", metavar="JOB", help="job file (TOML), or - for standard input")
    parser.add_argument("--all", action="store_true", help="every finding, size, question, and assumption")


def run(arguments: Namespace) -> Outcome:
    """Answer a job."""
    job = job_of(arguments.job)
    from turnwright.narrow import select  # after the job: a file that cannot be used is told at once

    as_json = arguments.format == "json"
    result = select(job, ledger_open=as_json or arguments.all)
    text = _json(result) if as_json else _text(result, arguments)
    return Outcome(STATUS_OF_VERDICT[result.verdict], text)


def _json(result: Result) -> str:
    from turnwright.model.as_json import dumps, result_to_json

    return dumps(result_to_json(result))


def _text(result: Result, arguments: Namespace) -> str:
    from turnwright.cli.text.answer import answer_page
    from turnwright.cli.text.layout import ink_of

    return answer_page(result, typed(arguments.job), arguments.all, ink_of(sys.stdout))
