"""Every code of a refusal: as a module lists it in its docstring, else as it is raised."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import turnwright
from docs.made.markdown import code, page, plain, table

SOURCE = Path(turnwright.__file__).parent
LINE = re.compile(r"^``([A-Z]+-\d+)``\s+(.+)$", re.MULTILINE)
CODE = re.compile(r"[A-Z]{3,}-\d\d")
WHAT = 2
"""Place of the sentence that says what is wrong, among the arguments of an error."""


def codes() -> dict[str, tuple[str, str]]:
    """Return the codes: what is wrong, and the module that says so."""
    found: dict[str, tuple[str, str]] = {}
    for path in sorted(SOURCE.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        module = ".".join(path.relative_to(SOURCE.parent).with_suffix("").parts).removesuffix(".__init__")
        for each, says in _raised(tree):
            found.setdefault(each, (says, module))
        found.update({each: (says, module) for each, says in LINE.findall(ast.get_docstring(tree) or "")})
    return dict(sorted(found.items(), key=_by_number))


def _raised(tree: ast.Module) -> Iterator[tuple[str, str]]:
    """Yield code and sentence of each error that is made with a code of its own."""
    sentences = {node.lineno: node.value for node in ast.walk(tree) if _says_what(node)}  # type: ignore[attr-defined]
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call) or len(node.args) <= WHAT:
            continue
        first, what = node.args[0], node.args[WHAT]
        if not (isinstance(first, ast.Constant) and CODE.fullmatch(str(first.value))):
            continue
        if isinstance(what, ast.Name):
            before = [line for line in sentences if line < node.lineno]
            what = sentences[max(before)] if before else what
        yield str(first.value), _text(what)


def _says_what(node: ast.AST) -> bool:
    return isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) in ("what", "(what, fix)")


def _text(node: ast.expr) -> str:
    """Return a sentence with dots for what differs each time."""
    if isinstance(node, ast.Tuple):
        return _text(node.elts[0])
    if isinstance(node, ast.JoinedStr):
        return "".join(str(part.value) if isinstance(part, ast.Constant) else "…" for part in node.values)
    if isinstance(node, ast.Constant):
        return str(node.value)
    return "…"


def _by_number(item: tuple[str, tuple[str, str]]) -> tuple[str, int]:
    kind, _, number = item[0].rpartition("-")
    return kind, int(number)


def codes_page() -> str:
    """Return the page of the refusals."""
    rows = ([code(each), plain(says), code(module)] for each, (says, module) in codes().items())
    return page(
        "Refusals",
        "Whatever cannot be used is refused in one sentence: where it stands (file, line, key), what is wrong, how "
        "to mend it, and a code. The code stays the same when the words change. Dots stand for what differs each time.",
        table(("code", "what is wrong", "module"), rows),
    )
