"""Named connections: displacement of every vector group, ratios, nameplate impedance seen outside, what is refused."""

from cmath import phase
from math import degrees, inf, sqrt

import pytest

from turnwright.circuit import (
    Impedance,
    Network,
    Solution,
    delta_load,
    load,
    solve,
    supply1,
    supply3,
    wye_load,
)
from turnwright.circuit.connections import (
    Connection,
    autotransformer,
    autotransformer_wye,
    buck_boost,
    buck_boost_open_delta,
    buck_boost_wye,
    high_leg_delta,
    open_delta,
    read_group,
    scott,
    single_phase_three_wire,
    tapped_core,
    tee,
    three_phase,
    three_winding,
    zigzag_earthing,
)
from turnwright.circuit.studies.unbalance import rated_currents_a
from turnwright.circuit.thevenin import thevenin
from turnwright.errors import InputError

H, X = ("H1", "H2", "H3"), ("X1", "X2", "X3")
STIFF = supply3("SUP", H, 480.0, inf, 1.0)
EVEN = [
    f"{one}{two}{clock}" for one, two in (("D", "d"), ("Y", "y"), ("D", "z")) for clock in (0, 2, 4, 6, 8, 10)
]
ODD = [
    f"{one}{two}{clock}" for one, two in (("D", "y"), ("Y", "d"), ("Y", "z")) for clock in (1, 3, 5, 7, 9, 11)
]


def with_balanced_load(bank: Connection, *more: Impedance) -> Solution:
    lines = bank.terminals["secondary"]
    loads = delta_load("L", lines, 1.0, 1.0, 208.0)
    corner = Impedance("corner", lines[1], "0", 0.0)
    return solve(Network(60.0, (STIFF,), bank.cores, (*loads, corner, *more)))


@pytest.mark.parametrize("group", EVEN + ODD)
def test_every_vector_group_turns_by_its_clock_number(group: str) -> None:
    bank = three_phase("T", group, 1000.0, 480.0, 208.0, 1e-4, 1e-4)
    found = with_balanced_load(bank)
    primary, secondary = found.voltage_v("H1", "H2"), found.voltage_v("X1", "X2")
    lag = degrees(phase(primary / secondary)) % 360
    assert bank.displacement_deg is not None
    assert (lag - bank.displacement_deg + 180) % 360 - 180 == pytest.approx(0, abs=1e-3)
    assert abs(secondary) == pytest.approx(208.0, rel=1e-5)
    # the other two lines follow in the same order
    assert degrees(phase(found.voltage_v("X2", "X3") / secondary)) == pytest.approx(-120, abs=1e-3)


@pytest.mark.parametrize("group", ["Dyn1", "Yd11", "Dd0", "YNyn0", "Dzn0", "Yzn5", "Dz4"])
def test_nameplate_impedance_is_what_a_short_circuit_test_finds(group: str) -> None:
    bank = three_phase("T", group, 45.0, 480.0, 208.0, 2.0, 3.0, primary_neutral="0")
    shorts = [Impedance(f"s{k}", X[k], "point", 0.0) for k in range(3)]
    found = solve(Network(60.0, (STIFF,), bank.cores, (*shorts, Impedance("tie", "point", "0", 0.0))))
    phase_v, current = 480.0 / sqrt(3), found.current_a("SUP:H1")
    z = found.voltage_v("H1") / current
    base = 480.0**2 / 45e3
    assert z.real / base == pytest.approx(0.02, rel=1e-9)
    assert z.imag / base == pytest.approx(0.03, rel=1e-9)
    assert abs(found.voltage_v("H1")) == pytest.approx(phase_v)


def test_three_winding_group() -> None:
    bank = three_winding(
        "T", "YNyn0d11", 75.0, (480.0, 208.0, 240.0), (1.0, 1.0, 1.0), (4.0, 5.0, 6.0), neutrals=("0",) * 3
    )
    network = Network(60.0, (STIFF,), bank.cores, (Impedance("corner", "Y2", "0", 0.0),))
    found = solve(network)
    assert found.voltage_v("X1", "X2") == pytest.approx(208.0 / 480.0 * found.voltage_v("H1", "H2"))
    lag = degrees(phase(found.voltage_v("H1", "H2") / found.voltage_v("Y1", "Y2")))
    assert lag % 360 == pytest.approx(330.0)
    assert abs(found.voltage_v("Y1", "Y2")) == pytest.approx(240.0)
    assert set(bank.terminals) == {"primary", "secondary", "tertiary"}


@pytest.mark.parametrize(
    "group", ["", "Dyn", "Dyn2", "Dd1", "Yy1", "Dyn13", "Zyn0", "dyn1", "Dyn1d", "Dz1", "Dyn-1"]
)
def test_what_is_no_vector_group_is_refused(group: str) -> None:
    with pytest.raises(InputError) as caught:
        read_group(group)
    assert caught.value.code == "CIR-09"


def test_two_and_three_sides_are_kept_apart() -> None:
    with pytest.raises(InputError, match="three_winding"):
        three_phase("T", "Dyn1d0", 45.0, 480.0, 208.0, 2.0, 3.0)
    for group in ("Dyn1", "Dyn1z1", "Dzn0d0"):
        with pytest.raises(InputError):
            three_winding("T", group, 75.0, (480.0, 208.0, 240.0), (1.0,) * 3, (4.0, 5.0, 6.0))


def test_star_points_not_brought_out_are_nodes_of_their_own() -> None:
    bank = three_phase("T", "Yyn0", 45.0, 480.0, 208.0, 2.0, 3.0)
    assert bank.neutrals == {"primary": "T.primary.star", "secondary": "X0"}


def test_places_are_the_windings_of_the_cores() -> None:
    bank = three_winding("T", "Dyn1d0", 75.0, (480.0, 208.0, 240.0), (1.0,) * 3, (4.0, 5.0, 6.0))
    assert len(bank.places) == 9
    for place in bank.places:
        (core,) = (core for core in bank.cores if core.name == place.core)
        winding = core.windings[place.winding - 1]
        assert (winding.dot, winding.other, winding.rated_v) == (place.dot, place.other, place.rated_v)
        assert {"H": "primary", "X": "secondary", "Y": "tertiary"}[place.dot[0]] == place.side


def test_zigzag_zero_sequence_is_a_third_of_that_between_its_halves() -> None:
    bank = three_phase(
        "T", "Dzn0", 45.0, 480.0, 208.0, 2.0, 3.0, halves_reactance_pct=2.4, secondary_neutral="0"
    )
    together = [Impedance(f"s{k}", X[k], "point", 0.0) for k in range(3)]
    port = thevenin(Network(60.0, (STIFF,), bank.cores, tuple(together)), "point")
    base = 208.0**2 / 45e3
    # three equal currents into the point: a third of Z0
    assert 3 * port.z_ohm.imag / base == pytest.approx(0.024 / 3, rel=1e-9)


def test_zigzag_earthing_unit_zero_sequence() -> None:
    unit = zigzag_earthing("Z", 9.0, 480.0, 2.0, 3.0, neutral="0")
    lines = [Impedance(f"s{k}", H[k], "point", 0.0) for k in range(3)]
    port = thevenin(
        Network(60.0, (supply1("SUP", "point", "0", 100.0, 1e-3, 0.0),), unit.cores, tuple(lines)), "point"
    )
    z0 = 3 / (1 / port.z_ohm - 1e-3 / 100.0)
    assert z0 == pytest.approx(complex(2, 3) / 100 * 480.0**2 / 9e3 / 3, rel=1e-9)


def test_tapped_unit_has_its_nameplate_and_its_halves() -> None:
    unit = single_phase_three_wire("T", 25.0, 480.0, 240.0, 1.4, 2.0, 1.2, primary=("H1", "H2"))
    whole = thevenin(Network(60.0, (STIFF,), unit.cores, (Impedance("bond", "X0", "0", 0.0),)), "X1", "X2")
    half = thevenin(Network(60.0, (STIFF,), unit.cores, (Impedance("bond", "X0", "0", 0.0),)), "X1", "X0")
    assert whole.z_ohm == pytest.approx(complex(1.4, 2.0) / 100 * 240.0**2 / 25e3)
    # 1.5 R and 1.2 X on the base of a half
    assert half.z_ohm == pytest.approx(complex(1.5 * 1.4, 1.2 * 2.0) / 100 * 120.0**2 / 25e3)
    assert rated_currents_a(unit.cores[0])[1] == pytest.approx(25e3 / 240)


def test_high_leg_stands_at_its_voltage() -> None:
    for closed in (True, False):
        bank = high_leg_delta("T", 37.5, 25.0, 480.0, 240.0, (1.2, 1.6), (2.3, 2.2), 1.2, closed=closed)
        found = solve(Network(60.0, (STIFF,), bank.cores, (Impedance("bond", "X0", "0", 0.0),)))
        assert abs(found.voltage_v("X3")) == pytest.approx(240.0 * sqrt(3) / 2)
        assert abs(found.voltage_v("X1")) == pytest.approx(120.0)
        assert abs(found.voltage_v("X2", "X3")) == pytest.approx(240.0)


def test_open_delta_gives_three_equal_voltages() -> None:
    bank = open_delta("T", 25.0, 480.0, 240.0, 1.8, 2.4)
    found = solve(Network(60.0, (STIFF,), bank.cores, (Impedance("corner", "X2", "0", 0.0),)))
    for a, b in ((0, 1), (1, 2), (2, 0)):
        assert abs(found.voltage_v(X[a], X[b])) == pytest.approx(240.0)


def test_autotransformer_ratio_and_nameplate_impedance() -> None:
    unit = autotransformer("T", 100.0, 480.0, 400.0, 0.6, 1.2)
    network = Network(60.0, (supply1("SUP", "H1", "0", 480.0, inf, 1.0),), unit.cores)
    port = thevenin(network, "X1")
    assert port.voltage_v == pytest.approx(400.0)
    assert port.z_ohm == pytest.approx(complex(0.6, 1.2) / 100 * 400.0**2 / 100e3)
    found = solve(network.with_(impedances=[load("L", "X1", "0", 100.0, 0.9, 400.0)]))
    ratio = abs(found.current_a("T.w2") / found.current_a("T.w1"))
    assert ratio == pytest.approx(80.0 / 400.0)
    with pytest.raises(InputError, match="higher"):
        autotransformer("T", 100.0, 400.0, 480.0, 0.6, 1.2)


def test_autotransformer_in_star() -> None:
    unit = autotransformer_wye("T", 75.0, 480.0, 240.0, 0.8, 1.5, neutral="0")
    network = Network(60.0, (STIFF,), unit.cores)
    assert abs(solve(network).voltage_v("X1", "X2")) == pytest.approx(240.0)
    assert thevenin(network, "X1").z_ohm == pytest.approx(complex(0.8, 1.5) / 100 * 240.0**2 / 75e3)


@pytest.mark.parametrize(("direction", "volts"), [("boost", 208.0 * 1.1), ("buck", 208.0 / 1.1)])
def test_buck_and_boost_ratios(direction: str, volts: float) -> None:
    one = buck_boost("T", 1.0, (240.0, 24.0), 3.0, 2.0, direction)  # type: ignore[arg-type]
    assert solve(Network(60.0, (supply1("SUP", "IN", "0", 208.0, inf, 1.0),), one.cores)).voltage_v(
        "OUT"
    ) == pytest.approx(volts)
    supply = supply3("SUP", H, 208.0, inf, 1.0)
    two = buck_boost_open_delta("T", 1.0, (240.0, 24.0), 3.0, 2.0, direction)  # type: ignore[arg-type]
    found = solve(Network(60.0, (supply,), two.cores))
    for a, b in (("X1", "H2"), ("H2", "X3"), ("X3", "X1")):
        assert abs(found.voltage_v(a, b)) == pytest.approx(volts)
    three = buck_boost_wye("T", 1.0, (120.0, 12.0), 3.0, 2.0, direction, neutral="0")  # type: ignore[arg-type]
    assert abs(solve(Network(60.0, (supply,), three.cores)).voltage_v("X1", "X2")) == pytest.approx(volts)


def test_a_direction_that_is_neither_is_refused() -> None:
    with pytest.raises(InputError, match="boost or buck"):
        buck_boost("T", 1.0, (240.0, 24.0), 3.0, 2.0, "up")  # type: ignore[arg-type]


def test_scott_makes_two_phases_in_quadrature() -> None:
    unit = scott("T", 25.0, 480.0, 240.0, (1.5, 1.8), (2.8, 2.7), 0.8, returns=("0", "0"))
    found = solve(Network(60.0, (STIFF,), unit.cores))
    main, teaser = found.voltage_v("P1"), found.voltage_v("Q1")
    assert (abs(main), abs(teaser)) == pytest.approx((240.0, 240.0))
    assert degrees(phase(teaser / main)) == pytest.approx(90.0)


def test_scott_main_has_its_nameplate_impedance_and_balanced_load_makes_balanced_lines() -> None:
    unit = scott("T", 25.0, 480.0, 240.0, (1.5, 1.8), (2.8, 2.7), 0.8, returns=("0", "0"))
    network = Network(60.0, (STIFF,), unit.cores)
    assert thevenin(network, "P1").z_ohm == pytest.approx(complex(1.5, 2.8) / 100 * 240.0**2 / 25e3)
    ideal = scott("T", 25.0, 480.0, 240.0, (0.0, 0.0), (0.0, 0.0), 0.0, returns=("0", "0"))
    loads = (load("P", "P1", "0", 25.0, 0.8, 240.0), load("Q", "Q1", "0", 25.0, 0.8, 240.0))
    found = solve(Network(60.0, (STIFF,), ideal.cores, loads))
    for node in H:
        assert abs(found.current_a(f"SUP:{node}")) == pytest.approx(50e3 / sqrt(3) / 480.0)
    assert rated_currents_a(ideal.cores[0])[0] == pytest.approx(50e3 / sqrt(3) / 480.0)


def test_tee_is_balanced_and_main_has_its_nameplate() -> None:
    unit = tee("T", (17.0, 15.0), 480.0, 208.0, (2.0, 2.2), (3.0, 2.6), 0.7)
    network = Network(60.0, (STIFF,), unit.cores, (Impedance("corner", "X2", "0", 0.0),))
    found = solve(network)
    for a, b in ((0, 1), (1, 2), (2, 0)):
        assert found.voltage_v(X[a], X[b]) == pytest.approx(208 / 480 * found.voltage_v(H[a], H[b]))
    assert thevenin(network, "X2", "X3").z_ohm == pytest.approx(complex(2.0, 3.0) / 100 * 208.0**2 / 17e3)


def test_rated_balanced_load_of_a_tee_loads_every_coil_to_its_rating() -> None:
    """A T of a main of √3 · 10 kVA and a teaser of 15 kVA carries 30 kVA: the line current is that of every coil."""
    unit = tee("T", (10.0 * sqrt(3), 15.0), 480.0, 208.0, (0.0, 0.0), (0.0, 0.0), 0.0)
    loads = delta_load("L", X, 30.0, 1.0, 208.0)
    found = solve(Network(60.0, (STIFF,), unit.cores, (*loads, Impedance("corner", "X2", "0", 0.0))))
    for core in unit.cores:
        for k, rated_a in enumerate(rated_currents_a(core), 1):
            assert abs(found.current_a(f"{core.name}.w{k}")) == pytest.approx(rated_a)


def test_wye_and_delta_loads_draw_the_same() -> None:
    for loads in (wye_load("L", H, "star", 30.0, 0.8, 480.0), delta_load("L", H, 30.0, 0.8, 480.0)):
        found = solve(Network(60.0, (STIFF,), (), loads))
        assert found.supplied_va() == pytest.approx(30e3 * complex(0.8, 0.6))


def test_tapped_core_splits_resistance_by_turns() -> None:
    core = tapped_core("T", 10.0, ("a", "0", 480.0), ("b", "t", "c"), 240.0, 1.0, 2.0, 1.2)
    assert [w.resistance_pct for w in core.windings] == [0.5, 1.0, 1.0]
