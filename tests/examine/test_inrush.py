"""Switching on: points of the trade, the solved core against its bounds and published peaks, laws."""

from math import sqrt
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from turnwright.errors import InputError
from turnwright.examine import Options, Study
from turnwright.examine.inrush_against import between, points_of
from turnwright.examine.inrush_cases import ends_of_core
from turnwright.examine.inrush_fed import fed_of
from turnwright.examine.of_units import examine_unit
from turnwright.intake import read_unit

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
    fed = fed_of(subject(job_of(WYE)), Options())
    assert fed is not None and fed.windings == (("A", "C"), ("B", "A"), ("C", "B")) and not fed.closed
    line = study_of("inrush", job_of(WYE)).answers["first_peak_a"]
    alone = job_of({"system": "208 1ph", "kva": "20 kVA"}, choices={"kva": "25 kVA", "secondary": "208 1ph"})
    core = study_of("inrush", alone).answers["first_peak_a"]
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


def test_a_three_phase_unit_has_legs_of_one_core_and_a_bank_does_not() -> None:
    one = switched(job_of(WYE, ENDLESS))
    bank = switched(job_of(WYE, ENDLESS, choices={"units": 3, "kva": "25 kVA"}))
    assert {core["outside_pct"] for core in one.answers["cores"]} <= {30.0, 100.0}
    assert {core["outside_pct"] for core in bank.answers["cores"]} == {None}
    assert any(text.what.startswith("three legs of one core, 0.3-1 per unit") for text in one.assumed)
    assert any(text.what.startswith("each core closed in itself") for text in bank.assumed)
    # in delta the volts of each leg are those of the supply: what the legs share hardly matters
    fed = fed_of(subject(job_of(WYE, ENDLESS)), Options())
    assert fed is not None
    apart = ends_of_core(replace(fed, one_core=False), None, 0.6)[0]
    assert one.answers["first_peak_a"] == pytest.approx(apart.peaks_a[0], rel=0.01)


def test_i2t_of_the_curve_that_is_shown() -> None:
    study = study_of("inrush", job_of(WYE))
    curve = study.series[0]
    step = curve.x[1] - curve.x[0]
    total = step * (sum(y * y for y in curve.y) - (curve.y[0] ** 2 + curve.y[-1] ** 2) / 2)
    assert study.answers["i2t_a2s"] == pytest.approx(total, rel=1e-3)  # by trapezoids of a 96th of a cycle
    assert max(map(abs, curve.y)) == pytest.approx(study.answers["first_peak_a"], rel=1e-3)


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


def switched(job: Any, **options: Any) -> Study:
    return study_of("inrush", job, **options)


def asked(job: Any, **options: Any) -> dict[str, Any]:
    return switched(job, **options).answers


ENDLESS = {"system": "480Y/277"}
SITE = {"system": "480Y/277", "fault_current": "14 kA", "x_over_r": 4}


def test_no_moment_of_closing_is_worse_than_the_worst() -> None:
    job = job_of(WYE, SITE)
    worst = asked(job)["first_peak_a"]
    peaks = [asked(job, closing_angle=angle)["first_peak_a"] for angle in (0.0, 37.0, 90.0, 215.0)]
    assert all(peak <= worst * 1.005 for peak in peaks)  # 15° apart: a little more may lie between
    assert min(peaks) < 0.97 * worst


def test_less_residual_flux_lowers_the_peak() -> None:
    job = job_of(WYE, SITE)
    peaks = [asked(job, residual=left)["first_peak_a"] for left in (0.0, 0.3, 0.6, 0.8)]
    assert peaks == sorted(peaks) and peaks[0] < 0.8 * peaks[-1]


def test_units_closed_together_share_the_supply() -> None:
    """No less than their common rating asks for on an infinite source; a real one holds them back."""
    one, three = asked(job_of(WYE, ENDLESS)), asked(job_of(WYE, ENDLESS), together=3)
    assert three["first_peak_a"] == pytest.approx(3 * one["first_peak_a"], rel=1e-9)
    weak_one, weak = asked(job_of(WYE, SITE)), asked(job_of(WYE, SITE), together=3)
    assert weak_one["first_peak_a"] < weak["first_peak_a"] < 3 * weak_one["first_peak_a"]


def test_a_unit_fed_from_its_low_side_draws_more_of_its_rated_current() -> None:
    down = asked(job_of(WYE, ENDLESS))
    back = switched(job_of(WYE, ENDLESS), reverse_fed=True)
    assert back.answers["primary_rated_a"] == pytest.approx(75e3 / (208 * sqrt(3)), rel=1e-9)
    multiples = [one["first_peak_a"] / one["primary_rated_a"] for one in (down, back.answers)]
    assert multiples[1] > 1.05 * multiples[0]
    assert "inrush-step-up" in {finding.code for finding in back.findings}


def test_points_of_a_device_are_held_against_what_flows() -> None:
    job = job_of(WYE, SITE)
    plain = asked(job)
    points = ((2000.0, 0.004), (0.9 * plain["first_peak_a"], 0.05), (40.0, 0.1), (5.0, 3.0))
    study = switched(job, hold_off=points)
    first, second, third, last = study.answers["hold_off"]
    assert first["solved_a"] == pytest.approx(plain["first_peak_a"] / sqrt(2), rel=1e-9)
    assert first["holds"] and second["holds"] and not third["holds"]
    # the rms from closing on, of the very integral that is told for six cycles
    assert third["solved_a"] == pytest.approx(sqrt(plain["i2t_a2s"] / 0.1), rel=1e-9)
    assert third["trade_a"] == pytest.approx(12 * plain["primary_rated_a"], rel=1e-9)
    assert last["solved_a"] < third["solved_a"] and last["trade_a"] is None
    assert study.findings[0].code == "inrush-trips" and any("may trip" in text for text in study.said)


def test_a_generator_feels_the_first_cycle() -> None:
    supply = {
        "system": "480Y/277",
        "source": "generator",
        "source_kva": "100 kVA",
        "source_reactance": "15 %",
    }
    own = asked(job_of(WYE, supply))["own_source"]
    assert own["of_rating_pct"] == pytest.approx(own["first_cycle_kva"], rel=1e-9)
    assert 10 < own["voltage_dip_pct"] < 60
    strong = asked(job_of(WYE, {**supply, "source_kva": "1000 kVA"}))["own_source"]
    assert strong["voltage_dip_pct"] < 0.4 * own["voltage_dip_pct"]
    assert asked(job_of(WYE, SITE))["own_source"] is None


UNIT = '[unit]\nkva = "75 kVA"\nprimary = "480 delta"\nsecondary = "208Y/120"\nimpedance = "4.5 %"'


def test_a_unit_of_a_file_is_switched_on_at_its_rated_volts() -> None:
    study = examine_unit("inrush", read_unit(UNIT))
    rated = 75e3 / (480 * sqrt(3))
    assert study.answers["primary_rated_a"] == pytest.approx(rated, rel=1e-9)
    assert 8 * rated < study.answers["first_peak_a"] < 25 * rated
    back = examine_unit("inrush", read_unit(UNIT), Options(reverse_fed=True))
    assert back.answers["primary_rated_a"] == pytest.approx(75e3 / (208 * sqrt(3)), rel=1e-9)


@pytest.mark.parametrize(
    "text", ["", "12", "1200@", "@0.1", "1200@0.1,900@0.1", "-5@0.1", "5@1e6", "nan@1", "5@nan"]
)
def test_points_that_are_none_are_refused(text: str) -> None:
    with pytest.raises(InputError) as caught:
        points_of(text)
    assert caught.value.code == "EXM-09"


@pytest.mark.parametrize(
    ("options", "code"),
    [
        ({"closing_angle": float("nan")}, "EXM-10"),
        ({"closing_angle": 400.0}, "EXM-10"),
        ({"residual": 1.5}, "EXM-10"),
        ({"residual": float("nan")}, "EXM-10"),
        ({"together": 0}, "EXM-08"),
        ({"together": 10**9}, "EXM-08"),
    ],
)
def test_what_cannot_be_is_refused(options: dict[str, object], code: str) -> None:
    with pytest.raises(InputError) as caught:
        asked(job_of(WYE), **options)
    assert caught.value.code == code


def test_between_points_a_curve_is_straight_on_logarithmic_axes() -> None:
    assert between(((100.0, 1.0), (1.0, 100.0)), 10.0) == pytest.approx(10.0)
    assert between(((100.0, 1.0), (1.0, 100.0)), 0.5) is None
