"""What a size usually loses in a year, and what the load makes of the hottest spot."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from turnwright import job_from_mapping, select
from turnwright.thermal.ageing import law_of
from turnwright.thermal.cost import most_energy_kwh, most_lawful_energy_kwh

LOAD = {"system": "208Y/120", "kva": "48 kVA", "power_factor": 1.0}


def job(load=LOAD, regime="us", **choices):
    return job_from_mapping(
        {"regime": regime, "supply": {"system": "480Y/277"}, "load": [load], "choices": choices}
    )


def options(asked):
    plain = (option for option in select(asked).options if not option.is_other_build)
    return {(option.arrangement, option.kva): option for option in plain}


def test_loss_of_a_size_by_hand():
    """75 kVA at 48 kVA: K² = 0.4096. The usual 2.1 % is 1575 W: at least 0.4096 · 1575 · 8760 / 1000 = 5651 kWh.

    At most 3.2 %, 2400 W, and 372.72 W at 35 % by 10 CFR 431.196 (98.60 %): c = 0.1225 · 245 / 395 = 0.07598, so
    P_LL = (2400 − 372.72) / 0.92402 = 2194 W, P_0 the rest: 1104.7 W, 9677 kWh.
    """
    option = options(job())["isolation", 75.0]
    low, high = option.loss_kwh_year
    assert low == pytest.approx(5651, abs=1)
    assert high == pytest.approx(9677, abs=2)
    assert option.loss_cost_year is None


def test_price_and_hours_make_it_money_and_the_steps_are_open():
    result = select(job(price_kwh="0.20 USD", hours_per_year=4380))
    number, option = next((i, each) for i, each in enumerate(result.options) if each.why == "the pick")
    usual = options(job())["isolation", 75.0]
    assert option.loss_kwh_year == pytest.approx([each / 2 for each in usual.loss_kwh_year])
    assert option.loss_cost_year == pytest.approx([each * 0.2 for each in option.loss_kwh_year])
    said = next(each.why for each in result.options if each.status == "fits" and each.kva > 75)
    assert "usually loses" in said and "USD" in said
    steps = {line.name: line for line in result.working}
    assert steps[f"options[{number}].loss_kwh_year[1]"].with_["law_loss_w"] == pytest.approx(372.72, abs=0.01)
    assert steps[f"options[{number}].loss_cost_year[0]"].value == option.loss_cost_year[0]


def test_nothing_is_said_where_nothing_is_usual():
    boost = {"system": "230 1ph", "current": "20 A"}
    asked = job_from_mapping({"supply": {"system": "208Y/120"}, "load": [boost]})
    found = [each for each in select(asked).options if each.arrangement == "buck-boost" and each.kva]
    assert found and all(each.loss_kwh_year is None for each in found)
    low = next(each for each in select(job()).options if each.status == "too small")
    assert low.loss_kwh_year is None


@given(
    st.floats(100.0, 1e5),
    st.floats(0.05, 1.0),
    st.floats(0.01, 0.3),
    st.floats(0.0, 1.5),
    st.floats(0.1, 1.0),
)
def test_the_most_under_a_law_is_the_optimum_of_a_linear_programme(full, part, share, peak, factor):
    """Against scipy's solver: maximize P_0 + K² F P_LL under both limits."""
    law = full * part
    weight = peak * peak * factor
    found = linprog(
        [-1.0, -weight], A_ub=[[1.0, 1.0], [1.0, share]], b_ub=[full, law], bounds=[(0, None)] * 2
    )
    shape = {"peak_load_pu": peak, "loss_factor": factor, "hours_per_year": 1000.0}
    ours = most_lawful_energy_kwh(full, law, share, **shape)
    assert ours == pytest.approx(-found.fun, rel=1e-6)
    assert ours <= most_energy_kwh(full, **shape) * (1 + 1e-9)


def finding(asked):
    return next(each for each in select(asked).findings if each.code == "loading-heat")


def test_the_load_makes_the_hottest_spot():
    """48 of 75 kVA, 150 K rise, 180 K of hot spot: 30 + 180 · 0.64^1.6 = 118.1 °C by IEC 60076-12 clause 5."""
    said = finding(job())
    assert said.value == pytest.approx(30 + 180 * 0.64**1.6, abs=0.05)
    assert said.limit == law_of(220).rated_hot_spot_c == 210
    assert said.severity == "note" and "less than 0.01" in said.message and "for an hour" in said.message


def test_a_full_unit_in_a_hot_place_may_not_be_overloaded():
    hot = {"ambient_average": "30 degC", "ambient_peak": "45 degC"}
    asked = job_from_mapping(
        {
            "supply": {"system": "480Y/277"},
            "load": [{"system": "208Y/120", "kva": "72 kVA", "power_factor": 1.0}],
            "site": hot,
            "choices": {"kva": "75 kVA"},
        }
    )
    assert "no overload is permitted" in finding(asked).message


def test_more_load_is_hotter():
    loads = [finding(job({**LOAD, "kva": f"{kva} kVA"}, kva="75 kVA")).value for kva in (10, 30, 50, 70)]
    assert loads == sorted(loads) and loads[0] < loads[-1]
