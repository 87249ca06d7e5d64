"""The pick with another rise or metal: what is saved is between ends, and no end is guessed."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import linprog

from turnwright import job_from_mapping, select
from turnwright.selection.builds import saved_words
from turnwright.thermal.cost import least_saved_kwh, most_saved_kwh

LOAD = {"system": "208Y/120", "kva": "60 kVA", "power_factor": 1.0}
FOR_YEARS = {"price_kwh": "0.10 USD", "years": 20, "discount": "5 %"}


def answer(regime="us", load=LOAD, supply="480Y/277", **choices):
    return select(
        job_from_mapping({"regime": regime, "supply": {"system": supply}, "load": [load], "choices": choices})
    )


def builds(result):
    return {option.build: option for option in result.options if option.build is not None}


def test_rises_and_metal_beside_the_pick_by_hand():
    """75 kVA at 60 kVA, K² = 0.64; ordinary 1575 to 2400 W, at most 372.72 W at 35 % load; 80 K: 0.55 to 0.8 times.

    Least saved, at the kink where 0.8 P = 372.72 W / c is out of reach, so at an end: P = 1575 W, all of it load
    loss, 1008 W; the 80 K unit then has 1260 W, c = 0.1225 · 245 / 325 = 0.09235, P_LL = (1260 − 372.72) / 0.90765
    = 977.6 W, P_0 = 282.4 W, in all 908.1 W: 99.9 W, 875 kWh.
    Most saved: P = 2400 W, c = 0.07598, P_LL = 2194 W, P_0 = 206 W, in all 1610.2 W; 0.55 · 2400 W all load loss
    is 844.8 W: 765.4 W, 6705 kWh.
    """
    found = builds(answer())
    assert list(found) == ["115 K rise", "80 K rise", "copper windings"]
    low, high = found["80 K rise"].saved_kwh_year
    assert low == pytest.approx(875, abs=3) and high == pytest.approx(6705, abs=5)
    assert found["80 K rise"].worth_extra is None and found["80 K rise"].loss_cost_year is None
    assert found["80 K rise"].status == "fits" and found["80 K rise"].kva == 75.0
    assert found["copper windings"].saved_kwh_year[0] < 0 < found["copper windings"].saved_kwh_year[1]


def test_years_and_interest_make_it_a_price_and_give_a_and_b():
    """w = (1 − 1.05^−20) / 0.05 = 12.4622; A = 0.876 w = 10.917; B = 0.64 A = 6.987."""
    result = answer(**FOR_YEARS)
    option = builds(result)["80 K rise"]
    assert option.worth_extra == pytest.approx([1.246221 * kwh for kwh in option.saved_kwh_year], rel=1e-6)
    assert "worth 1,000 to 8,400 USD more to buy" in option.why
    told = next(one for one in result.findings if one.code == "loss-factors")
    assert told.value == pytest.approx(10.917, abs=0.001)
    assert "10.92 USD (A)" in told.message and "6.99 USD" in told.message
    steps = {line.name for line in result.working}
    assert {"cost.a_per_w", "cost.b_per_w", "cost.present_worth_years"} <= steps
    assert sum(name.endswith(".saved_kwh_year[0]") for name in steps) == 3


def test_without_years_no_price_is_told():
    result = answer(price_kwh="0.10 USD", discount="5 %")
    assert all(option.worth_extra is None for option in result.options)
    assert not any(one.code == "loss-factors" for one in result.findings)
    assert builds(result)["80 K rise"].loss_cost_year is not None


def test_a_cool_unit_is_compared_with_warmer_ones():
    found = builds(answer(rise="80 K", winding="copper"))
    assert list(found) == ["150 K rise", "115 K rise", "aluminum windings"]
    assert found["150 K rise"].saved_kwh_year[0] < 0 and found["aluminum windings"].saved_kwh_year[0] < 0


def test_how_it_is_known_is_said():
    told = [one for one in answer().findings if one.code == "other-builds"]
    assert len(told) == 1 and told[0].clause is not None and told[0].known in ("seen", "memory")


def test_a_rise_of_which_nothing_is_known_is_not_compared():
    assert list(builds(answer(rise="130 K"))) == ["copper windings"]
    assert list(builds(answer("iec", {**LOAD, "system": "400Y/230"}, "400Y/230"))) == ["copper windings"]


def test_nothing_is_compared_where_windings_are_not_separate():
    asked = job_from_mapping(
        {"supply": {"system": "208Y/120"}, "load": [{"system": "230 1ph", "current": "20 A"}]}
    )
    assert builds(select(asked)) == {}


def test_a_hot_place_may_make_a_build_too_small():
    """What a place leaves of a rating depends on the rise; what the build may carry follows from it."""
    hot = {"ambient_average": "55 degC", "ambient_peak": "60 degC", "ambient_rule": "constant hot spot"}
    asked = {"supply": {"system": "480Y/277"}, "load": [LOAD], "site": hot}
    result = select(job_from_mapping(asked))
    for option in builds(result).values():
        assert (option.loading_pct <= 100.0) == (option.status == "fits")
    loadings = {round(option.loading_pct, 6) for option in builds(result).values()}
    assert len(loadings) > 1


SHAPE = st.fixed_dictionaries(
    {
        "peak_load_pu": st.floats(0.0, 1.5),
        "loss_factor": st.floats(0.1, 1.0),
        "hours_per_year": st.just(1000.0),
    }
)


@given(
    low=st.floats(100.0, 1e4), wide=st.floats(1.0, 2.0), ratio=st.floats(0.4, 2.5), part=st.floats(0.05, 3.0),
    share=st.floats(0.02, 0.3), shape=SHAPE,
)  # fmt: skip
def test_the_ends_are_the_optima_of_a_linear_programme(low, wide, ratio, part, share, shape):
    """Against scipy's solver, in P, the losses of the unit and those of the other build, all of them free."""
    high, law, weight = low * wide, low * part, shape["peak_load_pu"] ** 2 * shape["loss_factor"]
    assume(weight > 1e-6)
    bounds = [(low, high)] + [(0, None)] * 4
    within = {"A_ub": [[-ratio, 0, 0, 1, 1], [0, 0, 0, 1, share]], "b_ub": [0.0, law]}
    own = {"A_eq": [[-1.0, 1.0, 1.0, 0.0, 0.0]], "b_eq": [0.0]}
    least = linprog([0, 1, weight, -1, -weight], bounds=bounds, **within, **own)
    ours = least_saved_kwh(low, high, ratio, law_loss_w=law, law_share=share, **shape)
    assert ours == pytest.approx(least.fun, rel=1e-6, abs=1e-6 * high)
    within = {"A_ub": [[-1.0, 1, 1, 0, 0], [0, 1, share, 0, 0]], "b_ub": [0.0, law]}
    other = {"A_eq": [[-ratio, 0, 0, 1.0, 1.0]], "b_eq": [0.0]}
    most = linprog([0, -1, -weight, 1, weight], bounds=bounds, **within, **other)
    ours = most_saved_kwh(low, high, ratio, law_loss_w=law, law_share=share, **shape)
    assert ours == pytest.approx(-most.fun, rel=1e-6, abs=1e-6 * high)


@given(st.floats(-1e5, 1e5), st.floats(0.0, 1e5), st.floats(0.0, 20.0))
def test_words_never_promise_more_than_the_ends(least, wide, price):
    most = least + wide
    words = saved_words((least, most), (least * price, most * price), "USD")
    assert ("saves nothing" in words) == (most <= 0)
    assert ("may lose" in words) == (least < 0 or most <= 0)
