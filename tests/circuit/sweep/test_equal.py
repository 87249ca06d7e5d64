"""Every variant of a sweep against the plain solution of the same network, in each form."""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from turnwright.circuit import Impedance, Injection, Network, load, solve, supply3
from turnwright.circuit.connections import three_phase, three_winding
from turnwright.circuit.file_inputs import circuit_inputs, network_of
from turnwright.circuit.sweep import sweep
from turnwright.circuit.sweep.varied import changes_of, elements_of, fields_of, variant_of

SAME = 1e-9
FLOOR = 1e-3
"""A current or voltage below this share of the largest is compared with that share."""
VARIANTS = 5
FORMS = ("lanes", "batched")
DATA = Path(__file__).parents[1] / "data"
CASES = {
    case["id"]: case["inputs"]
    for case in json.loads((DATA / "circuit_cases.json").read_text())["cases"]
    if case["kind"] != "transient"
}


def worst(network: Network, varied: dict[str, Any], form: Any, harmonic: int = 1) -> float:
    found = sweep(network, varied, harmonic, form)
    changes, count = changes_of(network, varied)
    currents, largest = found.currents_a(), 0.0
    for k in range(count):
        wanted = solve(variant_of(network, changes, k), harmonic)
        for ours, theirs in (
            ({node: found.voltage_v(node)[k] for node in found.nodes}, wanted.voltages_v),
            ({name: values[k] for name, values in currents.items()}, wanted.currents_a),
        ):
            top = max(map(abs, theirs.values()), default=0.0)
            for name, value in theirs.items():
                largest = max(largest, abs(ours[name] - value) / (max(abs(value), FLOOR * top) or 1.0))
    return largest


def everything_varied(network: Network) -> dict[str, Any]:
    """Every field of every element, each by its own factors."""
    random = np.random.default_rng(7)
    found: dict[str, Any] = {}
    for name, element in elements_of(network).items():
        for field in fields_of(element):
            if "." in field or field == "resistance_pct":
                continue
            base = getattr(element, field)
            if isinstance(base, tuple):
                continue
            if base:
                found[f"{name}.{field}"] = base * random.uniform(0.7, 1.4, VARIANTS)
        if hasattr(element, "windings"):
            for k, winding in enumerate(element.windings, 1):
                found[f"{name}.w{k}.rated_v"] = winding.rated_v * random.uniform(0.95, 1.05, VARIANTS)
                found[f"{name}.w{k}.resistance_pct"] = winding.resistance_pct * random.uniform(
                    0.7, 1.4, VARIANTS
                )
            count = len(element.windings)
            pairs = [(i, j) for i in range(1, count) for j in range(i + 1, count + 1)]
            for (i, j), x in zip(pairs, element.reactance_pct, strict=True):
                found[f"{name}.reactance_pct.{i}-{j}"] = x * random.uniform(0.9, 1.1, VARIANTS)
    return found


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("name", CASES)
def test_reference_circuits_with_everything_varied(name: str, form: str) -> None:
    network = network_of(circuit_inputs(CASES[name], name), name)
    assert worst(network, everything_varied(network), form) < SAME


@pytest.mark.parametrize("form", FORMS)
def test_harmonics_of_the_reference_circuit(form: str) -> None:
    network = network_of(circuit_inputs(CASES["S15"], "S15"), "S15")
    varied = everything_varied(network)
    for order in (3, 7):
        assert worst(network, varied, form, order) < SAME


def dyn1(star: str | None = "0") -> Network:
    unit = three_phase("T", "Dyn1", 45.0, 480.0, 208.0, 2.4, 3.2, no_load_loss_pct=0.5, magnetizing_pct=2.0)
    loads = [load(f"load{k}", f"X{k}", "X0", 10.0 + k, 0.9, 120.0) for k in (1, 2, 3)]
    source = supply3("SUP", ("H1", "H2", "H3"), 480.0, 14e3, 6.0, star=star)
    return Network(60.0, (source,), unit.cores, (*loads,))


@pytest.mark.parametrize("form", FORMS)
def test_a_secondary_that_nothing_ties_to_earth_is_centred_as_in_one_solution(form: str) -> None:
    network = dyn1()
    varied = {
        "load1.r_ohm": [0.5, 1.0, 2.0],
        "T.1.no_load_loss_pct": [0.4, 0.5, 0.9],
        "T.2.kva": [15.0, 20.0, 25.0],
    }
    found = sweep(network, varied, form=form)  # type: ignore[arg-type]
    assert found.layout.floating
    assert worst(network, varied, form) < SAME


@pytest.mark.parametrize("form", FORMS)
def test_a_part_that_hangs_on_earth_by_a_megohm_is_not_left_to_the_quick_form(form: str) -> None:
    # one tie carries no current: its node is at 0 V, and the rest is as if nothing were tied
    network = dyn1().with_(impedances=[Impedance("insulation", "X1", "0", 1e6)])
    found = sweep(network, {"insulation.r_ohm": np.geomspace(1e3, 1e9, 7)}, form=form)  # type: ignore[arg-type]
    assert {4, 5, 6} <= {*found.pivoted.tolist()}
    assert np.abs(found.voltage_v("X1")).max() < 1e-3
    loose = solve(dyn1())
    for node in ("X2", "X3", "X0"):
        assert found.voltage_v("X1", node) == pytest.approx(loose.voltage_v("X1", node), rel=SAME)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("ends", [("X1", "X2"), ("X2", "X1")])
def test_a_current_between_lines_counts_from_either_end(ends: tuple[str, str], form: str) -> None:
    network = dyn1().with_(
        impedances=[Impedance("bond", "X0", "0", 0.1)],
        injections=[Injection("rectifier", *ends, 5, 20.0, 15.0)],
    )
    assert (
        worst(network, {"rectifier.current_a": [10.0, 20.0, 30.0], "bond.r_ohm": [0.1, 0.2, 0.3]}, form, 5)
        < SAME
    )


@pytest.mark.parametrize("form", FORMS)
def test_sources_without_impedance_and_bonds_of_nothing(form: str) -> None:
    ideal = supply3("SUP", ("H1", "H2", "H3"), 480.0, float("inf"), 6.0)
    network = replace(dyn1(), sources=(ideal,)).with_(impedances=[Impedance("bond", "X0", "0", 0.0)])
    varied = {
        "SUP.line_v": [470.0, 480.0, 490.0],
        "SUP.angle_deg": [0.0, 10.0, -20.0],
        "load2.x_ohm": [0.1, 0.4, 0.9],
    }
    assert worst(network, varied, form) < SAME
    assert sweep(network, varied, form=form).form == "batched"  # type: ignore[arg-type]


@pytest.mark.parametrize("form", FORMS)
def test_a_variant_whose_impedance_is_nothing_is_solved_in_full(form: str) -> None:
    network = dyn1().with_(impedances=[Impedance("bond", "X0", "0", 0.1)])
    varied = {"bond.r_ohm": [0.1, 0.0, 1e-9, 5.0]}
    found = sweep(network, varied, form=form)  # type: ignore[arg-type]
    assert found.pivoted.tolist() == [1, 2] and not len(found.alone)
    assert worst(network, varied, form) < SAME


def test_three_windings_are_solved_in_full_too() -> None:
    unit = three_winding("T", "Dyn1d0", 45.0, (480.0, 208.0, 240.0), (1.0, 1.0, 1.0), (3.0, 4.0, 2.0))
    loads = [load(f"load{k}", f"X{k}", "X0", 10.0 + k, 0.9, 120.0) for k in (1, 2, 3)]
    bonds = [Impedance("bond", "X0", "0", 0.1), Impedance("corner", "Y1", "0", 0.05)]
    delta = [Impedance("motor", "Y1", "Y2", 5.0, 3.0)]
    source = supply3("SUP", ("H1", "H2", "H3"), 480.0, 14e3, 6.0)
    network = Network(60.0, (source,), unit.cores, (*loads, *bonds, *delta))
    varied = {
        "bond.r_ohm": [0.1, 0.0],
        "T.1.reactance_pct.2-3": [2.0, 2.5],
        "T.2.reactance_pct.1-3": [4.0, 5.0],
        "T.3.w3.resistance_pct": [1.0, 1.4],
    }
    assert sweep(network, varied, form="batched").pivoted.tolist() == [1]
    assert worst(network, varied, "batched") < SAME


def test_a_variant_that_elimination_without_pivots_cannot_solve_is_solved_with_them() -> None:
    # the two reactances at node M cancel at 2 ohm: no admittance is left there to divide by
    network = Network(
        60.0,
        (supply3("SUP", ("A", "B", "C"), 480.0, 14e3, 6.0),),
        (),
        (
            Impedance("coil", "A", "M", 0.0, 2.0),
            Impedance("capacitor", "M", "0", 0.0, 0.0, "load", 2.0),
            Impedance("heater", "A", "0", 10.0),
        ),
    )
    varied = {"coil.x_ohm": [1.0, 2.0, 3.0]}
    found = sweep(network, varied, form="lanes")
    assert found.pivoted.tolist() == [1] and not len(found.alone)
    assert worst(network, varied, "lanes") < SAME


def test_windings_of_several_and_currents_drawn() -> None:
    unit = three_winding("T", "Dyn1d0", 45.0, (480.0, 208.0, 240.0), (1.0, 1.0, 1.0), (3.0, 4.0, 2.0))
    network = Network(
        60.0,
        (supply3("SUP", ("H1", "H2", "H3"), 480.0, 14e3, 6.0),),
        unit.cores,
        (
            Impedance("bond", "X0", "0", 0.05),
            Impedance("corner", "Y1", "0", 0.05),
            Impedance("lamp", "X2", "X0", 9.0),
        ),
        (Injection("draw", "X1", "X0", 5, 20.0, 30.0),),
    )
    varied = {
        "T.1.reactance_pct.2-3": [2.0, 2.5], "draw.current_a": [20.0, 35.0], "draw.angle_deg": [30.0, -30.0],
        "T.3.w3.resistance_pct": [0.8, 1.4], "T.2.reactance_pct": [3.0, 5.0],
    }  # fmt: skip
    for form in FORMS:
        for order in (1, 5):
            assert worst(network, varied, form, order) < SAME


def test_a_variant_that_leaves_a_current_open_is_solved_on_its_own() -> None:
    bonds = [Impedance("bond1", "X0", "0", 0.1), Impedance("bond2", "X0", "0", 0.1)]
    varied = {"bond1.r_ohm": [0.1, 0.0, 0.2], "bond2.r_ohm": [0.1, 0.0, 0.0]}
    network = dyn1().with_(impedances=bonds)
    found = sweep(network, varied, form="batched")
    assert (found.pivoted.tolist(), found.alone.tolist()) == ([1, 2], [1])
    assert worst(network, varied, "batched") < SAME
