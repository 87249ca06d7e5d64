"""Names carry their unit as the list of names says; each calculation says equation, units, limits, source, example."""

import ast
import inspect
import re
import textwrap
from collections import Counter
from pathlib import Path

import pytest
from docs.made import nomenclature
from docs.made.docstring import read_docstring
from docs.made.methods import calculations
from docs.made.nomenclature import entries, entry_of, quantities, results

from turnwright.quantities.units import KINDS
from turnwright.working import formula_of

ROOT = Path(__file__).parents[1]
A_YEAR = "/a"
"""Behind a unit: the amount of one year."""
UNIT = re.compile(r"\[[^\]]+\]$")
REFERRED = ("as in `", "see the head of this module")
"""Where an argument is told elsewhere."""


def test_every_number_says_what_it_is_in() -> None:
    """Arguments of public functions and fields of public records, by their signatures."""
    assert len(quantities()) > 1500
    assert [f"{each.place}: {each.name}" for each in quantities() if entry_of(each.name) is None] == []


def test_every_function_says_what_its_number_is_in() -> None:
    """By its name, or at the end of its first sentence."""
    assert len(results()) > 400
    assert [
        f"{each.place}: {says}" for each, says in results() if not (entry_of(each.name) or UNIT.search(says))
    ] == []


def test_the_list_of_names_has_no_line_twice_and_none_that_is_not_used() -> None:
    words = Counter((each.form in ("unit", "number"), each.word) for each in entries())
    assert [word for (_, word), times in words.items() if times > 1] == []
    names = {each.name for each in quantities()} | {each.name for each, _ in results()}
    assert {each.word for each in entries()} - {
        found.word for name in names if (found := entry_of(name))
    } == set()


def test_the_list_is_a_page() -> None:
    page = nomenclature.nomenclature_page()
    assert [each.word for each in entries() if f"| `{each.word}` | " not in page] == []
    assert "| `ohm_per_km` | impedance of a conductor | ohm/km |  | `r_ohm_per_km`, `x_ohm_per_km`" in page


def test_every_unit_of_the_inside_has_an_ending() -> None:
    """What a user's units become: see `turnwright.quantities.units`."""
    told = {each.unit for each in entries()} | {"", "x"}
    assert {kind.unit for kind in KINDS.values()} - told == set()


@pytest.mark.parametrize(
    "source",
    [
        "def size(depth: float) -> float: ...",
        "def size(*, depth: float | None = None) -> float: ...",
        "class Size:\n    depths: tuple[float, ...]",
        "class Size:\n    def of(self, depths: Sequence[complex]) -> float: ...",
    ],
)
def test_a_name_without_unit_is_found(source: str, tmp_path, monkeypatch) -> None:
    """The test above can fail: `depth` alone says nothing."""
    (tmp_path / "new.py").write_text(source, encoding="utf-8")
    monkeypatch.setattr(nomenclature, "SOURCE", tmp_path)
    found = nomenclature.quantities.__wrapped__()
    assert [each.name.rstrip("s") for each in found] == ["depth"]


def test_what_is_no_number_is_left_alone(tmp_path, monkeypatch) -> None:
    source = "def size(name: str, depths: dict[str, float], _own: float, n: int): ...\ndef _size(depth: float): ..."
    (tmp_path / "new.py").write_text(source, encoding="utf-8")
    monkeypatch.setattr(nomenclature, "SOURCE", tmp_path)
    assert [each.name for each in nomenclature.quantities.__wrapped__()] == ["_own"]


def all_calculations() -> list:
    return [each for functions in calculations().values() for each in functions]


def lacks(function) -> list[str]:
    """Return what the docstring of a calculation does not say."""
    says, doc = formula_of(function), read_docstring(function)
    return [
        *(["no equation"] if not says.equation else []),
        *(["no 'Return …'"] if not doc.summary.startswith("Return ") else []),
        *([f"result in [{doc.unit}], not [{says.unit or '-'}]"] if doc.unit != (says.unit or "-") else []),
        *(["no source"] if not (says.source or doc.source) else []),
        *(["no example"] if ">>> " not in doc.example else []),
        *(["no word of what it refuses"] if raises(function) and not doc.raises else []),
        *lacks_of_arguments(function),
    ]


def lacks_of_arguments(function) -> list[str]:
    told = {name: each for each in read_docstring(function).arguments for name in each.name.split(", ")}
    given = {name: each.kind for name, each in inspect.signature(function).parameters.items()}
    found = [f"{name} is not told" for name in given if name not in told]
    found += [f"{name} is no argument" for name in told if name not in given]
    for name, each in told.items():
        if not each.unit and not any(word in each.says for word in REFERRED):
            found.append(f"{name} has no unit")
        if each.unit and given.get(name) is not inspect.Parameter.VAR_KEYWORD and not agrees(name, each.unit):
            found.append(f"{name} is in [{each.unit}]")
    return found


def agrees(name: str, unit: str) -> bool:
    """Return whether a unit is the one that the list has for a name."""
    entry = entry_of(name)
    if entry is None or entry.form in ("any", "paper"):
        return True
    return unit.removesuffix(A_YEAR) == entry.unit.removesuffix(A_YEAR)


def raises(function) -> bool:
    tree = ast.parse(textwrap.dedent(inspect.getsource(function)))
    return any(isinstance(node, ast.Raise) for node in ast.walk(tree))


@pytest.mark.parametrize("module", calculations())
def test_each_calculation_says_all_it_has_to(module: str) -> None:
    assert {each.__name__: found for each in calculations()[module] if (found := lacks(each))} == {}


def test_a_calculation_with_a_unit_ends_in_it() -> None:
    units = {each.__name__: formula_of(each).unit for each in all_calculations()}
    assert [
        f"{name} [{unit}]"
        for name, unit in units.items()
        if (unit and entry_of(name) is None) or not agrees(name, unit or "-")
    ] == []
