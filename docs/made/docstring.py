"""The parts of a docstring of a calculation: what it returns, its arguments, its limits, its source, an example."""

from __future__ import annotations

import inspect
import re
from typing import Any, NamedTuple

_UNIT = re.compile(r"\s*\[([^\]]*)\]$")
_ARGUMENT = re.compile(r"^([a-z_0-9]+(?:, [a-z_0-9]+)*) *: +(.*)$")
_HEAD = re.compile(r"^(Args|Arguments|Raises|Example|Examples|Source):? ?(.*)$")
_NAMES = {"Arguments": "Args", "Examples": "Example"}


class Argument(NamedTuple):
    """An argument: what it is, in which unit."""

    name: str
    says: str
    unit: str


class Docstring(NamedTuple):
    """The parts; an empty one is not there."""

    summary: str
    unit: str
    more: str
    arguments: tuple[Argument, ...]
    raises: str
    source: str
    example: str


def read_docstring(thing: Any) -> Docstring:
    """Return the parts of the docstring of a function or class.

    Example:
        >>> def area_m2(side_m: float) -> float:
        ...     '''Return the area of a square. [m²]
        ...
        ...     side_m : its side, above 0 [m]
        ...     Source: definition
        ...     '''
        >>> read_docstring(area_m2).arguments
        (Argument(name='side_m', says='its side, above 0', unit='m'),)
        >>> read_docstring(area_m2)[:2]
        ('Return the area of a square.', 'm²')
    """
    first, _, rest = (inspect.getdoc(thing) or "").partition("\n\n")
    summary, unit = _with_unit(" ".join(first.split()))
    parts: dict[str, list[str]] = {"more": [], "Args": [], "Raises": [], "Source": [], "Example": []}
    now = "more"
    for line in rest.splitlines():
        head = _HEAD.match(line)
        if head:
            now = _NAMES.get(head[1], head[1])
            line = head[2]
        elif now != "Example" and _ARGUMENT.match(line):
            now = "Args"
        elif line and not line.startswith(" ") and now in ("Args", "Example", "Source"):
            now = "more"
        parts[now].append(line)
    return Docstring(
        summary,
        unit,
        "\n".join(parts["more"]).strip(),
        _arguments(parts["Args"]),
        " ".join(" ".join(parts["Raises"]).split()),
        " ".join(" ".join(parts["Source"]).split()),
        inspect.cleandoc("\n".join(parts["Example"])).strip(),
    )


def _with_unit(text: str) -> tuple[str, str]:
    unit = _UNIT.search(text)
    return (_UNIT.sub("", text), unit[1]) if unit else (text, "")


def _arguments(lines: list[str]) -> tuple[Argument, ...]:
    """Return the arguments; a line further in goes on with the one before."""
    found: list[list[str]] = []
    for line in lines:
        argument = _ARGUMENT.match(line.strip())
        if argument:
            found.append([argument[1], argument[2]])
        elif found and line.strip():
            found[-1][1] += f" {line.strip()}"
    return tuple(Argument(name, *_with_unit(says)) for name, says in found)
