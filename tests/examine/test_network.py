"""Circuits in JSON through the command: answers, and files that cannot be solved."""

import json
import subprocess
import sys
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from turnwright.cli.text.layout import columns_of
from turnwright.examine import examine_circuits

CASES = Path(__file__).parents[1] / "circuit" / "data" / "circuit_cases.json"
SOURCE = {"name": "S", "phases": 1, "nodes": ["a"], "voltage_v": 120, "z1_ohm": [0, 0]}
LOAD = {"name": "z", "from": "a", "to": "0", "r_ohm": 12, "x_ohm": 0}
Run = Callable[..., Any]


def circuit(**inputs: Any) -> str:
    usual = {"frequency_hz": 60, "sources": [SOURCE], "impedances": [LOAD]}
    return json.dumps({"id": "C1", "inputs": {**usual, **inputs}})


def test_the_reference_circuits_come_out_as_their_answers_say(run: Run) -> None:
    ran = run("examine", "network", str(CASES), "--format", "json")
    tree = json.loads(ran.out)
    assert (ran.status, ran.err, tree["question"]) == (0, "", "network")
    given = json.loads(CASES.read_text(encoding="utf-8"))["cases"]
    assert [case["id"] for case in tree["cases"]] == [case["id"] for case in given]
    assert all(case["worst_relative_error"] < 1e-6 for case in tree["cases"])
    for mine, theirs in zip(tree["cases"], given, strict=True):
        missing = set(theirs["outputs"]) - set(mine["outputs"])
        assert {key for key in missing if isinstance(theirs["outputs"][key], dict)} <= {"power", "extra"}


def test_the_page_of_the_reference_circuits(run: Run) -> None:
    ran = run("examine", "network", str(CASES))
    assert ran.status == 0 and "16 circuits solved." in ran.out
    assert all(columns_of(line) <= 80 and line == line.rstrip() for line in ran.out.splitlines())
    for case in json.loads(CASES.read_text(encoding="utf-8"))["cases"]:
        assert f"  {case['id']}, worst relative difference" in ran.out


def test_one_case_from_standard_input(run: Run) -> None:
    ran = run("examine", "network", "-", "--format", "json", stdin=circuit().encode())
    (case,) = json.loads(ran.out)["cases"]
    assert case["outputs"]["currents_a"]["z"]["mag"] == pytest.approx(10.0)
    assert case["worst_relative_error"] is None


def test_a_floating_part_is_told() -> None:
    units = [
        {
            "name": "T",
            "kva_base": 1,
            "percent_x": {"1-2": 3.0},
            "windings": [
                {"rated_v": 120, "dot": "a", "other": "0", "percent_r": 1},
                {"rated_v": 24, "dot": "p", "other": "q", "percent_r": 1},
            ],
        }
    ]
    loads = [LOAD, {"name": "lamp", "from": "p", "to": "q", "r_ohm": 24, "x_ohm": 0}]
    study = examine_circuits(circuit(transformer_units=units, impedances=loads), "c.json")
    (finding,) = study.findings
    assert finding.code == "left-open" and "p" in finding.message and "q" in finding.message


def test_answers_that_differ_are_told() -> None:
    text = json.loads(circuit())
    text["outputs"] = {"currents_a": {"z": {"re": 9.0, "im": 0.0}}}
    study = examine_circuits(json.dumps(text), "c.json")
    assert [finding.code for finding in study.findings] == ["differs"]


def line_of(count: int) -> list[dict[str, Any]]:
    """A line of so many nodes behind the source."""
    names = ["a", *(f"n{k}" for k in range(count))]
    return [
        {"name": f"z{k}", "from": start, "to": end, "r_ohm": 0.1, "x_ohm": 0.1}
        for k, (start, end) in enumerate(pairwise(names))
    ]


HOSTILE = {
    "open": (circuit(impedances=[LOAD, {**LOAD, "name": "loose", "from": "p", "to": "q"}]), "loose", "p"),
    "short": (circuit(impedances=[{**LOAD, "name": "bolt", "r_ohm": 0}]), "bolt", "a"),
    "contradiction": (circuit(sources=[SOURCE, {**SOURCE, "name": "S2", "voltage_v": 121}]), "S2", "a"),
    "disconnected": (
        circuit(impedances=[LOAD, {**LOAD, "name": "island", "from": "x", "to": "y"}]),
        "island",
        "x",
    ),
    "not a number": (circuit(impedances=[{**LOAD, "r_ohm": float("nan")}]), "NaN", "number"),
    "infinite": (circuit(impedances=[{**LOAD, "r_ohm": float("inf")}]), "Infinity", "number"),
    "too large a number": (circuit().replace("12", "1e999"), "z", ""),
    "negative": (circuit(impedances=[{**LOAD, "r_ohm": -1}]), "z", ""),
    "same name": (circuit(impedances=[LOAD, LOAD]), "z", "twice"),
    "one node twice": (circuit(impedances=[{**LOAD, "to": "a"}]), "z", "a"),
    "unknown key": (circuit(impedances=[{**LOAD, "ohm": 1}]), "ohm", ""),
    "text for a number": (circuit(frequency_hz="sixty"), "frequency_hz", ""),
    "no inputs": ('{"id": "C1"}', "inputs", ""),
    "no case": ("[1, 2]", "object", ""),
    "not json": ('{"id": ', "line 1", "JSON"),
    "deep": ("[" * 100000, "JSON", ""),
    "twice a key": ('{"id": "C1", "id": "C2"}', "id", "twice"),
    "ten thousand nodes": (circuit(impedances=[LOAD, *line_of(10_000)]), "nodes", "C1"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_circuit_that_cannot_be_solved_is_told_by_name(run: Run, tmp_path: Path, name: str) -> None:
    text, *named = HOSTILE[name]
    path = tmp_path / "circuit.json"
    path.write_text(text, encoding="utf-8")
    ran = run("examine", "network", str(path), "--format", "json")
    assert (ran.status, ran.out) == (2, ""), ran.err
    assert ran.err.count("\n") == 1 and "Traceback" not in ran.err
    assert all(word in ran.err for word in named), ran.err
    assert "circuit.json" in ran.err


@pytest.mark.parametrize("name", ["ten thousand nodes", "deep"])
def test_the_command_gives_up_in_time(tmp_path: Path, name: str) -> None:
    path = tmp_path / "circuit.json"
    path.write_text(HOSTILE[name][0], encoding="utf-8")
    command = [sys.executable, "-m", "turnwright", "examine", "network", str(path)]
    done = subprocess.run(command, capture_output=True, text=True, encoding="utf-8", check=False, timeout=20)
    assert done.returncode == 2 and done.stdout == ""


@pytest.mark.parametrize("word", ["gone.json", ".", ""])
def test_a_file_that_cannot_be_read(run: Run, word: str) -> None:
    ran = run("examine", "network", word)
    assert (ran.status, ran.out) == (2, "") and ran.err.count("\n") == 1
