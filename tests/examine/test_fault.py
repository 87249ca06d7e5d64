"""Short circuits: closed forms, the answer to the job, laws, devices."""

from math import inf, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from turnwright.errors import InputError
from turnwright.examine import Options
from turnwright.examine.fault import study
from turnwright.examine.fault_working import current_at
from turnwright.examine.interrupting import device_class
from turnwright.intake import job_from_mapping
from turnwright.narrow import select
from turnwright.quantities import parse_system
from turnwright.working import Ledger

from .conftest import job_of, study_of, subject

WYE = {"system": "208Y/120", "kva": "40 kVA"}
JOBS = {
    "wye": job_of(WYE),
    "wye with runs": job_of(WYE, circuit={"primary_length": "60 ft", "secondary_length": "80 ft"}),
    "wye, impedance stated": job_of(WYE, choices={"impedance": "4.2 %"}),
    "delta": job_of({"system": "240 3ph", "hp": "20 hp"}),
    "three-wire": job_of({"system": "120/240 1ph", "kva": "12 kVA"}),
    "two-wire": job_of({"system": "240 1ph", "kva": "12 kVA"}),
    "single-phase supply": job_of({"system": "480 1ph", "kva": "12 kVA"}, "240 1ph"),
    "infinite source": job_of(WYE, {"system": "480Y/277"}),
    "open delta": job_of({"system": "240 3ph", "hp": "20 hp"}, choices={"arrangement": "open delta"}),
    "autotransformer": job_of(
        {"system": "400Y/230", "kva": "40 kVA"}, choices={"arrangement": "autotransformer"}
    ),
}


@pytest.mark.parametrize("name", JOBS)
def test_agrees_with_the_answer_to_the_job(name: str) -> None:
    """Same unit, same supply, same impedances; the largest also covers a fault of two lines to ground."""
    blocks = select(job_from_mapping(JOBS[name]), ask=False).blocks
    assert blocks is not None
    answers = study_of("fault", JOBS[name]).answers
    assert answers["secondary_a"] == pytest.approx(blocks.fault.secondary_a, rel=1e-9)
    assert answers["line_ground_a"] == (
        None if blocks.fault.line_ground_a is None else pytest.approx(blocks.fault.line_ground_a, rel=1e-9)
    )
    assert answers["maximum_a"] >= blocks.fault.maximum_a * (1 - 1e-9)


@pytest.mark.parametrize("name", ["wye", "delta", "three-wire", "two-wire", "single-phase supply"])
def test_the_closed_form_beside_a_solved_fault_is_equal(name: str) -> None:
    working = {line.name: line for line in study_of("fault", JOBS[name]).working}
    for key in ("secondary_a", "line_ground_a"):
        line = working.get(f"answers.{key}")
        if line is not None:
            assert line.with_["by_hand_a"] == pytest.approx(line.value, rel=1e-9)
            assert line.from_["by_hand_a"] in working


def test_a_ground_fault_behind_a_delta_in_the_lines_of_the_supply() -> None:
    """1, 0, 1 over √3 in per unit for a ground fault, 1/2, 1/2, 1 between two lines (any text on winding shifts)."""
    study = study_of("fault", job_of(WYE, {"system": "480Y/277"}))
    found = {one["kind"]: one for one in study.answers["faults"] if one["condition"] == "largest"}
    whole = max(found["three-phase"]["supply_lines_a"])
    ground, pair = (sorted(found[kind]["supply_lines_a"]) for kind in ("line-ground", "line-line"))
    assert ground == pytest.approx([0.0, whole / sqrt(3), whole / sqrt(3)], rel=1e-6, abs=1e-6)
    assert pair == pytest.approx([whole / 2, whole / 2, whole], rel=1e-6)
    assert found["line-line"]["current_a"] == pytest.approx(
        found["three-phase"]["current_a"] * sqrt(3) / 2, rel=1e-6
    )


def test_infinite_source_by_the_impedance_alone() -> None:
    """75 kVA at 208 V and 4 %: 208.2 A / 0.04 = 5204 A (a published table of infinite-bus faults gives 5204)."""
    job = job_of(
        {"system": "208Y/120", "kva": "60 kVA"},
        {"system": "480Y/277"},
        choices={"impedance": "4 %", "kva": "75 kVA"},
    )
    assert study_of("fault", job).answers["secondary_a"] == pytest.approx(5204, abs=1)


@pytest.mark.parametrize(("source_mva", "amperes"), [(50, 5016), (10, 4383)])
def test_with_a_source_by_the_sum_of_the_impedances(source_mva: float, amperes: float) -> None:
    """The same unit behind 50 and 10 MVA: 5016 and 4383 A where all impedances are in line (same table)."""
    supply = {
        "system": "480Y/277",
        "fault_current": f"{source_mva * 1e6 / (480 * sqrt(3))} A",
        "x_over_r": 3,
    }
    choices = {"impedance": "4 %", "resistance": f"{4 / sqrt(10)} %", "kva": "75 kVA"}
    answers = study_of(
        "fault", job_of({"system": "208Y/120", "kva": "60 kVA"}, supply, choices=choices)
    ).answers
    assert answers["secondary_a"] == pytest.approx(amperes, abs=1)


def test_the_conductors_of_the_run_lower_every_fault() -> None:
    found = study_of("fault", JOBS["wye with runs"]).answers["faults"]
    for condition in ("largest", "least"):
        at = {(one["where"], one["kind"]): one["current_a"] for one in found if one["condition"] == condition}
        for kind in ("three-phase", "line-line", "line-ground", "line-line-ground"):
            assert at["end of the secondary run", kind] < at["secondary terminals", kind]


def test_a_longer_run_lowers_the_fault_at_its_end_by_the_table_of_impedances() -> None:
    """NEC Chapter 9 Table 9, copper in steel: the loop of a line-ground fault is unit, line and grounding conductor."""
    job = job_of(
        {"system": "208Y/120", "kva": "40 kVA"},
        {"system": "480Y/277"},
        circuit={"secondary_length": "100 ft"},
        choices={"impedance": "4 %", "resistance": "2 %"},
    )
    study = study_of("fault", job)
    working = {line.name: line for line in study.working}
    ground = working["runs.earth.warm.r_ohm"]
    size = working[ground.from_["ohm_per_kft"]].name
    assert size.startswith("nec_ch9_t9[")
    assert ground.value == pytest.approx(ground.with_["ohm_per_kft"] * 0.1, rel=1e-9)
    cold = working["runs.earth.cold.r_ohm"]
    assert cold.value == pytest.approx(ground.value * (234.5 + 20) / (234.5 + 75), rel=1e-9)


@pytest.mark.parametrize("name", JOBS)
def test_the_weakest_is_below_the_largest_and_the_peak_between_its_bounds(name: str) -> None:
    answers = study_of("fault", JOBS[name]).answers
    assert answers["least_a"] < answers["maximum_a"]
    for one in answers["faults"]:
        assert 2**0.5 * one["total_a"] * (1 - 1e-9) <= one["peak_a"] <= 8**0.5 * one["total_a"]
        assert one["current_a"] <= one["total_a"]


@given(
    low=st.floats(1.5, 6.0),
    more=st.floats(1.01, 1.5),
    share=st.floats(0.2, 0.9),
)
@settings(max_examples=15)
def test_more_impedance_gives_less_fault(low: float, more: float, share: float) -> None:
    def maximum(z_pct: float) -> float:
        choices = {"impedance": f"{z_pct} %", "resistance": f"{z_pct * share} %"}
        return float(study_of("fault", job_of(WYE, choices=choices)).answers["maximum_a"])

    assert maximum(low * more) < maximum(low)


@given(kilo=st.floats(1.0, 50.0), more=st.floats(1.05, 3.0))
@settings(max_examples=15)
def test_a_stiffer_supply_gives_more_fault(kilo: float, more: float) -> None:
    def answers(fault_ka: float) -> dict[str, float]:
        supply = {"system": "480Y/277", "fault_current": f"{fault_ka} kA"}
        return study_of("fault", job_of(WYE, supply)).answers

    weak, stiff = answers(kilo), answers(kilo * more)
    for key in ("secondary_a", "line_ground_a", "maximum_a", "least_a"):
        assert weak[key] < stiff[key]


@given(factor=st.floats(0.5, 1.5))
@settings(max_examples=10)
def test_the_voltage_factor_raises_every_largest_fault_by_itself(factor: float) -> None:
    plain, raised = (study_of("fault", JOBS["wye"], voltage_factor=c).answers for c in (1.0, factor))
    assert raised["secondary_a"] == pytest.approx(factor * plain["secondary_a"], rel=1e-9)
    assert raised["maximum_a"] == pytest.approx(factor * plain["maximum_a"], rel=1e-9)
    assert raised["least_a"] == pytest.approx(plain["least_a"], rel=1e-9)


@pytest.mark.parametrize("factor", [0.0, -1.0, 2.5, float("nan"), inf])
def test_a_voltage_factor_that_cannot_be_is_refused(factor: float) -> None:
    with pytest.raises(InputError, match="no factor of a voltage") as caught:
        study_of("fault", JOBS["wye"], voltage_factor=factor)
    assert caught.value.code == "EXM-05"


@given(fault_a=st.floats(100.0, 200e3), x_over_r=st.floats(0.0, 100.0))
def test_a_device_is_never_asked_for_less_than_the_fault(fault_a: float, x_over_r: float) -> None:
    from turnwright.examine.fault_formulas import interrupting_a

    for device, regime in (("breaker", "us"), ("fuse", "us"), ("breaker", "iec"), ("fuse", "iec")):
        row = device_class(fault_a, x_over_r, device, regime)
        needed = interrupting_a(fault_a, x_over_r, row.number("test_x_over_r"))
        assert needed >= fault_a
        through = row.optional("rating_through_a")
        assert through is None or needed <= through


def test_classes_of_interrupting_rating() -> None:
    """UL 489: 1.73 up to 10 kA, 3.18 up to 20 kA, 4.9 above; a fault that peaks higher takes the next class."""
    ratios = [
        float(device_class(a, x, "breaker", "us").number("test_x_over_r"))
        for a, x in ((10e3, 1.73), (10e3, 1.8), (15e3, 3.0), (21e3, 1.0))
    ]
    assert ratios == [1.73, 3.18, 3.18, 4.9]


def test_what_is_not_known_is_not_rated() -> None:
    study = study_of("fault", JOBS["infinite source"])
    before = study.answers["interrupting"][0]
    assert (before["fault_a"], before["needed_a"]) == (None, None)
    assert "supply-fault-unknown" in {finding.code for finding in study.findings}
    assert "supply.fault_current" in {question.key for question in study.questions}


def test_a_panel_that_is_rated_too_low_is_a_stop() -> None:
    supply = {"system": "480Y/277", "fault_current": "30 kA", "panel_fault_rating": "22 kA"}
    finding = next(f for f in study_of("fault", job_of(WYE, supply)).findings if f.severity == "stop")
    assert (finding.code, finding.limit) == ("panel-fault-rating", 22e3)
    assert finding.clause is not None and "110.9" in finding.clause


def test_motors_add_their_share_in_line() -> None:
    """Four times the full-load current of the motors that run (common practice)."""
    answers = study_of("fault", JOBS["delta"]).answers
    motors_kva = select(job_from_mapping(JOBS["delta"])).blocks
    assert motors_kva is not None
    assert answers["motor_contribution_a"] == pytest.approx(
        4 * motors_kva.currents.secondary_load_a, rel=1e-9
    )
    largest = [one for one in answers["faults"] if one["condition"] == "largest"]
    for one in largest:
        assert one["total_a"] - one["current_a"] == pytest.approx(answers["motor_contribution_a"], rel=1e-9)


def test_a_unit_beside_the_line_needs_the_supply() -> None:
    job = job_of(
        {"system": "480Y/277", "kva": "20 kVA"}, {"system": "480 3ph"}, choices={"arrangement": "zig-zag"}
    )
    study = study_of("fault", job)
    assert (study.verdict, study.questions[0].key) == ("needs-input", "supply.fault_current")


def test_a_line_that_passes_straight_through_is_limited_by_the_supply_alone() -> None:
    load = {"system": "230 1ph", "kva": "3 kVA"}
    choices = {"arrangement": "buck-boost"}
    study = study_of("fault", job_of(load, {"system": "208Y/120"}, choices=choices))
    assert study.answers["limited_by_supply_alone"] == ["line-ground"]
    assert study.answers["maximum_a"] is None and study.answers["secondary_a"] > 0
    assert [one["needed_a"] for one in study.answers["interrupting"]] == [None, None]
    assert "straight-line" in {finding.code for finding in study.findings}
    known = study_of("fault", job_of(load, {"system": "208Y/120", "fault_current": "10 kA"}, choices=choices))
    assert known.answers["limited_by_supply_alone"] == []
    assert known.answers["line_ground_a"] == pytest.approx(10e3, rel=1e-6)


def test_no_ground_fault_where_the_supply_is_not_earthed() -> None:
    found = subject(
        job_of({"system": "400Y/230", "kva": "40 kVA"}, choices={"arrangement": "autotransformer"})
    )
    output = replace(found.sized.proposal, output=parse_system("400 3ph", where="test"))
    for grounding, earthed in ((None, True), ("solid", True), ("ungrounded", False), ("resistance", False)):
        supply = replace(found.case.supply, grounding=grounding)
        other = replace(
            found, case=replace(found.case, supply=supply), sized=replace(found.sized, proposal=output)
        )
        assert other.earthed is earthed
        answer = study(other, Options(), Ledger())
        assert ("line-ground" in {one["kind"] for one in answer.answers["faults"]}) is earthed
        assert ("first-ground-fault" in {finding.code for finding in answer.findings}) is not earthed


def test_another_regime_raises_and_lowers_its_voltage_and_counts_its_own_conductors() -> None:
    """IEC 60909-0: c of 1.10 and 0.90 at low voltage; IEC 60364-5-52 Annex G: 0.0225 ohm·mm²/m in service."""
    job = job_of(
        {"system": "400Y/230", "kva": "20 kVA"},
        {"system": "400Y/230", "fault_current": "15 kA"},
        regime="iec",
        circuit={"secondary_length": "30 m", "conductor": "copper"},
    )
    study_ = study_of("fault", job)
    assert (study_.answers["voltage_factor"], study_.answers["voltage_factor_least"]) == (1.10, 0.90)
    plain = study_of("fault", job, voltage_factor=1.0).answers
    assert study_.answers["secondary_a"] == pytest.approx(1.1 * plain["secondary_a"], rel=1e-9)
    working = {line.name: line for line in study_.working}
    warm, cold = (working[f"runs.secondary.{state}.r_ohm"].value for state in ("warm", "cold"))
    area = working["runs.secondary.warm.r_ohm_per_m"].with_["area_mm2"]
    assert warm == pytest.approx(0.0225 / area * 30, rel=1e-9)
    assert cold == pytest.approx(warm / 1.25, rel=1e-9)


@given(x_over_r=st.floats(0.1, 50.0))
def test_the_curve_of_a_fault_starts_at_nothing_and_peaks_as_it_is_said(x_over_r: float) -> None:
    from turnwright.circuit.studies.fault import peak_factor

    hz, rms = 60.0, 1000.0
    samples = [current_at(k / 4800 / hz, rms, x_over_r, hz) for k in range(4801)]
    assert samples[0] == pytest.approx(0.0, abs=1e-9)
    assert max(samples) == pytest.approx(rms * peak_factor(x_over_r), rel=1e-5)


def test_the_curve_of_a_fault_without_resistance_or_reactance() -> None:
    assert current_at(1 / 120, 1.0, inf, 60.0) == pytest.approx(2 * sqrt(2))
    assert current_at(1 / 240, 1.0, 0.0, 60.0) == pytest.approx(sqrt(2))
