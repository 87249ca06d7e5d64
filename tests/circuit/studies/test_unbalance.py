"""Unbalance by both definitions, worst winding, neutral."""

from cmath import rect
from math import inf, pi, sqrt

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from turnwright.circuit import Impedance, Network, load, supply3, wye_load
from turnwright.circuit.connections import single_phase, three_phase
from turnwright.circuit.studies.unbalance import (
    unbalance,
    voltage_unbalance_iec_pct,
    voltage_unbalance_nema_pct,
)
from turnwright.errors import InputError
from turnwright.working import formula_of

H, X = ("H1", "H2", "H3"), ("X1", "X2", "X3")
TURN = rect(1.0, 2 * pi / 3)


def test_published_values_of_the_nema_definition() -> None:
    # 480, 476, 472 V: 0.84 % (published article on voltage unbalance, seen); 460, 467, 450 V: 1.96 % (derived)
    assert voltage_unbalance_nema_pct(480.0, 476.0, 472.0) == pytest.approx(0.84, abs=0.005)
    assert voltage_unbalance_nema_pct(460.0, 467.0, 450.0) == pytest.approx(1.96, abs=0.005)
    assert formula_of(voltage_unbalance_nema_pct).unit == "%"


@settings(max_examples=60, deadline=None)
@given(st.floats(0.0, 0.3), st.floats(-pi, pi), st.floats(100.0, 700.0))
def test_negative_sequence_comes_back(share: float, angle: float, volts: float) -> None:
    positive, negative = volts, rect(share * volts, angle)
    lines = [positive * TURN**-k + negative * TURN**k for k in range(3)]
    assert voltage_unbalance_iec_pct(*lines) == pytest.approx(100 * share, abs=1e-9)
    assume(share < 0.05)
    # for small unbalance the two definitions lie within a factor of two
    nema = voltage_unbalance_nema_pct(*map(abs, lines))
    assert nema <= 100 * share * 1.06 + 1e-9


def network(*loads: Impedance) -> Network:
    unit = three_phase("T", "Dyn1", 45.0, 480.0, 208.0, 2.4, 3.2)
    bond = Impedance("neutral", "X0", "0", 0.01)
    return Network(60.0, (supply3("SUP", H, 480.0, 14e3, 6.0),), unit.cores, (bond, *loads))


def test_balanced_load_is_balanced() -> None:
    found = unbalance(network(*wye_load("L", X, "X0", 45.0, 0.9, 208.0)), X, neutral="neutral")
    assert found.nema_pct == pytest.approx(0.0, abs=1e-9)
    assert found.iec_pct == pytest.approx(0.0, abs=1e-9)
    assert found.supply_iec_pct == pytest.approx(0.0, abs=1e-9)
    assert found.neutral_a == pytest.approx(0.0, abs=1e-9)
    # the voltage sags a little, so a constant impedance draws a little less than rated
    assert 95.0 < found.worst_pct < 100.0


def test_one_phase_loaded_is_the_worst_winding() -> None:
    found = unbalance(network(load("L", "X2", "X0", 20.0, 0.9, 120.0)), X)
    assert found.worst_winding in ("T.2.w1", "T.2.w2")
    assert found.worst_pct > 100.0
    assert found.loading_pct["T.2.w1"] == pytest.approx(found.worst_pct)
    assert found.loading_pct["T.1.w1"] == pytest.approx(0.0, abs=1e-6)
    assert found.neutral_a is None
    assert found.nema_pct > 0.5
    # one line of current only: negative equals positive sequence in two supply lines
    assert found.supply_iec_pct == pytest.approx(100.0)
    assert sorted(found.supply_lines_a.values())[0] == pytest.approx(0.0, abs=1e-6)


def test_network_without_a_core_has_no_worst_winding() -> None:
    supply = supply3("SUP", H, 480.0, inf, 1.0)
    found = unbalance(Network(60.0, (supply,), (), wye_load("L", H, "0", 10.0, 1.0, 480.0)), H)
    assert found.worst_winding is None
    assert found.lines_v == pytest.approx((480.0,) * 3)


def test_line_currents_of_one_single_phase_unit_between_lines() -> None:
    unit = single_phase("T", 10.0, 480.0, 120.0, 1.0, 2.0, primary=("H1", "H3"), secondary=("X1", "0"))
    supply = supply3("SUP", H, 480.0, 14e3, 6.0)
    found = unbalance(Network(60.0, (supply,), unit.cores, (load("L", "X1", "0", 9.0, 1.0, 120.0),)), H)
    assert found.supply_lines_a["SUP:H1"] == pytest.approx(found.supply_lines_a["SUP:H3"])
    assert found.windings_a["T.w1"] == pytest.approx(found.supply_lines_a["SUP:H1"])
    assert found.iec_pct == pytest.approx(
        100 * found.supply_lines_a["SUP:H1"] / sqrt(3) * abs(supply.z1_ohm) / (480 / sqrt(3)), rel=0.01
    )


def test_phasors_without_positive_sequence_are_refused() -> None:
    with pytest.raises(InputError):
        voltage_unbalance_iec_pct(0j, 0j, 0j)
    with pytest.raises(InputError):
        voltage_unbalance_nema_pct(0.0, 0.0, 0.0)
