"""The page of `explain`: a number, how it was computed, and where everything in it came from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from turnwright.cli.text.layout import PLAIN, WIDTH, Ink, columns_of, entry, spread, wrap
from turnwright.documents.words.figures import clean
from turnwright.documents.words.next_sizes import NOTHING, change_rows
from turnwright.documents.words.phrases import shown
from turnwright.narrow.next_sizes import NextSizes

INDENT = 2
"""Columns by which the steps inside a step are moved in."""
DEEPEST_SHOWN = 12
"""Steps inside each other that are moved in; deeper ones keep the last indent."""


def _measured(value: Any, measure: str) -> str:
    return f"{shown(value)} {measure}" if measure and value is not None else shown(value)


def explain_page(tree: Mapping[str, Any], title: str, code: str, ink: Ink = PLAIN) -> str:
    """Return the page of a nested step.

    Args:
        tree: the step as `explain` nests it.
        title: of the job.
        code: installation code and edition.
        ink: emphasis on a terminal.
    """
    lines = [*spread(title, code), ""]
    opened: set[str] = set()
    _step_lines(tree, 0, opened, lines, ink)
    return "\n".join(lines) + "\n"


def _step_lines(step: Mapping[str, Any], depth: int, opened: set[str], lines: list[str], ink: Ink) -> None:
    indent = 2 + INDENT * min(depth, DEEPEST_SHOWN)
    again = step["name"] in opened and bool(step["formula"] or step["steps"])
    head = f"{step['name']} = {_measured(step['value'], step['measure'])}"
    first, *rest = spread(head, "see above" if again else step["known"], WIDTH - indent)
    lines.append(" " * indent + (ink.strong(first) if depth == 0 else first))
    lines += [" " * indent + line for line in rest]
    if again:
        return
    opened.add(step["name"])
    lines += [" " * (indent + 2) + line for text in _body(step) for line in wrap(text, WIDTH - indent - 2)]
    if depth == 0:
        lines.append("")
    for inner in step["steps"]:
        _step_lines(inner, depth + 1, opened, lines, ink)
        if depth == 0:
            lines.append("")
    if depth == 0 and lines[-1] == "":
        lines.pop()


def _body(step: Mapping[str, Any]) -> Iterable[str]:
    """Yield the formula, the formula with numbers, the inputs without a step of their own, and the source."""
    if step["formula"]:
        yield f"= {step['formula']}"
    if step["substitution"]:
        yield f"= {step['substitution']}"
    inside = {inner["name"] for inner in step["steps"]}
    inputs = [
        f"{name} = {shown(value)}" + (f" ({step['from'][name]})" if name in step["from"] else "")
        for name, value in step["with"].items()
        if step["formula"] or step["from"].get(name) not in inside
    ]
    if inputs:
        yield f"with {', '.join(inputs)}"
    if step["source"]:
        yield clean(step["source"])


def next_sizes_lines(found: NextSizes, ink: Ink = PLAIN) -> str:
    """Return what would have to change for the next size up or down, a line each."""
    rows = change_rows(found)
    lines = ["", ink.strong("  what would change it, each by itself")]
    lines += [f"    {line}" for one in rows for line in wrap(one.sentence, WIDTH - 4)]
    return "\n".join(lines if rows else [*lines, f"    {NOTHING}"]) + "\n"


def names_page(steps: Mapping[str, Mapping[str, Any]], title: str, code: str) -> str:
    """Return the list of everything that can be explained, with its value."""
    lines = [*spread(title, code), ""]
    width = max((columns_of(name) for name in steps), default=0)
    at = min(width + 4, WIDTH // 2)
    for name, step in steps.items():
        lines += entry(name, _measured(step["value"], step["unit"]), at=at)
    return "\n".join(lines) + "\n"
