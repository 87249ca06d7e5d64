"""No code outside `regimes` asks for the name of a regime: what differs by regime is a part of its value."""

import ast
from pathlib import Path

import pytest

import turnwright
from turnwright.regimes import carried_regimes

SOURCE = Path(turnwright.__file__).parent
NAMES = frozenset(carried_regimes())
FILES = sorted(path for path in SOURCE.rglob("*.py") if path.relative_to(SOURCE).parts[0] != "regimes")
SAME_WORD = {
    "model/keys.py": "the words a job file may write",
    "cli/commands/document.py": "measure of a paper: Letter, feet",
    "cli/commands/examine.py": "law of ageing of IEC 60076-12",
    "cli/heat_options.py": "standard of a unit, law of ageing",
    "examine/options.py": "law of ageing of IEC 60076-12",
    "examine/taken.py": "standard of a unit, law of ageing",
    "fleet/profile_files.py": "microseconds",
    "fleet/records.py": "law of ageing of IEC 60076-12",
    "thermal/ageing.py": "law of ageing of IEC 60076-12",
    "thermal/classes.py": "standard of a unit",
    "thermal/nameplate.py": "law of ageing of IEC 60076-12",
    "web/fleet/asked.py": "standard of a unit, law of ageing",
}
"""Files where such a word stands for something else, and what; not even there may anything be decided by it."""


def names_in(node: ast.AST | None) -> set[str]:
    """Return the names of regimes among the constants of an expression."""
    found = ast.walk(node) if node is not None else ()
    return {one.value for one in found if isinstance(one, ast.Constant) and one.value in NAMES}


def decisions(tree: ast.AST) -> list[int]:
    """Return the lines where something turns on the name of a regime: compared, looked up, matched, a key."""
    lines = []
    for node in ast.walk(tree):
        looked_at: list[ast.AST | None] = []
        if isinstance(node, ast.Compare):
            looked_at = [node]
        elif isinstance(node, ast.Dict):
            looked_at = list(node.keys)
        elif isinstance(node, ast.MatchValue):
            looked_at = [node.value]
        elif isinstance(node, ast.Subscript) and isinstance(node.ctx, ast.Load):
            literal = isinstance(node.value, ast.Name) and node.value.id in ("Literal", "dict", "tuple")
            looked_at = [] if literal else [node.slice]
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            asked = ("get", "startswith", "endswith", "count", "index", "pop", "__eq__", "__contains__")
            looked_at = list(node.args) if node.func.attr in asked else []
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "dict":
            lines += [node.lineno for word in node.keywords if word.arg in NAMES]
        if any(names_in(each) for each in looked_at):
            lines.append(getattr(node, "lineno", 0) or node.value.lineno)
    return lines


def docstrings(tree: ast.AST) -> set[ast.AST]:
    return {node.value for node in ast.walk(tree) if isinstance(node, ast.Expr)}


def parsed(path: Path) -> ast.AST:
    return ast.parse(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    "code",
    [
        "a = 1 if regime.name == 'iec' else 2",
        "a = case.regime in ('us', 'ca')",
        "a = 'us' != regime",
        "a = {'us': 1, 'iec': 2}[regime]",
        "a = dict(us=1)",
        "a = table['iec']",
        "a = limits.get('ca', 0)",
        "match regime:\n    case 'us':\n        pass",
        "a = regime.startswith('iec')",
    ],
)
def test_the_look_finds_what_it_looks_for(code):
    assert decisions(ast.parse(code))


def test_the_look_leaves_other_things_alone():
    code = "a: Literal['ieee', 'iec'] = 'iec'\nb = regime.traits.frequency_hz == 50\nc = f(name='us')"
    assert decisions(ast.parse(code)) == []


def test_nothing_outside_is_decided_by_the_name_of_a_regime():
    assert len(FILES) > 300
    found = [f"{path.relative_to(SOURCE)}:{line}" for path in FILES for line in decisions(parsed(path))]
    assert found == []


def test_the_names_stand_nowhere_else():
    found = set()
    for path in FILES:
        tree = parsed(path)
        said = docstrings(tree)
        if any(isinstance(n, ast.Constant) and n.value in NAMES and n not in said for n in ast.walk(tree)):
            found.add(path.relative_to(SOURCE).as_posix())
    assert found == set(SAME_WORD)


def test_templates_and_scripts_of_the_pages_do_not_ask_either():
    files = [path for end in ("html", "js", "typ") for path in SOURCE.rglob(f"*.{end}")]
    assert files
    quoted = [f"{mark}{name}{mark}" for name in NAMES for mark in "'\""]
    assert [path.name for path in files for text in quoted if text in path.read_text(encoding="utf-8")] == []
