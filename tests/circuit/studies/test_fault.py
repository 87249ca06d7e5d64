"""Faults of every kind against symmetrical components, reference circuits and the standard table of peak factors."""

from math import atan, exp, inf, nan, pi, sin, sqrt, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.circuit import Impedance, Network, PowerLoad, Source3, conductors, delta_load, supply3
from turnwright.circuit.connections import open_delta, single_phase_three_wire, three_phase
from turnwright.circuit.studies.fault import (
    fault,
    faults,
    infinite_bus_fault_a,
    line_ground_fault_a,
    motor_contribution_a,
    peak_factor,
    three_phase_fault_a,
)
from turnwright.errors import InputError
from turnwright.working import formula_of

H, X, L = ("H1", "H2", "H3"), ("X1", "X2", "X3"), ("L1", "L2", "L3")


def yard(z0_over_z1: float = 1.8) -> Network:
    """The circuit of the reference cases S12 to S14: 75 kVA Dyn1, a feeder, no load."""
    unit = three_phase("T1", "Dyn1", 75.0, 480.0, 208.0, 3.0, 4.0, secondary_neutral="0")
    feeder = conductors("fdr", list(zip(X, L, strict=True)), 0.006, 0.003)
    return Network(60.0, (supply3("SUP", H, 480.0, 22e3, 6.0, z0_over_z1),), unit.cores, feeder)


def impedances() -> tuple[complex, complex]:
    """Positive and zero sequence seen from the end of the feeder, ohm."""
    source = supply3("SUP", H, 480.0, 22e3, 6.0).z1_ohm * (208 / 480) ** 2
    rest = complex(0.03, 0.04) * 208.0**2 / 75e3 + 0.006 + 0.003j
    return source + rest, rest


def test_three_phase_line_to_line_and_line_to_ground() -> None:
    z1, z0 = impedances()
    e = 208.0 / sqrt(3)
    three = fault(yard(), "three-phase", L)
    assert three.current_a == pytest.approx(e / abs(z1))
    assert three.x_over_r == pytest.approx(z1.imag / z1.real)
    assert three.earth_a == 0.0
    lines = fault(yard(), "line-line", L[:2])
    assert lines.current_a == pytest.approx(sqrt(3) * e / abs(2 * z1))
    assert lines.x_over_r == pytest.approx(z1.imag / z1.real)
    ground = fault(yard(), "line-ground", L[:1], r_ohm=0.01)
    assert ground.current_a == pytest.approx(3 * e / abs(2 * z1 + z0 + 0.03))
    seen = (2 * z1 + z0) / 3
    assert ground.x_over_r == pytest.approx(seen.imag / seen.real)
    assert ground.earth_a == pytest.approx(ground.current_a)
    assert ground.current_a == pytest.approx(
        line_ground_fault_a(208.0, z1.real, z1.imag, z0.real, z0.imag, 0.01, 1.0)
    )
    assert three.current_a == pytest.approx(three_phase_fault_a(208.0, z1.real, z1.imag, 1.0))


def test_two_lines_to_ground() -> None:
    z1, z0 = impedances()
    found = fault(yard(), "line-line-ground", L[1:])
    positive = 208.0 / sqrt(3) / (z1 + z1 * z0 / (z1 + z0))
    assert found.earth_a == pytest.approx(abs(3 * positive * z1 / (z1 + z0)))
    assert found.x_over_r == pytest.approx(z1.imag / z1.real)


def test_primary_lines_of_a_delta_wye_take_2_1_1_and_1_1_0() -> None:
    lines = sorted(fault(yard(), "line-line", L[:2]).supply_lines_a.values())
    assert [line / lines[0] for line in lines] == pytest.approx([1, 1, 2])
    lines = sorted(fault(yard(), "line-ground", L[:1]).supply_lines_a.values())
    assert lines[0] == pytest.approx(0.0, abs=1e-9)
    assert lines[1] == pytest.approx(lines[2])


def test_shift_of_the_primary_current_against_the_three_phase_fault() -> None:
    """Per unit of the three-phase fault: line to ground 0.577 in two lines, line to line 1.0 in one (no source Z)."""
    unit = three_phase("T", "Dyn1", 75.0, 480.0, 208.0, 3.0, 4.0, secondary_neutral="0")
    network = Network(60.0, (supply3("SUP", H, 480.0, inf, 1.0),), unit.cores)
    three = max(fault(network, "three-phase", X).supply_lines_a.values())
    ground = max(fault(network, "line-ground", X[:1]).supply_lines_a.values())
    lines = max(fault(network, "line-line", X[:2]).supply_lines_a.values())
    assert ground / three == pytest.approx(1 / sqrt(3))
    assert lines / three == pytest.approx(1.0)


def test_all_faults_come_largest_first_and_earth_fault_leads_behind_a_delta() -> None:
    found = faults(yard(), L)
    assert len(found) == 10
    assert [each.total_a for each in found] == sorted((each.total_a for each in found), reverse=True)
    assert found[0].kind in ("line-ground", "line-line-ground")
    assert {each.kind for each in faults(yard(), L, earth=None)} == {"three-phase", "line-line"}


def test_half_winding_of_a_three_wire_unit() -> None:
    unit = single_phase_three_wire("T", 25.0, 480.0, 240.0, 1.4, 2.0, 1.2)
    network = Network(
        60.0, (supply3("SUP", H, 480.0, inf, 1.0),), unit.cores, (Impedance("bond", "X0", "0", 0.0),)
    )
    half = fault(network, "half winding", ("X1", "X0"))
    whole = fault(network, "line-line", ("X1", "X2"))
    # 1.5 R and 1.2 X on the base of half the voltage
    assert half.current_a == pytest.approx(25e3 / 120.0 / abs(complex(1.5 * 1.4, 1.2 * 2.0)) * 100)
    assert whole.current_a == pytest.approx(25e3 / 240.0 / abs(complex(1.4, 2.0)) * 100)
    assert half.x_over_r == pytest.approx(1.2 * 2.0 / 1.5 / 1.4)
    found = faults(network, ("X1", "X2"), earth="X0")
    assert found[0].kind in ("line-ground", "line-line-ground")
    assert found[0].current_a >= half.current_a * (1 - 1e-9)


def test_earth_fault_without_earth_carries_nothing() -> None:
    bank = open_delta("T", 25.0, 480.0, 240.0, 1.8, 2.4)
    network = Network(60.0, (supply3("SUP", H, 480.0, 10e3, 4.0),), bank.cores)
    found = fault(network, "line-ground", ("X1",))
    assert found.current_a == pytest.approx(0.0, abs=1e-9)
    assert found.x_over_r is None
    assert found.peak_factor is None
    assert found.peak_a == 0.0


def test_voltage_factor_and_motor_contribution() -> None:
    plain = fault(yard(), "three-phase", L)
    more = fault(yard(), "three-phase", L, voltage_factor=1.05, motor_contribution_a=400.0)
    assert more.current_a == pytest.approx(1.05 * plain.current_a)
    assert more.total_a == pytest.approx(more.current_a + 400.0)
    assert more.peak_factor == pytest.approx(plain.peak_factor)
    assert more.peak_a == pytest.approx(more.total_a * more.peak_factor)


def test_loads_of_constant_power_are_left_out_and_impedances_stay() -> None:
    loaded = yard().with_(loads=[PowerLoad("P", "L1", "0", 5e3, 2e3)])
    assert fault(loaded, "three-phase", L).current_a == pytest.approx(
        fault(yard(), "three-phase", L).current_a
    )
    with_load = yard().with_(impedances=delta_load("z", L, 60.0, 0.85, 208.0))
    assert fault(with_load, "three-phase", L).current_a == pytest.approx(
        fault(yard(), "three-phase", L).current_a, rel=1e-6
    )


def test_names_in_use_do_not_disturb() -> None:
    used = yard().with_(
        impedances=[Impedance("fault.1", "L1", "L2", 5.0), Impedance("fault", "L2", "0", 9.0)]
    )
    assert fault(used, "line-line", L[1:]).current_a > 0


def test_ideal_source_without_impedance_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        fault(Network(60.0, (Source3("SUP", H, 480.0, 0j, 0j),)), "three-phase", H)
    assert caught.value.code == "CIR-05"


@pytest.mark.parametrize(
    ("kind", "nodes"), [("three-phase", L[:2]), ("line-ground", L), ("arc", L), ("line-line", ())]
)
def test_a_fault_that_is_not_known_is_refused(kind: str, nodes: tuple[str, ...]) -> None:
    with pytest.raises(InputError) as caught:
        fault(yard(), kind, nodes)  # type: ignore[arg-type]
    assert caught.value.code == "CIR-13"


def test_factors_that_cannot_be_are_refused() -> None:
    for more in (
        {"voltage_factor": nan},
        {"voltage_factor": 0.0},
        {"motor_contribution_a": nan},
        {"motor_contribution_a": -1.0},
        {"r_ohm": -0.1},
    ):
        with pytest.raises(InputError):
            fault(yard(), "three-phase", L, **more)


# peak multiplying factors of the usual table of short-circuit power factor (memory: low-voltage breaker test tables)
TABLE = [(0.05, 2.625), (0.10, 2.455), (0.15, 2.309), (0.20, 2.183), (0.30, 1.978), (0.50, 1.694)]


@pytest.mark.parametrize(("power_factor", "factor"), TABLE)
def test_peak_factor_against_the_table_of_power_factors(power_factor: float, factor: float) -> None:
    ratio = sqrt(1 / power_factor**2 - 1)
    assert peak_factor(ratio) == pytest.approx(factor, abs=1e-3)


@settings(max_examples=50, deadline=None)
@given(st.floats(0.05, 100.0))
def test_peak_factor_is_the_largest_value_over_time_and_moment_of_closing(ratio: float) -> None:
    phi = atan(ratio)

    def current(t: float, alpha: float) -> float:
        return sqrt(2) * abs(sin(t + alpha - phi) - sin(alpha - phi) * exp(-t / tan(phi)))

    ours = peak_factor(ratio)
    highest = max(current(k * pi / 400, j * pi / 40) for k in range(800) for j in range(40))
    assert highest <= ours * (1 + 1e-12)
    assert highest >= ours * (1 - 1e-3)
    assert ours >= sqrt(2) * (1 + exp(-pi / ratio)) * (1 - 1e-12)


def test_peak_factor_limits_and_refusals() -> None:
    assert peak_factor(0.0) == pytest.approx(sqrt(2))
    assert peak_factor(inf) == pytest.approx(2 * sqrt(2))
    assert peak_factor(1e9) == pytest.approx(2 * sqrt(2))
    for bad in (-1.0, nan):
        with pytest.raises(InputError):
            peak_factor(bad)


def test_scalars_say_their_formula_and_refuse_what_cannot_be() -> None:
    for function in (
        infinite_bus_fault_a,
        three_phase_fault_a,
        line_ground_fault_a,
        motor_contribution_a,
        peak_factor,
    ):
        assert formula_of(function).equation
    assert motor_contribution_a(100.0, 0.0) == motor_contribution_a(0.0, 4.0) == 0.0
    # 75 kVA, 208 V, 4 %: 5 204 A
    assert infinite_bus_fault_a(75e3 / sqrt(3) / 208.0, 4.0) == pytest.approx(5204.5, abs=0.5)
    for attempt in (
        lambda: infinite_bus_fault_a(200.0, 0.0),
        lambda: infinite_bus_fault_a(nan, 4.0),
        lambda: three_phase_fault_a(208.0, 0.0, 0.0, 1.0),
        lambda: line_ground_fault_a(208.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0),
        lambda: motor_contribution_a(-1.0, 4.0),
        lambda: motor_contribution_a(100.0, -1.0),
        lambda: motor_contribution_a(inf, 4.0),
        lambda: motor_contribution_a(100.0, nan),
        lambda: motor_contribution_a(1e200, 1e200),
    ):
        with pytest.raises(InputError) as caught:
            attempt()
        assert caught.value.code == "CIR-13"
