"""Two jobs side by side, in text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from turnwright.cli.text.layout import WIDTH, Ink, entry, pad, paragraph, wrap
from turnwright.documents.words.beside import beside, only_here
from turnwright.model.as_json import SCHEMA, plain, result_to_json
from turnwright.model.result import Result
from turnwright.narrow.compare import Comparison, Move

SHOWN = (
    "verdict",
    "pick.kva",
    "pick.arrangement",
    "pick.secondary",
    "demand.kva_required",
    "demand.loading_pct",
    "currents.secondary_load_a",
    "protection.primary_a",
    "protection.secondary_a",
    "conductors.primary.size",
    "conductors.secondary.size",
    "fault.maximum_a",
)
"""What people look at first; `--format json` has everything."""


BESIDE_AT = 17
"""Column at which the first of several answers starts."""


def comparison_to_json(found: Comparison) -> dict[str, Any]:
    """Return the comparison as other programs read it."""
    after = result_to_json(found.after)
    return {
        "schema": SCHEMA,
        "facts": [{"key": fact.key, "from": fact.from_, "to": fact.to} for fact in found.facts],
        "moves": [_move(move) for move in found.moves],
        "together": _move(found.together),
        "findings": after["findings"],
        "questions": [],
        "working": [],
        "tool": after["tool"],
    }


def _move(move: Move) -> dict[str, Any]:
    return {
        "fact": move.fact,
        "result": {path: plain(list(pair)) for path, pair in move.result.items()},
        "findings_gone": list(move.gone),
        "findings_new": list(move.new),
    }


def compare_page(found: Comparison, ink: Ink) -> str:
    """Return the comparison as a person reads it."""
    if not found.facts:
        return "The two jobs hold the same facts.\n"
    lines = ["", *entry("changed", _facts(found), ink=ink), ""]
    for move in found.moves:
        lines += [*entry(move.fact, _says(move), ink=ink)]
    lines += ["", *entry("together", _says(found.together), ink=ink)]
    return "\n".join(lines).lstrip("\n") + "\n"


def beside_to_json(regimes: Sequence[str], results: Sequence[Result]) -> dict[str, Any]:
    """Return the answers to one job under several sets of rules as other programs read them."""
    answers = [result_to_json(result) for result in results]
    return {
        "schema": SCHEMA,
        "side_by_side": [
            {"regime": name, "answer": answer} for name, answer in zip(regimes, answers, strict=True)
        ],
        "findings": [],
        "questions": [],
        "working": [],
        "tool": answers[0]["tool"],
    }


def beside_page(results: Sequence[Result]) -> str:
    """Return the answers to one job under several sets of rules in columns, then what only one of them has."""
    width = (WIDTH - BESIDE_AT) // len(results)
    lines = []
    for name, cells in beside(results):
        wrapped = [wrap(cell, width - 2) for cell in cells]
        for at in range(max(map(len, wrapped))):
            label = name if at == 0 else ""
            parts = [each[at] if at < len(each) else "" for each in wrapped]
            lines.append(
                (pad(f"  {label}", BESIDE_AT) + "".join(pad(part, width) for part in parts)).rstrip()
            )
    lines += ["", "  Only there, stops and decisions:"]
    for title, codes in only_here(results):
        lines += entry(title, codes, at=BESIDE_AT + 4)
    return (
        "\n".join([*lines, "", *paragraph("Each answer in full: select, with the regime in the job.")]) + "\n"
    )


def _facts(found: Comparison) -> str:
    return " · ".join(
        f"{fact.key} {fact.from_ or 'not given'} → {fact.to or 'not given'}" for fact in found.facts
    )


def _says(move: Move) -> str:
    said = [f"{path} {_value(a)} → {_value(b)}" for path, (a, b) in move.result.items() if path in SHOWN]
    others = len(move.result) - len(said)
    if others > 0:
        said.append(f"{others} more values")
    said += [f"gone: {code}" for code in move.gone] + [f"new: {code}" for code in move.new]
    return " · ".join(said) if said else "moves nothing"


def _value(value: Any) -> str:
    if value is None:
        return "–"
    return f"{value:.5g}" if isinstance(value, float) else str(value)
