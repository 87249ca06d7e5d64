"""`turnwright read FILE`: a request in plain words, or a list of loads, as it came, made a job file."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

from turnwright.cli.outcome import ANSWERED, NOT_ENOUGH_KNOWN, STATUS_OF_VERDICT, Outcome

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from turnwright.ask import LoadList, RequestJob

NOTHING = "Nothing in this request could be read as a fact of a job.\n"


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `read`."""
    parser.add_argument(
        "file",
        metavar="FILE",
        help="an e-mail or a note as text, - for standard input; a load list or panel schedule in CSV or XLSX",
    )
    parser.add_argument("--select", action="store_true", help="answer the job at once")
    group = parser.add_argument_group("of a list")
    group.add_argument(
        "--column",
        metavar="HEADING=WHAT",
        action="append",
        default=[],
        help='what a column holds, as "Load=kw", "F=kva in VA", "Type=-" for nothing; may be repeated',
    )
    group.add_argument("--system", help="voltage system of loads whose row names none")
    group.add_argument("--into", metavar="JOB", help="job file whose loads those of the list are added to")
    group.add_argument("--supply", help="voltage system of the supply")


def run(arguments: Namespace) -> Outcome:
    """Read a request or a list; answer it where that is asked for."""
    from turnwright.ask.load_list import is_list

    if is_list(arguments.file):
        return _list(arguments)
    text = _request(arguments.file)
    from turnwright.ask import job_from_request

    read = job_from_request(text)
    if not read.facts:
        shown = _json(read, None) if arguments.format == "json" else NOTHING
        return Outcome(NOT_ENOUGH_KNOWN, shown)
    if not arguments.select:
        return Outcome(ANSWERED, _json(read, None) if arguments.format == "json" else _files(read))
    return _answered(read, arguments.format == "json")


def _list(arguments: Namespace) -> Outcome:
    from turnwright.ask import load_list_job

    read = load_list_job(
        arguments.file,
        columns=dict(_said(one) for one in arguments.column),
        system=arguments.system,
        supply=arguments.supply,
    )
    if arguments.into is not None:
        from turnwright.ask.load_list.into_job import into_job
        from turnwright.cli.jobs import text_of

        whole = into_job(text_of(arguments.into)[0], read)
        return Outcome(ANSWERED, _whole(whole) if arguments.format == "json" else whole)
    if arguments.select:
        return _answered(read, arguments.format == "json")
    return Outcome(ANSWERED, _json(read, None) if arguments.format == "json" else read.text)


def _whole(text: str) -> str:
    from turnwright.model.as_json import dumps

    return dumps({"schema": 1, "job": text})


def _said(word: str) -> tuple[str, str]:
    from turnwright.ask.load_list import column_said

    said = column_said(word)
    if said is None:
        from turnwright.errors import InputError

        fix = 'Write the heading, "=", and what it holds: --column "Load (W)=kw in W".'
        raise InputError("CLI-02", "turnwright read", f'"{word[:60]}" says nothing of a column.', fix)
    return said


def _request(word: str) -> str:
    from turnwright.cli.jobs import STANDARD_INPUT, text_of
    from turnwright.intake import read_text

    return text_of(word)[0] if word == STANDARD_INPUT else read_text(word, "request")


def _files(read: RequestJob) -> str:
    """Return the job file; a unit that is spoken of follows as remarks, ready for a file of its own."""
    if read.unit is None:
        return read.text
    rows = ["", "# A unit is spoken of. For a file of its own:", "#"]
    rows += [f"# {row}".rstrip() for row in read.unit.splitlines()[1:]]
    return read.text + "\n".join(rows) + "\n"


def _json(read: RequestJob | LoadList, answer: dict[str, Any] | None) -> str:
    from turnwright.model.as_json import dumps

    return dumps(read.to_json() | ({} if answer is None else {"answer": answer}))


def _answered(read: RequestJob | LoadList, as_json: bool) -> Outcome:
    from turnwright.narrow import select

    result = select(read.job, ledger_open=as_json)
    status = STATUS_OF_VERDICT[result.verdict]
    if as_json:
        return Outcome(status, _json(read, result.to_json()))
    from turnwright.ask import LoadList
    from turnwright.cli.text.answer import answer_page
    from turnwright.cli.text.layout import ink_of
    from turnwright.cli.text.reading import list_page, reading_page

    ink = ink_of(sys.stdout)
    shown = list_page(read, ink) if isinstance(read, LoadList) else reading_page(read, ink)
    return Outcome(status, f"{shown}\n{answer_page(result, 'JOB', False, ink)}")
