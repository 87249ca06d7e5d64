"""The pages of `rules`: all of them by clause, and one with its clause in each edition and its examples."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from typing import Any

from turnwright.cli.text.layout import LABEL, PLAIN, WIDTH, Ink, entry, paragraph, spread, wrap
from turnwright.documents.words.figures import clean, short_digest
from turnwright.documents.words.phrases import NOT_COMPUTED, SEVERITY_WORDS
from turnwright.regimes import traits_of

Row = Mapping[str, Any]
"""A rule as `rule_rows` gives it."""
NAME_AT = 4
STATEMENT_AT = 6


def known_words(row: Row) -> str:
    """Return how the clause of a rule is known, in words."""
    known = str(row["known"])
    return {"memory": "from memory", "common practice": ""}.get(known, known)


def list_page(rows: Sequence[Row], digest: str) -> str:
    """Return all rules by clause: name, clause and how it is known, statement."""
    lines = spread("Rules, by clause", f"tables {short_digest(digest)}")
    carried = {regime: _editions(of_it) for regime, of_it in groupby(rows, key=lambda row: row["regime"])}
    for (regime, document), group in groupby(rows, key=lambda row: (row["regime"], row["document"])):
        lines += ["", f"  {document} ({regime})"]
        for row in group:
            lines += _listed(row, carried[regime])
    for regime, editions in carried.items():
        lines += [
            "",
            *paragraph(
                f"Editions carried ({regime}): {', '.join(editions)}. {traits_of(regime).not_carried}".rstrip()
            ),
        ]
    return "\n".join([*lines, "", *paragraph(NOT_COMPUTED), "", "  One of them: turnwright rules ID"]) + "\n"


def _editions(rows: Iterable[Row]) -> list[str]:
    return sorted({each["edition"] for row in rows for each in row["editions"]})


def _listed(row: Row, editions: Sequence[str]) -> list[str]:
    clause = row["clause"] or "practice"
    edition = f"{row['edition']} " if row["edition"] else ""
    where = ", ".join(part for part in (f"{edition}{clause}", known_words(row)) if part)
    head = spread(row["id"], where, WIDTH - NAME_AT)
    statement = f"{row['statement']}{_span(row, editions)}"
    return [
        *(" " * NAME_AT + line for line in head),
        *(" " * STATEMENT_AT + line for line in wrap(statement, WIDTH - STATEMENT_AT)),
    ]


def _span(row: Row, editions: Sequence[str]) -> str:
    """Say in which editions a rule holds, where it does not hold in all."""
    held = [each["edition"] for each in row["editions"]]
    if len(held) == len(editions):
        return ""
    if held[-1] == editions[-1]:
        return f" (From {held[0]}.)"
    return f" (Until {held[-1]}.)" if held[0] == editions[0] else f" ({held[0]} to {held[-1]}.)"


def rule_page(row: Row, standard: Mapping[str, Any] | None, ink: Ink = PLAIN) -> str:
    """Return one rule: statement, clause by edition, severity, what it needs, an example that trips it and one not."""
    word = SEVERITY_WORDS[row["severity"]]
    says = {"stop": "unsafe or not allowed", "decide": "somebody must decide", "note": "to be known"}[word]
    if row["refuses"]:
        says += "; a stop forbids the unit in that place"
    lines = [ink.strong(line) for line in spread(row["id"], f"{row['document']} ({row['regime']})")]
    lines += [*paragraph(row["statement"]), "", *entry(word, says)]
    for each in row["editions"]:
        lines += entry(each["edition"], f"{each['source']}: {each['known']}; {each['seen_at']}")
        if each["statement"] != row["statement"]:
            lines += entry("", each["statement"])
    for need in row["needs"]:
        lines += entry("needs", f"{need['key']}: {need['what']}")
    lines += ["", *_example("trips it", row["trips"]), *_example("does not", row["clean"])]
    if standard is not None:
        lines += ["", *paragraph("The standard example, which these are changes to:"), *_toml(standard)]
    last = traits_of(row["regime"]).not_carried
    return "\n".join([*lines, *(["", *paragraph(last)] if last else [])]) + "\n"


def _example(label: str, patch: Mapping[str, Any]) -> list[str]:
    changes = _toml(patch)
    if not changes:
        return entry(label, "the standard example as it is")
    return [*entry(label, "the standard example with"), *changes]


def _toml(job: Mapping[str, Any]) -> list[str]:
    """Return a job, or a change to one, as lines of a job file: keys with their path first, then the loads."""
    tables = {key: value for key, value in job.items() if _is_list_of_tables(value)}
    lines = [line for key, value in job.items() if key not in tables for line in _keys(key, value)]
    for key, value in tables.items():
        for each in value:
            lines += ["", *_line(f"[[{key}]]")] if lines else _line(f"[[{key}]]")
            lines += [line for name, one in each.items() for line in _line(f"{name} = {_value(one)}")]
    return lines


def _is_list_of_tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and isinstance(value[0], Mapping)


def _keys(name: str, value: Any) -> list[str]:
    if isinstance(value, Mapping) and not _is_inline(name.rpartition(".")[2]):
        return [line for key, one in value.items() for line in _keys(f"{name}.{key}", one)]
    return _line(f"# without {name}" if value is None else f"{name} = {_value(value)}")


def _is_inline(key: str) -> bool:
    return key in ("harmonics", "duty", "room")


def _line(text: str) -> list[str]:
    return [" " * LABEL + line for line in wrap(clean(text), WIDTH - LABEL)]


def _value(value: Any) -> str:
    """Return a value as a job file has it.

    Example:
        >>> _value({"on": "10 %"}), _value([True, 2])
        ('{ on = "10 %" }', '[true, 2]')
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_value(each)}" for key, each in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_value, value)) + "]"
    return f'"{value}"' if isinstance(value, str) else f"{value}"
