"""Thirty-six circuits against stored answers of an independent engine, and a few against the engine itself."""

import importlib.util
import json
import sys
from pathlib import Path
from typing import Any

import pytest

from turnwright.circuit import Network, PowerLoad, Solution
from turnwright.circuit.file_inputs import circuit_inputs, network_of
from turnwright.circuit.layout import lay_out
from turnwright.circuit.solve import solve_layout

HERE = Path(__file__).parent
CASES = {case["id"]: case for case in json.loads((HERE / "data" / "engine_cases.json").read_text())["cases"]}
# wye primary, delta secondary: the engine gives 0.15 microampere in the neutral where symmetry leaves exactly none
TOLERANCE = {"E03": 2e-7, "E04": 5e-6, "E09": 2e-7, "E31": 2e-7, "E23": 2e-8}
USUAL = 1e-8


def network(case: dict[str, Any]) -> Network:
    powers = tuple(
        PowerLoad(p["name"], p["from"], p["to"], p["power_w"], p["reactive_var"])
        for p in case.get("constant_power_loads", ())
    )
    return network_of(circuit_inputs(case["inputs"], "$.inputs"), "$.inputs").with_(loads=powers)


def worst(solution: Solution, outputs: dict[str, dict[str, list[float]]]) -> float:
    """Largest |difference| / max(|value|, 0.001 of the largest of its kind)."""
    found = 0.0
    for key, own in (("node_voltages_to_earth_v", solution.voltages_v), ("currents_a", solution.currents_a)):
        given = {name: complex(*value) for name, value in outputs[key].items()}
        assert given
        top = max(map(abs, given.values()))
        for name, value in given.items():
            ours = own[name]
            if name.endswith(".w2"):
                ours += own.get(name.removesuffix("w2") + "shunt", 0j)
            found = max(found, abs(ours - value) / max(abs(value), 1e-3 * top))
    return found


@pytest.mark.parametrize("name", CASES)
def test_agrees_with_the_stored_answer(name: str) -> None:
    case = CASES[name]
    layout = lay_out(network(case))
    for order, outputs in case["outputs"].items():
        solution = solve_layout(layout, int(order))
        assert worst(solution, outputs) < TOLERANCE.get(name, USUAL)
        assert set(outputs["node_voltages_to_earth_v"]) == set(solution.voltages_v)


@pytest.mark.parametrize("name", ["E02", "E08", "E17", "E25", "E28", "E32", "E36"])
def test_the_engine_still_says_the_same(name: str) -> None:
    pytest.importorskip("dss")
    sys.path.insert(0, str(HERE / "oracles"))
    try:
        spec = importlib.util.spec_from_file_location(
            "make_engine_cases", HERE / "oracles" / "make_engine_cases.py"
        )
        assert spec
        assert spec.loader
        made = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(made)
    finally:
        sys.path.remove(str(HERE / "oracles"))
    (case,) = (case for case in made.build() if case["id"] == name)
    assert json.loads(json.dumps(case["inputs"])) == CASES[name]["inputs"]
    layout = lay_out(network(case))
    for order, outputs in made.outputs(case).items():
        assert worst(solve_layout(layout, int(order)), outputs) < TOLERANCE.get(name, USUAL)
