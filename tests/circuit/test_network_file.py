"""Circuit files: what is read, what is refused and where, what is compared."""

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from turnwright.circuit.file_answers import number
from turnwright.circuit.network_file import examine_network
from turnwright.errors import InputError, UnknownKey

FILE = json.loads((Path(__file__).parent / "data" / "circuit_cases.json").read_text())
CASES = {case["id"]: case for case in FILE["cases"]}
Case = dict[str, Any]
Change = Callable[[Case], object]


def examine(case: Any) -> Case:
    (answer,) = examine_network(json.dumps(case), "yard.json")["cases"]
    return answer


def changed(name: str, change: Change) -> Case:
    case = copy.deepcopy(CASES[name])
    change(case)
    return case


def refused(text: str) -> InputError:
    with pytest.raises(InputError) as caught:
        examine_network(text, "yard.json")
    error = caught.value
    assert error.where.startswith("yard.json")
    return error


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        "3",
        "null",
        '{"id": NaN}',
        '{"id": Infinity}',
        '{"id": "a", "id": "b"}',
        "{" * 50,
        "[" * 200_000,
        '{"a":' * 200_000,
        '{"id": "\\ud800", "inputs": {}}',
        "{}",
        '{"id": 3, "inputs": {}}',
        '{"id": "a"}',
        '{"id": "a", "inputs": []}',
        '{"cases": 3}',
        '{"cases": [3]}',
        '{"cases": {"id": "a"}}',
        '{"id": "a", "inputs": {}, "outputs": []}',
        '{"id": "a", "inputs": {"frequency_hz": 1' + "0" * 5000 + "}}",
    ],
)
def test_what_is_no_circuit_file_is_refused(text: str) -> None:
    assert refused(text).code == "CIR-10"


def first_winding(case: Case) -> dict[str, Any]:
    winding: dict[str, Any] = case["inputs"]["transformer_units"][1]["windings"][0]
    return winding


@pytest.mark.parametrize(
    ("change", "code", "place"),
    [
        (
            lambda c: first_winding(c).update(rated_v="480"),
            "CIR-10",
            "transformer_units[1].windings[0].rated_v",
        ),
        (
            lambda c: first_winding(c).update(rated_v=True),
            "CIR-10",
            "transformer_units[1].windings[0].rated_v",
        ),
        (
            lambda c: first_winding(c).update(rated_v=None),
            "CIR-10",
            "transformer_units[1].windings[0].rated_v",
        ),
        (
            lambda c: first_winding(c).update(rated_v=10**400),
            "CIR-10",
            "transformer_units[1].windings[0].rated_v",
        ),
        (lambda c: first_winding(c).update(rated_v=-480), "CIR-01", "T1.2.w1"),
        (lambda c: first_winding(c).pop("dot"), "CIR-10", "transformer_units[1].windings[0]"),
        (lambda c: c["inputs"]["transformer_units"][0].update(percent_x={}), "CIR-10", "percent_x"),
        (lambda c: c["inputs"]["transformer_units"][0].update(percent_x={"2-1": 3.0}), "CIR-10", "percent_x"),
        (lambda c: c["inputs"]["transformer_units"][0].update(kva_base=0), "CIR-01", "T1.1"),
        (
            lambda c: c["inputs"]["transformer_units"][0].update(shunt_position="in the air"),
            "CIR-10",
            "shunt_position",
        ),
        (lambda c: c["inputs"]["sources"][0].update(phases=2), "CIR-10", "sources[0].phases"),
        (lambda c: c["inputs"]["sources"][0].pop("phases"), "CIR-10", "sources[0]"),
        (lambda c: c["inputs"]["sources"][0].update(nodes=["a", "b"]), "CIR-10", "sources[0].nodes"),
        (lambda c: c["inputs"]["sources"][0].update(connection="delta"), "CIR-10", "sources[0].connection"),
        (lambda c: c["inputs"]["sources"][0].update(short_circuit_ka_3ph=1), "CIR-10", "sources[0]"),
        (lambda c: c["inputs"]["sources"][0].update(z0_over_z1=9), "CIR-10", "sources[0]"),
        (lambda c: c["inputs"]["sources"][0].update(z1_ohm=[1.0]), "CIR-10", "sources[0].z1_ohm"),
        (lambda c: c["inputs"].pop("sources"), "CIR-10", "inputs"),
        (lambda c: c["inputs"].update(sources=[]), "CIR-04", "network"),
        (lambda c: c["inputs"].pop("transformer_units"), "CIR-10", "transformer_units"),
        (lambda c: c["inputs"]["impedances"][1].update(name="bond"), "CIR-02", "bond"),
        (lambda c: c["inputs"]["impedances"][1].update(to="X1"), "CIR-03", "fdr_1"),
        (lambda c: c["inputs"]["impedances"][-1].update(to="ln"), "CIR-08", "network"),
        (lambda c: c["inputs"].update(harmonics=[0]), "CIR-01", "network"),
        (lambda c: c["inputs"].update(harmonics=["3"]), "CIR-10", "harmonics[0]"),
        (
            lambda c: c["outputs"]["currents_a"].update(T9={"re": 1, "im": 1}),
            "CIR-12",
            "outputs.currents_a.T9",
        ),
        (
            lambda c: c["outputs"]["currents_a"].update(bond={"re": "1", "im": 1}),
            "CIR-12",
            "currents_a.bond.re",
        ),
        (lambda c: c["outputs"]["currents_a"].update(bond={"re": 1}), "CIR-12", "currents_a.bond.im"),
        (lambda c: c["outputs"]["currents_a"].update(bond=3), "CIR-12", "currents_a.bond"),
        (lambda c: c["outputs"].update(currents_a=3), "CIR-12", "currents_a"),
    ],
)
def test_a_broken_case_is_refused_at_its_place(change: Change, code: str, place: str) -> None:
    error = refused(json.dumps(changed("S01", change)))
    assert error.code == code
    assert "case S01" in error.where
    assert place in error.where


def test_a_misspelt_key_is_named_with_the_right_one() -> None:
    with pytest.raises(UnknownKey, match="magnetizing_percent"):
        examine(changed("S01", lambda c: c["inputs"]["transformer_units"][0].update(magnetising_percent=2)))


def test_remarks_beside_the_known_keys_are_left_alone() -> None:
    answer = examine(changed("S01", lambda c: c["inputs"]["sources"][0].update(seen_by="the electrician")))
    assert answer["worst_relative_error"] < 1e-6


@pytest.mark.parametrize(
    ("change", "place"),
    [
        (lambda c: c["inputs"].pop("l_h"), "inputs"),
        (lambda c: c["inputs"].update(l_sat_h=-1), "l_sat_h"),
        (lambda c: c["inputs"].update(t_end_s=1e9), "t_end_s"),
        (lambda c: c["inputs"].update(t_end_s=0.01), "cycles"),
        (lambda c: c["outputs"].update(samples=[{"t_s": 0.001}]), "samples[0].i_a"),
        (lambda c: c["outputs"].update(samples=3), "samples"),
    ],
)
def test_a_broken_transient_case_is_refused_at_its_place(change: Change, place: str) -> None:
    assert place in refused(json.dumps(changed("S16", change))).where


def test_source_impedance_follows_from_fault_current_where_it_is_not_given() -> None:
    def without(case: Case) -> None:
        del case["inputs"]["sources"][0]["z1_ohm"], case["inputs"]["sources"][0]["z0_ohm"]

    for name in ("S02", "S10"):
        case = changed(
            name, lambda c: [c["inputs"]["sources"][0].pop(key, None) for key in ("z1_ohm", "z0_ohm")]
        )
        assert examine(case)["worst_relative_error"] < 1e-6
    case = changed("S02", without)
    del case["inputs"]["sources"][0]["x_over_r"]
    assert refused(json.dumps(case)).code == "CIR-10"


def test_partial_outputs_are_compared_as_far_as_they_go() -> None:
    case = changed("S01", lambda c: [c["outputs"].pop("currents_a"), c["outputs"].pop("power")])
    assert examine(case)["worst_relative_error"] < 1e-6
    assert examine(changed("S01", lambda c: c.update(outputs={})))["worst_relative_error"] is None
    assert examine(changed("S01", lambda c: c.update(outputs={"power": {}})))["worst_relative_error"] is None


def test_a_wrong_output_is_measured() -> None:
    def off(case: Case) -> None:
        case["outputs"]["currents_a"]["load1"]["re"] *= 1.01

    case = changed("S01", off)
    load = CASES["S01"]["outputs"]["currents_a"]["load1"]
    shifted = complex(load["re"] * 1.01, load["im"])
    assert examine(case)["worst_relative_error"] == pytest.approx(
        0.01 * abs(load["re"]) / abs(shifted), rel=1e-4
    )


def test_the_floor_of_the_measure_is_a_thousandth_of_the_largest() -> None:
    def off(case: Case) -> None:
        case["outputs"]["currents_a"]["bond"]["re"] = 1e-6

    largest = max(value["mag"] for value in CASES["S01"]["outputs"]["currents_a"].values())
    assert examine(changed("S01", off))["worst_relative_error"] == pytest.approx(
        1e-6 / (1e-3 * largest), rel=1e-3
    )


def test_what_the_network_leaves_open_is_said() -> None:
    answer = examine(changed("S04", lambda c: [c["inputs"]["impedances"].pop(0), c.pop("outputs")]))
    (open_,) = answer["undetermined"]
    assert open_["kind"] == "potential"
    assert set(open_["names"]) == {"X1", "X2", "X3"}


def test_a_source_without_earthed_star() -> None:
    case = changed(
        "S04",
        lambda c: [
            c.pop("outputs"),
            c["inputs"]["sources"][0].update(connection="wye, star point not earthed"),
        ],
    )
    answer = examine(case)
    assert {open_["kind"] for open_ in answer["undetermined"]} == {"potential"}


def test_answers_are_json_without_special_numbers() -> None:
    answer = examine_network(json.dumps(FILE), "yard.json")
    json.dumps(answer, allow_nan=False)
    case = changed(
        "S15",
        lambda c: [
            c.pop("outputs"),
            c["inputs"].update(harmonics=[3, 5], impedances=[]),
            c["inputs"].update(harmonic_current_draws=[]),
        ],
    )
    case["inputs"]["impedances"] = copy.deepcopy(CASES["S15"]["inputs"]["impedances"])
    quiet = examine(case)
    assert set(quiet["outputs"]["winding_k_factor"].values()) == {None}
    assert quiet["outputs"]["voltage_thd_percent"] == {}
    json.dumps(quiet, allow_nan=False)


def test_orders_follow_from_the_currents_where_they_are_not_listed() -> None:
    answer = examine(changed("S15", lambda c: c["inputs"].pop("harmonics")))
    assert list(answer["outputs"]["by_harmonic"]) == ["1", "3", "5", "7", "9"]
    assert answer["worst_relative_error"] < 1e-6


def test_an_order_that_was_not_solved_cannot_be_compared() -> None:
    error = refused(json.dumps(changed("S15", lambda c: c["inputs"].update(harmonics=[1, 3]))))
    assert error.code == "CIR-12"
    assert "by_harmonic.5" in error.where


def test_a_number_of_nothing_has_no_angle() -> None:
    assert number(1e-9 + 1e-9j)["deg"] == 0.0
    assert number(-2 + 0j) == {"re": -2.0, "im": 0.0, "mag": 2.0, "deg": 180.0}
