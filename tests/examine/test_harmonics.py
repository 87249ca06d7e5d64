"""Harmonics: what passes, what a delta keeps, the neutral, the voltage; laws."""

from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from turnwright.examine import Options
from turnwright.examine.harmonics import study
from turnwright.intake import job_from_mapping
from turnwright.narrow import select
from turnwright.regimes import traits_of
from turnwright.working import Ledger

from .conftest import STIFF, job_of, study_of, subject

DESKS = {
    "system": "120 1ph",
    "kva": "2 kVA",
    "quantity": 15,
    "neutral": True,
    "kind": "electronics",
    "power_factor": 0.95,
    "harmonics": {"3": 50, "5": 20, "7": 10, "9": 8, "11": 4, "13": 2},
}
DRIVE = {"system": "208 3ph", "kva": "20 kVA", "kind": "drive", "harmonics": {"5": 30, "7": 12, "11": 6}}


def orders(answers: dict) -> dict:
    return {row["order"]: row for row in answers["orders"]}


def test_a_delta_keeps_the_triplens_of_an_even_load_and_passes_the_rest() -> None:
    found = orders(study_of("harmonics", job_of(DESKS)).answers)
    for order, row in found.items():
        if order % 3 == 0:
            assert row["supply_a"] == pytest.approx(0.0, abs=1e-6)
            # ampere-turns: the delta carries what the wye does, over the ratio of the turns
            assert row["delta_a"] == pytest.approx(row["load_a"] * 208 / sqrt(3) / 480, rel=1e-9)
            assert row["neutral_a"] == pytest.approx(3 * row["load_a"], rel=1e-9)
        else:
            assert row["passes_pct"] == pytest.approx(100.0, rel=1e-9)
            assert row["delta_a"] == pytest.approx(0.0, abs=1e-6)
            assert row["neutral_a"] == pytest.approx(0.0, abs=1e-6)


def test_the_neutral_agrees_with_the_answer_to_the_job() -> None:
    job = job_of([DESKS, DRIVE])
    blocks = select(job_from_mapping(job), ask=False).blocks
    assert blocks is not None
    answers = study_of("harmonics", job).answers
    assert answers["neutral_rms_a"] == pytest.approx(blocks.currents.neutral_load_a, rel=1e-6)
    assert answers["k_factor"] == blocks.demand.k_factor


def test_the_textbook_neutral_of_four_wire_loads() -> None:
    """Masters, Example 2.13: 100, 50, 20, 10, 8, 4, 2 A give 151.9 A in the neutral, 114.4 A in the lines."""
    rms = sqrt(13084)
    load = {**DESKS, "quantity": 3, "kva": None, "current": f"{rms} A"}
    load.pop("kva")
    answers = study_of("harmonics", job_of(load)).answers
    assert answers["load_rms_a"] == pytest.approx(114.4, abs=0.05)
    assert answers["neutral_rms_a"] == pytest.approx(151.9, abs=0.05)
    assert answers["k_factor"] == pytest.approx(4.2186, abs=1e-4)
    assert answers["load_thd_pct"] == pytest.approx(55.5, abs=0.1)


def test_voltage_of_one_order_by_ohms_law() -> None:
    """A balanced order sees R + j h X of unit and supply; the drop at the load is its current times that."""
    job = job_of(
        DRIVE,
        {"system": "480Y/277", "fault_current": STIFF},
        choices={"impedance": "5 %", "resistance": "2 %", "kva": "45 kVA"},
    )
    answers = study_of("harmonics", job).answers
    base = 208**2 / 45e3
    for order in (5, 7, 11):
        row = orders(answers)[order]
        z = abs(complex(0.02, order * sqrt(0.05**2 - 0.02**2))) * base
        fundamental_v = 208 / sqrt(3)
        assert row["voltage_pct"] == pytest.approx(100 * row["load_a"] * z / fundamental_v, rel=0.06)


def test_orders_of_the_load_by_its_spectrum() -> None:
    """Amperes are rms with harmonics: I_1 = I / √(1 + THD²), I_h = p_h · I_1."""
    found = orders(study_of("harmonics", job_of(DRIVE)).answers)
    rms = 20e3 / (sqrt(3) * 208)
    first = rms / sqrt(1 + 0.3**2 + 0.12**2 + 0.06**2)
    assert found[1]["load_a"] == pytest.approx(first, rel=1e-9)
    for order, share in ((5, 0.30), (7, 0.12), (11, 0.06)):
        assert found[order]["load_a"] == pytest.approx(first * share, rel=1e-9)


def test_loads_between_lines_and_to_neutral_distort_in_step() -> None:
    """The careful reading: orders of three-phase and single-phase loads add by their sizes in the line."""
    alone = [orders(study_of("harmonics", job_of(load)).answers)[5]["load_a"] for load in (DESKS, DRIVE)]
    together = orders(study_of("harmonics", job_of([DESKS, DRIVE])).answers)[5]["load_a"]
    assert together == pytest.approx(sum(alone), rel=1e-9)


def test_a_delta_secondary_gets_the_same_orders() -> None:
    load = {"system": "240 3ph", "kva": "20 kVA", "kind": "drive", "harmonics": {"3": 10, "5": 30, "7": 12}}
    found = orders(study_of("harmonics", job_of(load)).answers)
    assert 3 not in found  # no way back for it
    for order, share in ((5, 0.30), (7, 0.12)):
        assert found[order]["load_a"] == pytest.approx(found[1]["load_a"] * share, rel=1e-9)
        assert found[order]["passes_pct"] == pytest.approx(100.0, rel=1e-9)


@given(third=st.floats(1.0, 80.0), fifth=st.floats(1.0, 60.0), more=st.floats(1.05, 1.2))
@settings(max_examples=12)
def test_more_distortion_is_worse_everywhere(third: float, fifth: float, more: float) -> None:
    def answers(factor: float) -> dict:
        load = {**DESKS, "harmonics": {"3": third * factor, "5": fifth * factor}}
        return study_of("harmonics", job_of(load, choices={"kva": "75 kVA"})).answers

    less, rest = answers(1.0), answers(more)
    for key in ("load_thd_pct", "voltage_thd_pct", "k_factor"):
        assert less[key] < rest[key]
    assert less["allowed_current_pu"] > rest["allowed_current_pu"]


def test_a_weaker_supply_and_a_larger_impedance_distort_the_voltage_more() -> None:
    def thd(fault_ka: float, z_pct: float) -> float:
        supply = {"system": "480Y/277", "fault_current": f"{fault_ka} kA"}
        job = job_of(DRIVE, supply, choices={"impedance": f"{z_pct} %", "kva": "45 kVA"})
        return float(study_of("harmonics", job).answers["voltage_thd_pct"])

    assert thd(1, 4) > thd(10, 4) > thd(100, 4)
    assert thd(10, 6) > thd(10, 4)


def test_an_ordinary_unit_that_gets_too_hot_is_told_which_k_to_take() -> None:
    drive = {"system": "208 3ph", "kva": "44 kVA", "kind": "drive", "spectrum": "drive_6pulse_1pct_z"}
    job = job_of(drive, choices={"kva": "45 kVA", "k_rating": 1})
    findings = {f.code: f for f in study_of("harmonics", job).findings}
    heat = findings["harmonic-heat"]
    assert "K-20" in heat.message and heat.value > heat.limit
    assert {"voltage-distortion", "voltage-order"} <= set(findings)
    assert findings["voltage-distortion"].limit == 8 and findings["voltage-order"].limit == 5


def test_a_k_rating_below_the_k_at_load_is_a_stop() -> None:
    drive = {"system": "208 3ph", "kva": "44 kVA", "kind": "drive", "spectrum": "drive_6pulse_1pct_z"}
    found = study_of("harmonics", job_of(drive, choices={"kva": "45 kVA", "k_rating": 4}))
    assert next(f for f in found.findings if f.code == "k-rating").severity == "stop"


def test_loads_that_distort_and_say_nothing_leave_it_open() -> None:
    study = study_of("harmonics", job_of({"system": "120 1ph", "kva": "2 kVA", "kind": "electronics"}))
    assert (study.verdict, study.answers) == ("needs-input", {})
    assert study.questions[0].key == "load[0].harmonics"


def test_loads_that_do_not_distort_are_an_answer() -> None:
    study = study_of("harmonics", job_of({"system": "208Y/120", "kva": "20 kVA"}))
    assert (study.verdict, study.answers["k_factor"]) == ("answered", 1.0)


def test_the_cable_rule_of_another_regime() -> None:
    """IEC 60364-5-52 Annex E: 46.8 A of neutral at 40 % third harmonic ask for a cable of 54.4 A."""
    rms = 39 * sqrt(1.16)
    load = {**DESKS, "quantity": 3, "harmonics": {"3": 40}, "current": f"{rms} A", "power_factor": 1.0}
    load.pop("kva")
    found = subject(job_of(load))
    elsewhere = replace(found, regime=replace(found.regime, traits=traits_of("iec")))
    answer = study(elsewhere, Options(), Ledger())
    assert answer.answers["cable_rating_a"] == pytest.approx(54.4, abs=0.05)
    assert "cable-third-harmonic" in {finding.code for finding in answer.findings}


def test_curves_carry_the_rms_they_are_drawn_from() -> None:
    found = study_of("harmonics", job_of([DESKS, DRIVE]))
    wave = next(one for one in found.series if one.name == "line current at the load")
    mean_square = sum(y * y for y in wave.y[:-1]) / (len(wave.y) - 1)
    assert sqrt(mean_square) == pytest.approx(found.answers["load_rms_a"], rel=1e-6)
