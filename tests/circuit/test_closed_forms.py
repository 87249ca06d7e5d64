"""Networks with an answer on one line: shares of line currents, capacities, dips, symmetrical components, resonance."""

from cmath import rect
from math import inf, pi, sqrt

import pytest

from turnwright.circuit import (
    Impedance,
    Injection,
    Network,
    Source1,
    Source3,
    delta_load,
    load,
    solve,
    solve_harmonics,
    supply3,
    wye_load,
)
from turnwright.circuit.connections import open_delta, scott, single_phase, three_phase
from turnwright.circuit.elements import load_impedance_ohm, source_impedance_ohm
from turnwright.circuit.thevenin import thevenin
from turnwright.errors import InputError

H, X = ("H1", "H2", "H3"), ("X1", "X2", "X3")
STIFF = supply3("SUP", H, 480.0, inf, 1.0)
TURN = rect(1.0, 2 * pi / 3)


def ideal(group: str) -> tuple:
    return three_phase("T", group, 45.0, 480.0, 208.0, 0.0, 0.0, secondary_neutral="0").cores


def line_currents(*loads: Impedance, group: str = "Dyn1") -> list[float]:
    found = solve(Network(60.0, (STIFF,), ideal(group), loads))
    return [abs(found.current_a(f"SUP:{node}")) for node in H]


@pytest.mark.parametrize("group", ["Dyn1", "Dyn11"])
def test_load_to_neutral_on_a_delta_wye_loads_two_lines(group: str) -> None:
    phase_v = 208.0 / sqrt(3)
    lines = sorted(line_currents(load("L", "X1", "0", 6.0, 0.9, phase_v), group=group))
    # two lines carry 1/√3 of what a three-phase load of the same secondary current would draw
    assert lines == pytest.approx([0.0, *[6e3 / phase_v * 208.0 / 480.0 / sqrt(3)] * 2], abs=1e-9)


def test_load_between_lines_on_a_delta_wye_divides_one_to_half_to_half() -> None:
    lines = sorted(line_currents(load("L", "X1", "X2", 6.0, 0.9, 208.0)))
    assert [line / lines[2] for line in lines] == pytest.approx([0.5, 0.5, 1.0])


def test_balanced_load_on_a_delta_wye() -> None:
    assert line_currents(*wye_load("L", X, "0", 45.0, 0.8, 208.0)) == pytest.approx(
        [45e3 / sqrt(3) / 480.0] * 3
    )


def test_open_delta_carries_58_percent_of_three_units_and_87_of_its_two() -> None:
    two = open_delta("T", 25.0, 480.0, 240.0, 0.0, 0.0)
    found = solve(Network(60.0, (STIFF,), two.cores, delta_load("L", X, 75.0, 1.0, 240.0)))
    over = abs(found.current_a("T.1.w2")) * 240.0 / 25e3
    assert 1 / over == pytest.approx(1 / sqrt(3))
    assert 75.0 / over / 50.0 == pytest.approx(sqrt(3) / 2)


def test_scott_teaser_turns_and_balance() -> None:
    unit = scott("T", 25.0, 480.0, 240.0, (0.0, 0.0), (0.0, 0.0), 0.0, returns=("0", "0"))
    assert unit.cores[1].windings[0].rated_v / 480.0 == pytest.approx(0.8660254)
    found = solve(Network(60.0, (STIFF,), unit.cores, (load("Q", "Q1", "0", 25.0, 1.0, 240.0),)))
    teaser = abs(found.current_a("T.teaser.w1"))
    assert abs(found.current_a("SUP:H1")) == pytest.approx(25e3 / (480.0 * sqrt(3) / 2))
    # the teaser current leaves through both halves of the main winding alike
    for node in ("H2", "H3"):
        assert abs(found.current_a(f"SUP:{node}")) == pytest.approx(teaser / 2)


def test_single_phase_unit_between_two_lines_loads_them_alike() -> None:
    unit = single_phase("T", 10.0, 480.0, 120.0, 0.0, 0.0, secondary=("X1", "0"))
    found = solve(Network(60.0, (STIFF,), unit.cores, (load("L", "X1", "0", 10.0, 1.0, 120.0),)))
    assert found.current_a("SUP:H1") == pytest.approx(-found.current_a("SUP:H2"))
    assert abs(found.current_a("SUP:H1")) == pytest.approx(10e3 / 480.0)
    assert abs(found.current_a("SUP:H3")) == pytest.approx(0.0, abs=1e-9)


def test_voltage_divides_between_source_and_load() -> None:
    z, zl = 0.1 + 0.3j, 4.0 + 2.0j
    source = Source1("S", "a", "0", 240.0, z)
    found = solve(Network(60.0, (source,), (), (Impedance("L", "a", "0", zl.real, zl.imag),)))
    assert found.voltage_v("a") == pytest.approx(240.0 * zl / (zl + z))


def test_earth_fault_by_symmetrical_components() -> None:
    z1, z0, r = 0.02 + 0.09j, 0.05 + 0.3j, 0.15
    source = Source3("SUP", H, 480.0, z1, z0)
    found = solve(Network(60.0, (source,), (), (Impedance("fault", "H1", "0", r),)))
    e = 480.0 / sqrt(3)
    assert found.current_a("fault") == pytest.approx(3 * e / (2 * z1 + z0 + 3 * r))
    # healthy lines: E a² - I/3 (z0 - z1)
    assert found.voltage_v("H2") == pytest.approx(e * TURN**2 - found.current_a("fault") / 3 * (z0 - z1))


def test_fault_between_lines_and_earth_by_symmetrical_components() -> None:
    z1, z0 = 0.02 + 0.09j, 0.05 + 0.3j
    source = Source3("SUP", H, 480.0, z1, z0)
    faults = (Impedance("f2", "H2", "0", 0.0), Impedance("f3", "H3", "0", 0.0))
    found = solve(Network(60.0, (source,), (), faults))
    e = 480.0 / sqrt(3)
    positive = e / (z1 + z1 * z0 / (z1 + z0))
    zero = -positive * z1 / (z1 + z0)
    assert found.current_a("f2") + found.current_a("f3") == pytest.approx(3 * zero)


def test_star_point_in_a_resistor_raises_the_healthy_lines() -> None:
    source = Source3("SUP", H, 480.0, 0.01j, 0.01j, star="N")
    found = solve(
        Network(60.0, (source,), (), (Impedance("R", "N", "0", 55.4), Impedance("fault", "H1", "0", 0.0)))
    )
    assert abs(found.current_a("fault")) == pytest.approx(277.128 / 55.4, rel=1e-3)
    assert abs(found.voltage_v("H2")) == pytest.approx(480.0, rel=1e-3)


def test_triplen_currents_stay_in_the_delta() -> None:
    bank = three_phase("T", "Dyn1", 75.0, 480.0, 208.0, 2.0, 4.0, secondary_neutral="0")
    supply = supply3("SUP", H, 480.0, 14e3, 6.0)
    draws = tuple(Injection(f"J{k}", node, "0", 3, 40.0, 10.0) for k, node in enumerate(X))
    found = solve_harmonics(Network(60.0, (supply,), bank.cores, (), draws)).by_order[3]
    for node in H:
        assert abs(found.current_a(f"SUP:{node}")) < 1e-9
    assert abs(found.current_a("T.1.w1")) == pytest.approx(40.0 * 208.0 / sqrt(3) / 480.0)


def test_harmonic_voltage_is_current_times_reactance_times_order() -> None:
    source = Source1("S", "a", "0", 240.0, 0.02 + 0.05j)
    draw = Injection("J", "a", "0", 7, 10.0, 0.0)
    found = solve_harmonics(Network(60.0, (source,), (), (), (draw,)))
    assert found.by_order[7].voltage_v("a") == pytest.approx(-10.0 * (0.02 + 0.35j))
    assert found.voltage_thd_pct("a") == pytest.approx(100 * 10.0 * abs(0.02 + 0.35j) / 240.0)
    assert found.voltage_rms_v("a") == pytest.approx(sqrt(240.0**2 + (10.0 * abs(0.02 + 0.35j)) ** 2))
    assert found.current_rms_a("S:a") == pytest.approx(10.0)
    with pytest.raises(InputError):
        found.current_thd_pct("S:a")
    with pytest.raises(InputError):
        found.current_rms_a("T")


def test_capacitor_resonates_at_the_order_where_its_reactance_meets() -> None:
    # x = 0.1 h against 2.5 / h: equal at order 5, so the voltage there is that over the resistance alone
    source = Source1("S", "a", "0", 240.0, 0.001 + 0.1j)
    capacitor = Impedance("C", "a", "0", 0.0, xc_ohm=2.5)
    found = solve(Network(60.0, (source,), (), (capacitor,), (Injection("J", "a", "0", 5, 1.0, 0.0),)), 5)
    assert abs(found.voltage_v("a")) == pytest.approx(0.5 * abs(0.001 + 0.5j) / 0.001, rel=1e-6)


def test_leading_load_raises_the_voltage() -> None:
    assert load_impedance_ohm(10.0, -0.8, 240.0).imag < 0
    source = Source1("S", "a", "0", 240.0, 0.3j)
    found = solve(Network(60.0, (source,), (), (load("L", "a", "0", 10.0, -0.5, 240.0),)))
    assert abs(found.voltage_v("a")) > 240.0
    assert found.power_va("L").imag < 0


def test_load_at_unity_has_no_reactance_and_near_it_keeps_its_digits() -> None:
    assert load_impedance_ohm(10.0, 1.0, 240.0).imag == 0.0
    pf = 1 - 1e-12
    assert load_impedance_ohm(10.0, pf, 240.0).imag == pytest.approx(5.76 * sqrt(2e-12), rel=1e-3)


def test_source_impedance() -> None:
    z = source_impedance_ohm(277.0, 10e3, 4.0)
    assert abs(z) == pytest.approx(0.0277)
    assert z.imag / z.real == pytest.approx(4.0)
    assert source_impedance_ohm(277.0, 10e3, inf) == 0.0277j
    assert source_impedance_ohm(277.0, inf, 4.0) == 0


def test_thevenin_predicts_any_load() -> None:
    bank = three_phase("T", "Dyn1", 45.0, 480.0, 208.0, 2.0, 3.0, secondary_neutral="0")
    network = Network(
        60.0, (supply3("SUP", H, 480.0, 8e3, 4.0),), bank.cores, (load("other", "X2", "0", 9.0, 0.8, 120.0),)
    )
    port = thevenin(network, "X1", "X3")
    z = 1.3 + 0.4j
    found = solve(network.with_(impedances=[Impedance("L", "X1", "X3", z.real, z.imag)]))
    assert found.current_a("L") == pytest.approx(port.voltage_v / (port.z_ohm + z))
