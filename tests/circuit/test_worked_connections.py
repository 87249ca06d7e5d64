"""Published worked examples on connections, solved as networks where they are some.

Compared with `recomputed` of each entry. Entries with `status: disputed` print a number that contradicts physics
(their `notes` say why); the recalculation by the same data is what the network must give.
"""

from cmath import phase, rect
from collections.abc import Callable
from math import acos, degrees, inf, sqrt
from typing import Any

import pytest

from turnwright.circuit import (
    Impedance,
    Network,
    Source3,
    delta_load,
    load,
    solve,
    supply1,
    supply3,
    wye_load,
)
from turnwright.circuit.connections import (
    autotransformer,
    buck_boost,
    high_leg_delta,
    open_delta,
    scott,
    tee,
    three_phase,
    zigzag_earthing,
)
from turnwright.circuit.studies.fault import fault
from turnwright.circuit.studies.unbalance import unbalance

Worked = Callable[[str], Any]
H, X = ("H1", "H2", "H3"), ("X1", "X2", "X3")
DIGITS = 1e-6


def stiff(nodes: tuple[str, str, str], volts: float) -> Source3:
    return supply3("SUP", nodes, volts, inf, 1.0)


def lagging(pf: float) -> float:
    return degrees(acos(pf))


def test_phase_values_of_delta_and_wye(worked: Worked) -> None:
    example = worked("dy-phase-values-doe-es13-p10")
    kva = 440.0 * 10.4 * sqrt(3) / 1e3
    for group, volts, amperes in (
        ("Dyn1", "delta_primary_phase_voltage", "delta_primary_phase_current"),
        ("YNyn0", "wye_primary_phase_voltage", "wye_primary_phase_current"),
    ):
        unit = three_phase(
            "T", group, kva, 440.0, 208.0, 0.0, 0.0, primary_neutral="0", secondary_neutral="0"
        )
        loads = wye_load("L", X, "0", kva, 1.0, 208.0)
        found = solve(Network(60.0, (stiff(H, 440.0),), unit.cores, loads))
        winding = unit.cores[0].windings[0]
        assert abs(found.voltage_v(winding.dot, winding.other)) == example.wanted(volts)
        assert abs(found.current_a("T.1.w1")) == example.wanted(amperes)


@pytest.mark.parametrize(("name", "group"), [("yd-bank-kosow-14-34", "YNd1"), ("dd-bank-kosow-14-35", "Dd0")])
def test_bank_with_a_delta_secondary(worked: Worked, name: str, group: str) -> None:
    example = worked(name)
    unit = three_phase("T", group, 60.0, 2300.0, 230.0, 0.0, 0.0, primary_neutral="0")
    amperes, pf = example.given("load_line_current"), example.given("pf")
    kva = sqrt(3) * 230.0 * amperes / 1e3
    network = Network(60.0, (stiff(H, 2300.0),), unit.cores, delta_load("L", X, kva, pf, 230.0))
    found = unbalance(network, X)
    assert abs(found.solution.supplied_va()) / 1e3 == example.wanted("load_kva")
    assert found.solution.supplied_va().real / 1e3 == example.wanted("load_kw")
    assert found.supply_lines_a["SUP:H1"] == example.wanted("primary_line_current")
    assert found.windings_a["T.1.w1"] == example.wanted("primary_phase_current")
    assert found.loading_pct["T.1.w2"] == example.wanted("percent_load")
    assert found.windings_a["T.1.w2"] / found.loading_pct["T.1.w2"] * 100 == example.wanted(
        "rated_secondary_phase"
    )


def test_line_voltages_of_wye_delta_and_delta_wye(worked: Worked) -> None:
    example = worked("yd-dy-bird-20-27")
    turns = example.given("primary_turns") / example.given("secondary_turns")
    for group, secondary_v, key in (
        ("YNd1", 2400.0 / sqrt(3) / turns, "yd_secondary_line_voltage"),
        ("Dyn1", 2400.0 / turns * sqrt(3), "dy_secondary_line_voltage"),
    ):
        unit = three_phase("T", group, 30.0, 2400.0, secondary_v, 1.0, 2.0, primary_neutral="0")
        ratio = unit.cores[0].windings[0].rated_v / unit.cores[0].windings[1].rated_v
        assert ratio == pytest.approx(turns)
        found = solve(Network(60.0, (stiff(H, 2400.0),), unit.cores))
        assert abs(found.voltage_v("X1", "X2")) == example.wanted(key)


def test_high_leg(worked: Worked) -> None:
    example = worked("high-leg-115v")
    bank = high_leg_delta("T", 25.0, 15.0, 480.0, 230.0, (1.0, 1.0), (2.0, 2.0), 1.2)
    found = solve(Network(60.0, (stiff(H, 480.0),), bank.cores, (Impedance("bond", "X0", "0", 0.0),)))
    assert abs(found.voltage_v("X3")) == example.wanted("high_leg_to_neutral")


@pytest.mark.parametrize(
    ("name", "unit_kva"),
    [("open-delta-hubert-3-8", 25.0), ("open-delta-kosow-14-37", 20.0), ("open-delta-10kva-examq", 10.0)],
)
def test_capacity_of_an_open_delta(worked: Worked, name: str, unit_kva: float) -> None:
    example = worked(name)
    capacity = example.known("open_delta_capacity")
    bank = open_delta("T", unit_kva, 480.0, 240.0, 0.0, 0.0)
    loads = delta_load("L", X, capacity, 0.7, 240.0)
    found = unbalance(Network(60.0, (stiff(H, 480.0),), bank.cores, loads), X)
    assert found.worst_pct == pytest.approx(100.0, rel=DIGITS)


def test_loading_of_an_open_delta(worked: Worked) -> None:
    example = worked("open-delta-kosow-14-37")
    bank = open_delta("T", 20.0, 480.0, 240.0, 0.0, 0.0)
    loads = delta_load("L", X, example.given("load"), example.given("pf"), 240.0)
    found = unbalance(Network(60.0, (stiff(H, 480.0),), bank.cores, loads), X)
    assert found.worst_pct == example.wanted("percent_of_rating")
    example = worked("open-delta-navedtra-14344")
    volts = example.given("line_voltage")
    bank = open_delta("T", 50.0, 480.0, volts, 0.0, 0.0)
    loads = delta_load("L", X, example.given("load"), 1.0, volts)
    found = unbalance(Network(60.0, (stiff(H, 480.0),), bank.cores, loads), X)
    assert found.windings_a["T.1.w2"] == example.wanted("line_current")
    assert found.windings_a["T.1.w2"] * volts / 1e3 == example.wanted("unit_rating_needed_for_full_load")
    closed = three_phase("T", "Dd0", 150.0, 480.0, volts, 0.0, 1.0)
    found = unbalance(Network(60.0, (stiff(H, 480.0),), closed.cores, loads), X)
    assert found.windings_a["T.1.w2"] == pytest.approx(example.known("phase_current"), rel=2e-2)


def test_tee_connection(worked: Worked) -> None:
    example = worked("scott-theraja-33-17")
    unit = tee("T", (19.05256, 16.5), 3300.0, 440.0, (0.0, 0.0), (0.0, 0.0), 0.0)
    main, teaser = unit.cores
    assert teaser.windings[0].rated_v == example.wanted("teaser_hv_voltage")
    found = solve(Network(50.0, (stiff(H, 3300.0),), unit.cores, delta_load("L", X, 33.0, 1.0, 440.0)))
    assert abs(found.current_a("T.main.w3")) == example.wanted("lv_current")
    assert abs(found.current_a("T.main.w3")) * 440.0 / 1e3 == example.wanted("main_kva")
    assert abs(found.current_a("T.teaser.w2")) * teaser.windings[1].rated_v / 1e3 == example.wanted(
        "teaser_kva"
    )
    assert len(main.windings) == 4


def test_scott_connection_balanced_and_unequal(worked: Worked) -> None:
    example = worked("scott-theraja-33-18")
    unit = scott("T", 75.0, 440.0, 200.0, (0.0, 0.0), (0.0, 0.0), 0.0, returns=("0", "0"))
    teaser = unit.cores[1]
    assert teaser.windings[1].rated_v / teaser.windings[0].rated_v == example.wanted("teaser_turns_ratio")
    loads = (load("P", "P1", "0", 75.0, 1.0, 200.0), load("Q", "Q1", "0", 75.0, 1.0, 200.0))
    found = solve(Network(50.0, (stiff(H, 440.0),), unit.cores, loads))
    assert abs(found.current_a("SUP:H1")) == example.wanted("x_line_current")
    # what balances the secondary of the main unit is half the difference of its halves
    component = abs(found.current_a("T.main.w1") + found.current_a("T.main.w2")) / 2
    assert component == example.wanted("main_balanced_component_current")
    example = worked("scott-unequal-theraja-33-20")
    unit = scott("T", 500.0, 3300.0, 100.0, (0.0, 0.0), (0.0, 0.0), 0.0, returns=("0", "0"))
    pf = example.given("pf")
    loads = (
        load("P", "P1", "0", example.given("main_load") / pf, pf, 100.0),
        load("Q", "Q1", "0", example.given("teaser_load") / pf, pf, 100.0),
    )
    found = solve(Network(50.0, (stiff(H, 3300.0),), unit.cores, loads))
    assert abs(found.current_a("SUP:H2")) == example.wanted("main_line_current")
    assert abs(found.current_a("SUP:H1")) == example.wanted("x_teaser_line_current")


def test_boost_and_buck(worked: Worked) -> None:
    example = worked("buck-boost-hubert-3-3")
    for supply_v, ratio, direction, key in (
        (212.0, example.given("boost_ratio"), "boost", "boosted_output"),
        (246.0, example.given("buck_ratio"), "buck", "bucked_output"),
    ):
        unit = buck_boost("T", 1.0, (100.0, 100.0 * (ratio - 1)), 2.0, 2.0, direction)  # type: ignore[arg-type]
        found = solve(Network(60.0, (supply1("SUP", "IN", "0", supply_v, inf, 1.0),), unit.cores))
        assert abs(found.voltage_v("OUT")) == example.wanted(key)


@pytest.mark.parametrize(
    ("name", "through_key", "high_v", "low_v", "kva"),
    [
        ("auto-hubert-3-2", "auto_rating", 2640.0, 2400.0, 10.0),
        ("auto-guru-4-10", "rating_2640_240", 2640.0, 240.0, 24.0),
        ("auto-guru-4-10", "rating_2640_2400", 2640.0, 2400.0, 24.0),
        ("auto-fitzgerald-2-7", "auto_rating", 2640.0, 2400.0, 50.0),
        ("auto-stevenson-6-3", "input_kva", 360.0, 120.0, 30.0),
    ],
)
def test_throughput_of_an_autotransformer(
    worked: Worked, name: str, through_key: str, high_v: float, low_v: float, kva: float
) -> None:
    example = worked(name)
    through = example.known(through_key)
    unit = autotransformer("T", through, high_v, low_v, 0.0, 0.0)
    assert unit.cores[0].kva == pytest.approx(kva)
    source = supply1("SUP", "H1", "0", high_v, inf, 1.0)
    found = unbalance_of_windings(
        Network(60.0, (source,), unit.cores, (load("L", "X1", "0", through, 0.8, low_v),))
    )
    assert found == pytest.approx([100.0, 100.0])


def unbalance_of_windings(network: Network) -> list[float]:
    found = solve(network)
    core = network.cores[0]
    return [
        100 * abs(found.current_a(f"{core.name}.w{k}")) * w.rated_v / core.kva / 1e3
        for k, w in enumerate(core.windings, 1)
    ]


def test_currents_of_an_autotransformer(worked: Worked) -> None:
    example = worked("auto-bird-20-25")
    unit = autotransformer("T", 20.0, 320.0, 250.0, 0.0, 0.0)
    source = supply1("SUP", "H1", "0", 320.0, inf, 1.0)
    found = solve(Network(50.0, (source,), unit.cores, (load("L", "X1", "0", 20.0, 1.0, 250.0),)))
    assert abs(found.current_a("SUP:H1")) == example.wanted("primary_current")
    assert abs(found.current_a("L")) == example.wanted("secondary_current")
    assert abs(found.current_a("T.w2")) == example.wanted("common_current")


def test_zigzag_earthing_unit(worked: Worked) -> None:
    example = worked("zigzag-800kva-34k5")
    volts, kva = example.given("line_voltage"), example.given("rating")
    pct = 3 * 100 * example.given("z0_per_phase") / (volts**2 / kva / 1e3)
    unit = zigzag_earthing("Z", kva, volts, 0.0, pct, neutral="0")
    isolated = Source3("SUP", H, sqrt(3) * example.given("phase_voltage"), 0j, 0j, star=None)
    found = fault(Network(60.0, (isolated,), unit.cores), "line-ground", ("H1",))
    assert found.current_a == example.wanted("ground_fault_current")
    assert found.windings_a["Z.1.w2"] == example.wanted("x_current_per_phase")


def test_line_currents_of_an_uneven_delta_load(worked: Worked) -> None:
    example = worked("unbalanced-delta-lines-kosow-14-36")
    volts = 33e3
    ends = (("H1", "H2", "ab", 1), ("H2", "H3", "bc", 1), ("H3", "H1", "ca", -1))
    loads = []
    for a, b, key, side in ends:
        z = volts / (example.given(f"i_{key}") * 1e3) * rect(1, side * acos(example.given(f"pf_{key}")))
        loads.append(Impedance(key, a, b, z.real, z.imag))
    # the source's first phase to earth lags its line voltage 1-2, the reference of the book, by 30 degrees
    source = Source3("SUP", H, volts, 0j, 0j, -30.0)
    found = solve(Network(60.0, (source,), (), tuple(loads)))
    for node, key in zip(H, ("a", "b", "c"), strict=True):
        current = found.current_a(f"SUP:{node}")
        assert abs(current) / 1e3 == example.wanted(f"i_{key}")
        assert degrees(phase(current)) == pytest.approx(example.known(f"i_{key}_angle"), rel=1e-5)


def test_neutral_current_of_unequal_lines(worked: Worked) -> None:
    example = worked("neutral-10-8-6")
    volts = 208.0 / sqrt(3)
    loads = [Impedance(f"z{k}", H[k], "N", volts / example.given(f"i_{key}")) for k, key in enumerate("abc")]
    network = Network(60.0, (stiff(H, 208.0),), (), (*loads, Impedance("neutral", "N", "0", 0.0)))
    assert unbalance(network, H, neutral="neutral").neutral_a == example.wanted("neutral_current")
