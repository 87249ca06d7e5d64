"""Several pairs of nodes at once, against one solution for each and against the faults solved in the network."""

from math import inf

import pytest

from turnwright.circuit import CurrentLoad, Impedance, Network, Source1, delta_load, supply3
from turnwright.circuit.connections import single_phase_three_wire, three_phase
from turnwright.circuit.ports import ports
from turnwright.circuit.studies.fault import fault
from turnwright.circuit.thevenin import thevenin
from turnwright.errors import InputError

H, X = ("H1", "H2", "H3"), ("X1", "X2", "X3")
SUPPLY = supply3("SUP", H, 480.0, 14e3, 6.0, 2.0)


def bank(group: str) -> Network:
    return Network(
        60.0, (SUPPLY,), three_phase("T", group, 45.0, 480.0, 208.0, 2.0, 3.0, secondary_neutral="0").cores
    )


def test_each_pair_is_its_thevenin_equivalent() -> None:
    network = bank("Dyn1").with_(impedances=delta_load("L", X, 20.0, 0.8, 208.0))
    pairs = [("X1", "X3"), ("X2", "0"), ("H1", "H2")]
    seen = ports(network, pairs)
    for k, pair in enumerate(pairs):
        one = thevenin(network, *pair)
        assert seen.voltages_v[k] == pytest.approx(one.voltage_v)
        assert seen.z_ohm[k][k] == pytest.approx(one.z_ohm)
    # reciprocity
    assert seen.z_ohm[0][1] == pytest.approx(seen.z_ohm[1][0])


def test_shorts_are_the_faults_solved_in_the_network() -> None:
    network = bank("Dyn1")
    seen = ports(network, [("X1", "X3"), ("X2", "X3"), ("X1", "0"), ("X2", "0")])
    three = seen.short_a([("X1", "X3"), ("X2", "X3")])
    found = fault(network, "three-phase", X)
    assert max(map(abs, (*three, sum(three)))) == pytest.approx(found.current_a)
    assert abs(seen.short_a([("X1", "0")])[0]) == pytest.approx(
        fault(network, "line-ground", ("X1",)).current_a
    )
    both = fault(network, "line-line-ground", ("X1", "X2"))
    assert abs(sum(seen.short_a([("X1", "0"), ("X2", "0")]))) == pytest.approx(both.earth_a)
    assert seen.x_over_r(("X1", "X3")) == pytest.approx(fault(network, "line-line", ("X1", "X3")).x_over_r)


def test_a_part_without_earth_has_ports_within_it_but_none_to_earth() -> None:
    network = bank("Dd0")
    inside = ports(network, [("X1", "X2")])
    assert abs(inside.short_a([("X1", "X2")])[0]) == pytest.approx(
        fault(network, "line-line", X[:2]).current_a
    )
    for pair in (("X1", "0"), ("0", "X2"), ("X1", "H1")):
        with pytest.raises(InputError, match="nothing closes the circuit") as caught:
            ports(network, [pair])
        assert caught.value.code == "CIR-05"


def test_a_network_that_leaves_a_voltage_open_is_seen_one_pair_at_a_time() -> None:
    network = bank("Yy0")
    seen = ports(network, [("X1", "X2")])
    assert abs(seen.short_a([("X1", "X2")])[0]) == pytest.approx(fault(network, "line-line", X[:2]).current_a)


def test_half_winding() -> None:
    unit = single_phase_three_wire("T", 25.0, 480.0, 240.0, 1.4, 2.0, 1.2)
    network = Network(60.0, (SUPPLY,), unit.cores, (Impedance("bond", "X0", "0", 0.0),))
    seen = ports(network, [("X1", "X0")])
    assert abs(seen.short_a([("X1", "X0")])[0]) == pytest.approx(
        fault(network, "half winding", ("X1", "X0")).current_a
    )


def test_what_has_no_answer_is_refused() -> None:
    ideal = Network(60.0, (supply3("SUP", H, 480.0, inf, 1.0),))
    with pytest.raises(InputError, match="nothing limits the current"):
        ports(ideal, [("H1", "H2")]).short_a([("H1", "H2")])
    with pytest.raises(InputError, match="no such node"):
        ports(ideal, [("H1", "H9")])
    drawing = Network(
        60.0, (Source1("SUP", "a", "0", 240.0, 1 + 0j),), loads=(CurrentLoad("C", "a", "0", 5.0),)
    )
    for ask in (lambda: ports(drawing, [("a", "0")]), lambda: thevenin(drawing, "a")):
        with pytest.raises(InputError) as caught:
            ask()
        assert caught.value.code == "CIR-13"
