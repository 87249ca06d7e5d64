"""`turnwright fleet PROFILES --units UNITS --out FILE`: many units over metered time, the worst first."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from turnwright.cli.heat_options import add_price, add_rules
from turnwright.cli.outcome import ANSWERED, Outcome
from turnwright.errors import InputError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from turnwright.fleet import FleetOptions, FleetReport
    from turnwright.quantities import Quantity

FORMS = ("auto", "plain", "arrays", "float64", "float32")


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `fleet`."""
    parser.add_argument(
        "profiles",
        metavar="PROFILES",
        help="Parquet or CSV file, or a folder of them: unit, time, load_pu (or current_a or kva), ambient_c, k_factor",
    )
    parser.add_argument(
        "--units",
        metavar="UNITS",
        required=True,
        help="list of the units, CSV or XLSX: unit, kva, secondary, rise, no_load_loss, load_loss, …",
    )
    parser.add_argument(
        "--out", metavar="FILE", required=True, help="where the rows go, one for each unit: .csv or .parquet"
    )
    parser.add_argument("--cluster", metavar="ADDRESS", help="Dask scheduler to share the work out to")
    add_price(parser)
    add_rules(parser)
    parser.add_argument("--papers", metavar="DIR", help="folder for a report: HTML, PDF, workbook, CSV")
    parser.add_argument(
        "--as", dest="forms", metavar="FORMS", help="papers: forms, with commas: html,pdf,xlsx,csv"
    )
    parser.add_argument("--title", metavar="TEXT", default="", help="papers: title")
    parser.add_argument("--force", action="store_true", help="papers: replace those that are there already")
    parser.add_argument(
        "--form", choices=FORMS, default="auto", help="form of the calculation (default: the quickest)"
    )
    parser.add_argument(
        "--threads", metavar="N", type=int, help="threads (default: one for each core, up to 8)"
    )
    parser.add_argument("--all", action="store_true", help="everything that was left out, and every note")


def run(arguments: Namespace) -> Outcome:
    """Follow the units, write their rows, and show the worst."""
    from turnwright.examine.told import price
    from turnwright.fleet import FleetOptions, run_fleet, terminal_progress

    energy = price(arguments.price_kwh, "energy price", "--price-kwh")
    options = FleetOptions(
        standard=arguments.standard or "ieee",
        ageing=arguments.ageing,
        cooling=arguments.cooling,
        price_kwh=None if energy is None else energy.high,
        form=arguments.form,
        threads=arguments.threads,
    )
    if arguments.cluster is not None and arguments.threads is not None:
        fix = "Leave --threads out; the workers of the cluster have their own."
        raise InputError("CLI-03", "turnwright fleet", "--threads does not go with --cluster.", fix)
    forms = _forms(arguments)
    report = run_fleet(
        arguments.profiles,
        arguments.units,
        arguments.out,
        options=options,
        progress=terminal_progress(),
        cluster=arguments.cluster,
    )
    if forms:
        _papers(arguments, report, options, energy, forms)
    if arguments.format == "json":
        return Outcome(ANSWERED, _json(report))
    from turnwright.cli.text.fleet import fleet_page
    from turnwright.cli.text.layout import ink_of

    currency = "" if energy is None else energy.unit_written
    return Outcome(ANSWERED, fleet_page(report, currency, arguments.all, ink_of(sys.stdout)))


def _forms(arguments: Namespace) -> tuple[str, ...]:
    """Return the forms of the report to write; none where no report is asked for."""
    named = [name.strip() for name in (arguments.forms or "").split(",") if name.strip()]
    if arguments.papers is None:
        if named or arguments.title or arguments.force:
            fix = "Name a folder with --papers, or leave them out."
            what = "--as, --title and --force say how papers are made, and none are asked for."
            raise InputError("CLI-03", "turnwright fleet", what, fix)
        return ()
    from turnwright.documents.fleet_paper import chosen_forms

    return chosen_forms(named)


def _papers(
    arguments: Namespace,
    report: FleetReport,
    options: FleetOptions,
    energy: Quantity | None,
    forms: tuple[str, ...],
) -> None:
    """Write the report of a fleet, with the worst unit over its time."""
    from turnwright.documents.files import write_all
    from turnwright.documents.fleet_paper import FleetTold, fleet_files
    from turnwright.examine.year_of_fleet import year_of_unit
    from turnwright.fleet.results import read_rows

    worst = report.worst[0].unit
    told = FleetTold(
        report=report,
        rows=read_rows(report.out),
        currency="" if energy is None else energy.unit_written,
        worst=year_of_unit(arguments.profiles, arguments.units, worst, options, energy),
        title=arguments.title,
    )
    write_all(arguments.papers, fleet_files(told, forms), force=arguments.force)


def _json(report: FleetReport) -> str:
    from turnwright.model.as_json import dumps, plain
    from turnwright.reference import digest
    from turnwright.version import __version__

    told = plain(report, "report")
    rest = {"questions": [], "working": [], "tool": {"version": __version__, "tables": digest()}}
    return dumps({**told, **rest})
