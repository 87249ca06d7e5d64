"""Each arrangement against published worked examples; the numbers compared are their independent recalculation."""

from math import sqrt

import pytest

from turnwright.arrangements.autotransformer import winding_share
from turnwright.arrangements.buck_boost import boosted_v, bucked_v
from turnwright.arrangements.scott import scott_main_kva
from turnwright.arrangements.single_units import line_winding_kva
from turnwright.arrangements.zigzag import zigzag_winding_a
from turnwright.circuit import CurrentLoad, solve
from turnwright.circuit.connections import scott
from turnwright.model.unit import Impedance
from turnwright.selection.currents import single_phase_a, three_phase_a, through_kva
from turnwright.selection.network import network_of

SMALL = Impedance(0.01, 0.01)


def of_windings(series_v, other_v, rating):
    """What a unit of two windings carries when they stand in series."""
    return through_kva(rating, winding_share(series_v + other_v, other_v))


def test_autotransformer_of_two_windings_carries_more_than_they(example):
    for name in ("auto-hubert-3-2", "auto-fitzgerald-2-7"):
        given = example(name)
        rating, high, low = (given.inputs[key] for key in ("rating", "hv", "lv"))
        assert of_windings(low, high, rating) == pytest.approx(given.outputs["auto_rating"], rel=1e-6)


def test_autotransformer_both_ways_round(example):
    given = example("auto-guru-4-10")
    rating, high, low = (given.inputs[key] for key in ("rating", "hv", "lv"))
    assert of_windings(high, low, rating) == pytest.approx(given.outputs["rating_2640_240"], rel=1e-6)
    assert of_windings(low, high, rating) == pytest.approx(given.outputs["rating_2640_2400"], rel=1e-6)


def test_autotransformer_stepping_up_by_three(example):
    given = example("auto-stevenson-6-3")
    assert of_windings(given.inputs["hv"], given.inputs["lv"], given.inputs["rating"]) == pytest.approx(
        given.outputs["output_kva"], rel=1e-6
    )


def test_autotransformer_currents(example, build):
    """20 kVA, 320 to 250 V: both lines, and their difference through the common winding, in the solved circuit."""
    given = example("auto-bird-20-25")
    case = build.case(
        "320 1ph", {"system": "250 1ph", "kva": "20 kVA"}, choices={"arrangement": "autotransformer"}
    )
    proposal = build.one("autotransformer", case)
    network = network_of(case, proposal, given.inputs["rating"], SMALL, None)
    load_a = single_phase_a(kva=given.inputs["rating"], voltage_v=given.inputs["secondary"])
    solved = solve(network.with_(loads=[CurrentLoad("load", "X1", "X2", load_a, 0.0)]))
    assert load_a == pytest.approx(given.outputs["secondary_current"])
    assert abs(solved.current_a("SUP:H1")) == pytest.approx(given.outputs["primary_current"], rel=1e-6)
    assert abs(solved.current_a("T1.w2")) == pytest.approx(given.outputs["common_current"], rel=1e-6)


def test_buck_boost_ratios(example):
    given = example("buck-boost-hubert-3-3")
    boost, buck = given.inputs["boost_ratio"] - 1, given.inputs["buck_ratio"] - 1
    assert boosted_v(given.inputs["supply_a"], 1.0, boost) == pytest.approx(given.outputs["boosted_output"])
    assert bucked_v(given.inputs["supply_b"], 1.0, buck) == pytest.approx(
        given.outputs["bucked_output"], rel=1e-6
    )


def test_open_delta_for_a_whole_load(example):
    given = example("open-delta-navedtra-14344")
    line_a = three_phase_a(kva=given.inputs["load"], voltage_v=given.inputs["line_voltage"])
    assert line_a == pytest.approx(given.outputs["line_current"], rel=1e-6)
    unit = line_winding_kva(line_a=line_a, line_v=given.inputs["line_voltage"], allowance=1.0, derating=1.0)
    assert unit == pytest.approx(given.outputs["unit_rating_needed_for_full_load"], rel=1e-6)


@pytest.mark.parametrize(
    "name", ["open-delta-hubert-3-8", "open-delta-kosow-14-37", "open-delta-10kva-examq"]
)
def test_open_delta_capacity(name, example, build):
    given = example(name)
    case = build.case(
        "480 3ph", {"system": "240 3ph", "kva": "10 kVA"}, choices={"arrangement": "open delta"}
    )
    share = build.one("open delta", case).share
    capacity = through_kva(given.inputs["unit_rating"], share)
    assert capacity == pytest.approx(given.outputs["open_delta_capacity"], rel=1e-6)
    assert capacity / (3 * given.inputs["unit_rating"]) == pytest.approx(0.57735, abs=1e-5)


def test_open_delta_load_of_each_unit(example, build):
    given = example("open-delta-kosow-14-37")
    kva = given.inputs["load"]
    case = build.case(
        "480 3ph", {"system": "240 3ph", "kva": f"{kva} kVA"}, choices={"arrangement": "open delta"}
    )
    proposal = build.one("open delta", case)
    (ask,) = proposal.asks(build.picture(case, proposal))
    assert ask.formula(**ask.inputs, derating=1.0) == pytest.approx(given.outputs["load_per_unit"], rel=1e-6)


def test_scott_ratio_and_line_current(example):
    given = example("scott-theraja-33-18")
    volts, phase_v, kva = (given.inputs[key] for key in ("three_phase_line", "two_phase", "load"))
    _, teaser = scott("T1", 1.0, volts, phase_v, (1.0, 1.0), (1.0, 1.0), 0.5).cores
    first, second = (winding.rated_v for winding in teaser.windings)
    assert second / first == pytest.approx(given.outputs["teaser_turns_ratio"], rel=1e-6)
    assert three_phase_a(kva=kva, voltage_v=volts) == pytest.approx(given.outputs["x_line_current"], rel=1e-4)


def test_scott_with_uneven_phases(example):
    """The main unit carries the teaser's current too, half to each side of its tap."""
    given = example("scott-unequal-theraja-33-20")
    phase_v, volts, factor = (given.inputs[key] for key in ("two_phase", "three_phase_line", "pf"))
    main_a, teaser_a = (given.inputs[f"{name}_load"] / factor / phase_v * 1000 for name in ("main", "teaser"))
    main = scott_main_kva(main_a, teaser_a, phase_v, 1.0, 1.0)
    assert main * 1000 / volts == pytest.approx(given.outputs["main_line_current"], rel=1e-5)
    line_a = teaser_a * phase_v / (volts * sqrt(3) / 2)
    assert line_a == pytest.approx(given.outputs["x_teaser_line_current"], rel=1e-5)


def test_high_leg_stands_that_far_above_the_neutral(example, build):
    given = example("high-leg-115v")
    case = build.case(
        "480 3ph",
        {"system": "230/115 delta", "kva": "20 kVA"},
    )
    proposal = build.one("high leg", case)
    network = network_of(case, proposal, 30.0, SMALL, None)
    volts = {node: abs(solve(network).voltage_v(node, "X0")) for node in ("X1", "X2", "X3")}
    assert volts["X3"] == pytest.approx(given.outputs["high_leg_to_neutral"], rel=1e-6)
    assert volts["X1"] == pytest.approx(115.0) and volts["X2"] == pytest.approx(115.0)
    assert proposal.nodes["B"] == "X3"


def test_zigzag_legs_carry_a_third_of_the_neutral(example):
    given = example("zigzag-800kva-34k5")
    each = zigzag_winding_a(neutral_a=given.outputs["ground_fault_current"])
    assert each == pytest.approx(given.outputs["x_current_per_phase"], rel=1e-6)
