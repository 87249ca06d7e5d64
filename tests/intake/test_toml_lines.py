"""The line of each key, in plain and in odd TOML."""

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.intake.toml_lines import join, key_lines

ODD = r'''# comment with [brackets] and key = "value"
a.b."c d" = 1 # [no]
"q\u0041" = "]"
[ supply . x ]
s = """ a
[not]
b = 2
"""
t = '''
ODD += """'''
x''' # still one string
u = [ 1, 2, # c = 3
  {k = 1, j.l = [ {z=1},
 {z=2}]},
]
[[load]]
n = 3.14
[load.duty]
on = 1
[[load]]
m = { a = {b = 1}, c = 2 }
d = 2020-01-01T00:00:00Z
e = ""
f = 'a # b'
g = "a \\" = # b"
[[load.sub]]
x = 1
[[load.sub]]
"" = 1
"""


def paths_of(value: Any, path: str = "") -> list[str]:
    """Every key path of what TOML gives, tables counted from 0."""
    found: list[str] = []
    if isinstance(value, dict):
        for key, inner in value.items():
            at = join(path, key)
            # A list of tables stands only by its elements.
            if not (isinstance(inner, list) and inner and all(isinstance(each, dict) for each in inner)):
                found.append(at)
            found += paths_of(inner, at)
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            found += paths_of(inner, f"{path}[{number}]")
    return found


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ('a.b."c d"', 2),
        ("qA", 3),
        ("supply.x", 4),
        ("supply.x.s", 5),
        ("supply.x.t", 9),
        ("supply.x.u", 11),
        ("supply.x.u[2].k", 12),
        ("supply.x.u[2].j.l[0].z", 12),
        ("supply.x.u[2].j.l[1].z", 13),
        ("load[0]", 15),
        ("load[0].n", 16),
        ("load[0].duty", 17),
        ("load[0].duty.on", 18),
        ("load[1]", 19),
        ("load[1].m.a.b", 20),
        ("load[1].m.c", 20),
        ("load[1].d", 21),
        ("load[1].g", 24),
        ("load[1].sub[0].x", 26),
        ('load[1].sub[1].""', 28),
    ],
)
def test_odd_toml(path: str, line: int) -> None:
    assert key_lines(ODD)[path] == line


def test_every_key_of_odd_toml_is_found_and_nothing_else() -> None:
    expected = set(paths_of(tomllib.loads(ODD)))
    lines = key_lines(ODD)
    assert expected <= lines.keys()
    tables = {"load[0]", "load[1]", "load[1].sub[0]", "load[1].sub[1]", "supply.x.u[2].j.l"}
    assert lines.keys() - expected == tables


def test_lines_end_as_on_any_machine() -> None:
    assert key_lines("a = 1\r\n\r\nb = 2\r\n") == {"a": 1, "b": 3}


def test_a_key_written_twice_keeps_its_first_line() -> None:
    assert key_lines("a = 1\na = 2\n") == {"a": 1}


KEYS = st.sampled_from(["a", "b", "load", "x-1", '"a.b"', "'c d'", '"e\\"f"', "a.b", '"\\u00e9"'])
SCALARS = st.sampled_from(
    ["1", "-2.5", '"x"', '"] # = {"', "'[a]'", "true", "1979-05-27", '"""\nb = 1\n"""', "'''\n'''"]
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda items: "[ " + ", # c\n ".join(items) + "\n]"),
        st.lists(st.tuples(KEYS, inner), max_size=3).map(
            lambda items: "{" + ", ".join(f"{key} = {value}" for key, value in items) + "}"
        ),
    ),
    max_leaves=6,
)
ROWS = st.one_of(
    st.tuples(KEYS, VALUES).map(lambda row: f"{row[0]} = {row[1]}"),
    KEYS.map(lambda key: f"[{key}]"),
    KEYS.map(lambda key: f"[[ {key} ]] # c"),
    st.just("# a = 1"),
    st.just(""),
)


@given(st.lists(ROWS, max_size=8).map("\n".join))
def test_every_key_that_the_reader_knows_has_a_line(text: str) -> None:
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        key_lines(text)
        return
    lines = key_lines(text)
    assert set(paths_of(data)) <= lines.keys()
    rows = text.split("\n")
    for path, line in lines.items():
        last = path.rsplit(".", 1)[-1].strip('"]')[:1]
        assert last in rows[line - 1] or "\\u" in rows[line - 1]


@given(st.text(st.sampled_from("[]{}=,.#\"'\\\n ab1"), max_size=60))
def test_any_text_is_scanned_to_its_end(text: str) -> None:
    rows = text.count("\n") + 1
    assert all(1 <= line <= rows for line in key_lines(text).values())


HOSTILE = ["[" * 50_000, "{" * 50_000, "a = [" * 20_000, "a." * 20_000 + "=1", '"' * 50_000]


@pytest.mark.parametrize("text", HOSTILE, ids=["brackets", "braces", "nested arrays", "dotted key", "quotes"])
def test_hostile_texts_keep_no_endless_paths(text: str) -> None:
    assert all(len(path) < 1000 for path in key_lines(text))
