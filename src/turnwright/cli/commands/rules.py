"""`turnwright rules [ID]`: the rules carried, by clause, and how each clause is known."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

from turnwright.cli.outcome import ANSWERED, Outcome

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `rules`."""
    parser.add_argument(
        "id",
        metavar="ID",
        nargs="?",
        help="a rule, with its clause by edition and its examples; without it, the list",
    )
    parser.add_argument("--regime", metavar="REGIME", help="whose rules: us, ca, iec (default: all)")
    parser.add_argument(
        "--edition",
        metavar="EDITION",
        help="only what holds in this edition of the code (default: the newest in which each holds)",
    )


def run(arguments: Namespace) -> Outcome:
    """List the rules, or show one."""
    from turnwright.documents.rule_rows import check_regime, rule_rows

    check_regime(arguments.regime)
    rows = rule_rows(arguments.edition, arguments.regime, arguments.id)
    if arguments.format == "json":
        return Outcome(ANSWERED, _json(rows))
    return Outcome(ANSWERED, _text(rows, one=arguments.id is not None))


def _json(rows: list[dict[str, Any]]) -> str:
    from turnwright.documents.rule_rows import standard_example
    from turnwright.model.as_json import SCHEMA, dumps
    from turnwright.reference import digest
    from turnwright.version import __version__

    regimes = dict.fromkeys(row["regime"] for row in rows)
    return dumps(
        {
            "schema": SCHEMA,
            "rules": rows,
            "examples": {regime: standard_example(regime) for regime in regimes},
            "findings": [],
            "questions": [],
            "working": [],
            "tool": {"version": __version__, "tables": digest()},
        }
    )


def _text(rows: list[dict[str, Any]], one: bool) -> str:
    from turnwright.cli.text.layout import ink_of
    from turnwright.cli.text.rules import list_page, rule_page

    if one:
        from turnwright.documents.rule_rows import standard_example

        ink = ink_of(sys.stdout)
        return "\n".join(rule_page(row, standard_example(row["regime"]), ink) for row in rows)
    from turnwright.reference import digest

    return list_page(rows, digest())
