"""Windings, lines and neutral against a circuit solved another way: the loop currents of least loss.

Among all winding currents that obey Kirchhoff's current law, those of windings of equal impedance (by volt) make the
least loss (Thomson's principle). The solver below knows nothing of the closed forms.
"""

import cmath
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.demand.layouts import DELTA, HIGH_LEG, THREE_WIRE, WYE, Layout

ANGLE = {"A": 0.0, "B": -120.0, "C": 120.0}


def phasor(size: float, deg: float) -> complex:
    return cmath.rect(size, math.radians(deg))


# name -> (from node, to node, volts as phasor, relative impedance); line volts 1, so line to neutral 1/√3 in a wye
V_LN = {line: phasor(1 / math.sqrt(3), turn) for line, turn in ANGLE.items()}
SIDES = {"AB": ("B", "A"), "BC": ("C", "B"), "CA": ("A", "C")}


def coils(layout: Layout) -> dict[str, tuple[str, str, complex, float]]:
    if layout is WYE:
        return {line: ("N", line, V_LN[line], 1.0) for line in "ABC"}
    whole = {side: (start, end, V_LN[end] - V_LN[start], 1.0) for side, (start, end) in SIDES.items()}
    if layout is DELTA:
        return whole
    half_v = (V_LN["C"] - V_LN["A"]) / 2
    halves = {"CA half C": ("N", "C", half_v, 0.5), "CA half A": ("A", "N", half_v, 0.5)}
    return {"AB": whole["AB"], "BC": whole["BC"], **halves}


def node_v(layout: Layout) -> dict[str, complex]:
    neutral = 0j if layout is WYE else (V_LN["A"] + V_LN["C"]) / 2
    return {**V_LN, "N": neutral}


def solved(layout: Layout, spot: str, lag_deg: float) -> tuple[dict[str, float], dict[str, float]]:
    """Return the load of each coil in kVA and the current of each line, for one kVA at a spot."""
    volts, ends = node_v(layout), coils(layout)
    drawn = dict.fromkeys(volts, 0j)
    if spot == "ABC":
        for line in "ABC":
            drawn[line] += (phasor(1 / 3, lag_deg) / V_LN[line]).conjugate()
    else:
        parts = spot.split("+") if "+" in spot else [spot]
        for part in parts:
            start, end = part[0], part[1] if len(part) == 2 else "N"
            current = (phasor(1.0 / len(parts), lag_deg) / (volts[start] - volts[end])).conjugate()
            drawn[start] += current
            drawn[end] -= current
    nodes = [node for node in volts if node != "N" or layout is not DELTA]
    law = np.array(
        [[(end == node) - (start == node) for start, end, *_ in ends.values()] for node in nodes], dtype=float
    )
    weight = np.sqrt([z for *_, z in ends.values()])
    right = np.array([drawn[node] for node in nodes])
    currents = np.linalg.pinv(law / weight) @ right / weight
    assert np.allclose(law @ currents, right)
    scale = {name: abs(v) * (2.0 if "half" in name else 1.0) for name, (_, _, v, _) in ends.items()}
    kva = {name: abs(currents[i]) * scale[name] for i, name in enumerate(ends)}
    return kva, {line: abs(drawn[line]) for line in "ABC"}


CASES = [(layout, spot) for layout in (WYE, DELTA, HIGH_LEG) for spot in layout.spots]


@pytest.mark.parametrize(("layout", "spot"), CASES, ids=[f"{layout.name} {spot}" for layout, spot in CASES])
@pytest.mark.parametrize("lag_deg", [0.0, 37.0])
def test_shares_of_one_load(layout: Layout, spot: str, lag_deg: float) -> None:
    kva, line = solved(layout, spot, lag_deg)
    there = layout.spots[spot]
    for winding, expected in kva.items():
        part = there.windings.get(winding)
        assert (part.share if part else 0.0) == pytest.approx(expected, abs=1e-12)
    for name, expected in line.items():
        part = there.lines.get(name)
        volts = 1.0
        if there.to_neutral:
            volts = 1 / math.sqrt(3) if layout is WYE else 0.5
        assert (part.share if part else 0.0) / volts == pytest.approx(expected, abs=1e-12)


MIXES = {
    "208Y/120": ["208 3ph", "208 1ph", "120 1ph", "208 1ph"],
    "240 delta": ["240 3ph", "240 1ph", "240 1ph", "240 1ph"],
    "240/120 delta": ["240 3ph", "240 1ph", "120 1ph", "120/240 1ph"],
}
LAYOUT = {"208Y/120": WYE, "240 delta": DELTA, "240/120 delta": HIGH_LEG}


@settings(max_examples=60)
@given(
    st.sampled_from(sorted(MIXES)),
    st.lists(st.tuples(st.floats(0.5, 30.0), st.sampled_from([1.0, 0.95, 0.8, 0.6])), min_size=4, max_size=4),
)
def test_a_mixed_load_is_the_sum_of_its_solutions(
    build: Any, secondary: str, rows: list[tuple[float, float]]
) -> None:
    loads = [
        build.load(text, "kva", kva, index, power_factor=factor)
        for index, (text, (kva, factor)) in enumerate(zip(MIXES[secondary], rows, strict=True))
    ]
    picture = build.picture(loads, secondary)
    layout = LAYOUT[secondary]
    lags = [math.degrees(math.acos(factor)) for _, factor in rows]
    standing = [(0, "ABC")] + [(one.load, one.lines) for one in picture.placements]
    if layout is HIGH_LEG:
        assert dict(standing)[3] == "CA"
    total = dict.fromkeys(layout.own_deg, 0j)
    for index, spot in standing:
        for winding, part in layout.spots[spot].windings.items():
            total[winding] += phasor(rows[index][0] * part.share, part.turn_deg - lags[index])
    expected = [max(abs(total[one]) for one in parts) for parts in layout.phases.values()]
    assert picture.phase_kva == pytest.approx(tuple(expected), rel=1e-9)
    assert picture.worst_phase_kva == pytest.approx(max(expected), rel=1e-9)


def test_one_load_on_a_closed_delta_takes_two_thirds_of_its_side(build: Any) -> None:
    """Memory, textbook: 2/3 through its own winding, 1/3 through the two others in series."""
    picture = build.picture([build.load("240 1ph", "kva", 30.0, lines="AB")], "240 delta")
    assert picture.phase_kva == pytest.approx((20.0, 10.0, 10.0))
    assert picture.line_a == pytest.approx((125.0, 125.0, 0.0))


def test_one_load_between_two_lines_of_a_wye(build: Any) -> None:
    """The line current at line-to-neutral volts: 1/√3 of the load in each of two windings."""
    picture = build.picture([build.load("208 1ph", "kva", 30.0, lines="BC")])
    assert picture.phase_kva == pytest.approx((0.0, 30 / math.sqrt(3), 30 / math.sqrt(3)))
    assert picture.neutral_a == 0.0


def test_three_equal_chargers_between_lines_draw_root_three(build: Any) -> None:
    """Common practice: line current = √3 · the current of a pair, whatever the power factor is."""
    for factor in (None, 1.0, 0.8):
        load = build.load("208 1ph", "current", 32.0, quantity=6, kind="charger", power_factor=factor)
        picture = build.picture([load])
        assert picture.line_a == pytest.approx((2 * math.sqrt(3) * 32.0,) * 3)
        assert 3 * picture.worst_phase_kva == pytest.approx(picture.kva)


def test_amperes_to_neutral_stay_as_they_are_written(build: Any) -> None:
    """230 V and 400/√3 V differ by 0.4 %: ten amperes stay ten."""
    picture = build.picture([build.load("230 1ph", "current", 10.0, quantity=3)], "400Y/230")
    assert picture.line_a == pytest.approx((10.0, 10.0, 10.0), rel=1e-12)


def test_legs_of_a_three_wire_secondary(build: Any) -> None:
    loads = [
        build.load("120 1ph", "current", 50.0, lines="A"),
        build.load("120 1ph", "current", 20.0, 1, lines="B"),
        build.load("240 1ph", "current", 10.0, 2),
    ]
    picture = build.picture(loads, "120/240 1ph")
    assert picture.phases == ("A", "B")
    assert picture.line_a == pytest.approx((60.0, 30.0))
    assert picture.neutral_a == pytest.approx(30.0)
    assert picture.worst_phase_kva == pytest.approx(2 * 0.120 * 60)


def test_two_wires_carry_everything(build: Any) -> None:
    loads = [build.load("480 1ph", "kva", 12.0), build.load("480 1ph", "kva", 6.0, 1)]
    picture = build.picture(loads, "480 1ph")
    assert (picture.worst_phase_kva, picture.phases, picture.neutral_a) == (18.0, ("AB",), None)
    assert picture.line_a == pytest.approx((37.5,))


def test_a_winding_that_is_not_said_counts_by_the_worse_of_wye_and_delta(build: Any) -> None:
    one = [build.load("240 1ph", "kva", 30.0, lines="AB")]
    two = [*one, build.load("240 1ph", "kva", 30.0, 1, lines="BC")]
    assert build.picture(one, "240 3ph").worst_phase_kva == pytest.approx(20.0)  # delta 2/3, wye 0.577
    assert build.picture(two, "240 3ph").worst_phase_kva == pytest.approx(30.0)  # wye 1, delta 0.882


def test_a_neutral_line_to_a_single_leg_of_the_high_leg(build: Any) -> None:
    """120 V loads stand on A and C only, and count double in their half of the winding: 5/3."""
    picture = build.picture([build.load("120 1ph", "kva", 6.0, quantity=2)], "240/120 delta")
    assert {(one.lines, one.pieces) for one in picture.placements} == {("A", 1), ("C", 1)}
    assert picture.phase_kva == pytest.approx((4.0, 4.0, 8.0))
    assert picture.neutral_a == pytest.approx(0.0, abs=1e-9)


def test_part_of_a_three_wire_load_on_a_wye_returns_through_the_neutral(build: Any) -> None:
    """Two lines and neutral of a wye, 10 A in each: the neutral carries 10 A (NEC 310.15(E)(2) counts it)."""
    picture = build.picture([build.load("120/240 1ph", "kva", 2.4, lines="AB")])
    assert picture.line_a == pytest.approx((10.0, 10.0, 0.0))
    assert picture.neutral_a == pytest.approx(10.0)


def test_three_wire_layout_needs_no_more_than_two_legs() -> None:
    assert THREE_WIRE.worst_factor == 2.0
    assert all(
        sum(part.share for part in spot.windings.values()) == 1.0 for spot in THREE_WIRE.spots.values()
    )
