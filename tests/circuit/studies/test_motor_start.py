"""Motor starting: dips by hand, the reference circuit with a locked rotor, the limits found by search."""

import json
from math import inf, sqrt
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.circuit import Impedance, Network, conductors, load, solve, supply3
from turnwright.circuit.connections import open_delta, three_phase
from turnwright.circuit.studies.motor_start import dip_pct, largest_motor_kva, motor_start, smallest_unit_kva
from turnwright.errors import InputError

H, X, L = ("H1", "H2", "H3"), ("X1", "X2", "X3"), ("L1", "L2", "L3")


def shop(kva: float = 63.0) -> Network:
    """The circuit of reference case S02 without its motor."""
    unit = three_phase("T1", "Dyn11", kva, 400.0, 400.0, 2.0, 4.0, secondary_neutral="0")
    feeder = conductors("fdr", list(zip(X, L, strict=True)), 0.030, 0.010)
    lights = [load(f"light{k}", f"X{k}", "0", kva, 0.98, 231.0) for k, kva in ((1, 6.0), (2, 4.0), (3, 9.0))]
    return Network(50.0, (supply3("SUP", H, 400.0, 10e3, 4.0, 2.5),), unit.cores, (*feeder, *lights))


def test_reference_case_with_a_locked_rotor() -> None:
    cases = json.loads((Path(__file__).parent.parent / "data" / "circuit_cases.json").read_text())["cases"]
    (case,) = (case for case in cases if case["id"] == "S02")
    volts = {n: complex(v["re"], v["im"]) for n, v in case["outputs"]["node_voltages_to_earth_v"].items()}
    found = motor_start(shop(), L, 99.7, 0.40, 400.0, supply_nodes=H)
    before = solve(shop())
    pairs = [(L[k], L[(k + 1) % 3]) for k in range(3)]
    assert found.voltage_v == pytest.approx(min(abs(volts[a] - volts[b]) for a, b in pairs), rel=1e-6)
    dips = [100 * (1 - abs(volts[a] - volts[b]) / abs(before.voltage_v(a, b))) for a, b in pairs]
    assert found.dip_pct == pytest.approx(max(dips), rel=1e-6)
    assert 0 < found.supply_dip_pct < found.dip_pct


def test_dip_of_a_divider() -> None:
    source = supply3("SUP", H, 480.0, 5e3, 3.0)
    found = motor_start(Network(60.0, (source,)), H, 300.0, 0.3, 480.0, supply_nodes=H)
    motor = 480.0**2 / 300e3 * complex(0.3, sqrt(1 - 0.09))
    assert found.dip_pct == pytest.approx(100 * (1 - abs(motor / (motor + source.z1_ohm))))
    assert found.current_a == pytest.approx(480.0 / sqrt(3) / abs(motor + source.z1_ohm))
    assert found.start_kva == pytest.approx(sqrt(3) * found.voltage_v * found.current_a / 1e3)


@settings(max_examples=15, deadline=None)
@given(st.floats(2.0, 40.0), st.floats(0.1, 0.9))
def test_largest_motor_brings_the_dip_to_its_limit_and_not_above(limit: float, power_factor: float) -> None:
    kva = largest_motor_kva(shop(), L, power_factor, 400.0, limit)
    found = motor_start(shop(), L, kva, power_factor, 400.0, supply_nodes=H).dip_pct
    assert found <= limit
    assert found == pytest.approx(limit, rel=1e-7)


def test_a_limit_at_the_supply_may_bind_first() -> None:
    free = largest_motor_kva(shop(), L, 0.3, 400.0, 30.0)
    bound = largest_motor_kva(shop(), L, 0.3, 400.0, 30.0, supply_nodes=H, supply_dip_limit_pct=1.0)
    assert bound < free
    found = motor_start(shop(), L, bound, 0.3, 400.0, supply_nodes=H)
    assert found.supply_dip_pct == pytest.approx(1.0, rel=1e-7)


def test_smallest_unit_for_a_motor() -> None:
    sizes = (15.0, 30.0, 45.0, 63.0, 100.0, 160.0)
    found = smallest_unit_kva(shop, sizes, L, 99.7, 0.4, 400.0, 12.0)
    assert found is not None
    dips = [motor_start(shop(kva), L, 99.7, 0.4, 400.0, supply_nodes=H).dip_pct for kva in sizes]
    assert dips == sorted(dips, reverse=True)
    assert found == next(kva for kva, dip in zip(sizes, dips, strict=True) if dip <= 12.0)
    assert smallest_unit_kva(shop, sizes, L, 9970.0, 0.4, 400.0, 5.0) is None


def test_single_phase_motor_and_unequal_dips_of_an_open_delta() -> None:
    bank = open_delta("T", 25.0, 480.0, 240.0, 1.8, 2.4)
    network = Network(
        60.0, (supply3("SUP", H, 480.0, 10e3, 4.0),), bank.cores, (Impedance("corner", "X2", "0", 0.005),)
    )
    single = motor_start(network, ("X1", "X2"), 20.0, 0.4, 240.0, supply_nodes=H)
    assert single.dip_pct > 0
    assert dip_pct(single.before, single.after, ("X2", "X3")) < single.dip_pct
    three = motor_start(network, X, 60.0, 0.4, 240.0, supply_nodes=H)
    each = [dip_pct(three.before, three.after, (X[a], X[b])) for a, b in ((0, 1), (1, 2), (2, 0))]
    assert max(each) == pytest.approx(three.dip_pct)
    assert max(each) > 1.2 * min(each)


def test_what_cannot_be_asked_is_refused() -> None:
    stiff = Network(60.0, (supply3("SUP", H, 480.0, inf, 1.0),))
    for attempt in (
        lambda: motor_start(shop(), L[:1], 10.0, 0.4, 400.0, supply_nodes=H),
        lambda: motor_start(shop(), L, 10.0, 0.4, 400.0, supply_nodes=H[:1]),
        lambda: largest_motor_kva(shop(), L, 0.4, 400.0, 0.0),
        lambda: largest_motor_kva(shop(), L, 0.4, 400.0, 100.0),
        lambda: largest_motor_kva(stiff, H, 0.4, 480.0, 10.0),
        lambda: smallest_unit_kva(shop, (15.0,), L, 10.0, 0.4, 400.0, inf),
    ):
        with pytest.raises(InputError) as caught:
            attempt()
        assert caught.value.code == "CIR-13"
    with pytest.raises(InputError):
        motor_start(shop(), L, -5.0, 0.4, 400.0, supply_nodes=H)
