"""Harmonics: what passes a delta-wye, what the delta keeps, the neutral, a published neutral example."""

from math import inf, sqrt

import pytest

from turnwright.circuit import Impedance, Injection, Network, supply3
from turnwright.circuit.connections import three_phase
from turnwright.circuit.solution import k_factor
from turnwright.circuit.studies.harmonics import harmonic_flow
from turnwright.errors import InputError

H, X = ("H1", "H2", "H3"), ("X1", "X2", "X3")
DELTA = ("T.1.w1", "T.2.w1", "T.3.w1")


def network(orders: dict[int, float], group: str = "Dyn1") -> Network:
    """Equal single-phase loads from each line to neutral, drawing each order at its own phase."""
    unit = three_phase("T", group, 75.0, 480.0, 208.0, 2.0, 4.0, primary_neutral="0")
    draws = [
        Injection(f"J{k}h{h}", X[k], "LN", h, amperes, -120.0 * h * k)
        for h, amperes in orders.items()
        for k in range(3)
    ]
    ties = (Impedance("neutral", "LN", "X0", 0.002), Impedance("bond", "X0", "0", 0.0))
    return Network(60.0, (supply3("SUP", H, 480.0, 14e3, 6.0),), unit.cores, ties, tuple(draws))


def test_triplens_stay_in_the_delta_and_fill_the_neutral() -> None:
    flow = harmonic_flow(
        network({1: 100.0, 3: 50.0, 5: 20.0, 9: 8.0}),
        lines=[f"T.{k}.w2" for k in (1, 2, 3)],
        delta=DELTA,
        neutral="neutral",
        voltages=[("X1", "X0")],
    )
    ratio = 208.0 / sqrt(3) / 480.0
    rows = {row.order: row for row in flow.orders}
    assert set(rows) == {1, 3, 5, 9}
    for h, amperes in ((3, 50.0), (9, 8.0)):
        assert rows[h].supply_a == pytest.approx(0.0, abs=1e-9)
        assert rows[h].delta_a == pytest.approx(amperes * ratio)
        assert rows[h].neutral_a == pytest.approx(3 * amperes)
    for h, amperes in ((1, 100.0), (5, 20.0)):
        assert rows[h].supply_a == pytest.approx(sqrt(3) * amperes * ratio)
        assert rows[h].delta_a == pytest.approx(0.0, abs=1e-9)
        assert rows[h].neutral_a == pytest.approx(0.0, abs=1e-9)
    assert rows[5].load_a == pytest.approx(20.0)
    assert flow.voltage_thd_pct["X1"] > 0


def test_published_neutral_of_a_four_wire_load() -> None:
    """Masters, Renewable and Efficient Electric Power Systems, example 2.13 (seen): 151.9 A against 114.4 A."""
    orders = {1: 100.0, 3: 50.0, 5: 20.0, 7: 10.0, 9: 8.0, 11: 4.0, 13: 2.0}
    flow = harmonic_flow(network(orders), neutral="neutral")
    assert flow.neutral_rms_a == pytest.approx(151.9, abs=0.05)
    assert flow.current_rms_a["T.1.w2"] == pytest.approx(114.4, abs=0.05)
    assert flow.k_factor["T.1.w2"] == pytest.approx(4.2186, abs=5e-5)


def test_published_k_factor_of_a_six_pulse_spectrum() -> None:
    """Published sheet of a K-factor calculation (seen): K = 8.3476."""
    share = {1: 1.0, 5: 0.2, 7: 0.14, 11: 0.091, 13: 0.077, 17: 0.058, 19: 0.056, 23: 0.043, 25: 0.04}
    # the sheet rounds its intermediate squares
    assert k_factor(share) == pytest.approx(8.3476, rel=1e-4)
    flow = harmonic_flow(network({h: 100.0 * part for h, part in share.items()}))
    assert flow.k_factor["T.1.w2"] == pytest.approx(k_factor(share))
    assert flow.k_factor["T.1.w1"] == pytest.approx(k_factor(share))
    assert flow.supply_thd_pct["SUP:H1"] == pytest.approx(28.94, abs=0.01)


def test_wye_wye_passes_triplens_to_the_supply() -> None:
    flow = harmonic_flow(network({1: 100.0, 3: 50.0}, "YNyn0"))
    (third,) = (row for row in flow.orders if row.order == 3)
    assert third.supply_a == pytest.approx(50.0 * 208.0 / 480.0)
    assert third.delta_a is None
    assert third.neutral_a is None


def test_current_without_harmonics_has_k_of_one() -> None:
    assert k_factor({1: 5.0}) == 1.0
    assert k_factor({}) == 1.0
    assert harmonic_flow(network({1: 5.0})).k_factor["T.1.w1"] == pytest.approx(1.0)


def test_unknown_branch_is_refused() -> None:
    with pytest.raises(InputError, match="no such branch"):
        harmonic_flow(network({3: 5.0}), neutral="return")


def test_ideal_supply_shorts_harmonics() -> None:
    stiff = supply3("SUP", H, 480.0, inf, 1.0)
    draw = Injection("J", "H1", "0", 5, 10.0, 0.0)
    flow = harmonic_flow(Network(60.0, (stiff,), (), (), (draw,)), voltages=[("H1", "0")])
    assert flow.voltage_thd_pct["H1"] == pytest.approx(0.0, abs=1e-12)
