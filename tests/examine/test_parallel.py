"""Units in parallel: equal ones, different ones, those that must not be joined."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.errors import InputError
from turnwright.intake import unit_from_mapping

from .conftest import job_of, study_of

LOAD = {"system": "208Y/120", "kva": "100 kVA", "power_factor": 0.9}


def plate(name: str, **keys: str) -> object:
    usual = {
        "kva": "75 kVA",
        "primary": "480 delta",
        "secondary": "208Y/120",
        "impedance": "4 %",
        "resistance": "2 %",
    }
    return unit_from_mapping({"unit": name, **usual, **keys})


def units(*plates: object, load: dict = LOAD, **tables: object):
    return study_of("parallel", job_of(load, **tables), unit=tuple(plates))


def test_equal_units_share_evenly_and_nothing_circulates() -> None:
    study = units(plate("A"), plate("B"))
    one, two = study.answers["units"]
    assert one["load_a"] == pytest.approx(two["load_a"], rel=1e-9)
    assert one["load_a"] == pytest.approx(50e3 / (3**0.5 * 208), rel=1e-6)
    assert one["circulating_a"] == pytest.approx(0.0, abs=1e-6)
    assert study.answers["limit_kva"] == pytest.approx(150, rel=1e-6)
    assert study.verdict == "answered"


def test_the_pick_twice_is_loaded_unequally_within_its_tolerance() -> None:
    study = study_of("parallel", job_of(LOAD, choices={"impedance": "4 %"}))
    one, two = study.answers["units"]
    assert one["load_pct"] == pytest.approx(two["load_pct"], rel=1e-9)
    # 4 % less and more 7.5 %: the shares go as 4.3 to 3.7
    assert one["worst_pct"] / one["load_pct"] == pytest.approx(2 * 4.3 / 8.0, rel=1e-6)


def test_one_tap_step_apart_by_hand() -> None:
    """2.5 % of voltage over twice 4 %: 31.25 % of rated current, less the step on the higher side."""
    study = units(plate("A"), plate("B"))
    rated = 75e3 / (3**0.5 * 208)
    assert study.answers["circulating_one_tap_apart_a"] == pytest.approx(0.3125 * rated, rel=0.03)


@pytest.mark.parametrize(
    ("other", "code"),
    [
        ({"primary": "480Y/277"}, "displacement-differs"),
        ({"primary": "480 1ph", "secondary": "208 1ph"}, "phases-differ"),
    ],
)
def test_units_that_must_not_be_joined_are_refused(other: dict, code: str) -> None:
    study = units(plate("A"), plate("B", **other))
    assert study.verdict == "refused" and study.answers["possible"] is False
    assert code in {finding.code for finding in study.findings if finding.severity == "stop"}


def test_thirty_degrees_drive_half_a_short_circuit_current() -> None:
    """2 sin 15° over twice 4 %: 647 % of rated current."""
    study = units(plate("A"), plate("B", primary="480Y/277"))
    assert study.answers["circulating_pct"] == pytest.approx(647, rel=1e-3)


def test_ratios_far_apart_are_a_near_short() -> None:
    study = units(plate("A"), plate("B", primary="440 delta"))
    assert study.verdict == "refused"
    assert {"near-short", "ratio-differs"} <= {finding.code for finding in study.findings}


def test_units_that_cannot_feed_the_load_are_refused() -> None:
    study = units(plate("A"), plate("B"), load={"system": "240 3ph", "kva": "40 kVA"})
    assert study.verdict == "refused"
    assert "load-not-served" in {finding.code for finding in study.findings}


def test_a_load_too_large_for_one_unit_can_be_asked_of_two() -> None:
    study = units(
        plate("A", kva="1000 kVA"), plate("B", kva="1000 kVA"), load={"system": "208Y/120", "kva": "1600 kVA"}
    )
    assert study.verdict == "answered"
    assert study.answers["units"][0]["load_pct"] == pytest.approx(80, rel=1e-6)


@given(
    z_a=st.floats(2.0, 8.0),
    z_b=st.floats(2.0, 8.0),
    kva_a=st.floats(10.0, 200.0),
    kva_b=st.floats(10.0, 200.0),
)
@settings(max_examples=15)
def test_shares_go_inversely_as_the_impedances(z_a: float, z_b: float, kva_a: float, kva_b: float) -> None:
    """Of equal X/R: S_a / S_b = (kVA_a / z_a) / (kVA_b / z_b), and the whole load is carried."""
    study = units(
        plate("A", kva=f"{kva_a} kVA", impedance=f"{z_a} %", resistance=f"{z_a * 0.6} %"),
        plate("B", kva=f"{kva_b} kVA", impedance=f"{z_b} %", resistance=f"{z_b * 0.6} %"),
        load={"system": "208Y/120", "kva": "30 kVA", "power_factor": 0.9},
    )
    one, two = study.answers["units"]
    assert one["load_a"] / two["load_a"] == pytest.approx(kva_a / z_a / (kva_b / z_b), rel=1e-6)
    assert one["load_kva"] + two["load_kva"] == pytest.approx(30, rel=1e-6)


def test_impedances_apart_and_switching_are_told() -> None:
    findings = {
        f.code: f for f in units(plate("A"), plate("B", impedance="5 %", resistance="2.5 %")).findings
    }
    assert findings["impedances-differ"].limit == 10 and findings["impedances-differ"].value == pytest.approx(
        25
    )
    assert "450.7" in (findings["parallel-protection"].clause or "")


def test_an_impedance_that_is_not_stated_is_asked() -> None:
    other = unit_from_mapping({"unit": "B", "kva": "75 kVA", "primary": "480 delta", "secondary": "208Y/120"})
    study = units(plate("A"), other)
    assert [question.key for question in study.questions] == ["unit[1].impedance"]


def test_a_quantity_stands_for_equal_units() -> None:
    study = units(plate("A", quantity="3"))
    assert [one["unit"] for one in study.answers["units"]] == ["A (1)", "A (2)", "A (3)"]


@pytest.mark.parametrize(
    ("plates", "said"),
    [
        ([plate("A")], "nothing to share"),
        (
            [plate("A"), unit_from_mapping({"unit": "B", "primary": "480 delta", "secondary": "208Y/120"})],
            "kVA",
        ),
        ([plate("A"), unit_from_mapping({"unit": "B", "kva": "75", "secondary": "208Y/120"})], "winding"),
    ],
)
def test_units_that_cannot_be_used_are_told(plates: list, said: str) -> None:
    with pytest.raises(InputError, match=said) as caught:
        units(*plates)
    assert caught.value.code == "EXM-06"


def test_an_arrangement_of_several_units_is_not_doubled() -> None:
    job = job_of({"system": "240 3ph", "kva": "20 kVA"}, choices={"arrangement": "open delta"})
    assert study_of("parallel", job).verdict == "needs-input"
