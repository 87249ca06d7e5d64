"""`explain`: from a number down to facts and table cells, whatever the working looks like."""

import json
from collections.abc import Callable
from types import ModuleType
from typing import Any

import pytest

from turnwright.cli.text.explain import explain_page
from turnwright.cli.text.layout import WIDTH, columns_of
from turnwright.documents.explanation import MOST_STEPS, every_step, explain, find, paths_of, steps_of
from turnwright.documents.words.substitution import substitution
from turnwright.errors import UnknownKey


def line(name: str, **from_: str) -> dict[str, Any]:
    inputs = dict.fromkeys(from_, 1.0)
    return {
        "name": name, "formula": "x", "with": inputs, "from": from_, "value": 1.0, "unit": "A", "source": "",
        "known": "computed",
    }  # fmt: skip


@pytest.fixture
def steps(samples: ModuleType) -> dict[str, dict[str, Any]]:
    return steps_of(samples.SELECTED.to_json())


@pytest.mark.parametrize(
    ("asked", "name"),
    [
        ("currents.primary_rated_a", "currents.primary_rated_a"),
        ("primary_rated_a", "currents.primary_rated_a"),
        (" Currents.Primary_Rated_A ", "currents.primary_rated_a"),
        ("result.pick.kva", "pick.kva"),
        ("$.pick.kva", "pick.kva"),
        ("load[ 0 ].current", "load[0].current"),
        ("pick.enclosure", "pick.enclosure"),
        ("supply.frequency", "supply.frequency"),
    ],
)
def test_names_are_found_as_people_type_them(steps: dict[str, Any], asked: str, name: str) -> None:
    assert find(asked, steps) == name


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ("currents.primary_rated", r"Did you mean currents\.primary_rated_a"),
        ("loading_pct", None),
        ("wibble", r"is no number of this answer\. 'turnwright explain JOB' lists every name"),
        ("", "is no number"),
        ("kva", r"could be one of several numbers\. Say which: .*demand\.kva"),
    ],
)
def test_an_unknown_name_is_told_with_its_neighbours(
    steps: dict[str, Any], asked: str, words: str | None
) -> None:
    if words is None:
        assert find(asked, steps) == "demand.loading_pct"
        return
    with pytest.raises(UnknownKey, match=words):
        find(asked, steps)


def test_a_step_opens_down_to_facts_and_cells(steps: dict[str, Any]) -> None:
    tree = explain("currents.primary_rated_a", steps)
    assert tree["substitution"] == "300 * 1000 / (√3 * 480)"
    pick, system = tree["steps"]
    assert system["source"] == 'job.toml, line 4: "480Y/277"' and system["known"] == "given"
    assert [inner["name"] for inner in pick["steps"]] == ["demand.kva", "standard_kva[3, 300].kva"]
    leaves = [step for step in every_step(tree) if not step["steps"]]
    assert {step["known"] for step in leaves} == {"given", "memory"}


def test_every_value_of_the_answer_has_a_step(samples: ModuleType, steps: dict[str, Any]) -> None:
    tree = samples.SELECTED.to_json()
    blocks = {key: tree[key] for key in ("pick", "demand", "currents", "fault", "conductors")}
    paths = {path for path, value in paths_of(blocks) if value is not None}
    assert paths <= set(steps)


def test_a_step_inside_itself_ends() -> None:
    steps = {"a": line("a", x="b"), "b": line("b", y="a")}
    tree = explain("a", steps)
    assert [step["name"] for step in every_step(tree)] == ["a", "b"]


def test_a_deep_and_a_wide_working_end() -> None:
    deep = {f"n{i}": line(f"n{i}", x=f"n{i + 1}") for i in range(5000)}
    assert len(list(every_step(explain("n0", deep)))) < 100
    wide = {f"n{i}": line(f"n{i}", **{f"x{k}": f"n{i + k}" for k in (1, 2, 3)}) for i in range(60)}
    assert len(list(every_step(explain("n0", wide)))) < 4 * MOST_STEPS


def test_an_input_that_names_no_step_is_shown_with_its_name() -> None:
    page = explain_page(explain("a", {"a": line("a", x="gone")}), "title", "NEC 2023")
    assert "x = 1 (gone)" in page


@pytest.mark.parametrize("name", ["currents.primary_rated_a", "pick.kva", "demand.kva_required"])
def test_the_page_fits(steps: dict[str, Any], name: str) -> None:
    page = explain_page(explain(name, steps), "Tile works", "NEC 2023")
    assert all(columns_of(text) <= WIDTH and text == text.rstrip() for text in page.splitlines())


def test_a_repeated_step_is_written_out_once() -> None:
    steps = {"a": line("a", x="b", y="c"), "b": line("b", z="c"), "c": line("c", w="d"), "d": line("d")}
    page = explain_page(explain("a", steps), "title", "")
    assert page.count("c = 1 A") == 2 and page.count("d = 1 A") == 1 and "see above" in page


@pytest.mark.parametrize(
    ("formula", "inputs", "words"),
    [
        ("a + b", {"a": 1.0, "b": 2.5}, "1 + 2.5"),
        ("a + ab", {"a": 1.0, "ab": 2.0}, "1 + 2"),
        ("a + c", {"a": 1.0, "b": 2.0}, ""),
        ("", {}, ""),
        ("a · b", {"a": 1.0, "b": "wye"}, "1 · b"),
    ],
)
def test_numbers_in_place_of_names(formula: str, inputs: dict[str, Any], words: str) -> None:
    assert substitution(formula, inputs) == words


def test_json_of_the_command(
    run: Callable[..., Any], answers: Callable[[object], None], job_file: str, samples: ModuleType
) -> None:
    answers(samples.SELECTED)
    ran = run("explain", job_file, "currents.primary_rated_a", "--format", "json")
    tree = json.loads(ran.out)
    assert ran.status == 0 and ran.err == ""
    assert set(tree) >= {
        "schema", "name", "value", "measure", "formula", "with", "source", "known", "steps", "findings",
        "questions", "working", "tool",
    }  # fmt: skip
    assert (tree["measure"], tree["value"]) == ("A", 360.8439182435161)
    assert [one["name"] for one in tree["working"]][:2] == ["currents.primary_rated_a", "pick.kva"]


def test_an_unknown_name_is_bad_input(
    run: Callable[..., Any], answers: Callable[[object], None], job_file: str, samples: ModuleType
) -> None:
    answers(samples.SELECTED)
    ran = run("explain", job_file, "currents.primary_rate")
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.count("\n") == 1 and "currents.primary_rated_a" in ran.err


def test_without_a_name_all_names_are_listed(
    run: Callable[..., Any], answers: Callable[[object], None], job_file: str, samples: ModuleType
) -> None:
    answers(samples.SELECTED)
    text, tree = run("explain", job_file).out, json.loads(run("explain", job_file, "--format", "json").out)
    assert "currents.primary_rated_a" in text and "360.844 A" in text
    assert {"name": "pick.kva", "value": 300.0, "measure": "kVA"} in tree["names"]
