"""Regulation on the no-load voltage: scalar against network, limits, refusals."""

from math import acos, degrees, inf, nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.circuit import CurrentLoad, Impedance, Network, load, supply1, supply3, wye_load
from turnwright.circuit.connections import single_phase, three_phase
from turnwright.circuit.studies.regulation import regulation, regulation_on_loaded_pct, regulation_pct
from turnwright.errors import InputError
from turnwright.working import formula_of

pct = st.floats(0.0, 10.0)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.05, 1.5), pct, pct, st.floats(0.1, 1.0), st.booleans())
def test_scalar_is_the_network(load_pu: float, r: float, x: float, pf: float, leads: bool) -> None:
    unit = single_phase("T", 10.0, 480.0, 240.0, r, x, primary=("a", "0"), secondary=("b", "0"))
    lag = degrees(acos(pf)) * (-1 if leads else 1)
    drawn = CurrentLoad("L", "b", "0", load_pu * 10e3 / 240.0, lag)
    network = Network(60.0, (supply1("SUP", "a", "0", 480.0, inf, 1.0),), unit.cores, loads=(drawn,))
    ((found,), _) = regulation(network, (), [("b", "0")])
    assert found.no_load_v == pytest.approx(240.0)
    assert found.regulation_pct == pytest.approx(
        regulation_pct(load_pu, r, x, -pf if leads else pf), abs=1e-6
    )


@settings(max_examples=40, deadline=None)
@given(st.floats(0.1, 1.5), pct, pct, st.floats(0.1, 1.0))
def test_regulation_rises_with_load_and_impedance(load_pu: float, r: float, x: float, pf: float) -> None:
    here = regulation_pct(load_pu, r, x, pf)
    assert regulation_pct(1.1 * load_pu, r, x, pf) >= here - 1e-9
    assert regulation_pct(load_pu, r + 0.5, x, pf) >= here - 1e-9
    assert here >= 0


def test_the_two_bases_belong_together() -> None:
    # a unit held at rated secondary voltage: E = 1 + on_loaded; the same current is less of E
    on_loaded = regulation_on_loaded_pct(1.0, 2.0, 4.0, 0.8)
    e = 1 + on_loaded / 100
    assert regulation_pct(1 / e, 2.0, 4.0, 0.8) == pytest.approx(100 * (1 - 1 / e))
    assert formula_of(regulation_pct).unit == "%"


def test_in_a_network_each_pair_has_its_own() -> None:
    unit = three_phase("T", "Dyn1", 45.0, 480.0, 208.0, 2.0, 3.0, secondary_neutral="0")
    supply = supply3("SUP", ("H1", "H2", "H3"), 480.0, 14e3, 6.0)
    loads = (
        load("one", "X1", "0", 12.0, 0.9, 120.0),
        *wye_load("all", ("X1", "X2", "X3"), "0", 9.0, 0.9, 208.0),
    )
    network = Network(60.0, (supply,), unit.cores, loads)
    found, loaded = regulation(network, ["one", "all_1", "all_2", "all_3"], [("X1", "0"), ("X2", "0")])
    assert found[0].regulation_pct > found[1].regulation_pct
    assert found[0].loaded_v == pytest.approx(abs(loaded.voltage_v("X1")))
    assert found[0].no_load_v == pytest.approx(208.0 / 3**0.5)
    assert found[0].on_loaded_pct > found[0].regulation_pct
    # loads left on are part of what regulates
    partial, _ = regulation(network, ["one"], [("X1", "0")])
    assert partial[0].no_load_v < found[0].no_load_v


def test_what_cannot_be_asked_is_refused() -> None:
    network = Network(
        60.0, (supply1("SUP", "a", "0", 480.0, 1e4, 1.0),), (), (Impedance("z", "a", "0", 5.0),)
    )
    for attempt in (
        lambda: regulation(network, ["y"], [("a", "0")]),
        lambda: regulation_pct(nan, 1.0, 1.0, 0.9),
        lambda: regulation_pct(1.0, -1.0, 1.0, 0.9),
        lambda: regulation_pct(1.0, 1.0, 1.0, 0.0),
        lambda: regulation_pct(1.0, 1.0, 1.0, 1.2),
        lambda: regulation_pct(50.0, 3.0, 3.0, 0.8),
        lambda: regulation_on_loaded_pct(1.0, inf, 1.0, 0.9),
    ):
        with pytest.raises(InputError) as caught:
            attempt()
        assert caught.value.code == "CIR-13"
