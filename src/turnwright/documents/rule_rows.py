"""The rules carried as plain values, each with its clause edition by edition and how that is known."""

from __future__ import annotations

import re
from importlib import import_module
from importlib.util import find_spec
from typing import Any

from turnwright.errors import InputError, UnknownKey, nearest
from turnwright.model.keys import key_of
from turnwright.reference import Row
from turnwright.regimes import Rule, carried_regimes, regime_of
from turnwright.regimes.rule import in_edition, job_key

WHERE = "turnwright rules"
CODES = ("NEC", "CEC")
"""Documents that are listed first; others follow by name."""
LARGEST = 10**6  # sorts what has no number behind what has one


def rule_rows(
    edition: str | None = None, regime: str | None = None, name: str | None = None
) -> list[dict[str, Any]]:
    """Return the rules by regime and clause; of one edition only those that hold in it.

    Args:
        edition: an edition of a code; None is the newest in which each rule holds.
        regime: whose rules; None is all that are carried.
        name: one rule, which several regimes may have.

    Raises:
        InputError: CLI-04, the edition is not carried.
        UnknownKey: CLI-05, there is no such rule.

    Example:
        >>> [row["clause"] for row in rule_rows("2017", "us", "ceiling")]
        ['450.13(B)']
    """
    carried = {each: editions for each, editions in carried_regimes().items() if regime in (None, each)}
    _check_edition(edition, carried)
    rows = [
        row
        for each, editions in carried.items()
        if edition is None or edition in editions
        for row in _of_regime(each, editions, edition)
    ]
    if name is not None:
        rows = _named(name, rows, edition)
    return sorted(rows, key=lambda row: (row["regime"], *_order(row["document"], row["clause"] or "")))


def check_regime(regime: str | None) -> None:
    """Refuse a regime that is not carried.

    Raises:
        InputError: CLI-04.
    """
    carried = carried_regimes()
    if regime is not None and regime not in carried:
        close = nearest(regime, carried)
        hint = f"Did you mean '{close}'? " if close else ""
        fix = f"{hint}Carried: {', '.join(carried)}."
        raise InputError("CLI-04", WHERE, f"regime '{regime}' is not carried.", fix)


def _check_edition(edition: str | None, carried: dict[str, tuple[str, ...]]) -> None:
    every = sorted({each for editions in carried.values() for each in editions})
    if edition is not None and edition not in every:
        close = nearest(edition, every)
        hint = f"Did you mean '{close}'? " if close else ""
        fix = f"{hint}Carried: {', '.join(every)}."
        raise InputError("CLI-04", WHERE, f"edition '{edition}' is not carried.", fix)


def _named(name: str, rows: list[dict[str, Any]], edition: str | None) -> list[dict[str, Any]]:
    found = [row for row in rows if row["id"] == name]
    if not found:
        close = nearest(name, [row["id"] for row in rows])
        in_it = f" in edition {edition}" if edition else ""
        fix = f"Did you mean '{close}'?" if close else "'turnwright rules' lists them."
        raise UnknownKey("CLI-05", WHERE, f"there is no rule '{name}'{in_it}.", fix)
    return found


def standard_example(regime: str) -> dict[str, Any] | None:
    """Return the job that the examples of a regime's rules are changes to, or None where there is none."""
    name = f"turnwright.regimes.{regime}.rules.example"
    if find_spec(f"turnwright.regimes.{regime}.rules") is None or find_spec(name) is None:
        return None
    standard: dict[str, Any] = import_module(name).STANDARD
    return standard


def _of_regime(regime: str, editions: tuple[str, ...], edition: str | None) -> list[dict[str, Any]]:
    """Return the rules of a regime, shown as they stand in one edition, else in the last in which they hold."""
    held: dict[str, list[tuple[str, Row]]] = {}
    rules: dict[str, Rule] = {}
    for each in editions:
        made = regime_of(regime, each, WHERE)
        for rule, row in in_edition(made.rules, made.rule_table):
            held.setdefault(rule.id, []).append((each, row))
            rules[rule.id] = rule
    rows = []
    for name, found in held.items():
        shown = [one for one in found if edition in (None, one[0])]
        if shown:
            rows.append(_row(regime, rules[name], shown[-1][1], found))
    return rows


def _row(regime: str, rule: Rule, row: Row, found: list[tuple[str, Row]]) -> dict[str, Any]:
    source = row.source
    return {
        "id": rule.id,
        "regime": regime,
        "document": source.document,
        "edition": source.edition or None,
        "clause": source.clause or None,
        "known": source.known,
        "seen_at": source.seen_at,
        "statement": str(row.text("statement")),
        "severity": rule.severity,
        "refuses": rule.refuses,
        "needs": [_need(path) for path in rule.needs],
        "editions": [
            {
                "edition": each,
                "source": of_edition.source.cite(),
                "known": of_edition.source.known,
                "seen_at": of_edition.source.seen_at,
                "statement": str(of_edition.text("statement")),
            }
            for each, of_edition in found
        ],
        "trips": rule.trips,
        "clean": rule.clean,
    }


def _need(path: str) -> dict[str, str]:
    key = job_key(path)
    said = key_of(key)
    return {"key": key, "what": said.says if said else ""}


def _order(document: str, clause: str) -> tuple[Any, ...]:
    """The code first, then other documents by name; clauses by their numbers."""
    numbers = [int(digits) for digits in re.findall(r"\d+", clause)][:4]
    return (document not in CODES, document, [*numbers, *[LARGEST] * (4 - len(numbers))], clause)
