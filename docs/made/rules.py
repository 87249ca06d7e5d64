"""The rules: one page a regime, each rule with its clause edition by edition and how that is known."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from docs.made.markdown import block, code, page, plain, table
from turnwright.documents.rule_rows import rule_rows, standard_example
from turnwright.regimes import carried_regimes

SEVERITIES = {
    "stop": "unsafe or not allowed",
    "decide": "somebody has to decide",
    "caution": "take care",
    "note": "good to know",
}


def rule_pages() -> dict[str, str]:
    """Return a page of the rules of each regime, and the list of them."""
    rows = rule_rows()
    regimes = carried_regimes()
    pages = {f"reference/rules/{regime}.md": _page(regime, rows) for regime in regimes}
    counted = Counter(row["regime"] for row in rows)
    known = Counter((row["regime"], row["known"]) for row in rows)
    words = sorted({word for _, word in known})
    pages["reference/rules/index.md"] = page(
        "Rules",
        "What is checked of every answer. A rule judges; it never picks a size. Where a rule needs a fact that nobody "
        "gave, the answer says *not checked* and which fact it needs. The columns count how the clause of each rule "
        "is known: *seen* means that a text of it was read.",
        table(
            ("regime", "editions", "rules", *words),
            (
                [
                    code(name),
                    ", ".join(editions),
                    str(counted[name]),
                    *(str(known[name, word]) for word in words),
                ]
                for name, editions in regimes.items()
            ),
        ),
        "```{toctree}\n\n" + "\n".join(regimes) + "\n```",
    )
    return pages


def _page(regime: str, rows: list[dict[str, Any]]) -> str:
    standard = standard_example(regime)
    mine = [row for row in rows if row["regime"] == regime]
    parts = [part for row in mine for part in _rule(row)]
    if standard is not None:
        parts += ["## The standard example", "What the examples of the rules change.", _changes(standard)]
    return page(f"Rules of `{regime}`", *parts)


def _rule(row: dict[str, Any]) -> Iterator[str]:
    yield f"## `{row['id']}`"
    yield plain(row["statement"])
    forbids = "; it forbids the unit in that place" if row["refuses"] else ""
    yield f"Its finding is a **{row['severity']}**: {SEVERITIES[row['severity']]}{forbids}."
    yield table(
        ("edition", "clause", "known", "from where"),
        (
            [each["edition"], plain(each["source"]), each["known"], plain(each["seen_at"])]
            for each in row["editions"]
        ),
    )
    if row["needs"]:
        yield (
            "It needs "
            + ", ".join(f"{code(need['key'])} ({plain(need['what'])})" for need in row["needs"])
            + "."
        )
    for name, says in (("trips", "Trips it"), ("clean", "Does not")):
        if row[name]:
            yield f"{says}, changed in the standard example:"
            yield _changes(row[name])


def _changes(tree: dict[str, Any]) -> str:
    return block("\n".join(_lines(tree, "")), "text")


def _lines(tree: dict[str, Any], before: str) -> Iterator[str]:
    for key, value in tree.items():
        if isinstance(value, dict):
            yield from _lines(value, f"{before}{key}.")
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            for number, each in enumerate(value):
                yield from _lines(each, f"{before}{key}[{number}].")
        else:
            yield f"{before}{key} = {value!r}"
