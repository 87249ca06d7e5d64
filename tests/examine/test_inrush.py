"""Switching on: points of the trade, the solved core against its bounds and published peaks, laws."""

from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.examine.inrush_cases import cores_of, switched_of

from .conftest import job_of, study_of, subject

WYE = {"system": "208Y/120", "kva": "60 kVA"}


def test_points_for_coordination() -> None:
    """8 to 12 times rated current for 0.1 s (IEEE 242, chapter 15), 25 times for the first half cycle."""
    study = study_of("inrush", job_of(WYE))
    rated = 75e3 / (480 * sqrt(3))
    low, high, half = study.answers["points"]
    assert (low["current_a"], high["current_a"], half["current_a"]) == pytest.approx(
        (8 * rated, 12 * rated, 25 * rated), rel=1e-9
    )
    assert high["device_multiple"] == pytest.approx(12 * rated / study.answers["device_a"], rel=1e-9)
    assert high["i2t_a2s"] == pytest.approx((12 * rated) ** 2 * 0.1, rel=1e-9)


@pytest.mark.parametrize("kva", [15, 25, 37.5, 50, 75, 100])
def test_first_peaks_of_single_phase_units_lie_where_a_list_of_one_maker_has_them(kva: float) -> None:
    """13.5 to 23.6 times rated current at 480 V, on an assumed primary voltage; here the high end of the core."""
    job = job_of(
        {"system": "120/240 1ph", "kva": f"{kva * 0.8} kVA"},
        {"system": "480Y/277"},
        choices={"kva": f"{kva} kVA"},
    )
    study = study_of("inrush", job)
    multiple = study.answers["first_peak_a"] / study.answers["primary_rated_a"]
    assert 11 < multiple < 26


def test_the_solved_peak_lies_below_the_one_without_resistance() -> None:
    study = study_of("inrush", job_of({"system": "240 1ph", "kva": "20 kVA"}))
    working = {line.name: line for line in study.working}
    peak = working["answers.first_peak_a"]
    assert 0.5 * peak.with_["core_peak_a"] < peak.value < peak.with_["core_peak_a"]


def test_peaks_fade_from_cycle_to_cycle() -> None:
    for one in study_of("inrush", job_of(WYE)).answers["cores"]:
        peaks = one["peaks_a"]
        assert peaks == sorted(peaks, reverse=True) and peaks[-1] > 0


def test_a_line_of_a_delta_carries_more_than_one_core_and_less_than_two() -> None:
    found = subject(job_of(WYE))
    assert len(cores_of(found)) == 3
    line = switched_of(found)[0].peaks_a[0]
    alone = subject(
        job_of({"system": "208 1ph", "kva": "20 kVA"}, choices={"kva": "25 kVA", "secondary": "208 1ph"})
    )
    core = switched_of(alone)[0].peaks_a[0]
    assert 0.9 * core < line < 2.2 * core


@given(kilo=st.floats(1.0, 20.0))
@settings(max_examples=6)
def test_a_weaker_supply_lowers_the_first_peak(kilo: float) -> None:
    def peak(fault_ka: float) -> float:
        supply = {"system": "480Y/277", "fault_current": f"{fault_ka} kA"}
        return float(study_of("inrush", job_of(WYE, supply)).answers["first_peak_a"])

    assert (
        peak(kilo)
        < peak(2 * kilo)
        < study_of("inrush", job_of(WYE, {"system": "480Y/277"})).answers["first_peak_a"]
    )


def test_i2t_of_the_curve_that_is_shown() -> None:
    study = study_of("inrush", job_of(WYE))
    curve = study.series[0]
    step = curve.x[1] - curve.x[0]
    total = step * (sum(y * y for y in curve.y) - (curve.y[0] ** 2 + curve.y[-1] ** 2) / 2)
    assert study.answers["i2t_a2s"] == pytest.approx(total, rel=1e-9)
    assert max(map(abs, curve.y)) == pytest.approx(study.answers["first_peak_a"], rel=1e-9)


def test_a_device_that_may_not_hold_is_told() -> None:
    study = study_of("inrush", job_of(WYE, circuit={"primary_device": "90 A", "device_kind": "breaker"}))
    finding = next(f for f in study.findings if f.code == "inrush-device")
    assert finding.severity == "caution" and finding.value > finding.limit == 10


def test_a_step_up_and_a_generator_are_told() -> None:
    up = study_of("inrush", job_of({"system": "480Y/277", "kva": "20 kVA"}, "208Y/120"))
    assert "inrush-step-up" in {finding.code for finding in up.findings}
    supply = {"system": "480Y/277", "source": "generator", "source_kva": "200 kVA", "fault_current": "2 kA"}
    assert "inrush-generator" in {
        finding.code for finding in study_of("inrush", job_of(WYE, supply)).findings
    }


def test_an_autotransformer_gets_the_points_alone() -> None:
    job = job_of({"system": "400Y/230", "kva": "40 kVA"}, choices={"arrangement": "autotransformer"})
    study = study_of("inrush", job)
    assert study.answers["first_peak_a"] is None and len(study.answers["points"]) == 3
