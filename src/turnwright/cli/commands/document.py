"""`turnwright document JOB --out DIR`: the papers."""

from __future__ import annotations

import re
import sys
from typing import TYPE_CHECKING, Any

from turnwright.cli.jobs import text_of
from turnwright.cli.outcome import STATUS_OF_VERDICT, Outcome

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from turnwright.documents.brief import Brief, Stock
    from turnwright.documents.make import Papers

_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `document`."""
    parser.add_argument("job", metavar="JOB", help="job file (TOML), or - for standard input")
    parser.add_argument("--out", metavar="DIR", required=True, help="folder the papers are written to")
    parser.add_argument("--only", metavar="NAMES", help="papers, with commas: memo,specification,…")
    parser.add_argument(
        "--as",
        dest="forms",
        metavar="FORMS",
        help="forms, with commas: html,pdf,xlsx,csv,dxf (default: all that a paper has)",
    )
    parser.add_argument(
        "--measure",
        choices=("us", "metric"),
        help="us: Letter, feet shown; metric: A4, metres shown (default: by the regime)",
    )
    parser.add_argument("--date", metavar="DATE", default="", help="date on the papers, as 2027-05-01")
    parser.add_argument("--by", metavar="NAME", default="", help="author on the papers")
    parser.add_argument("--revision", metavar="TEXT", default="", help="revision on the papers")
    parser.add_argument(
        "--hold-off",
        metavar="POINTS",
        help="plots: what the device before the unit holds, amperes@seconds from its curve: 1200@0.1,2500@0.01",
    )
    parser.add_argument(
        "--stock",
        metavar="FILE",
        help="plots: units with their losses and prices, a CSV list or [[unit]] in TOML: efficiency, cost over years",
    )
    parser.add_argument(
        "--discount",
        type=float,
        metavar="PCT",
        help="plots: yearly interest by which later money counts less",
    )
    parser.add_argument("--years", type=float, metavar="N", help="plots: years that are counted")
    parser.add_argument("--force", action="store_true", help="replace papers that are there already")


def run(arguments: Namespace) -> Outcome:
    """Write the papers of a job; without a pick there is a memo all the same."""
    from turnwright.documents.files import write_all
    from turnwright.documents.make import make

    only, forms = _names(arguments.only), _names(arguments.forms)
    brief = _brief(arguments, only)
    papers = make(brief, only, forms)
    if papers.sheets:
        files = {sheet.name: sheet.content for sheet in papers.sheets}
        write_all(arguments.out, files, force=arguments.force)
    text = _json if arguments.format == "json" else _text
    return Outcome(STATUS_OF_VERDICT[brief.result.verdict], text(brief, papers, arguments.out))


def _names(text: str | None) -> list[str]:
    return [name.strip() for name in (text or "").split(",") if name.strip()]


def _brief(arguments: Namespace, only: list[str]) -> Brief:
    from turnwright.documents.brief import Brief, usual_measure
    from turnwright.documents.make import chosen_papers
    from turnwright.examine.inrush_against import points_of
    from turnwright.intake import read_job
    from turnwright.narrow import select

    chosen_papers(only)
    _check_stamp(arguments)
    text, origin = text_of(arguments.job)
    job = read_job(text, origin)
    result = select(job, ledger_open=True)
    return Brief(
        job=job,
        text=text,
        origin=origin,
        result=result,
        measure=arguments.measure or usual_measure(str(result.job.get("regime") or "")),
        date=arguments.date,
        by=arguments.by,
        revision=arguments.revision,
        hold_off=() if arguments.hold_off is None else points_of(arguments.hold_off),
        stock=None if arguments.stock is None else _stock(arguments.stock),
        discount=arguments.discount,
        years=arguments.years,
    )


def _stock(path: str) -> Stock:
    """Return a list of units, read once so that what cannot be used is told before anything is written."""
    from turnwright.documents.brief import Stock
    from turnwright.intake.text_file import file_name, read_text

    found = Stock(read_text(path, "unit file"), file_name(path))
    _ = found.units
    return found


def _check_stamp(arguments: Namespace) -> None:
    """Refuse a date that is none: it goes on paper as it is written."""
    from datetime import date

    from turnwright.errors import InputError

    if not arguments.date:
        return
    try:
        if not _DATE.fullmatch(arguments.date):
            raise ValueError(arguments.date)
        date.fromisoformat(arguments.date)
    except ValueError:
        fix = "Write year, month and day, as 2027-05-01."
        raise InputError("DOC-04", "--date", f"'{arguments.date}' is no date.", fix) from None


def _json(brief: Brief, papers: Papers, out: str) -> str:
    from hashlib import sha256

    from turnwright.model.as_json import SCHEMA, dumps, result_to_json

    result = result_to_json(brief.result)
    kept: dict[str, Any] = {name: result[name] for name in ("findings", "questions")}
    sheets = [
        {
            "paper": sheet.paper,
            "form": sheet.form,
            "file": sheet.name,
            "bytes": len(sheet.content),
            "sha256": sha256(sheet.content).hexdigest(),
        }
        for sheet in papers.sheets
    ]
    left_out = [{"name": left.name, "why": left.why} for left in papers.left_out]
    head = {
        "schema": SCHEMA,
        "verdict": result["verdict"],
        "out": out,
        "papers": sheets,
        "left_out": left_out,
    }
    return dumps({**head, **kept, "working": [], "tool": result["tool"]})


def _text(brief: Brief, papers: Papers, out: str) -> str:
    from turnwright.cli.text.answer import heading
    from turnwright.cli.text.layout import entry, ink_of, paragraph
    from turnwright.documents.make import PAPERS
    from turnwright.documents.parts.answer import answer

    says = {paper.name: paper.says for paper in PAPERS}
    lines = [*heading(brief.result), ""]
    lines += [ink_of(sys.stdout).strong(line) for line in paragraph(answer(brief.result)[0].text)]
    lines.append("")
    lines += paragraph(f"Written to {out}:" if papers.sheets else "Nothing was written.")
    for sheet in papers.sheets:
        lines += entry(sheet.name, says[sheet.paper], at=28)
    for left in papers.left_out:
        lines += entry(left.name, f"not written: {left.why}", at=28)
    return "\n".join(lines) + "\n"
