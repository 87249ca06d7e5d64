"""The circuit of every arrangement: what is drawn is what is solved, and the solved windings carry what was asked."""

from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.circuit import solve
from turnwright.model.unit import Impedance
from turnwright.selection.network import EARTH, links, load_elements, network_of

STIFF = Impedance(1e-4, 1e-4)
ICE = {"system": "230 1ph", "current": "16 A", "neutral": False}
WAYS = {
    "isolation": ("480Y/277", [{"system": "208Y/120", "kva": "20 kVA"}]),
    "single-phase": ("480Y/277", [{"system": "120/240 1ph", "kva": "20 kVA"}]),
    "step-up": ("208Y/120", [{"system": "480 3ph", "kva": "20 kVA"}]),
    "buck-boost": ("208Y/120", [ICE]),
    "buck-boost, two": ("208Y/120", [{"system": "230 3ph", "current": "30 A"}]),
    "autotransformer": ("480Y/277", [{"system": "400Y/230", "kva": "20 kVA"}]),
    "autotransformer, up": ("208Y/120", [{"system": "240 3ph", "kva": "20 kVA"}]),
    "bank": ("480 3ph", [{"system": "208Y/120", "kva": "20 kVA"}]),
    "open delta": ("480 3ph", [{"system": "240 3ph", "kva": "20 kVA"}]),
    "high leg": ("480 3ph", [{"system": "240 3ph", "kva": "20 kVA"}, {"system": "120 1ph", "kva": "1 kVA"}]),
    "zig-zag": (
        {"system": "480 3ph", "grounding": "ungrounded"},
        [{"system": "277 1ph", "kva": "2 kVA", "quantity": 4}],
    ),
    "scott": ("480 3ph", [{"system": "240 1ph", "kva": "9 kVA", "quantity": 2}]),
}
NAME = {"single-phase": "isolation", "step-up": "isolation"}


def way(key, build):
    supply, loads = WAYS[key]
    name = NAME.get(key, key.split(",")[0])
    choices = {"arrangement": name} if name in ("scott", "zig-zag", "open delta") else {}
    case = build.case(supply, *loads, choices=choices)
    return case, build.one(name, case)


@pytest.mark.parametrize("key", WAYS)
def test_drawn_nodes_are_solved_nodes(key, build):
    case, proposal = way(key, build)
    made = proposal.build(10.0, 1.0, 2.0)
    network = network_of(case, proposal, 10.0, Impedance(1.0, 2.0), None)
    solved = [(core.name, w.dot, w.other) for core in network.cores for w in core.windings]
    assert solved == [(place.core, place.dot, place.other) for place in made.places]
    nodes = {node for _, *ends in solved for node in ends} | {each.end for each in links(made)} | {EARTH}
    for side in made.terminals.values():
        assert set(side) <= nodes


@pytest.mark.parametrize("key", WAYS)
def test_the_output_has_the_volts_it_is_said_to_have(key, build):
    case, proposal = way(key, build)
    solution = solve(network_of(case, proposal, 10.0, STIFF, None))
    assert abs(solution.voltage_v("X1", "X2")) == pytest.approx(float(proposal.output.line_v), rel=1e-6)
    if proposal.output.neutral_v is not None:
        assert abs(solution.voltage_v("X1", "X0")) == pytest.approx(
            float(proposal.output.neutral_v), rel=1e-6
        )


def most_loaded_kva(proposal, network, solution):
    """The most loaded core: rated volts times current on its heavier side, parts of a winding together."""
    sides = {}
    for place in proposal.build(1.0, 1.0, 1.0).places:
        kva = place.rated_v * abs(solution.current_a(f"{place.core}.w{place.winding}")) / 1000
        sides[place.core, place.side] = sides.get((place.core, place.side), 0.0) + kva
    return max(sides.values())


@settings(max_examples=15)
@given(kva=st.floats(1, 400), power_factor=st.floats(0.5, 1.0))
@pytest.mark.parametrize("key", ["buck-boost, two", "open delta", "bank", "scott"])
def test_a_unit_asked_for_by_heat_is_just_loaded_in_the_solved_circuit(key, kva, power_factor, build):
    """The closed forms against the circuit: at the rating asked for, the most loaded winding carries that rating."""
    supply, loads = WAYS[key]
    system = loads[0]["system"]
    choices = {"arrangement": key} if key in ("scott", "open delta") else {}
    pieces = {"quantity": 2} if key == "scott" else {}
    load = {"system": system, "kva": f"{kva} kVA", "power_factor": power_factor, "kind": "heating", **pieces}
    case = build.case(supply, load, choices=choices)
    proposal = build.one(key.split(",")[0], case)
    picture = build.picture(case, proposal)
    if proposal.asks is None:
        asked = float(picture.kva_with_growth) * proposal.share
    else:
        asked = max(ask.formula(**ask.inputs, derating=1.0) for ask in proposal.asks(picture))
    network = network_of(case, proposal, asked, STIFF, None)
    loaded = network.with_(loads=load_elements(case, proposal, picture, 0.0, False))
    ratio = float(case.loads[0].system.line_v) / float(proposal.output.line_v) if "boost" in key else 1.0
    found = most_loaded_kva(proposal, network, solve(loaded))
    assert found * max(ratio, 1.0) == pytest.approx(asked, rel=2e-3)


@settings(max_examples=15)
@given(pieces=st.lists(st.integers(1, 9), min_size=3, max_size=3))
def test_zigzag_legs_carry_a_third_of_the_neutral_in_the_solved_circuit(pieces, build):
    """Rated for the most loaded line alone (NEC 450.5(A)(4)); with every line on the neutral is never more."""
    loads = [
        {"system": "277 1ph", "kva": f"{kva} kVA", "lines": line, "power_factor": 1.0}
        for kva, line in zip(pieces, "ABC", strict=True)
    ]
    alone = [loads[pieces.index(max(pieces))]]
    (rated_a, legs), (_, even_legs) = (solved_zigzag(build, case) for case in (alone, loads))
    copper = 3 * (480 / 3) * max(legs) / 1000
    assert legs == pytest.approx([rated_a / 3] * 3, rel=1e-3, abs=1e-6)
    assert max(even_legs) <= rated_a / 3 * 1.001
    case = build.case(SUPPLY_480, *loads, choices={"arrangement": "zig-zag"})
    proposal = build.one("zig-zag", case)
    (ask,) = proposal.asks(build.picture(case, proposal))
    assert ask.formula(**ask.inputs, derating=1.0) == pytest.approx(copper, rel=1e-3, abs=1e-9)


SUPPLY_480 = {"system": "480 3ph", "grounding": "ungrounded"}


def solved_zigzag(build, loads):
    """The neutral current a zig-zag is rated for, and what its legs carry in the solved circuit of these loads."""
    case = build.case(SUPPLY_480, *loads, choices={"arrangement": "zig-zag"})
    proposal = build.one("zig-zag", case)
    picture = build.picture(case, proposal)
    network = network_of(case, proposal, 9.0, STIFF, None)
    solution = solve(network.with_(loads=load_elements(case, proposal, picture, 0.0, False)))
    return float(picture.neutral_a), [abs(solution.current_a(f"T1.{leg}.w1")) for leg in (1, 2, 3)]


def test_a_zigzag_under_an_even_load_is_rated_for_what_may_be_switched_off(build):
    """20 kVA of 277 V lighting as one figure leaves its unbalance open: 20 kVA / (√3 · 480 V) with one line left."""
    case = build.case(SUPPLY_480, {"system": "480Y/277", "kva": "20 kVA"}, choices={"arrangement": "zig-zag"})
    proposal = build.one("zig-zag", case)
    assert build.picture(case, proposal).neutral_a == pytest.approx(20_000 / (sqrt(3) * 480))


def test_an_evenly_loaded_scott_connection_loads_the_supply_evenly(build):
    case, proposal = way("scott", build)
    picture = build.picture(case, proposal)
    network = network_of(case, proposal, 20.0, STIFF, None)
    solution = solve(network.with_(loads=load_elements(case, proposal, picture, 0.0, False)))
    lines = [abs(solution.current_a(f"SUP:H{line}")) for line in (1, 2, 3)]
    assert lines == pytest.approx([18_000 / (sqrt(3) * 480)] * 3, rel=1e-3)
