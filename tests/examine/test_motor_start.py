"""Motor starts: the answer to the job, the divider by hand, laws, limits."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.errors import InputError
from turnwright.examine.motor_formulas import largest_start_kva, start_dip_pct
from turnwright.intake import job_from_mapping
from turnwright.narrow import select

from .conftest import job_of, study_of

MOTOR = {"system": "230 3ph", "hp": "15 hp", "locked_rotor_code": "G", "start": "across the line"}
JOBS = {
    "delta": job_of(MOTOR),
    "wye": job_of({"system": "200 3ph", "hp": "10 hp"}),
    "stated": job_of({**MOTOR, "start_current": "5 x"}),
    "impedance stated": job_of(MOTOR, choices={"impedance": "4.5 %"}),
    "two wires": job_of({"system": "230 1ph", "hp": "5 hp"}),
    "weak": job_of(MOTOR, {"system": "480Y/277"}),
}


def rows(answers: dict, key: str) -> dict:
    return {one["method"]: one for one in answers[key]}


@pytest.mark.parametrize("name", JOBS)
def test_agrees_with_the_answer_to_the_job(name: str) -> None:
    blocks = select(job_from_mapping(JOBS[name]), ask=False).blocks
    assert blocks is not None
    answers = study_of("motor-start", JOBS[name]).answers
    assert answers["start_dip_pct"] == pytest.approx(blocks.voltage.start_dip_pct, rel=1e-9)


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("factor", [None, 0.2, 0.9])
def test_the_divider_by_hand_is_equal(name: str, factor: float | None) -> None:
    study = study_of("motor-start", JOBS[name], power_factor=factor)
    working = {line.name: line for line in study.working}
    dip = working["answers.start_dip_pct"]
    assert dip.with_["by_hand_pct"] == pytest.approx(dip.value, rel=1e-9)
    for number in range(2):
        line = working[f"answers.largest_motor[{number}].start_kva"]
        assert line.with_["by_hand_kva"] == pytest.approx(line.value, rel=1e-8)


@given(dip=st.floats(0.5, 60.0), behind=st.floats(10.0, 1e6), angle=st.floats(-80.0, 80.0))
def test_the_largest_start_dips_as_far_as_it_may(dip: float, behind: float, angle: float) -> None:
    kva = largest_start_kva(dip_pct=dip, short_circuit_kva=behind, angle_deg=angle)
    assert start_dip_pct(start_kva=kva, short_circuit_kva=behind, angle_deg=angle) == pytest.approx(
        dip, rel=1e-9
    )


def test_the_angle_in_line_is_the_worst() -> None:
    worst = study_of("motor-start", JOBS["delta"]).answers["start_dip_pct"]
    for factor in (0.05, 0.2, 0.4, 0.8, 1.0):
        assert study_of("motor-start", JOBS["delta"], power_factor=factor).answers["start_dip_pct"] <= worst


def test_ways_of_starting_draw_what_the_trade_says() -> None:
    """A third in star delta, 65 % on part of the winding, 4 and 1.5 times full load by starter and drive."""
    answers = study_of("motor-start", JOBS["delta"]).answers
    kva = {method: row["start_kva"] for method, row in rows(answers, "methods").items()}
    direct = kva["across the line"]
    assert direct == pytest.approx(15 * 6.29, rel=1e-9)  # NEC Table 430.7(B), letter G, upper end
    assert kva["star delta"] == pytest.approx(direct * 0.334, rel=1e-9)
    assert kva["part winding"] == pytest.approx(direct * 0.65, rel=1e-9)
    full_load = 3**0.5 * 240 * 42 / 1000  # NEC Table 430.250: 42 A
    assert kva["soft starter"] == pytest.approx(4 * full_load, rel=1e-9)
    assert kva["drive"] == pytest.approx(1.5 * full_load, rel=1e-9)


def test_a_stated_current_belongs_to_its_own_way_of_starting() -> None:
    kva = {
        name: {
            method: row["start_kva"]
            for method, row in rows(study_of("motor-start", job).answers, "methods").items()
        }
        for name, job in {
            "direct": job_of({**MOTOR, "start_current": "5 x"}),
            "soft": job_of({**MOTOR, "start_current": "3 x", "start": "soft starter"}),
        }.items()
    }
    full_load = 3**0.5 * 240 * 42 / 1000
    assert kva["direct"]["across the line"] == pytest.approx(5 * full_load)
    assert kva["direct"]["star delta"] == pytest.approx(5 * full_load * 0.334)
    assert kva["soft"]["soft starter"] == pytest.approx(3 * full_load)
    assert kva["soft"]["across the line"] == pytest.approx(15 * 6.29)


@pytest.mark.parametrize("name", JOBS)
def test_the_smallest_unit_keeps_the_limit_and_the_next_one_down_does_not(name: str) -> None:
    job = JOBS[name]
    study = study_of("motor-start", job)
    smallest = study.answers["smallest_unit_kva"][study.answers["method"]]
    limit = 20.0
    sizes = [s for s in _sizes(study.pick.phases) if s < smallest]

    def dip(kva: float) -> float:
        choices = {**job.get("choices", {}), "kva": f"{kva} kVA"}
        return float(study_of("motor-start", {**job, "choices": choices}).answers["start_dip_pct"])

    assert dip(smallest) <= limit
    if sizes:
        assert dip(sizes[-1]) > limit


def _sizes(phases: int) -> list[float]:
    from turnwright.reference import load

    return [float(kva) for kva in load("standard_kva").newest().where(phases=phases).column("kva")]


def test_the_largest_motor_of_the_table_fits_and_the_next_does_not() -> None:
    answers = study_of("motor-start", JOBS["delta"]).answers
    row = answers["largest_motor"][0]
    direct = rows(row, "methods")["across the line"]
    assert direct["full_load_kva"] == pytest.approx(row["start_kva"] / 6, rel=1e-9)
    table = {
        5: 15.2,
        7.5: 22,
        10: 28,
        15: 42,
        20: 54,
        25: 68,
        30: 80,
        40: 104,
        50: 130,
    }  # NEC Table 430.250, 230 V
    kva = {hp: 3**0.5 * 240 * amperes / 1000 for hp, amperes in table.items()}
    assert kva[direct["hp"]] <= direct["full_load_kva"]
    larger = min(hp for hp in kva if hp > direct["hp"])
    assert kva[larger] > direct["full_load_kva"]


@given(more=st.floats(1.05, 4.0))
@settings(max_examples=8)
def test_more_impedance_dips_more(more: float) -> None:
    def dip(z_pct: float) -> float:
        job = job_of(MOTOR, choices={"impedance": f"{z_pct} %", "kva": "75 kVA"})
        return float(study_of("motor-start", job).answers["dip_pct"])

    assert dip(2.0 * more) > dip(2.0)


def test_a_limit_of_the_job_that_is_passed_is_a_stop_with_gentler_ways() -> None:
    motor = {**MOTOR, "start_dip_limit": "2 %"}
    study = study_of("motor-start", job_of(motor, choices={"kva": "30 kVA"}))
    codes = {finding.code: finding for finding in study.findings}
    assert study.verdict == "refused"
    assert codes["start-dip"].severity == "stop" and codes["start-dip"].known == "given"
    assert "gentler-start" in codes


def test_contactors_that_drop_out_are_told() -> None:
    """65 to 70 % of rated voltage (common practice)."""
    study = study_of("motor-start", job_of({"system": "230 3ph", "hp": "15 hp"}, choices={"kva": "9 kVA"}))
    finding = next(f for f in study.findings if f.code == "contactors")
    assert study.answers["voltage_left_pct"] < finding.limit == 70
    assert finding.known == "common practice"


def test_torque_goes_with_the_square_of_the_voltage() -> None:
    answers = study_of("motor-start", JOBS["delta"]).answers
    for method, share in (("across the line", 1.0), ("star delta", 0.334)):
        row = rows(answers, "methods")[method]
        assert row["torque_pct"] == pytest.approx(
            100 * share * (row["voltage_left_pct"] / 100) ** 2, rel=1e-9
        )
    assert rows(answers, "methods")["drive"]["torque_pct"] is None


def test_a_job_without_motors_says_what_could_start() -> None:
    study = study_of("motor-start", job_of({"system": "208Y/120", "kva": "40 kVA"}))
    assert study.verdict == "answered"
    assert study.answers["motors"] == []
    assert study.answers["largest_motor"][0]["dip_pct"] == 15


def test_a_motor_on_half_a_winding_sees_its_impedance() -> None:
    """A 115 V motor on 120/240: the half winding has more impedance on its own volts than the whole one."""
    whole = study_of(
        "motor-start",
        job_of({"system": "230 1ph", "hp": "2 hp"}, choices={"secondary": "120/240 1ph", "kva": "10 kVA"}),
    )
    half = study_of(
        "motor-start",
        job_of({"system": "115 1ph", "hp": "2 hp"}, choices={"secondary": "120/240 1ph", "kva": "10 kVA"}),
    )
    assert half.answers["start_dip_pct"] > whole.answers["start_dip_pct"]


@pytest.mark.parametrize("factor", [0.0, -0.5, 1.2, float("nan")])
def test_a_power_factor_that_cannot_be_is_refused(factor: float) -> None:
    with pytest.raises(InputError, match="no power factor") as caught:
        study_of("motor-start", JOBS["delta"], power_factor=factor)
    assert caught.value.code == "EXM-05"
