"""`tables`: every table is listed and can be shown, with where it comes from."""

import json
from collections.abc import Callable
from typing import Any

import pytest

from turnwright.cli.text.layout import WIDTH, columns_of
from turnwright.cli.text.tables import table_page
from turnwright.documents.table_rows import SURENESS, table_rows
from turnwright.reference import table_names

Run = Callable[..., Any]


def test_the_list_names_every_table(run: Run) -> None:
    ran = run("tables")
    assert ran.status == 0
    assert all(name in ran.out for name in table_names())
    assert all(columns_of(line) <= WIDTH for line in ran.out.splitlines())


@pytest.mark.parametrize("name", table_names())
def test_every_table_can_be_shown(name: str) -> None:
    table = table_rows(name)
    page = table_page(table)
    assert table["rows"] and table["known"] in SURENESS
    assert all(columns_of(line) <= WIDTH and line == line.rstrip() for line in page.splitlines())
    assert all(row["source"] in " ".join(page.split()) for row in table["rows"])


def test_a_table_is_never_surer_than_its_least_sure_row() -> None:
    for name in table_names():
        table = table_rows(name)
        assert all(SURENESS.index(row["known"]) <= SURENESS.index(table["known"]) for row in table["rows"])


def test_json_of_one_table(run: Run) -> None:
    tree = json.loads(run("tables", "nec_250_122", "--edition", "2023", "--format", "json").out)
    assert set(tree) == {"schema", "tables", "findings", "questions", "working", "tool"}
    (table,) = tree["tables"]
    assert set(table) >= {"name", "document", "edition", "clause", "known", "rows"}
    # NEC Table 250.122: 100 A, 8 AWG copper, 6 AWG aluminum
    row = next(row for row in table["rows"] if row["device_through_a"] == 100)
    assert (row["cu"], row["al"], row["known"]) == ("8 AWG", "6 AWG", "seen")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nec_250_12",), "Did you mean 'nec_250_122'?"),
        (("nec_250_122", "--edition", "1899"), "1899"),
        (("--edition", "2023"), "goes with the name of a table"),
    ],
)
def test_what_is_not_carried_is_told(run: Run, words: tuple[str, ...], said: str) -> None:
    ran = run("tables", *words)
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err and ran.err.count("\n") == 1
