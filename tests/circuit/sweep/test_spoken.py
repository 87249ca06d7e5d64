"""Variants in words, with the names and keys of a circuit file."""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from turnwright.circuit import solve
from turnwright.circuit.file_inputs import circuit_inputs, network_of
from turnwright.circuit.network_file import one_circuit
from turnwright.circuit.sweep import sweep
from turnwright.circuit.sweep.spoken import axis_of, every_combination, in_network
from turnwright.errors import InputError

CASES = json.loads((Path(__file__).parents[1] / "data" / "circuit_cases.json").read_text())["cases"]
S01 = next(case["inputs"] for case in CASES if case["id"] == "S01")


def spoken(inputs: dict[str, Any], *texts: str) -> dict[str, Any]:
    read = circuit_inputs(inputs, "$")
    return dict(in_network(read, network_of(read, "$"), every_combination([axis_of(text) for text in texts])))


@pytest.mark.parametrize(
    "text",
    ["", "load1.r_ohm", "load1=1,2", "load1.r_ohm=", "load1.r_ohm=1..2", "load1.r_ohm=1..2:x", "load1.r_ohm=1,,2",
     "load1.r_ohm=1..2:1", "load1.r_ohm=nan", "load1.r_ohm=1..inf:5", "load1.r_ohm=1..2:-3",
     "load1.r_ohm=1..2:999999999"],
)  # fmt: skip
def test_words_that_say_nothing_are_refused(text: str) -> None:
    with pytest.raises(InputError) as caught:
        axis_of(text)
    assert caught.value.code == "CIR-15"


def test_too_many_combinations_and_a_name_twice_are_refused() -> None:
    with pytest.raises(InputError) as caught:
        every_combination([axis_of("a.r_ohm=1..2:2000"), axis_of("b.r_ohm=1..2:2000")])
    assert caught.value.code == "CIR-06"
    with pytest.raises(InputError) as caught:
        every_combination([axis_of("a.r_ohm=1,2"), axis_of("a.r_ohm=3,4")])
    assert caught.value.code == "CIR-15"


@pytest.mark.parametrize(
    ("text", "code"),
    [("lod1.r_ohm=1,2", "CIR-08"), ("load1.r_om=1,2", "CIR-15"), ("SUP.line_v=1,2", "CIR-15"),
     ("T1.1.kva=1,2", "CIR-15"), ("SUP.short_circuit_ka_3ph=0,2", "CIR-15")],
)  # fmt: skip
def test_names_that_the_file_has_not_are_refused(text: str, code: str) -> None:
    with pytest.raises(InputError) as caught:
        spoken(S01, text)
    assert caught.value.code == code


@pytest.mark.parametrize(
    "texts",
    [
        ("SUP.short_circuit_ka_3ph=8,14,30", "SUP.x_over_r=2,6"),
        ("SUP.z0_over_z1=1,3",),
        ("SUP.line_to_line_v=470,490", "SUP.short_circuit_ka_3ph=8,14"),
        ("T1.1.kva_base+T1.2.kva_base=10..20:3", "T1.3.percent_x=2,5"),
        ("T1.1.w2.rated_v=118,122", "T1.2.w1.percent_r=0.5,1.5", "T1.1.percent_x.1-2=2,4"),
        ("load1.r_ohm=0.5..2:4",),
    ],
)
def test_a_sweep_is_the_file_written_again_with_each_value(texts: tuple[str, ...]) -> None:
    found = spoken(S01, *texts)
    solved = sweep(network_of(circuit_inputs(S01, "$"), "$"), found)
    axes = every_combination([axis_of(text) for text in texts])
    for variant in range(solved.variants):
        inputs = json.loads(json.dumps(S01))
        for name, values in axes.items():
            written(inputs, name, float(values[variant]))
        wanted = solve(network_of(circuit_inputs(inputs, "$"), "$"))
        for node, volts in wanted.voltages_v.items():
            assert abs(solved.voltage_v(node)[variant] - volts) < 1e-9 * 480


def written(inputs: dict[str, Any], name: str, value: float) -> None:
    """Write one value into the inputs of a file; a source whose fault current is written loses its stated impedance."""
    records = [*inputs["sources"], *inputs["transformer_units"], *inputs["impedances"]]
    record = next(one for one in records if name.startswith(f"{one['name']}."))
    key = name[len(record["name"]) + 1 :]
    if key.startswith("w"):
        record["windings"][int(key[1]) - 1][key[3:]] = value
    elif key.startswith("percent_x"):
        record["percent_x"]["1-2"] = value
    else:
        record[key] = value
    if record in inputs["sources"]:
        record.pop("z1_ohm", None)
        record.pop("z0_ohm", None)


def test_the_last_name_changes_quickest() -> None:
    found = every_combination([axis_of("a.r_ohm=1,2"), axis_of("b.r_ohm+c.r_ohm=5..7:3")])
    assert found["a.r_ohm"].tolist() == [1, 1, 1, 2, 2, 2]
    assert np.array_equal(found["b.r_ohm"], found["c.r_ohm"]) and found["b.r_ohm"].tolist() == [
        5,
        6,
        7,
        5,
        6,
        7,
    ]


def test_one_circuit_of_a_file() -> None:
    text = json.dumps({"cases": CASES[:2]})
    assert one_circuit(text, "f.json", "S02")[0] == "S02"
    assert one_circuit(json.dumps(CASES[0]), "f.json")[0] == "S01"
    transient = next(case for case in CASES if case["kind"] == "transient")
    for bad, name in ((text, None), (text, "S99"), (json.dumps(transient), None), ('{"cases": 3}', None)):
        with pytest.raises(InputError) as caught:
            one_circuit(bad, "f.json", name)
        assert caught.value.code == "CIR-17"
