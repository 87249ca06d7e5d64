"""Figures for people: digits, units, and the side a limit is rounded to."""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.quantities import figure, format_quantity


@pytest.mark.parametrize(
    ("value", "kind", "text"),
    [
        (62.35, "apparent power", "62.4 kVA"),
        (450.0, "current", "450 A"),
        (13469.6, "current", "13470 A"),
        (0.0, "current", "0 A"),
        (7.5, "motor power", "7.5 hp"),
        (40.0, "temperature", "40 °C"),
        (-0.04, "temperature", "-0.04 °C"),
        (150.0, "temperature difference", "150 K"),
        (0.85, "per unit", "0.85"),
        (4.0, "multiple", "4 x"),
        (0.35, "real power", "0.35 kW"),
        (99.96, "percent", "100 %"),
        (9.996, "percent", "10 %"),
        (62.65, "apparent power", "62.7 kVA"),  # halves go away from zero, as people round
        (1e-6, "current", "0.000001 A"),
    ],
)
def test_figures_in_the_unit_used_inside(value: float, kind: str, text: str) -> None:
    assert format_quantity(value, kind) == text


@pytest.mark.parametrize(
    ("value", "kind", "unit", "text"),
    [
        (13470.0, "current", "kA", "13.5 kA"),
        (3.6576, "length", "ft", "12 ft"),
        (40.0, "temperature", "degF", "104 °F"),
        (0.35, "real power", "W", "350 W"),
        (5400.0, "time", "h", "1.5 h"),
        (226.796185, "mass", "lb", "500 lb"),
        (4100.0, "money", "USD", "4100 USD"),
        (0.12, "energy price", "CAD", "0.12 CAD"),
    ],
)
def test_figures_in_another_unit(value: float, kind: str, unit: str, text: str) -> None:
    assert format_quantity(value, kind, unit=unit) == text


@pytest.mark.parametrize(
    ("value", "rounding", "text"),
    [
        (62.31, "up", "62.4"),
        (62.39, "down", "62.3"),
        (62.4, "up", "62.4"),
        (62.4, "down", "62.4"),
        (62.400000000000006, "up", "62.4"),  # the noise of arithmetic is no size
        (62.39999999999999, "down", "62.4"),
        (62.4000001, "up", "62.5"),
        (-2.51, "up", "-2.51"),
        (-2.512, "up", "-2.51"),
        (-2.512, "down", "-2.52"),
        (450.2, "up", "451"),
    ],
)
def test_limits_and_requirements_are_rounded_to_their_side(value: float, rounding, text: str) -> None:
    assert figure(value, rounding=rounding) == text


def test_fewer_and_all_digits() -> None:
    assert figure(0.0451, digits=2) == "0.045"
    assert figure(12.6, digits=1) == "13"
    assert figure(1 / 3, digits=None) == "0.3333333333333333"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_has_no_figure(value: float) -> None:
    with pytest.raises(ValueError, match="no figure"):
        figure(value)


def test_digits_below_one_make_no_figure() -> None:
    with pytest.raises(ValueError, match="no figure"):
        figure(1.0, digits=0)


@pytest.mark.parametrize(("kind", "unit"), [("current", "V"), ("money", None), ("length", "furlong")])
def test_a_unit_of_another_kind_is_a_defect_of_the_caller(kind: str, unit: str | None) -> None:
    with pytest.raises(LookupError, match="no unit of"):
        format_quantity(1.0, kind, unit=unit)


@given(
    value=st.floats(min_value=-1e9, max_value=1e9).filter(lambda v: v == 0 or abs(v) > 1e-9),
    digits=st.integers(1, 6),
)
def test_rounding_never_goes_to_the_wrong_side(value: float, digits: int) -> None:
    low, near, high = (
        Decimal(figure(value, digits=digits, rounding=rounding)) for rounding in ("down", "nearest", "up")
    )
    noise = abs(Decimal(value)) * Decimal("1e-11")
    assert low <= near <= high
    assert low <= Decimal(value) + noise
    assert high >= Decimal(value) - noise
    # One step of the last digit shown, at most.
    power = Decimal(value).adjusted() if value else 0
    assert high - low <= Decimal(10) ** -max(0, digits - 1 - power) * Decimal("1.0000001")
