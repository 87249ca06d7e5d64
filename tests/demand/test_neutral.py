"""The neutral current."""

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st


@settings(max_examples=40)
@given(st.floats(0.1, 200.0), st.sampled_from([None, 1.0, 0.85, 0.5]), st.integers(1, 400))
def test_balanced_sinusoidal_load_has_no_neutral_current(
    build: Any, current_a: float, factor: float | None, thirds: int
) -> None:
    load = build.load("120 1ph", "current", current_a, quantity=3 * thirds, power_factor=factor)
    picture = build.picture([load])
    assert picture.neutral_a == 0.0
    assert picture.line_a == pytest.approx((thirds * current_a,) * 3, rel=1e-9)


def test_one_load_to_neutral_returns_all_of_it(build: Any) -> None:
    picture = build.picture([build.load("120 1ph", "current", 15.0)])
    assert picture.neutral_a == pytest.approx(15.0)


def test_growth_grows_the_neutral(build: Any) -> None:
    picture = build.picture([build.load("120 1ph", "current", 15.0)], growth_pct=20.0)
    assert picture.neutral_a == pytest.approx(18.0)


def test_orders_that_turn_cancel_when_balanced_and_triplens_add(build: Any) -> None:
    for order, times in ((3, 3.0), (5, 0.0), (7, 0.0), (9, 3.0), (11, 0.0), (15, 3.0), (21, 3.0)):
        rms_a = 10.0 * math.hypot(1.0, 0.3)
        load = build.load("120 1ph", "current", rms_a, quantity=3, harmonics=((order, 30.0),))
        neutral_a = build.picture([load]).neutral_a
        assert neutral_a == (pytest.approx(times * 3.0) if times else 0.0)


def test_a_single_harmonic_load_returns_its_rms(build: Any) -> None:
    load = build.load("120 1ph", "current", 40.0, harmonics=((3, 60.0), (5, 30.0), (7, 10.0)))
    picture = build.picture([load])
    assert picture.neutral_a == pytest.approx(40.0)
    assert picture.neutral_fundamental_a == pytest.approx(40.0 / math.sqrt(1 + 0.36 + 0.09 + 0.01))


def test_odd_orders_of_two_legs_cancel(build: Any) -> None:
    """120/240: the legs stand half a turn apart, and so does every odd order."""
    load = build.load("120 1ph", "current", 40.0, quantity=2, harmonics=((3, 60.0), (5, 30.0)))
    assert build.picture([load], "120/240 1ph").neutral_a == pytest.approx(0.0, abs=1e-9)


def test_a_three_wire_three_phase_load_brings_no_triplens_to_the_neutral(build: Any) -> None:
    load = build.load("208 3ph", "kva", 40.0, harmonics=((3, 45.0), (5, 25.0)))
    assert build.picture([load]).neutral_a == 0.0


def test_a_load_of_unknown_angle_stands_at_the_angle_of_the_others(build: Any) -> None:
    known = build.load("120 1ph", "current", 10.0, power_factor=0.8, lines="A")
    others = [build.load("120 1ph", "current", 10.0, i, lines=line) for i, line in ((1, "B"), (2, "C"))]
    assert build.picture([known, *others]).neutral_a == pytest.approx(0.0, abs=1e-9)


def test_different_power_factors_leave_a_neutral_current(build: Any) -> None:
    """10 A each, A at 60° lag, B and C at 0°: |10∠-60° + 10∠-120° + 10∠120°| = |10∠-60° - 10| = 10 A."""
    loads = [
        build.load("120 1ph", "current", 10.0, index, lines=line, power_factor=factor)
        for index, (line, factor) in enumerate({"A": 0.5, "B": 1.0, "C": 1.0}.items())
    ]
    assert build.picture(loads).neutral_a == pytest.approx(10.0)


def test_no_neutral_is_none_not_zero(build: Any) -> None:
    picture = build.picture([build.load("480 3ph", "kva", 10.0)], "480 delta")
    assert (picture.neutral_a, picture.neutral_fundamental_a, picture.neutral_harmonic_a) == (
        None,
        None,
        None,
    )


def test_spectrum_of_several_loads_adds_order_by_order(build: Any) -> None:
    """30 kVA sinusoidal beside 10 kVA whose fundamental is 9.806 kVA: a fifth of 20 % of that in 39.806 kVA."""
    loads = [
        build.load("208 3ph", "kva", 30.0),
        build.load("208 3ph", "kva", 10.0, 1, harmonics=((5, 20.0),)),
    ]
    picture = build.picture(loads)
    first = 10.0 / math.hypot(1.0, 0.2)
    fifth = 0.2 * first
    assert picture.spectrum == ((5, pytest.approx(100 * fifth / (30.0 + first))),)
    squares = (30.0 + first) ** 2, fifth**2
    assert picture.k_factor == pytest.approx((squares[0] + 25 * squares[1]) / sum(squares))
