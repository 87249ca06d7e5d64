"""`turnwright fleet PROFILES --units UNITS --out FILE`: many units over metered time, the worst first."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from turnwright.cli.heat_options import add_price, add_rules
from turnwright.cli.outcome import ANSWERED, Outcome
from turnwright.errors import InputError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from turnwright.fleet import FleetReport

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
    report = run_fleet(
        arguments.profiles,
        arguments.units,
        arguments.out,
        options=options,
        progress=terminal_progress(),
        cluster=arguments.cluster,
    )
    if arguments.format == "json":
        return Outcome(ANSWERED, _json(report))
    from turnwright.cli.text.fleet import fleet_page
    from turnwright.cli.text.layout import ink_of

    currency = "" if energy is None else energy.unit_written
    return Outcome(ANSWERED, fleet_page(report, currency, arguments.all, ink_of(sys.stdout)))


def _json(report: FleetReport) -> str:
    from turnwright.model.as_json import dumps, plain
    from turnwright.reference import digest
    from turnwright.version import __version__

    told = plain(report, "report")
    rest = {"questions": [], "working": [], "tool": {"version": __version__, "tables": digest()}}
    return dumps({**told, **rest})
