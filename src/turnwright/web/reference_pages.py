"""Tables with provenance, rules by clause, cautions."""

from __future__ import annotations

from collections import Counter
from functools import lru_cache
from typing import Any

from turnwright.documents.rule_rows import rule_rows, standard_example
from turnwright.documents.table_rows import SURENESS, table_rows
from turnwright.documents.words import phrases
from turnwright.errors import UnknownKey
from turnwright.intake import read_job
from turnwright.model.keys import key_of
from turnwright.narrow import select
from turnwright.quantities import figure
from turnwright.reference import load, table_names
from turnwright.regimes import carried_regimes, traits_of
from turnwright.web.job.edits import NEW_JOB
from turnwright.web.render import page
from turnwright.web.reply import Reply, html


def tables_page() -> Reply:
    """Return the list of the tables."""
    return html(page("tables", {"tables": _all_tables()}))


def table_page(name: str, edition: str | None) -> Reply:
    """Return one table with all its rows.

    Raises:
        UnknownKey: TBL-16.
        TableError: TBL-08.
    """
    table = table_rows(name, edition)
    carried = load(name)
    rows = carried.newest() if edition is None else carried.at(edition)
    sources = list(dict.fromkeys((row["source"], row["known"], row["seen_at"]) for row in table["rows"]))
    shown = [
        {
            "key": row.key,
            "cells": [_cell(values[column["name"]]) for column in table["columns"]],
            "source": sources.index((values["source"], values["known"], values["seen_at"])) + 1,
        }
        for row, values in zip(rows.rows, table["rows"], strict=True)
    ]
    numeric = [
        all(isinstance(row[column["name"]], float | None) for row in table["rows"])
        for column in table["columns"]
    ]
    return html(page("table", {"table": table, "rows": shown, "sources": sources, "numeric": numeric}))


def _cell(value: Any) -> str:
    """Return what stands in a cell, with every digit."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return figure(value, digits=None) if isinstance(value, float) else str(value)


def rules_page() -> Reply:
    """Return the list of the rules, by regime and clause."""
    rules = rule_rows()
    regimes = {regime: [rule for rule in rules if rule["regime"] == regime] for regime in _regimes(rules)}
    return html(page("rules", {"regimes": regimes, "codes": _codes(), "severities": phrases.SEVERITY_WORDS}))


def _codes() -> dict[str, str]:
    """Return the installation code of each regime."""
    return {regime: traits_of(regime).code for regime in carried_regimes()}


def _regimes(rules: list[dict[str, Any]]) -> list[str]:
    return [regime for regime in carried_regimes() if any(rule["regime"] == regime for rule in rules)]


def rule_page(name: str) -> Reply:
    """Return one rule, in every regime that has it.

    Raises:
        UnknownKey: CLI-05.
    """
    rules = rule_rows(name=name)
    order = list(carried_regimes())
    rules.sort(key=lambda rule: order.index(rule["regime"]) if rule["regime"] in order else len(order))
    if not rules:
        raise UnknownKey("CLI-05", "rules", f"there is no rule '{name}'.", "The page of rules lists them.")
    return html(
        page(
            "rule",
            {
                "name": name,
                "rules": rules,
                "codes": _codes(),
                "severities": phrases.SEVERITY_WORDS,
                "examples": {rule["regime"]: _example(rule) for rule in rules},
            },
        )
    )


def _example(rule: dict[str, Any]) -> dict[str, str]:
    """Return the two examples of a rule as lines: the standard job, and what trips the rule or leaves it silent."""
    standard = standard_example(rule["regime"]) or {}
    same = "the standard job itself"
    return {
        "standard": "\n".join(_lines(standard)),
        "trips": "\n".join(_lines(rule["trips"])) or same,
        "clean": "\n".join(_lines(rule["clean"])) or same,
    }


def _lines(changes: Any, path: str = "") -> list[str]:
    """Return an example as lines of the job file."""
    if isinstance(changes, dict):
        return [
            line
            for key, inner in changes.items()
            for line in _lines(inner, f"{path}.{key}" if path else str(key))
        ]
    if isinstance(changes, list | tuple) and any(isinstance(inner, dict) for inner in changes):
        return [line for at, inner in enumerate(changes) for line in _lines(inner, f"{path}[{at}]")]
    return [f'{path} = "{changes}"' if isinstance(changes, str) else f"{path} = {phrases.shown(changes)}"]


def cautions_page() -> Reply:
    """Return what to be careful about: how values are known, and what stands in for what nobody says."""
    counts = Counter(row["known"] for table in _all_tables() for row in table["rows"])
    known = [(word, counts[word]) for word in SURENESS if counts[word]]
    stand_ins = [
        {
            "key": phrases.key_words(fact["key"].replace("load[0].", "load.")),
            "says": key.says if (key := key_of(fact["key"])) else "",
            "value": fact["value"],
            "reason": fact["reason"],
        }
        for fact in select(read_job(NEW_JOB), ledger_open=False, ask=False).job["facts"]
        if fact["known"] == "assumed"
    ]
    total = sum(count for _, count in known)
    return html(page("cautions", {"known": known, "total": total, "stand_ins": stand_ins}))


@lru_cache(maxsize=1)
def _all_tables() -> list[dict[str, Any]]:
    return [table_rows(name) for name in table_names()]
