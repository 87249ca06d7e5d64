"""How the names of quantities are made: the list of endings and symbols, and every name it has to explain."""

from __future__ import annotations

import ast
import csv
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Literal, NamedTuple, TypeAlias

import turnwright
from docs.made.markdown import code, page, plain, table

SOURCE = Path(turnwright.__file__).parent
LIST = Path(__file__).with_suffix(".csv")
PLAIN = {"None", "complex", "float"}
"""What a quantity is made of."""
SEVERAL = {"tuple", "list", "Sequence", "Iterable"}
MOST_SHOWN = 4
Function: TypeAlias = ast.FunctionDef | ast.AsyncFunctionDef
FORMS = {
    "unit": "Endings with a unit: `load_kva` is a power in kVA, and so is `kva` alone.",
    "number": "Endings without a unit: a share, a ratio or a count.",
    "name": "Whole names: symbols of the trade, and names as a file, an option or a standard has them.",
    "any": "Whole names of what may be any quantity: what stands beside it, or what it is compared with, has the unit.",
    "paper": "Places on a drawing, in quarters of a millimetre.",
}


class Entry(NamedTuple):
    """One line of the list: the last words of a name or, but for `unit` and `number`, the whole of it."""

    form: Literal["unit", "number", "name", "any", "paper"]
    word: str
    quantity: str
    unit: str
    meaning: str


class Quantity(NamedTuple):
    """A name that stands for a number: an argument of a function or a field of a record, and where it is."""

    name: str
    place: str


@cache
def entries() -> tuple[Entry, ...]:
    """Return the list."""
    with LIST.open(encoding="utf-8", newline="") as file:
        return tuple(Entry(**row) for row in csv.DictReader(file))


def entry_of(name: str) -> Entry | None:
    """Return what the list says of a name, None where it says nothing; the longest ending decides.

    Example:
        >>> entry_of("load_kva").unit, entry_of("r_ohm_per_km").unit, entry_of("power_factor").unit
        ('kVA', 'ohm/km', '-')
        >>> entry_of("depth") is None
        True
    """
    whole, endings = _by_word()
    if name in whole:
        return whole[name]
    words = name.split("_")
    ends = ("_".join(words[start:]) for start in range(len(words)) if words[start - 1 : start] != ["per"])
    return next((endings[each] for each in ends if each in endings), None)


@cache
def _by_word() -> tuple[dict[str, Entry], dict[str, Entry]]:
    """Return the whole names and the endings."""
    whole, endings = {}, {}
    for each in entries():
        (endings if each.form in ("unit", "number") else whole)[each.word] = each
    return whole, endings


@cache
def quantities() -> tuple[Quantity, ...]:
    """Return every number among the arguments of public functions and the fields of public records."""
    found: list[Quantity] = []
    for place, node in _public():
        if isinstance(node, ast.AnnAssign):
            found += [Quantity(ast.unparse(node.target), place)] if _is_number(node.annotation) else []
        else:
            given = (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)
            found += (Quantity(each.arg, place) for each in given if _is_number(each.annotation))
    return tuple(found)


@cache
def results() -> tuple[tuple[Quantity, str], ...]:
    """Return every public function that returns a number, with the first sentence of its docstring."""
    return tuple(
        (Quantity(node.name, place), " ".join((ast.get_docstring(node) or "").partition("\n\n")[0].split()))
        for place, node in _public()
        if isinstance(node, ast.FunctionDef) and _is_number(node.returns)
    )


def _public() -> Iterator[tuple[str, Function | ast.AnnAssign]]:
    """Yield the public functions and the fields of public records, with their place."""
    for path in sorted(SOURCE.rglob("*.py")):
        module = ".".join(path.relative_to(SOURCE.parent).with_suffix("").parts)
        yield from _of_body(ast.parse(path.read_text(encoding="utf-8")).body, module)


def _of_body(body: list[ast.stmt], within: str) -> Iterator[tuple[str, Function | ast.AnnAssign]]:
    for node in body:
        if isinstance(node, ast.AnnAssign):
            yield within, node
        elif isinstance(node, Function) and not node.name.startswith("_"):
            yield f"{within}.{node.name}", node
        elif isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield from _of_body(node.body, f"{within}.{node.name}")


def _is_number(annotation: ast.expr | None) -> bool:
    """Return whether an annotation means a number, or several of one quantity."""
    words = {node.id for node in ast.walk(annotation) if isinstance(node, ast.Name)} if annotation else set()
    return bool(words & (PLAIN - {"None"})) and words <= PLAIN | SEVERAL


def nomenclature_page() -> str:
    """Return the page of the list, with names of the code for each line of it."""
    used: dict[Entry, set[str]] = defaultdict(set)
    for name in (*(each.name for each in quantities()), *(each.name for each, _ in results())):
        if entry := entry_of(name):
            used[entry].add(name)
    parts = []
    for form, says in FORMS.items():
        rows = (
            [code(each.word), plain(each.quantity), plain(each.unit), plain(each.meaning), _shown(used[each])]
            for each in entries()
            if each.form == form
        )
        parts += [says, table(("word", "quantity", "unit", "meaning", "for example"), rows)]
    return page(
        "Names of quantities",
        "Every argument of a public function and every field of a public record that is a number ends in its unit, or "
        "stands in this list; so does a public function that returns one, unless its docstring names the unit. A test "
        "reads the signatures and holds them to it.",
        *parts,
    )


def _shown(names: set[str]) -> str:
    return ", ".join(code(name) for name in sorted(names, key=lambda name: (len(name), name))[:MOST_SHOWN])
