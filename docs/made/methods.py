"""The methods: every calculation with its equation, arguments, limits and source, package by package."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Iterator
from functools import cache
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

import turnwright
from docs.made.docstring import read_docstring
from docs.made.markdown import block, code, page, plain, prose, table
from turnwright.working import formula_of

SOURCE = Path(turnwright.__file__).parent
MARK = "@formula("
TITLES = {
    "arrangements": "What can stand there",
    "circuit": "Windings as circuits",
    "demand": "Loads",
    "examine": "Questions in depth",
    "regimes": "Devices, conductors, grounding, law",
    "selection": "Choosing the size",
    "thermal": "Heat, losses, life and money",
    "vetting": "A unit that exists",
}


@cache
def calculations() -> dict[str, tuple[Callable[..., Any], ...]]:
    """Return the calculations of every module that has any, in the order of the file."""
    found = {}
    for path in sorted(SOURCE.rglob("*.py")):
        if path.parent.name == "working" or MARK not in path.read_text(encoding="utf-8"):
            continue
        name = ".".join(("turnwright", *path.relative_to(SOURCE).with_suffix("").parts))
        found[name] = tuple(_calculations_of(import_module(name)))
    return found


def _calculations_of(module: ModuleType) -> Iterator[Callable[..., Any]]:
    for value in vars(module).values():
        if inspect.isfunction(value) and value.__module__ == module.__name__ and "formula" in value.__dict__:
            yield value


def method_pages() -> dict[str, str]:
    """Return a page of the calculations of each package, and the list of them."""
    by_package: dict[str, list[str]] = {}
    for module in calculations():
        by_package.setdefault(module.split(".")[1], []).append(module)
    pages = {
        f"reference/methods/{package}.md": _page(package, modules) for package, modules in by_package.items()
    }
    pages["reference/methods/index.md"] = _list(by_package)
    return pages


def _list(by_package: dict[str, list[str]]) -> str:
    count = sum(len(each) for each in calculations().values())
    return page(
        "Methods",
        f"{count} calculations, each a pure function of the package it stands in. Units stand in the names of the "
        "arguments; the equation, the clause and how the clause is known are the ones that `turnwright explain` "
        "prints beside a number. Where a source says *memory*, nobody here has read its text: check it before you "
        "rely on it.",
        "```{toctree}\n:maxdepth: 2\n\n" + "\n".join(sorted(by_package)) + "\n```",
    )


def _page(package: str, modules: list[str]) -> str:
    title = TITLES.get(package, package)
    return page(f"{title} (`{package}`)", *(part for module in modules for part in _section(module)))


def _section(name: str) -> Iterator[str]:
    doc = inspect.getdoc(import_module(name)) or ""
    first, _, rest = doc.partition("\n\n")
    yield f"## {plain(first.rstrip('.'))}"
    yield f"In `{name}`."
    yield prose(rest) if rest else ""
    for function in calculations()[name]:
        yield from _calculation(function)


def _calculation(function: Callable[..., Any]) -> Iterator[str]:
    says, doc = formula_of(function), read_docstring(function)
    yield f"### `{function.__name__}`"
    yield plain(re.sub(r"^Return ", "Gives ", doc.summary))
    yield block(says.equation)
    if doc.arguments:
        rows = ([code(each.name), plain(each.says), plain(each.unit)] for each in doc.arguments)
        yield table(("argument", "what it is", "unit"), rows)
    if doc.more:
        yield prose(doc.more)
    unit = says.unit or doc.unit
    yield f"Result in {plain(unit)}." if unit not in ("", "-") else "The result has no unit."
    yield f"Limits: {plain(doc.raises)}" if doc.raises else ""
    source = says.source or doc.source
    yield f"Source: {plain(source)} ({says.known})" if source else "Source: definition"
    if doc.example:
        yield block(doc.example, "pycon")
