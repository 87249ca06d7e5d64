"""Three editions in one process: where the rules differ, and that one does not leak into another."""

from collections.abc import Callable
from typing import Any

import pytest

from turnwright.regimes.rule import in_edition
from turnwright.regimes.us import EDITIONS, regime
from turnwright.regimes.us.rules import RULES

SOLAR: dict[str, Any] = {
    "supply": {"system": "208Y/120"},
    "load": [
        {"name": "solar", "system": "480Y/277", "kva": "20 kVA", "kind": "inverter", "feeds_back": True}
    ],
}
CHARGERS: dict[str, Any] = {
    "load": [{"name": "chargers", "system": "208 1ph", "kva": "6 kVA", "quantity": 2, "kind": "charger"}]
}
ALUMINUM: dict[str, Any] = {"circuit": {"conductor": "aluminum"}}


def codes(answer: Callable[..., Any], patch: dict[str, Any], edition: str) -> set[str]:
    return {finding.code for finding in answer({**patch, "edition": edition}).findings}


def by_edition(answer: Callable[..., Any], patch: dict[str, Any], *names: str) -> dict[str, set[str]]:
    """Return which of the rules speak in each edition, asked newest first and again oldest first."""
    back = {each: codes(answer, patch, each) & set(names) for each in reversed(EDITIONS)}
    forth = {each: codes(answer, patch, each) & set(names) for each in EDITIONS}
    assert forth == back
    return forth


def test_marking_the_fault_current_on_panels_came_with_2020(answer: Callable[..., Any]) -> None:
    """408.6 was new in 2020 (a training provider's page on the changes of 2020); 110.24 is for the service alone."""
    assert by_edition(answer, {}, "panel-fault-mark") == {
        "2017": set(), "2020": {"panel-fault-mark"}, "2023": {"panel-fault-mark"},
    }  # fmt: skip


def test_a_transformer_between_two_sources(answer: Callable[..., Any]) -> None:
    """2017, 690.9(D) and 705.30(B): each side in turn; later, 705.30(F): the side with the larger fault current."""
    assert by_edition(answer, SOLAR, "source-both-sides", "source-primary-side") == {
        "2017": {"source-both-sides"}, "2020": {"source-primary-side"}, "2023": {"source-primary-side"},
    }  # fmt: skip


def test_the_least_load_of_a_charger_came_with_2023(answer: Callable[..., Any]) -> None:
    """220.57 did not exist in 2020 (a training provider's page on 2023)."""
    assert by_edition(answer, CHARGERS, "charger-least-load") == {
        "2017": set(), "2020": set(), "2023": {"charger-least-load"},
    }  # fmt: skip


def test_torque_tool_became_approved_means(answer: Callable[..., Any]) -> None:
    """110.14(D): a calibrated torque tool in 2017, an approved means in 2020 (a training provider's page)."""
    assert by_edition(answer, ALUMINUM, "torque-tool", "torque-means") == {
        "2017": {"torque-tool"}, "2020": {"torque-means"}, "2023": {"torque-means"},
    }  # fmt: skip


def test_the_mark_against_storage_on_top_came_with_2020(answer: Callable[..., Any]) -> None:
    assert by_edition(answer, {}, "top-surface") == {
        "2017": set(), "2020": {"top-surface"}, "2023": {"top-surface"},
    }  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "clauses"),
    [
        # where the same rule moved: the bus rule by a solar design firm's page on three editions
        ("interactive-bus", ["705.12(B)(2)(3)(b)", "705.12(B)(3)(2)", "705.12(B)(2)"]),
        ("neutral-counts", ["310.15(B)(5)(c)", "310.15(E)(3)", "310.15(E)(3)"]),
        ("rooftop-raceway", ["310.15(B)(3)(c)", "310.15(B)(2)", "310.15(B)(2)"]),
    ],
)
def test_a_clause_that_moved_is_cited_where_it_stands(rule: str, clauses: list[str]) -> None:
    cited = []
    for edition in EDITIONS:
        rows = {one.id: row for one, row in in_edition(RULES, regime(edition).rule_table)}
        assert rows[rule].source.edition == edition
        cited.append(rows[rule].source.clause)
    assert cited == clauses


def test_findings_carry_the_edition_of_the_job(answer: Callable[..., Any]) -> None:
    for edition in EDITIONS:
        cited = [finding.clause for finding in answer({"edition": edition}).findings if finding.clause]
        assert {clause.split()[1] for clause in cited if clause.startswith("NEC 20")} == {edition}


def test_what_was_read_of_one_edition_only_says_so_in_the_others(found: Callable[..., list[Any]]) -> None:
    """450.14 was read in a transcription of 2017; in later editions it is from memory."""
    known = {edition: found("disconnect", {"edition": edition})[0].known for edition in EDITIONS}
    assert known == {"2017": "seen", "2020": "memory", "2023": "memory"}
