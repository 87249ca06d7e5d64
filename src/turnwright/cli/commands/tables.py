"""`turnwright tables [NAME]`: the reference tables carried, with source, edition, and how each is known."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

from turnwright.cli.outcome import ANSWERED, Outcome

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `tables`."""
    parser.add_argument(
        "name", metavar="NAME", nargs="?", help="a table, with all its rows; without it, the list"
    )
    parser.add_argument(
        "--edition",
        metavar="EDITION",
        help="an edition the table carries, or a date of manufacture as 2027-05-01 (default: the newest)",
    )


def run(arguments: Namespace) -> Outcome:
    """List the tables, or show one."""
    from turnwright.documents.table_rows import table_rows
    from turnwright.errors import InputError
    from turnwright.reference import table_names

    if arguments.name is None and arguments.edition is not None:
        fix = "Write 'turnwright tables NAME --edition EDITION'."
        raise InputError("CLI-03", "turnwright tables", "--edition goes with the name of a table.", fix)
    names = table_names() if arguments.name is None else (arguments.name,)
    tables = [table_rows(name, arguments.edition) for name in names]
    if arguments.format == "json":
        return Outcome(ANSWERED, _json(tables))
    return Outcome(ANSWERED, _text(tables, one=arguments.name is not None))


def _json(tables: list[dict[str, Any]]) -> str:
    from turnwright.model.as_json import SCHEMA, dumps
    from turnwright.reference import digest
    from turnwright.version import __version__

    empty: dict[str, Any] = {"findings": [], "questions": [], "working": []}
    return dumps(
        {"schema": SCHEMA, "tables": tables, **empty, "tool": {"version": __version__, "tables": digest()}}
    )


def _text(tables: list[dict[str, Any]], one: bool) -> str:
    from turnwright.cli.text.layout import ink_of
    from turnwright.cli.text.tables import list_page, table_page

    if one:
        return table_page(tables[0], ink_of(sys.stdout))
    from turnwright.reference import digest

    return list_page(tables, digest())
