"""Fault currents with the factor c against IEC 60909 as pandapower 3.5.6 computes it (data/short_circuits.json)."""

import importlib.util
import json
from pathlib import Path

import pytest

from turnwright.intake import job_from_mapping
from turnwright.narrow import select

HERE = Path(__file__).parent
STORED = json.loads((HERE / "data" / "short_circuits.json").read_text(encoding="utf-8"))["answers"]


def oracle():
    spec = importlib.util.spec_from_file_location("short_circuits", HERE / "oracles" / "short_circuits.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def fault(case, correction=1.0, regime="iec"):
    """The fault block of a unit of this impedance, times the correction of IEC 60909 for transformers."""
    size = (case["resistance_pct"] ** 2 + case["reactance_pct"] ** 2) ** 0.5
    secondary = f"{case['secondary_v']:g}Y/{case['secondary_v'] / 3**0.5:.0f}"
    job = {
        "regime": regime,
        "supply": {
            "system": f"{case['primary_v']:g} 3ph",
            "frequency": "50 Hz",
            "fault_current": f"{case['supply_ka']} kA",
            "x_over_r": case["x_over_r"],
        },
        "load": [{"system": secondary, "kva": f"{case['kva'] / 2} kVA", "frequency": "50 Hz"}],
        "choices": {
            "kva": f"{case['kva']} kVA",
            "secondary": secondary,
            "impedance": f"{size * correction!r} %",
            "resistance": f"{case['resistance_pct'] * correction!r} %",
        },
    }
    return select(job_from_mapping(job, "job"), ledger_open=False, ask=False).blocks.fault


@pytest.mark.parametrize("answer", STORED, ids=lambda a: f"{a['case']['kva']:g} kVA")
def test_the_circuit_gives_the_answer_of_iec_60909(answer):
    """With the transformer correction K_T put on the impedance the two agree."""
    wanted = answer["pandapower"]
    found = fault(answer["case"], wanted["k_t"])
    assert found.secondary_a == pytest.approx(wanted["three_phase_a"], rel=2e-6)
    assert found.line_ground_a == pytest.approx(wanted["line_earth_a"], rel=2e-6)


@pytest.mark.parametrize("answer", STORED, ids=lambda a: f"{a['case']['kva']:g} kVA")
def test_without_the_correction_it_is_on_the_safe_side(answer):
    """K_T is left out: up to 7 % reactance it is at least 1 with c = 1.1, so the largest fault is not less."""
    wanted = answer["pandapower"]
    found = fault(answer["case"])
    assert wanted["three_phase_a"] <= found.secondary_a <= wanted["three_phase_a"] * 1.045
    assert wanted["line_earth_a"] <= found.line_ground_a <= wanted["line_earth_a"] * 1.045


@pytest.mark.parametrize("answer", STORED, ids=lambda a: f"{a['case']['kva']:g} kVA")
def test_the_factor_c_raises_every_fault_behind_the_transformer(answer):
    """The supply's own fault current is given with c in it; with an ideal supply the ratio is c itself."""
    plain, raised = fault(answer["case"], regime="us"), fault(answer["case"])
    assert raised.infinite_source_a == pytest.approx(1.1 * plain.infinite_source_a, rel=1e-9)
    assert plain.secondary_a < raised.secondary_a < 1.1 * plain.secondary_a
    assert raised.primary_a == plain.primary_a


def test_the_stored_answers_are_those_of_the_program():
    pytest.importorskip("pandapower")
    for answer in STORED:
        assert oracle().solved(answer["case"]) == pytest.approx(answer["pandapower"], rel=1e-9)
