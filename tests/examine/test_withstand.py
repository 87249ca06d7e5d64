"""Through-fault withstand of dry types: an excerpt of IEEE C57.12.59, and what follows from the turn ratio.

The excerpt: not above 25 times base current, there 2 s; category I limited by the impedance of the unit alone; II and
III with that of the system added. The rest is arithmetic: 10 times 12.5 s, 20 times 3.1 s; 58 % for line to ground.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.examine.through_fault import line_ground_share, most_multiple, withstand_s
from turnwright.examine.withstand import category_of, shifted, withstand_of
from turnwright.reference import load
from turnwright.working import Ledger


@pytest.mark.parametrize(("multiple", "time_s"), [(10.0, 12.5), (20.0, 3.125), (25.0, 2.0)])
def test_points_of_the_curve(multiple: float, time_s: float) -> None:
    assert withstand_s(i2t_s=1250.0, multiple=multiple) == time_s


def test_a_unit_of_four_percent_takes_25_times_for_exactly_2_s() -> None:
    found = withstand_of(3, 112.5, 4.0, Ledger())
    assert (found.category, found.most) == (1, 25.0)
    assert found.thermal[-1] == pytest.approx((25.0, 2.0)) and found.mechanical == ()
    assert found.thermal[0][1] == pytest.approx(100.0)


def test_more_impedance_ends_the_curve_earlier() -> None:
    found = withstand_of(3, 300.0, 5.0, Ledger(), supply_pct=3.0)
    assert found.most == pytest.approx(20.0)  # category I: the supply is not counted
    assert found.thermal[-1] == pytest.approx((20.0, 3.125))
    assert withstand_of(3, 750.0, 5.0, Ledger(), supply_pct=3.0).most == pytest.approx(12.5)
    assert withstand_of(3, 300.0, None, Ledger()).most == 25.0


def test_category_two_has_a_mechanical_curve_from_seven_tenths() -> None:
    found = withstand_of(3, 750.0, 5.0, Ledger())
    assert found.category == 2
    (first, on_thermal), *curve = found.mechanical
    assert first == pytest.approx(0.7 * 20.0) and on_thermal == pytest.approx(1250 / 14.0**2)
    assert curve[0] == pytest.approx((14.0, 800 / 14.0**2)) and curve[-1] == pytest.approx((20.0, 2.0))


@pytest.mark.parametrize(
    ("phases", "kva", "category"),
    [
        (1, 500.0, 1),
        (1, 501.0, 2),
        (1, 1667.0, 2),
        (1, 1668.0, 3),
        (3, 500.0, 1),
        (3, 5000.0, 2),
        (3, 5001.0, 3),
    ],
)
def test_categories(phases: int, kva: float, category: int) -> None:
    assert category_of(load("dry_type_constants").newest(), phases, kva) == category


def test_a_line_of_the_delta_sees_58_percent_of_a_fault_to_ground() -> None:
    assert line_ground_share() == pytest.approx(0.577, abs=5e-4)
    curve = withstand_of(3, 75.0, 4.0, Ledger()).thermal
    assert shifted(curve)[-1] == pytest.approx((25.0 * 0.57735, 2.0), rel=1e-5)


@given(st.floats(0.5, 30.0), st.floats(5.0, 5000.0))
def test_the_curve_falls_and_keeps_its_integral(z_pct: float, kva: float) -> None:
    found = withstand_of(3, kva, z_pct, Ledger())
    assert found.most == pytest.approx(min(25.0, 100 / z_pct)) == most_multiple(25.0, z_pct)
    times = [time for _, time in found.thermal]
    assert times == sorted(times, reverse=True) or found.most < found.thermal[0][0]
    assert all(i * i * t == pytest.approx(1250.0) for i, t in found.thermal)
