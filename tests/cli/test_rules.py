"""`rules`: every rule is listed by its clause and can be shown, with how it is known and its examples."""

import json
from collections.abc import Callable
from typing import Any

import pytest

from turnwright.cli.text.layout import WIDTH, columns_of
from turnwright.cli.text.rules import rule_page
from turnwright.documents.rule_rows import rule_rows, standard_example
from turnwright.regimes import carried_regimes, regime_of

Run = Callable[..., Any]
NAMES = sorted({row["id"] for row in rule_rows()})


def test_the_list_names_every_rule_and_says_what_is_not_carried(run: Run) -> None:
    ran = run("rules")
    assert ran.status == 0
    every = {rule.id for name in carried_regimes() for rule in regime_of(name, None, "test").rules}
    assert every == set(NAMES)
    assert every <= set(ran.out.split())
    assert "2026 is not carried" in " ".join(ran.out.split())
    assert all(columns_of(line) <= WIDTH and line == line.rstrip() for line in ran.out.splitlines())


def test_the_list_goes_by_clause() -> None:
    clauses = [row["clause"] for row in rule_rows("2023", "us") if row["document"] == "NEC"]
    articles = [int("".join(c for c in clause.split(".")[0] if c.isdigit())) for clause in clauses]
    assert articles == sorted(articles)


@pytest.mark.parametrize("name", NAMES)
def test_every_rule_can_be_shown(name: str) -> None:
    for row in rule_rows(name=name):
        page = rule_page(row, standard_example(row["regime"]))
        assert all(columns_of(line) <= WIDTH and line == line.rstrip() for line in page.splitlines())
        words = " ".join(page.split())
        assert row["statement"] in words and "trips it" in words and "does not" in words
        assert all(each["source"] in words for each in row["editions"])


@pytest.mark.parametrize("regime", sorted(carried_regimes()))
def test_each_regime_has_the_job_its_examples_change(regime: str) -> None:
    assert standard_example(regime)


def test_json_of_one_rule(run: Run) -> None:
    tree = json.loads(run("rules", "ceiling", "--regime", "us", "--edition", "2017", "--format", "json").out)
    assert set(tree) == {"schema", "rules", "examples", "findings", "questions", "working", "tool"}
    (rule,) = tree["rules"]
    assert {
        key: rule[key] for key in ("id", "document", "edition", "clause", "known", "severity", "refuses")
    } == {
        "id": "ceiling",
        "document": "NEC",
        "edition": "2017",
        "clause": "450.13(B)",
        "known": "seen",
        "severity": "stop",
        "refuses": True,
    }
    assert rule["statement"].endswith(".") and rule["trips"]["site"] == {"place": "ceiling"}
    assert [each["edition"] for each in rule["editions"]] == ["2017", "2020", "2023"]


def test_a_rule_of_one_edition_is_shown_as_it_last_stood(run: Run) -> None:
    page = run("rules", "source-both-sides").out
    assert "NEC 2017 690.9(D), 705.30(B)" in page and "2020" not in page
    assert run("rules", "source-both-sides", "--edition", "2023").status == 2


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("ceilng",), "Did you mean 'ceiling'?"),
        (("ceiling", "--regime", "us", "--edition", "2026"), "Carried: 2017, 2020, 2023."),
        (("--regime", "uk"), "regime 'uk' is not carried"),
        (("--edition", "1899"), "is not carried"),
    ],
)
def test_what_is_not_carried_is_told(run: Run, words: tuple[str, ...], said: str) -> None:
    ran = run("rules", *words)
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err and ran.err.count("\n") == 1
