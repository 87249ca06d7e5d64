"""Every code of a refusal that a module lists in its docstring."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import turnwright
from docs.made.markdown import code, page, plain, table

SOURCE = Path(turnwright.__file__).parent
LINE = re.compile(r"^``([A-Z]+-\d+)``\s+(.+)$", re.MULTILINE)


def codes() -> dict[str, tuple[str, str]]:
    """Return the codes: what is wrong, and the module that says so."""
    found = {}
    for path in sorted(SOURCE.rglob("*.py")):
        doc = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
        module = ".".join(path.relative_to(SOURCE.parent).with_suffix("").parts).removesuffix(".__init__")
        found.update({each: (says, module) for each, says in LINE.findall(doc)})
    return dict(sorted(found.items(), key=_by_number))


def _by_number(item: tuple[str, tuple[str, str]]) -> tuple[str, int]:
    kind, _, number = item[0].rpartition("-")
    return kind, int(number)


def codes_page() -> str:
    """Return the page of the refusals."""
    rows = ([code(each), plain(says), code(module)] for each, (says, module) in codes().items())
    return page(
        "Refusals",
        "Whatever cannot be used is refused in one sentence: where it stands (file, line, key), what is wrong, how "
        "to mend it, and a code. The code stays the same when the words change.",
        table(("code", "what is wrong", "module"), rows),
    )
