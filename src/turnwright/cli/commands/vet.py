"""`turnwright vet JOB`: does a unit that exists, one that is offered, or any on a list, do this job."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

from turnwright.cli.jobs import job_of, typed
from turnwright.cli.outcome import STATUS_OF_VERDICT, Outcome

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from turnwright.model.job import Job


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `vet`."""
    parser.add_argument("job", metavar="JOB", help="job file (TOML), or - for standard input")
    group = parser.add_mutually_exclusive_group(required=True)
    group.add_argument(
        "--unit", metavar="UNIT", help="unit file (TOML): a nameplate; several [[unit]] run in parallel"
    )
    group.add_argument(
        "--offer", metavar="UNIT", help="unit file: an offer, line by line against the specification"
    )
    group.add_argument("--stock", metavar="LIST", help="CSV or XLSX, a unit a row: which do the job")
    parser.add_argument(
        "--all", action="store_true", help="every finding and question; of a list every row, in full"
    )


def run(arguments: Namespace) -> Outcome:
    """Vet one unit, several together, an offer, or a list."""
    job = job_of(arguments.job)
    if arguments.stock is not None:
        return _list(job, arguments)
    return _offer(job, arguments) if arguments.offer is not None else _unit(job, arguments)


def _unit(job: Job, arguments: Namespace) -> Outcome:
    from turnwright.intake import load_unit

    units = load_unit(arguments.unit)
    from turnwright.vetting import vet  # after the files: what cannot be used is told at once

    found = vet(job, units, ledger_open=arguments.format == "json")
    status = STATUS_OF_VERDICT[found.verdict]
    if arguments.format == "json":
        return _json(status, found.to_json())
    from turnwright.cli.text.layout import ink_of
    from turnwright.cli.text.vetting import vetting_page

    return Outcome(status, vetting_page(found, typed(arguments.job), arguments.all, ink_of(sys.stdout)))


def _offer(job: Job, arguments: Namespace) -> Outcome:
    from turnwright.intake import load_unit

    units = load_unit(arguments.offer)
    from turnwright.documents.offer import vet_offer

    found = vet_offer(job, units, ledger_open=arguments.format == "json")
    status = STATUS_OF_VERDICT[found.verdict]
    if arguments.format == "json":
        return _json(status, found.to_json())
    from turnwright.cli.text.layout import ink_of
    from turnwright.cli.text.offer import offer_page

    return Outcome(status, offer_page(found, arguments.all, ink_of(sys.stdout)))


def _list(job: Job, arguments: Namespace) -> Outcome:
    from turnwright.vetting import IN_FULL, load_stock_list, vet_stock

    found = vet_stock(job, load_stock_list(arguments.stock), in_full=None if arguments.all else IN_FULL)
    status = STATUS_OF_VERDICT[found.verdict]
    if arguments.format == "json":
        return _json(status, found.to_json())
    from turnwright.cli.text.layout import ink_of
    from turnwright.cli.text.stock import stock_page

    title = job.title or "Job without a title"
    return Outcome(status, stock_page(found, title, arguments.all, ink_of(sys.stdout)))


def _json(status: int, tree: dict[str, Any]) -> Outcome:
    from turnwright.model.as_json import dumps

    return Outcome(status, dumps(tree))
