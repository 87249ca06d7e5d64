"""Laws that hold for every network: balance of power and ampere-turns, reciprocity, superposition, rotation."""

from cmath import rect
from math import pi

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from turnwright.circuit import (
    Core,
    Impedance,
    Injection,
    Network,
    Source1,
    Source3,
    Winding,
    load,
    solve,
    supply3,
)
from turnwright.circuit.connections import (
    Connection,
    high_leg_delta,
    open_delta,
    scott,
    single_phase_three_wire,
    tee,
    three_phase,
    three_winding,
)
from turnwright.circuit.layout import lay_out
from turnwright.circuit.solve import solve_layout

H = ("H1", "H2", "H3")
EXACT = 1e-9

pct = st.floats(0.3, 8.0)
kvas = st.floats(1.0, 500.0)
groups = st.sampled_from(
    ["Dyn1", "Dyn11", "Dyn5", "Yd1", "Yd11", "YNyn0", "YNd5", "Dd0", "Dd6", "Yy0", "Yyn6", "Dzn0", "Dz10"]
)


@st.composite
def banks(draw: st.DrawFn) -> Connection:
    """Any of the connections, with any percentages."""
    r, x, kva = draw(pct), draw(pct), draw(kvas)
    low_v = draw(st.sampled_from([208.0, 240.0, 480.0, 600.0]))
    kind = draw(st.sampled_from(["group", "three", "open", "high leg", "single", "scott", "tee"]))
    if kind == "group":
        shunt = draw(st.sampled_from([(0.0, 0.0), (0.4, 2.0)]))
        return three_phase(
            "T", draw(groups), kva, 480.0, low_v, r, x, no_load_loss_pct=shunt[0], magnetizing_pct=shunt[1]
        )
    if kind == "three":
        return three_winding("T", "Dyn1d0", kva, (480.0, 208.0, low_v), (r, r, r), (x, 1.2 * x, 1.5 * x))
    if kind == "open":
        return open_delta("T", kva, 480.0, low_v, r, x)
    if kind == "high leg":
        return high_leg_delta(
            "T", kva, draw(kvas), 480.0, low_v, (r, r), (x, x), 1.2, closed=draw(st.booleans())
        )
    if kind == "single":
        return single_phase_three_wire("T", kva, 480.0, low_v, r, x, 1.2)
    if kind == "scott":
        return scott("T", kva, 480.0, low_v, (r, r), (x, x), 0.6)
    return tee("T", (kva, kva), 480.0, low_v, (r, r), (x, x), 0.6)


@st.composite
def networks(draw: st.DrawFn) -> Network:
    """A supply, a bank, and any loads, bonds and conductors on what it offers."""
    bank = draw(banks())
    source = supply3(
        "SUP",
        H,
        480.0,
        draw(st.floats(500.0, 65e3)),
        draw(st.floats(0.1, 20.0)),
        draw(st.floats(0.5, 4.0)),
        star=draw(st.sampled_from(["0", "0", None])),
    )
    nodes = [node for side, of_side in bank.terminals.items() if side != "primary" for node in of_side]
    nodes += [node for side, node in bank.neutrals.items() if side != "primary" and ".star" not in node]
    impedances = []
    if bank.neutrals.get("primary") == "H0":
        impedances.append(Impedance("primary bond", "H0", "0", 0.0))
    if draw(st.booleans()):
        bond = draw(st.sampled_from([0.0, 0.005, 2.0]))
        impedances.append(Impedance("bond", draw(st.sampled_from(nodes)), "0", bond))
    impedances += [
        Impedance(
            f"fdr{k}", node, f"L{k}", draw(st.floats(1e-3, 0.2)), draw(st.floats(0.0, 0.1)), "conductor"
        )
        for k, node in enumerate(nodes)
    ]
    ends = [f"L{k}" for k in range(len(nodes))]
    pairs = st.lists(st.sampled_from(ends), min_size=2, max_size=2, unique=True)
    for k in range(draw(st.integers(1, 5))):
        a, b = draw(pairs)
        kva, pf = draw(st.floats(0.1, 200.0)), draw(st.floats(0.2, 1.0))
        impedances.append(load(f"load{k}", a, b, kva, pf, 240.0))
    return Network(60.0, (source,), bank.cores, tuple(impedances))


@settings(max_examples=60, deadline=None)
@given(networks())
def test_power_supplied_is_power_absorbed(network: Network) -> None:
    found = solve(network)
    absorbed = sum(found.power_va(name) for name in found.ends if name not in found.sources)
    scale = max(sum(abs(found.power_va(name)) for name in found.ends), network.cores[0].kva * 1e3)
    assert abs(found.supplied_va() - absorbed) <= EXACT * scale


@settings(max_examples=60, deadline=None)
@given(networks())
def test_ampere_turns_of_each_core_balance(network: Network) -> None:
    found = solve(network)
    for core in network.cores:
        turns = [w.rated_v * found.currents_a[f"{core.name}.w{k}"] for k, w in enumerate(core.windings, 1)]
        assert abs(sum(turns)) <= EXACT * max(core.kva * 1e3, *map(abs, turns))


@settings(max_examples=40, deadline=None)
@given(networks())
def test_both_formulations_agree(network: Network) -> None:
    layout = lay_out(network)
    quick, full = solve_layout(layout), solve_layout(layout, form="full")
    assume(not any(open_.kind == "voltage" for open_ in full.undetermined))
    highest, largest = (max(map(abs, values.values())) for values in (full.voltages_v, full.currents_a))
    rated = max(core.kva * 1e3 / winding.rated_v for core in network.cores for winding in core.windings)
    for node, volts in full.voltages_v.items():
        assert abs(quick.voltages_v[node] - volts) <= EXACT * highest
    for name, amperes in full.currents_a.items():
        assert abs(quick.currents_a[name] - amperes) <= EXACT * max(
            abs(amperes), 1e-3 * largest, 1e-3 * rated
        )


@settings(max_examples=40, deadline=None)
@given(networks(), st.data())
def test_transfer_impedance_is_the_same_both_ways(network: Network, data: st.DataObject) -> None:
    silent = network.sources[0]
    assert isinstance(silent, Source3)
    dead = Source3(silent.name, silent.nodes, 0.0, silent.z1_ohm, silent.z0_ohm, 0.0, silent.star)
    passive = Network(60.0, (dead,), network.cores, network.impedances)
    loads = [z for z in network.impedances if z.name.startswith("load")]
    one, (a, b) = data.draw(st.sampled_from(loads)), data.draw(st.sampled_from([H[:2], H[1:]]))
    at_load = solve(passive.with_(injections=[Injection("J", one.start, one.end, 1, 1.0, 0.0)]))
    at_lines = solve(passive.with_(injections=[Injection("J", a, b, 1, 1.0, 0.0)]))
    there, back = at_load.voltage_v(a, b), at_lines.voltage_v(one.start, one.end)
    own = abs(at_load.voltage_v(one.start, one.end)) + abs(at_lines.voltage_v(a, b))
    assert abs(there - back) <= EXACT * own


@settings(max_examples=40, deadline=None)
@given(networks(), st.floats(0.0, 300.0), st.floats(-180.0, 180.0))
def test_causes_add_up(network: Network, amperes: float, angle: float) -> None:
    source = network.sources[0]
    assert isinstance(source, Source3)
    draw = Injection("J", network.impedances[-1].start, network.impedances[-1].end, 1, amperes, angle)
    silent = Source3(source.name, source.nodes, 0.0, source.z1_ohm, source.z0_ohm, 0.0, source.star)
    together = solve(network.with_(injections=[draw]))
    alone = solve(network)
    other = solve(Network(60.0, (silent,), network.cores, network.impedances, (draw,)))
    scale = max(abs(v) for each in (alone, other) for v in each.voltages_v.values())
    for node, volts in together.voltages_v.items():
        assert abs(volts - alone.voltages_v[node] - other.voltages_v[node]) <= EXACT * scale


@settings(max_examples=40, deadline=None)
@given(
    groups, st.lists(st.tuples(st.integers(0, 2), st.integers(0, 2), kvas), min_size=1, max_size=4), pct, pct
)
def test_moving_every_load_one_phase_on_turns_the_answer(
    group: str, loads: list[tuple[int, int, float]], r: float, x: float
) -> None:
    assume(any(a != b for a, b, _ in loads))
    bank = three_phase("T", group, 75.0, 480.0, 208.0, r, x, no_load_loss_pct=0.5, magnetizing_pct=2.0)
    lines = bank.terminals["secondary"]
    answers = []
    for moved in (0, 1):
        impedances = [
            load(f"z{k}", lines[(a + moved) % 3], lines[(b + moved) % 3], kva, 0.8, 208.0)
            for k, (a, b, kva) in enumerate(loads)
            if a != b
        ]
        star = bank.neutrals.get("secondary")
        ties = [Impedance("bond", star, "0", 0.01)] if star else []
        source = supply3("SUP", H, 480.0, 8e3, 4.0, 2.0)
        answers.append(solve(Network(60.0, (source,), bank.cores, (*impedances, *ties))))
    turn = rect(1.0, -2 * pi / 3)
    for side in ("primary", "secondary"):
        nodes = bank.terminals[side]
        for k in range(3):
            here = answers[0].voltage_v(nodes[k], nodes[(k + 1) % 3])
            there = answers[1].voltage_v(nodes[(k + 1) % 3], nodes[(k + 2) % 3])
            assert there == pytest.approx(here * turn, abs=EXACT * 480)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.floats(20.0, 600.0), min_size=2, max_size=5),
    st.lists(st.floats(0.1, 8.0), min_size=10, max_size=10),
    st.lists(st.floats(0.0, 3.0), min_size=5, max_size=5),
)
def test_any_number_of_windings_on_a_core(volts: list[float], x: list[float], r: list[float]) -> None:
    count = len(volts)
    windings = tuple(Winding(f"a{k}", "0" if k % 2 else f"b{k}", v, r[k]) for k, v in enumerate(volts))
    ties = [Impedance(f"tie{k}", f"b{k}", "0", 0.0) for k in range(0, count, 2)]
    loads = [load(f"load{k}", f"a{k}", "0", 2.0 + k, 0.9, v) for k, v in enumerate(volts) if k]
    # reactances of pairs that a real core can have: from positions on a line, x_ij = |p_i - p_j| + p_0
    pairs = tuple(abs(x[i] - x[j]) + x[9] for i in range(count) for j in range(i + 1, count))
    core = Core("T", 20.0, windings, pairs)
    source = Source1("SUP", "a0", "0", volts[0], 0.01 + 0.02j)
    found = solve(Network(60.0, (source,), (core,), (*ties, *loads)))
    turns = [v * found.currents_a[f"T.w{k}"] for k, v in enumerate(volts, 1)]
    assert abs(sum(turns)) <= EXACT * max(map(abs, turns))
    absorbed = sum(found.power_va(name) for name in found.ends if name not in found.sources)
    assert absorbed == pytest.approx(found.supplied_va(), rel=EXACT)
    # what a core turns into heat is what flows through its resistances, as the ampere-turns balance
    heat = (
        sum(abs(found.currents_a[f"T.w{k}"] * v) ** 2 * r[k - 1] / 100 for k, v in enumerate(volts, 1)) / 20e3
    )
    assert found.absorbed_va("T").real == pytest.approx(heat, rel=1e-6, abs=1e-6 * abs(found.supplied_va()))
