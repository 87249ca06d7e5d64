"""The sixteen reference circuits, solved from their file by the measure that comes with them."""

import json
from pathlib import Path

import pytest

from turnwright.circuit import Network
from turnwright.circuit.connections import open_delta, single_phase, three_phase, three_winding
from turnwright.circuit.file_inputs import circuit_inputs, network_of
from turnwright.circuit.layout import lay_out
from turnwright.circuit.network_file import examine_network
from turnwright.circuit.solve import solve_layout

TEXT = (Path(__file__).parent / "data" / "circuit_cases.json").read_text()
CASES = {case["id"]: case for case in json.loads(TEXT)["cases"]}
PHASORS = [name for name in CASES if name != "S16"]


def network(name: str) -> Network:
    return network_of(circuit_inputs(CASES[name]["inputs"], "$.inputs"), "$.inputs")


@pytest.fixture(scope="module")
def answers() -> dict[str, dict]:
    return {case["id"]: case for case in examine_network(TEXT, "circuit_cases.json")["cases"]}


@pytest.mark.parametrize("name", PHASORS)
def test_phasors_agree(answers: dict[str, dict], name: str) -> None:
    assert answers[name]["worst_relative_error"] < 1e-6
    assert answers[name]["residual"] < 1e-12
    assert answers[name]["undetermined"] == []


def test_inrush_agrees(answers: dict[str, dict]) -> None:
    assert answers["S16"]["worst_relative_error"] < 1e-5
    wanted = CASES["S16"]["outputs"]["peak_each_cycle"]
    for peak, given in zip(answers["S16"]["outputs"]["peak_each_cycle"], wanted, strict=True):
        assert peak["t_s"] == pytest.approx(given["t_s"], abs=2e-8)


def same_shape(ours: object, theirs: object) -> None:
    if isinstance(theirs, dict):
        assert isinstance(ours, dict)
        assert set(ours) == set(theirs)
        for key in theirs:
            same_shape(ours[key], theirs[key])
    elif isinstance(theirs, list):
        assert isinstance(ours, list)
        for one, other in zip(ours, theirs, strict=True):
            same_shape(one, other)
    else:
        assert isinstance(ours, float)


@pytest.mark.parametrize("name", CASES)
def test_answers_have_the_names_and_structure_of_the_file(answers: dict[str, dict], name: str) -> None:
    same_shape(answers[name]["outputs"], CASES[name]["outputs"])


@pytest.mark.parametrize("name", [n for n in PHASORS if n != "S15"])
def test_powers_agree(answers: dict[str, dict], name: str) -> None:
    ours, theirs = (case["outputs"]["power"] for case in (answers[name], CASES[name]))
    scale = theirs["source_terminals_va"]["mag"]
    for part in ("re", "im", "mag"):
        assert ours["source_terminals_va"][part] == pytest.approx(
            theirs["source_terminals_va"][part], abs=1e-7 * scale
        )
        for core, value in theirs["transformer_absorbs_va"].items():
            assert ours["transformer_absorbs_va"][core][part] == pytest.approx(value[part], abs=1e-7 * scale)


def test_harmonic_sums_agree(answers: dict[str, dict]) -> None:
    ours, theirs = (case["outputs"] for case in (answers["S15"], CASES["S15"]))
    for key in ("voltage_thd_percent", "winding_rms_a", "winding_k_factor", "source_line_rms_a"):
        assert ours[key] == pytest.approx(theirs[key], rel=1e-6)


def test_every_phasor_angle_agrees(answers: dict[str, dict]) -> None:
    for name in PHASORS[:-1]:
        for key in ("node_voltages_to_earth_v", "currents_a"):
            for item, given in CASES[name]["outputs"][key].items():
                if given["mag"] > 1e-3:
                    ours = answers[name]["outputs"][key][item]
                    assert (ours["deg"] - given["deg"] + 180) % 360 - 180 == pytest.approx(0, abs=2e-3)


@pytest.mark.parametrize("name", PHASORS)
def test_the_full_formulation_gives_the_same(name: str) -> None:
    layout = lay_out(network(name))
    quick, full = solve_layout(layout), solve_layout(layout, form="full")
    assert quick.formulation == "reduced"
    for ours, theirs in ((quick.voltages_v, full.voltages_v), (quick.currents_a, full.currents_a)):
        largest = max(map(abs, theirs.values()))
        for item, value in theirs.items():
            assert abs(ours[item] - value) <= 1e-9 * max(abs(value), 1e-3 * largest)


def test_named_connections_are_the_cores_of_the_reference() -> None:
    h, x = ("H1", "H2", "H3"), ("X1", "X2", "X3")
    built = {
        "S01": three_phase("T1", "Dyn1", 45.0, 480.0, 208.0, 2.4, 3.2),
        "S02": three_phase("T1", "Dyn11", 63.0, 400.0, 400.0, 2.0, 4.0, secondary_neutral="0"),
        "S03": three_phase(
            "T1",
            "YNyn0",
            30.0,
            480.0,
            208.0,
            2.8,
            2.6,
            primary_neutral="0",
            no_load_loss_pct=0.6,
            magnetizing_pct=2.0,
        ),
        "S05": open_delta("T1", 25.0, 480.0, 240.0, 1.8, 2.4, primary=h, secondary=x),
        "S11": three_winding(
            "T1",
            "Dyn1d0",
            75.0,
            (480.0, 208.0, 208.0),
            (0.9, 1.1, 1.3),
            (4.0, 4.4, 6.5),
            secondary=("Y1", "Y2", "Y3"),
            tertiary=("D1", "D2", "D3"),
            neutrals=("H0", "Y0", "D0"),
        ),
        "S12": three_phase("T1", "Dyn1", 75.0, 480.0, 208.0, 3.0, 4.0, secondary_neutral="0"),
    }
    for name, connection in built.items():
        for ours, theirs in zip(connection.cores, network(name).cores, strict=True):
            assert ours.name == theirs.name
            assert ours.kva == pytest.approx(theirs.kva)
            assert ours.reactance_pct == pytest.approx(theirs.reactance_pct)
            assert (ours.no_load_loss_pct, ours.magnetizing_pct) == (
                theirs.no_load_loss_pct,
                theirs.magnetizing_pct,
            )
            for one, other in zip(ours.windings, theirs.windings, strict=True):
                assert (one.dot, one.other) == (other.dot, other.other)
                assert one.rated_v == pytest.approx(other.rated_v)
                assert one.resistance_pct == pytest.approx(other.resistance_pct)


def test_a_single_case_by_itself_needs_only_id_and_inputs() -> None:
    for name in ("S03", "S15", "S16"):
        case = {"id": name, "inputs": CASES[name]["inputs"]}
        (answer,) = examine_network(json.dumps(case), "one.json")["cases"]
        assert answer["worst_relative_error"] is None
        same_shape(answer["outputs"], CASES[name]["outputs"])


def test_single_phase_unit_between_two_lines() -> None:
    unit = single_phase("T1", 10.0, 480.0, 120.0, 2.0, 3.0, primary=("H2", "H3"))
    assert [(p.side, p.dot, p.other) for p in unit.places] == [
        ("primary", "H2", "H3"),
        ("secondary", "X1", "X2"),
    ]
