"""Conductors by the rating of the transformer, against published Canadian training examples."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from turnwright.reference import load
from turnwright.regimes import RunNeed
from turnwright.regimes.ca.conductors import Conductors
from turnwright.regimes.common.ampacity import Surroundings
from turnwright.working import CLOSED, Ledger

CONDUCTORS = Conductors("2024")
PLAIN = RunNeed(
    side="primary",
    device_a=1.0,
    load_a=1.0,
    design_a=1.0,
    before_a=None,
    next_size_up=True,
    metal="copper",
    terminals_c=75.0,
    ambient_c=30.0,
    counted=3,
    conductors=3,
    raceway="steel",
    length_m=None,
    voltage_v=600.0,
    phases=3,
    power_factor=None,
    rated_a=96.225,
)


@pytest.mark.parametrize("side", ["primary", "secondary"])
def test_100_kva_at_75_degrees(example, side):
    printed = example("ca-100kva-600-208")["printed"]
    ledger = Ledger()
    plan = CONDUCTORS(replace(PLAIN, side=side, rated_a=printed[f"{side}_a"]), ledger)
    least_a = ledger.steps[f"conductors.{side}.least_by_rated_a"].value
    assert least_a == pytest.approx(printed[f"{side}_least_a"], abs=0.01)
    assert (plan.size, plan.sets) == (printed[f"{side}_size"], 1)
    assert plan.ampacity_a == printed[f"{side}_ampacity_a"]


@pytest.mark.parametrize(
    ("device_a", "size", "sets"),
    [
        # Table 2: 500 kcmil carries 380 A, the next rating of Table 13 is 400 A
        (400.0, "500 kcmil", 1),
        # over 800 A nothing is rounded up: three of 350 kcmil carry 930 A, of 400 kcmil 1005 A
        (1000.0, "400 kcmil", 3),
    ],
)
def test_the_next_rating_above_the_ampacity_up_to_800_a(device_a, size, sets):
    """14-104(1)(a)."""
    plan = CONDUCTORS(replace(PLAIN, device_a=device_a, rated_a=1.0), CLOSED)
    assert (plan.size, plan.sets) == (size, sets)


def test_15_kva_secondary_of_52_a(example):
    printed = example("ca-15kva-600-208")["printed"]
    ledger = Ledger()
    CONDUCTORS(replace(PLAIN, rated_a=printed["secondary_a"]), ledger)
    assert ledger.steps["conductors.primary.least_by_rated_a"].value == pytest.approx(
        printed["secondary_least_a"], abs=0.1
    )


def test_the_ambient_factor_of_the_feeder_example(example):
    case = example("ca-75kva-40c")
    row = next(r for r in load("ca_ambient_factors").at("2024").rows if r.number("ambient_through_c") == 40)
    assert row.number("factor_75c") == case["printed"]["factor_75c"]
    ledger = Ledger()
    CONDUCTORS(replace(PLAIN, rated_a=case["printed"]["primary_a"]), ledger)
    assert ledger.steps["conductors.primary.least_by_rated_a"].value == pytest.approx(
        case["printed"]["primary_least_a"], abs=0.01
    )


@pytest.mark.parametrize(("edition", "rule"), [("2015", "26-258"), ("2018", "26-256"), ("2024", "26-256")])
def test_the_rule_is_cited_by_its_number_in_the_edition(edition, rule):
    ledger = Ledger()
    Conductors(edition)(PLAIN, ledger)
    assert ledger.steps["conductors.primary.least_by_rated_a"].source == f"CEC {edition} {rule}"


def test_ampacity_agrees_with_the_table_south_of_the_border():
    """Tables 2 and 4 equal those of the neighbour's code for 60 to 90 °C since 2012; both were read apart."""
    there = load("nec_310_16").at("2023")
    for row in load("ca_ampacity").at("2024").rows:
        twin = there.row(size=str(row.text("size")))
        for metal in ("cu", "al"):
            for column in (60, 75, 90):
                here_a, there_a = (r.optional(f"{metal}_{column}c_a") for r in (row, twin))
                if row.text("size") == "12 AWG" and metal == "al":
                    continue
                assert here_a == there_a, (row.text("size"), metal, column)


def test_a_device_above_125_pct_binds_conductors_that_rely_on_it():
    """26-256(4): 187.5 A as the secondary sees it is above 125 % of 135.3 A; then the ampacity itself must suit it."""
    need = replace(PLAIN, side="secondary", rated_a=135.3, device_a=135.3)
    assert CONDUCTORS(need, CLOSED).size == "2/0 AWG"
    within = replace(need, relies_on_before=True, before_a=156.25)
    assert CONDUCTORS(within, CLOSED).size == "2/0 AWG"
    above = replace(need, relies_on_before=True, before_a=187.5)
    assert CONDUCTORS(above, CLOSED).size == "3/0 AWG"


def test_small_conductors_have_small_devices():
    """14-104(2): 15 A on 14 AWG, 20 A on 12 AWG, 30 A on 10 AWG copper (memory)."""
    sizes = [
        CONDUCTORS(replace(PLAIN, rated_a=None, device_a=float(a)), CLOSED).size for a in (15, 20, 30, 40)
    ]
    assert sizes == ["14 AWG", "12 AWG", "10 AWG", "8 AWG"]


def test_drop_by_table_d3():
    """1/0 AWG copper in raceway at 90 % power factor: Table D3 prints k = 0.414 ohm/km; √3 · k · I · L / V."""
    plan = CONDUCTORS(replace(PLAIN, load_a=100.0, length_m=100.0, power_factor=0.9, rated_a=120.0), CLOSED)
    assert plan.size == "1/0 AWG"
    printed = 3**0.5 * 0.414 * 100 * 100 / 1000 / 600 * 100
    assert plan.drop_pct == pytest.approx(printed, rel=0.04)
    assert plan.drop_pct >= printed * 0.97


def test_without_a_power_factor_the_worst_one_counts():
    known = [
        CONDUCTORS(
            replace(PLAIN, load_a=100.0, length_m=50.0, power_factor=pf, device_a=150.0), CLOSED
        ).drop_pct
        for pf in (0.6, 0.8, 0.9, 1.0)
    ]
    unknown = CONDUCTORS(replace(PLAIN, load_a=100.0, length_m=50.0, device_a=150.0), CLOSED).drop_pct
    assert unknown >= max(known)


def test_four_insulated_conductors_by_table_5c():
    wires = {w.size: w for w in CONDUCTORS.ampacities.wires(Surroundings("copper", 75, 40.0, 4))}
    assert wires["3/0 AWG"].corrected_a == pytest.approx(225 * 0.91 * 0.8)


def test_a_place_too_hot_for_any_conductor_is_told():
    plan = CONDUCTORS(replace(PLAIN, ambient_c=120.0), CLOSED)
    assert [finding.code for finding in plan.findings] == ["no-primary-conductor"]


AMPS = st.floats(min_value=1, max_value=1000)


@given(rated=AMPS, device=AMPS, ambient=st.floats(0, 60), counted=st.integers(3, 24))
def test_conductors_have_125_pct_of_the_rating_and_suit_their_device(rated, device, ambient, counted):
    plan = CONDUCTORS(
        replace(PLAIN, rated_a=rated, device_a=device, ambient_c=ambient, counted=counted), CLOSED
    )
    if plan.sets == 0:
        return
    assert plan.ampacity_a >= 1.25 * rated * (1 - 1e-9)
    if device > 800:
        assert plan.ampacity_a >= device * (1 - 1e-9)
