"""Devices against published worked examples (data/worked_examples.yaml names each source) and the limits' own laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.regimes import DeviceNeed
from turnwright.regimes.us.devices import Devices, chosen_a, next_standard_a, standard_within_a
from turnwright.working import CLOSED, Ledger

DEVICES = Devices("2023")
AMPS = st.floats(min_value=0.3, max_value=2000, allow_nan=False)


def need(primary_a, secondary_a, load=0.8, **other):
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


def test_75_kva_on_480_v_takes_125_a_alone(example):
    case = example("nec450-75kva-ecmag")
    primary_a = case["recomputed"]["primary_current"]["value"]
    plan = DEVICES(need(primary_a, 208.18), CLOSED).protection
    assert plan.primary_only_max_a == case["recomputed"]["x_next_standard"]["value"] == 125
    assert plan.primary_with_secondary_max_a == 225  # 250 % is 225.5 A, never up
    assert plan.secondary_max_a == 300  # 125 % is 260.2 A, next size up


def test_fuse_of_a_small_unit_is_not_rounded_up(example):
    case = example("nec450-1k5va-fuse")
    primary_a = case["recomputed"]["primary_current"]["value"]
    plan = DEVICES(need(primary_a, 12.5, kind="fuse"), CLOSED).protection
    assert plan.primary_with_secondary_max_a == case["recomputed"]["largest_standard_fuse"]["value"] == 6


def test_25_kva_single_phase_percentages(example):
    case = example("nec450-25kva-1ph-52a")["recomputed"]
    ledger = Ledger()
    DEVICES(need(case["primary_current"]["value"], 104.2), ledger)
    limits = {
        name: ledger.steps[f"protection.{name}.percent_a"].value
        for name in ("primary_only_max_a", "primary_with_secondary_max_a")
    }
    assert limits["primary_only_max_a"] == pytest.approx(case["x_limit_125_percent"]["value"], rel=1e-6)
    assert limits["primary_with_secondary_max_a"] == pytest.approx(
        case["x_limit_250_percent"]["value"], rel=1e-6
    )


def test_200_kva_picks_are_those_the_quiz_offers(example):
    case = example("nec450-200kva-ecm-quiz2-4")
    primary_a, secondary_a = 200e3 / 480 / 3**0.5, 200e3 / 208 / 3**0.5
    plan = DEVICES(need(primary_a, secondary_a), CLOSED).protection
    assert plan.primary_with_secondary_max_a == 600
    assert plan.primary_with_secondary_max_a in case["inputs"]["options_q3"]
    assert plan.secondary_max_a == 700
    assert plan.secondary_max_a in case["inputs"]["options_q4"]


@pytest.mark.parametrize(
    ("primary_a", "limit_a"),
    [(40.0, 50), (36.0844, 50), (9.0, 15), (8.99, 15), (2.0, 3), (1.99, 3), (1.0, 3)],
)
def test_primary_only_bands_of_table_450_3b(primary_a, limit_a):
    """125 % up, 167 % not up below 9 A, 300 % not up below 2 A: NEC Table 450.3(B), by hand, fuse ratings."""
    plan = DEVICES(need(primary_a, 20.0, kind="fuse"), CLOSED).protection
    assert plan.primary_only_max_a == limit_a


def test_125_pct_that_is_a_standard_rating_is_not_rounded_up():
    ratings = DEVICES.ratings["breaker"]
    for rating in ratings:
        assert next_standard_a(rating / 1.25 * 1.25, ratings) == rating


def test_fuses_are_taken_where_no_breaker_is_small_enough():
    plan = DEVICES(need(2.08, 8.33), CLOSED)
    assert plan.protection.kind == "fuse"
    assert [finding.code for finding in plan.findings] == ["fuses-instead"]


def test_a_breaker_that_is_insisted_on_and_cannot_be_is_told():
    plan = DEVICES(need(2.08, 8.33, kind="breaker"), CLOSED)
    assert "no-primary-device" in {finding.code for finding in plan.findings if finding.severity == "stop"}


def test_a_secondary_device_takes_nothing_from_what_the_primary_may_have_alone():
    """500 VA, 480 to 120 V: 1.04 A may have 300 % alone (3 A); 250 % with a secondary device is 2.6 A, so 1 A of the
    fuses, which switching on blows. Table 450.3(B) asks for no smaller one because a secondary device stands there."""
    plan = DEVICES(need(500 / 480, 500 / 120, 0.7), CLOSED)
    assert plan.protection.primary_with_secondary_max_a == 1 and plan.protection.secondary_a == 6
    assert plan.protection.primary_a == 3
    existing = DEVICES(need(500 / 480, 500 / 120, 0.7, existing_primary_a=3.0), CLOSED)
    assert "primary-device-too-large" not in {finding.code for finding in existing.findings}


def test_where_no_standard_rating_fits_one_beside_them_is_permitted():
    """100 VA on 480 V: 300 % of 0.208 A is 0.625 A, under the smallest standard fuse; 240.6(A) permits others."""
    plan = DEVICES(need(100 / 480, 100 / 24, 1.25), CLOSED)
    (finding,) = [one for one in plan.findings if one.code == "no-standard-device"]
    assert finding.severity == "caution" and plan.protection.kind == "fuse"
    assert (
        "0.261 A" in finding.message
        and "0.625 A" in finding.message
        and finding.clause == "NEC 2023 240.6(A)"
    )
    assert not [one for one in plan.findings if one.severity == "stop"]


def test_existing_device_is_judged_not_replaced():
    plan = DEVICES(need(90.2, 208.2, existing_primary_a=400.0), CLOSED)
    assert plan.protection.primary_a == 400
    assert [finding.code for finding in plan.findings] == ["primary-device-too-large"]


def test_several_secondary_devices_count_by_their_sum():
    plan = DEVICES(need(90.2, 208.2, wanted_secondary_a=(150.0, 175.0)), CLOSED)
    assert plan.protection.secondary_a == 325
    assert "secondary-devices-too-large" in {finding.code for finding in plan.findings}


@given(primary_a=AMPS, ratio=st.floats(0.1, 10), load=st.floats(0.1, 1.0))
def test_a_chosen_device_is_never_above_its_limit_nor_below_the_load(primary_a, ratio, load):
    facts = need(primary_a, primary_a * ratio, load)
    plan = DEVICES(facts, CLOSED).protection
    if plan.secondary_a is not None:
        assert facts.secondary_design_a * (1 - 1e-9) <= plan.secondary_a <= plan.secondary_max_a
        if plan.primary_a is not None:
            most_a = max(plan.primary_only_max_a or 0.0, plan.primary_with_secondary_max_a or 0.0)
            assert facts.primary_design_a * (1 - 1e-9) <= plan.primary_a <= most_a
    elif plan.primary_a is not None:
        assert plan.primary_a <= plan.primary_only_max_a


@given(least=AMPS, target=AMPS, limit=AMPS)
def test_choose_stays_between_load_and_limit(least, target, limit):
    ratings = DEVICES.ratings["breaker"]
    value = chosen_a(least, target, limit, ratings)
    if value is None:
        assert not [r for r in ratings if least <= r <= limit]
    else:
        assert least * (1 - 1e-9) <= value <= limit * (1 + 1e-9)


@given(limit=st.floats(0.5, 7000))
def test_standard_ratings_bracket_the_limit(limit):
    ratings = DEVICES.ratings["fuse"]
    up, down = next_standard_a(limit, ratings), standard_within_a(limit, ratings)
    assert up is None or up >= limit * (1 - 1e-9)
    assert down is None or down <= limit * (1 + 1e-9)


@pytest.mark.parametrize(
    ("change", "codes"),
    [
        # 90.2 A and 208.2 A: 225 A before, 300 A after at most; the load asks for 72.16 A and 166.56 A
        ({"existing_primary_a": 225.0}, []),
        ({"existing_primary_a": 226.0}, ["primary-device-too-large"]),
        ({"existing_primary_a": 72.2}, []),
        ({"existing_primary_a": 72.1}, ["primary-device-too-small"]),
        ({"wanted_secondary_a": (300.0,)}, []),
        ({"wanted_secondary_a": (150.0, 151.0)}, ["secondary-devices-too-large"]),
        ({"wanted_secondary_a": (100.0, 66.6)}, []),
        ({"wanted_secondary_a": (100.0, 66.5)}, ["secondary-devices-too-small"]),
    ],
)
def test_given_devices_are_judged_at_their_limits(change, codes):
    """Table 450.3(B): 250 % of 90.2 A is 225.5 A, not up; 125 % of 208.2 A is 260.25 A, up to 300 A."""
    assert [finding.code for finding in DEVICES(need(90.2, 208.2, **change), CLOSED).findings] == codes


def test_a_device_that_is_too_small_is_told_with_both_numbers():
    (finding,) = DEVICES(need(90.2, 208.2, existing_primary_a=70.0), CLOSED).findings
    assert (finding.value, finding.limit) == (70.0, pytest.approx(72.16))
    assert "70 A device is smaller than the 72.2 A" in finding.message
    (finding,) = DEVICES(need(90.2, 208.2, wanted_secondary_a=(100.0, 50.0)), CLOSED).findings
    assert (finding.value, finding.limit) == (150.0, pytest.approx(166.56))
    assert "add up to 150 A; 166.6 A is asked for" in finding.message


@pytest.mark.parametrize(
    ("rated_a", "most_a"),
    # 450.4(A): 125 %, up to the next rating; below 9 A 167 %, not up
    [(40.0, 50), (41.0, 60), (9.0, 15), (8.99, 15), (8.9, 10)],
)
def test_the_input_of_an_autotransformer(rated_a, most_a):
    plan = DEVICES(need(rated_a, 20.0, autotransformer=True, kind="breaker"), CLOSED).protection
    assert plan.primary_only_max_a == most_a
    assert (plan.secondary_devices_a, plan.secondary_a, plan.secondary_max_a) == ((), None, None)
    assert plan.primary_with_secondary_max_a is None


def test_covered_conductors_need_no_device_after_it():
    """240.4(F): where none that carries the load is within the limit, nothing is missing on a covered side."""
    stop = DEVICES(need(90.2, 208.2, load=1.5), CLOSED)
    assert "no-secondary-device" in {finding.code for finding in stop.findings if finding.severity == "stop"}
    covered = DEVICES(need(90.2, 208.2, load=1.5, covered=True), CLOSED)
    assert "no-secondary-device" not in {finding.code for finding in covered.findings}


@pytest.mark.parametrize(("rated_a", "limit_a"), [(1.04, 3), (90.2, 225)])
def test_the_limit_that_is_told_is_that_of_the_device_chosen(rated_a, limit_a):
    """Table 450.3(B): 300 % of 1.04 A without a device after it, though 250 % with one; 250 % of 90.2 A."""
    plan = DEVICES(need(rated_a, 2.3 * rated_a, kind="fuse"), CLOSED).protection
    assert (
        plan.secondary_devices_a and plan.primary_a <= plan.primary_limit_a == limit_a == plan.primary_most_a
    )
