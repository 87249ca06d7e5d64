"""Loads of constant power and constant current against closed forms and against their equal impedance."""

from cmath import phase, rect
from math import degrees, radians

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.circuit import CurrentLoad, Impedance, Network, PowerLoad, Source1, solve, supply3
from turnwright.circuit.connections import three_phase
from turnwright.errors import InputError

X = ("X1", "X2", "X3")


@settings(max_examples=60, deadline=None)
@given(st.floats(0.05, 0.98), st.floats(-80.0, 80.0), st.floats(0.0, 85.0))
def test_one_load_behind_an_impedance_takes_the_higher_voltage(
    share: float, lag: float, z_angle: float
) -> None:
    """|V|² solves |V|⁴ - (E² - 2 Re(Z* S)) |V|² + |Z S|² = 0; S up to a share of what can be carried."""
    e, z = 100.0, rect(1.0, radians(z_angle))
    unit = rect(1.0, radians(lag))
    # E² = 2 s (Re(Z* S1) + |Z S1|) at the most that can be carried
    most = e**2 / (2 * ((z.conjugate() * unit).real + abs(z)))
    s = share * most * unit
    b = e**2 - 2 * (z.conjugate() * s).real
    v = ((b + (b**2 - 4 * abs(z * s) ** 2) ** 0.5) / 2) ** 0.5
    found = solve(
        Network(60.0, (Source1("S", "a", "0", e, z),), loads=(PowerLoad("P", "a", "0", s.real, s.imag),))
    )
    assert abs(found.voltage_v("a")) == pytest.approx(v, rel=1e-7)
    assert found.power_va("P") == pytest.approx(s, rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(st.floats(1.0, 60.0), st.floats(-60.0, 60.0))
def test_constant_current_keeps_its_size_and_angle(amperes: float, lag: float) -> None:
    source = Source1("S", "a", "0", 100.0, 0.1 + 0.3j)
    found = solve(Network(60.0, (source,), loads=(CurrentLoad("C", "a", "0", amperes, lag),)))
    current = found.current_a("C")
    assert abs(current) == pytest.approx(amperes, rel=1e-9)
    assert degrees(phase(found.voltage_v("a") / current)) == pytest.approx(lag, abs=1e-7)


def test_the_impedance_that_draws_the_same_gives_the_same_network() -> None:
    bank = three_phase("T", "Dyn11", 45.0, 480.0, 208.0, 2.4, 3.2, secondary_neutral="0")
    supply = supply3("SUP", ("H1", "H2", "H3"), 480.0, 6e3, 4.0)
    loads = (PowerLoad("P12", "X1", "X2", 12e3, 7e3), CurrentLoad("C3", "X3", "0", 70.0, 25.0))
    found = solve(Network(60.0, (supply,), bank.cores, loads=loads))
    equal = []
    for load in loads:
        z = found.voltage_v(load.start, load.end) / found.current_a(load.name)
        equal.append(Impedance(load.name, load.start, load.end, z.real, z.imag))
    again = solve(Network(60.0, (supply,), bank.cores, tuple(equal)))
    for node, volts in found.voltages_v.items():
        assert again.voltages_v[node] == pytest.approx(volts, rel=1e-9, abs=1e-7)
    assert found.iterations > 0


def test_a_load_of_nothing_draws_nothing() -> None:
    source = Source1("S", "a", "0", 100.0, 1 + 0j)
    found = solve(
        Network(60.0, (source,), loads=(PowerLoad("P", "a", "0", 0.0), CurrentLoad("C", "a", "0", 0.0)))
    )
    assert found.voltage_v("a") == pytest.approx(100.0)


def test_a_load_that_gives_power_back() -> None:
    source = Source1("S", "a", "0", 100.0, 0.5 + 0.5j)
    found = solve(Network(60.0, (source,), loads=(PowerLoad("P", "a", "0", -800.0),)))
    assert found.power_va("P").real == pytest.approx(-800.0)
    assert abs(found.voltage_v("a")) > 100.0


def test_a_load_where_there_is_no_voltage_is_refused_by_name() -> None:
    source = Source1("S", "a", "0", 100.0, 1 + 0j)
    shorted = Network(
        60.0, (source,), (), (Impedance("short", "a", "0", 0.0),), loads=(PowerLoad("P", "a", "0", 10.0),)
    )
    with pytest.raises(InputError) as caught:
        solve(shorted)
    assert (caught.value.code, caught.value.where) == ("CIR-07", "P")


def test_such_loads_are_open_to_harmonics() -> None:
    source = Source1("S", "a", "0", 100.0, 1 + 0j)
    found = solve(
        Network(
            60.0, (source,), (), (Impedance("z", "a", "0", 5.0),), loads=(PowerLoad("P", "a", "0", 100.0),)
        ),
        5,
    )
    assert "P" not in found.currents_a
