"""The example jobs from file to page and JSON, through everything."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from turnwright.cli.outcome import STATUS_OF_VERDICT
from turnwright.cli.text.layout import WIDTH, columns_of
from turnwright.documents.explanation import every_step, explain, paths_of, steps_of
from turnwright.model.as_json import BLOCKS

Run = Callable[..., Any]
EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
BLOCK_NAMES = ("pick", *BLOCKS)


def test_there_are_examples() -> None:
    assert EXAMPLES


@pytest.fixture(params=EXAMPLES, ids=lambda path: path.stem)
def example(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    path: Path = request.param
    monkeypatch.chdir(path.parent)
    return path.name


def result_of(run: Run, example: str) -> dict[str, Any]:
    ran = run("select", example, "--format", "json")
    tree: dict[str, Any] = json.loads(ran.out)
    assert ran.err == "" and ran.status == STATUS_OF_VERDICT[tree["verdict"]]
    return tree


@pytest.mark.parametrize("more", [(), ("--all",)])
def test_the_page_fits_and_its_status_is_that_of_the_verdict(
    run: Run, example: str, more: tuple[str, ...]
) -> None:
    ran = run("select", example, *more)
    assert ran.err == "" and ran.status == STATUS_OF_VERDICT[result_of(run, example)["verdict"]]
    assert all(columns_of(line) <= WIDTH and line == line.rstrip() for line in ran.out.splitlines())


def test_a_pick_goes_with_the_verdict(run: Run, example: str) -> None:
    tree = result_of(run, example)
    assert (tree["pick"] is not None) == (tree["verdict"] == "selected")
    if tree["verdict"] == "refused":
        assert any(finding["severity"] == "stop" for finding in tree["findings"])


def test_every_input_of_every_step_leads_to_a_step(run: Run, example: str) -> None:
    working = result_of(run, example)["working"]
    names = {line["name"] for line in working}
    assert {origin for line in working for origin in line["from"].values()} <= names


def test_every_value_of_the_answer_can_be_explained(run: Run, example: str) -> None:
    tree = result_of(run, example)
    steps = steps_of(tree)
    for path, value in paths_of({name: tree[name] for name in BLOCK_NAMES}):
        if value is not None:
            opened = explain(path, steps)
            assert all(step["name"] in steps for step in every_step(opened))


def test_the_explanation_that_the_page_names_works(run: Run, example: str) -> None:
    lines = [
        line
        for line in run("select", example).out.splitlines()
        if line.startswith("  why: turnwright explain ")
    ]
    for line in lines:
        name = line.split()[-1].strip("'")
        ran = run("explain", example, name)
        assert ran.status == 0 and ran.out.splitlines()[2].startswith(f"  {name} = ")


@pytest.mark.parametrize("form", ["text", "json"])
def test_same_input_same_bytes_in_every_process(example: str, form: str) -> None:
    command = [sys.executable, "-m", "turnwright", "select", example, "--format", form]
    outputs = {
        subprocess.run(
            command, capture_output=True, check=False, env=os.environ | {"PYTHONHASHSEED": seed}
        ).stdout
        for seed in ("1", "2")
    }
    assert len(outputs) == 1 and outputs.pop()
