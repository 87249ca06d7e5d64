"""Unequal load: closed forms, the answer to the job, laws, motors."""

from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.examine.unbalance_advice import derating_factor
from turnwright.intake import job_from_mapping
from turnwright.narrow import select
from turnwright.working import CLOSED

from .conftest import STIFF, job_of, study_of

PUMP = {"name": "pump", "system": "208 3ph", "hp": "15 hp", "power_factor": 0.85}
OVENS = {
    "name": "ovens",
    "system": "120 1ph",
    "kva": "9 kVA",
    "lines": "A",
    "quantity": 2,
    "power_factor": 1.0,
}


@pytest.mark.parametrize(
    "load",
    [
        {"system": "208Y/120", "kva": "40 kVA", "power_factor": 0.9},
        {"system": "240 3ph", "kva": "40 kVA"},
        {"system": "120 1ph", "kva": "2 kVA", "quantity": 9, "neutral": True},
    ],
)
def test_an_even_load_is_balanced(load: dict) -> None:
    answers = study_of("unbalance", job_of(load)).answers
    assert answers["nema_pct"] == pytest.approx(0.0, abs=1e-9)
    assert answers["iec_pct"] == pytest.approx(0.0, abs=1e-9)
    assert answers["neutral_a"] in (None, pytest.approx(0.0, abs=1e-9))
    lines = answers["secondary_lines_a"]
    assert lines == pytest.approx([lines[0]] * 3, rel=1e-9)


@given(kva=st.floats(1.0, 30.0), factor=st.floats(0.5, 1.0))
@settings(max_examples=15)
def test_line_currents_of_an_even_load_by_the_power(kva: float, factor: float) -> None:
    load = {"system": "208Y/120", "kva": f"{kva} kVA", "power_factor": factor}
    answers = study_of("unbalance", job_of(load)).answers
    assert answers["secondary_lines_a"] == pytest.approx([kva * 1000 / (sqrt(3) * 208)] * 3, rel=1e-9)
    assert answers["supply_lines_a"] == pytest.approx([kva * 1000 / (sqrt(3) * 480)] * 3, rel=1e-9)


def one_load(load: dict) -> dict:
    """Return the answers for one single-phase load on a three-phase unit; another load that draws next to nothing
    asks for the three phases."""
    nothing = {"system": "208Y/120", "kva": "0.00001 kVA", "power_factor": 1.0}
    return study_of(
        "unbalance", job_of([load, nothing], {"system": "480Y/277", "fault_current": STIFF})
    ).answers


def test_one_load_to_neutral_behind_a_delta() -> None:
    """I in one line and the neutral; two lines of the supply carry I · (V2 / V1) / √3 each, the third nothing."""
    answers = one_load({"system": "120 1ph", "current": "50 A", "lines": "B", "power_factor": 1.0})
    assert answers["secondary_lines_a"] == pytest.approx([0.0, 50.0, 0.0], abs=1e-3)
    assert answers["neutral_a"] == pytest.approx(50.0, rel=1e-9)
    primary = 50 * 208 / 480 / sqrt(3)
    assert sorted(answers["supply_lines_a"]) == pytest.approx([0.0, primary, primary], abs=1e-3)


def test_one_load_between_lines_behind_a_delta() -> None:
    """1 : 1 : 2 in the lines of the supply for a load between two lines of the wye (any text on the connection)."""
    answers = one_load({"system": "208 1ph", "current": "50 A", "lines": "AB", "power_factor": 1.0})
    lines = sorted(answers["supply_lines_a"])
    one = 50 * 208 / 480 / sqrt(3)
    assert lines == pytest.approx([one, one, 2 * one], abs=1e-3)


@pytest.mark.parametrize(
    "load",
    [
        {"system": "208Y/120", "kva": "40 kVA"},
        {"system": "240 3ph", "hp": "20 hp"},
        {"system": "120/240 1ph", "kva": "12 kVA"},
        [OVENS, PUMP],
    ],
)
def test_agrees_with_the_answer_to_the_job(load: object) -> None:
    """Select holds the supply stiff and never goes below the cautious sum: its currents are not below these."""
    job = job_of(load, {"system": "480Y/277", "fault_current": STIFF})
    blocks = select(job_from_mapping(job), ask=False).blocks
    assert blocks is not None
    answers = study_of("unbalance", job).answers
    for mine, theirs in zip(answers["supply_lines_a"], blocks.currents.line_load_a, strict=True):
        assert mine <= theirs * (1 + 1e-3) + 1e-6
        assert mine == pytest.approx(theirs, rel=0.05, abs=1e-6)
    assert answers["worst_winding_pct"] == pytest.approx(blocks.demand.loading_pct, rel=0.05)


def test_amperes_of_a_winding_over_its_rated_current() -> None:
    answers = study_of("unbalance", job_of([OVENS, PUMP])).answers
    for one in answers["windings"]:
        assert one["loading_pct"] == pytest.approx(100 * one["current_a"] / one["rated_a"], rel=1e-9)
    worst = max(answers["windings"], key=lambda one: one["loading_pct"])
    assert answers["worst_winding_pct"] == pytest.approx(worst["loading_pct"], rel=1e-9)
    kva = select(job_from_mapping(job_of([OVENS, PUMP])), ask=False).pick.kva
    secondary = next(one for one in answers["windings"] if one["side"] == "secondary")
    assert secondary["rated_a"] == pytest.approx(kva * 1000 / 3 / (208 / sqrt(3)), rel=1e-9)


def test_more_on_one_line_unbalances_more() -> None:
    found = [
        study_of(
            "unbalance", job_of([{**OVENS, "kva": f"{kva} kVA"}, PUMP], choices={"kva": "112.5 kVA"})
        ).answers
        for kva in (2, 4, 8, 12)
    ]
    for key in ("nema_pct", "iec_pct", "neutral_a"):
        values = [answers[key] for answers in found]
        assert values == sorted(values) and values[0] < values[-1]


def test_definitions_of_voltage_unbalance_by_hand() -> None:
    answers = study_of("unbalance", job_of([OVENS, PUMP])).answers
    volts = answers["line_voltages_v"]
    mean = sum(volts) / 3
    assert answers["nema_pct"] == pytest.approx(100 * max(abs(v - mean) for v in volts) / mean, rel=1e-9)
    # CIGRE: by the sizes of the three line voltages alone
    beta = sum(v**4 for v in volts) / sum(v**2 for v in volts) ** 2
    by_sizes = 100 * sqrt((1 - sqrt(3 - 6 * beta)) / (1 + sqrt(3 - 6 * beta)))
    assert answers["iec_pct"] == pytest.approx(by_sizes, rel=1e-6)


@pytest.mark.parametrize(
    ("unbalance", "factor"),
    [(0.0, 1.0), (1.0, 0.98), (1.5, 0.965), (2.0, 0.95), (3.0, 0.88), (4.0, 0.82), (5.0, 0.75), (5.01, None)],
)
def test_derating_by_the_published_curve(unbalance: float, factor: float | None) -> None:
    """ANSI C84.1 Figure D1: 0.98, 0.95, 0.88, 0.82, 0.75 at 1 to 5 %; above, a motor must not run."""
    assert derating_factor(unbalance, CLOSED) == (None if factor is None else pytest.approx(factor))


def test_motors_on_an_unbalanced_bus_are_derated() -> None:
    study = study_of("unbalance", job_of([OVENS, PUMP]))
    finding = next(f for f in study.findings if f.code == "motor-unbalance")
    assert finding.severity == "caution" and finding.limit == 1 and finding.clause == "NEMA MG 1 12.45"
    (motor,) = study.answers["motors"]
    assert motor["usable_kva"] == pytest.approx(motor["motor_kva"] * study.answers["derating_factor"])
    assert 0.95 < study.answers["derating_factor"] < 0.98


def test_a_single_phase_unit_loads_two_lines_of_three() -> None:
    study = study_of("unbalance", job_of({"system": "120/240 1ph", "kva": "12 kVA"}))
    assert study.answers["supply_lines_a"][2] == pytest.approx(0.0, abs=1e-9)
    assert study.answers["nema_pct"] is None and study.answers["supply_nema_pct"] > 0
    assert "two-lines-of-three" in {finding.code for finding in study.findings}


def test_a_size_that_is_insisted_on_and_overloaded_is_a_stop() -> None:
    study = study_of("unbalance", job_of({"system": "208Y/120", "kva": "60 kVA"}, choices={"kva": "45 kVA"}))
    assert study.verdict == "refused"
    assert {"insisted-size-too-small", "winding-overloaded"} <= {f.code for f in study.findings}


def test_cyclic_loads_heat_by_their_rms_and_drop_by_their_on_value() -> None:
    welder = {
        "system": "480 1ph",
        "current": "240 A",
        "power_factor": 0.5,
        "kind": "welder",
        "duty": {"on": "10 %"},
    }
    job = job_of(welder, "208Y/120", choices={"impedance": "4 %", "resistance": "1.5 %"})
    answers = study_of("unbalance", job).answers
    assert answers["secondary_lines_a"] == pytest.approx([240 * sqrt(0.1)] * 2, rel=1e-9)
    drop = 1 - answers["line_voltages_v"][0] / 480
    assert drop > 240 * 480 / 1e5 * 0.03
