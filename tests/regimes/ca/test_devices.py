"""Devices of dry types against published Canadian training examples and the laws of the limits."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.regimes import DeviceNeed
from turnwright.regimes.ca import EDITIONS
from turnwright.regimes.ca.devices import Devices
from turnwright.working import CLOSED, Ledger

DEVICES = Devices("2024")
AMPS = st.floats(min_value=0.5, max_value=2000, allow_nan=False)


def rated_a(kva, volts):
    return kva * 1000 / volts / 3**0.5


def need(primary_a, secondary_a, load=0.7, **other):
    facts = {
        "primary_rated_a": primary_a,
        "secondary_rated_a": secondary_a,
        "primary_design_a": primary_a * load,
        "secondary_design_a": secondary_a * load,
        "kind": None,
        "existing_primary_a": None,
        "wanted_secondary_a": (),
        "covered": False,
        "autotransformer": False,
    }
    return DeviceNeed(**(facts | other))


@pytest.mark.parametrize("name", ["ca-15kva-600-208", "ca-50kva-600-240"])
def test_primary_device_of_125_pct_next_size_up(example, name):
    case = example(name)
    inputs, printed = case["inputs"], case["printed"]
    primary_a = rated_a(inputs["kva"], inputs["primary_v"])
    assert primary_a == pytest.approx(printed["primary_a"], abs=0.05)
    ledger = Ledger()
    plan = DEVICES(need(primary_a, rated_a(inputs["kva"], inputs["secondary_v"])), ledger).protection
    limit_a = ledger.steps["protection.primary_only_max_a.percent_a"].value
    assert limit_a == pytest.approx(printed["device_125_a"], abs=0.05)
    assert plan.primary_only_max_a == printed["device_a"]


def test_secondary_and_feeder_device_are_not_rounded_up():
    """26-254(2): 125 % of 138.8 A is 173.5 A, 300 % of 48.1 A is 144.3 A; subrule (3) rounds up the primary alone."""
    plan = DEVICES(need(48.1, 138.8), CLOSED).protection
    assert (plan.secondary_max_a, plan.primary_with_secondary_max_a) == (150, 125)


def test_no_bands_for_small_currents():
    """Dry types have 125 % at any current; the bands at 9 A and 2 A are of another rule (so a trade forum too)."""
    for primary_a in (1.5, 5.0, 8.9):
        ledger = Ledger()
        DEVICES(need(primary_a, 20.0), ledger)
        assert ledger.steps["protection.primary_only_max_a.percent_a"].value == pytest.approx(
            1.25 * primary_a
        )


def test_without_a_device_after_it_nothing_is_wrong():
    """26-254(1): where no rating within 125 % carries the load, the primary device protects both sides."""
    plan = DEVICES(need(48.1, 120.3, load=1.249), CLOSED)
    assert plan.protection.secondary_devices_a == ()
    assert [(finding.code, finding.severity) for finding in plan.findings] == [
        ("no-secondary-device", "note")
    ]
    assert plan.protection.primary_a == plan.protection.primary_only_max_a == 70


def test_an_existing_device_above_300_pct_is_told():
    plan = DEVICES(need(48.1, 120.3, existing_primary_a=200.0), CLOSED)
    assert "primary-device-too-large" in {finding.code for finding in plan.findings}


@pytest.mark.parametrize(
    ("edition", "rule"), [("2015", "26-256"), ("2018", "26-254"), ("2021", "26-254"), ("2024", "26-254")]
)
def test_the_rule_is_cited_by_its_number_in_the_edition(edition, rule):
    ledger = Ledger()
    Devices(edition)(need(48.1, 120.3), ledger)
    assert ledger.steps["protection.primary_only_max_a.percent_a"].source == f"CEC {edition} {rule}"


def test_every_edition_gives_the_same_numbers():
    plans = {Devices(edition)(need(48.1, 120.3), CLOSED).protection for edition in EDITIONS}
    assert len(plans) == 1


@given(primary_a=AMPS, ratio=st.floats(0.1, 10), load=st.floats(0.1, 1.25))
def test_a_chosen_device_is_never_above_its_limit_nor_below_the_load(primary_a, ratio, load):
    facts = need(primary_a, primary_a * ratio, load)
    plan = DEVICES(facts, CLOSED).protection
    both = bool(plan.secondary_devices_a)
    if both:
        assert (
            facts.secondary_design_a * (1 - 1e-9)
            <= plan.secondary_a
            <= 1.25 * facts.secondary_rated_a * (1 + 1e-9)
        )
    if plan.primary_a is not None:
        limit_a = max(plan.primary_only_max_a, (both and plan.primary_with_secondary_max_a) or 0.0)
        assert facts.primary_design_a * (1 - 1e-9) <= plan.primary_a <= limit_a


@pytest.mark.parametrize(
    ("change", "codes"),
    [
        # 26-254: 300 % of 48.1 A is 144.3 A, 125 A of the series; 125 % of 138.8 A is 173.5 A, 150 A of the series
        ({"existing_primary_a": 125.0}, []),
        ({"existing_primary_a": 126.0}, ["primary-device-too-large"]),
        ({"existing_primary_a": 33.7}, []),
        ({"existing_primary_a": 33.6}, ["primary-device-too-small"]),
        ({"wanted_secondary_a": (150.0,)}, []),
        ({"wanted_secondary_a": (100.0, 51.0)}, ["secondary-devices-too-large"]),
    ],
)
def test_given_devices_are_judged_at_their_limits(change, codes):
    assert [finding.code for finding in DEVICES(need(48.1, 138.8, **change), CLOSED).findings] == codes
