"""Phasor sums over the spots of a secondary: pure functions of floats.

Terms come by name, `<what>.<part>`, so that the working can show them. The parts of one term are `kva` (angle
known) or `in_line_kva` (angle not known), `share` and `turn_deg` of the spot, `lag_deg` of the load (0 when it
is not said), and `line_v` where amperes are asked for. Angles that are not known are taken as one angle.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping

from turnwright.working import formula

_SETTLED = 1e-12
"""A sum below this part of its terms is rounding of the cosines: balanced loads give 0."""


def _sums(terms: Mapping[str, float], order: int = 1) -> tuple[complex, complex]:
    """Return the phasor sums of the terms whose angle is known, and of the others, turned by one angle.

    They are turned so that the first term is real: a single load keeps its size to the last digit.
    """
    known = in_line = 0j
    size, first = 0.0, None
    for name, kva in terms.items():
        what, _, part = name.rpartition(".")
        if part not in ("kva", "in_line_kva"):
            continue
        magnitude = kva * terms[what + ".share"] / terms.get(what + ".line_v", 1.0)
        turn = order * terms[what + ".turn_deg"] - terms.get(what + ".lag_deg", 0.0)
        first = turn if first is None else first
        phasor = cmath.rect(magnitude, math.radians(turn - first))
        size += magnitude
        if part == "kva":
            known += phasor
        else:
            in_line += phasor
    return _settled(known, size), _settled(in_line, size)


def _settled(phasor: complex, size: float) -> complex:
    return phasor if abs(phasor) > _SETTLED * size else 0j


@formula("(1 + growth / 100) · (|Σ c_k S_k ∠(δ_k − φ_k)| + |Σ c_u S_u ∠δ_u|)", "kVA")
def winding_kva(growth_pct: float, **terms: float) -> float:
    """Return the load of one winding with growth, from what stands on the spots it feeds. [kVA]

    growth_pct : growth to allow for [%]
    terms      : see the head of this module; c share, δ turn, φ lag
    Source: phasor algebra; loads of unknown angle (u) add their magnitude in line with the others (k)

    Example:
        >>> at_a = {"A.kva": 3.0, "A.share": 1.0, "A.turn_deg": 0.0, "A.lag_deg": 0.0}
        >>> winding_kva(10.0, **at_a, **{"AB.in_line_kva": 2.0, "AB.share": 0.5, "AB.turn_deg": 30.0})
        4.4
    """
    known, in_line = _sums(terms)
    return (1.0 + growth_pct / 100.0) * (abs(known) + abs(in_line))


@formula("1000 · (1 + growth / 100) · (|Σ c_k S_k / V_k ∠(δ_k − φ_k)| + |Σ c_u S_u / V_u ∠δ_u|)", "A")
def line_current_a(growth_pct: float, **terms: float) -> float:
    """Return the current of one line conductor with growth. [A]

    growth_pct : growth to allow for [%]
    terms      : see the head of this module; c share, δ turn, φ lag, V volts
    Source: Kirchhoff's current law

    Example:
        >>> line_current_a(0.0, **{"A.kva": 1.2, "A.share": 1.0, "A.turn_deg": 0.0, "A.line_v": 120.0})
        10.0
    """
    known, in_line = _sums(terms)
    return 1000.0 * (1.0 + growth_pct / 100.0) * (abs(known) + abs(in_line))


@formula("1000 · (1 + growth / 100) · |Σ c_k S_k / V_k ∠(δ_k − φ_k) + ∠−φ · Σ c_u S_u / V_u ∠δ_u|", "A")
def neutral_fundamental_a(growth_pct: float, in_line_deg: float, **terms: float) -> float:
    """Return the fundamental of the neutral current with growth. [A]

    growth_pct  : growth to allow for [%]
    in_line_deg : φ, the angle loads of unknown angle are taken at: that of the sum of the others [deg]
    terms       : see the head of this module; c share, δ turn, φ_k lag, V volts
    Source: Kirchhoff's current law

    Example:
        >>> even = {f"{x}.in_line_kva": 1.2 for x in "ABC"} | {f"{x}.share": 1.0 for x in "ABC"}
        >>> even |= {"A.turn_deg": 0.0, "B.turn_deg": -120.0, "C.turn_deg": 120.0}
        >>> neutral_fundamental_a(0.0, 0.0, **even)
        0.0
    """
    known, in_line = _sums(terms)
    both = known + in_line * cmath.rect(1.0, -math.radians(in_line_deg))
    size = abs(known) + abs(in_line)
    return 1000.0 * (1.0 + growth_pct / 100.0) * abs(_settled(both, size))


@formula("1000 · (1 + growth / 100) · (|Σ c S_h / V ∠(h · δ)| + √3 · S_h,even / V_line)", "A")
def neutral_order_a(
    growth_pct: float, order: float, even_kva: float, even_line_v: float, **terms: float
) -> float:
    """Return one order of the neutral current with growth. [A]

    The voltages of two lines stand h times as far apart in order h: 3, 9, 15, … are in phase on three lines.

    growth_pct  : growth to allow for [%]
    order       : h [-]
    even_kva    : what three-phase loads bring to the neutral: their current of a triplen order [kVA]
    even_line_v : voltage between lines [V]
    terms       : see the head of this module; c share, δ turn, V volts
    Source: symmetrical components; Masters, Renewable and Efficient Electric Power Systems, eq. 2.102

    Example:
        >>> round(neutral_order_a(0.0, 3, even_kva=15.914, even_line_v=208.0), 1)
        132.5
    """
    known, in_line = _sums(terms, int(order))
    even = math.sqrt(3.0) * even_kva / even_line_v
    return 1000.0 * (1.0 + growth_pct / 100.0) * (abs(known) + abs(in_line) + even)


@formula("S / 3", "kVA")
def third_kva(kva: float) -> float:
    """Return the load of one of three windings that share a load evenly. [kVA]

    kva : the whole [kVA]
    Source: definition

    Example:
        >>> third_kva(kva=264)
        88.0
    """
    return kva / 3.0


@formula("S / 2", "kVA")
def half_kva(kva: float) -> float:
    """Return the load of one of two legs that share a load evenly. [kVA]

    kva : the whole [kVA]
    Source: definition

    Example:
        >>> half_kva(kva=13.2)
        6.6
    """
    return kva / 2.0


@formula("max(S)", "kVA")
def worst_phase_kva(**phases: float) -> float:
    """Return the load of the most loaded winding. [kVA]

    phases : load of each winding [kVA]
    Source: definition

    Example:
        >>> worst_phase_kva(A=10.0, B=12.0, C=9.0)
        12.0
    """
    return max(phases.values())


@formula("2 · max(S)", "kVA")
def worst_leg_kva(**phases: float) -> float:
    """Return twice the load of the worse leg: what a whole three-wire winding must be good for. [kVA]

    phases : load of each leg [kVA]
    Source: a leg is half the winding

    Example:
        >>> worst_leg_kva(A=5.0, B=7.0)
        14.0
    """
    return 2.0 * max(phases.values())


@formula("S · n / N", "kVA")
def placed_kva(running_kva: float, pieces: float, all_pieces: float) -> float:
    """Return what some pieces of a load draw. [kVA]

    running_kva        : all pieces [kVA]
    pieces, all_pieces : how many of how many [-]
    Source: equal pieces share evenly

    Example:
        >>> placed_kva(running_kva=30, pieces=2, all_pieces=5)
        12.0
    """
    return running_kva * pieces / all_pieces


@formula("I_line + f · I_largest", "A", "the share names its clause")
def design_line_a(line_a: float, largest_motor_a: float, motor_fraction: float) -> float:
    """Return the current that a line conductor and its device must carry. [A]

    line_a          : current of the line, each load with its factor [A]
    largest_motor_a : current in this line of one piece of its largest motor [A]
    motor_fraction  : share of it that is added [-]
    Source: the code that the share comes from, as NEC 430.24

    Example:
        >>> design_line_a(line_a=99.2, largest_motor_a=42.0, motor_fraction=0.25)
        109.7
    """
    return line_a + motor_fraction * largest_motor_a


@formula("f · S", "kVA")
def weighted_kva(kva: float, factor: float) -> float:
    """Return a load with its factor for devices and conductors. [kVA]

    kva    : running load [kVA]
    factor : factor of the code on it [-]
    Source: the factor carries it

    Example:
        >>> weighted_kva(kva=20.0, factor=1.25)
        25.0
    """
    return kva * factor


@formula("1000 · c · S / V", "A")
def spot_current_a(kva: float, share: float, line_v: float) -> float:
    """Return the current that one piece draws through one line. [A]

    kva    : the piece [kVA]
    share  : part of kVA over volts that flows in the line [-]
    line_v : volts the piece is counted at [V]
    Source: definition

    Example:
        >>> spot_current_a(kva=1.2, share=1.0, line_v=120.0)
        10.0
    """
    return 1000.0 * share * kva / line_v


@formula("max over the sets of loads that run together", "")
def largest(**sets: float) -> float:
    """Return the largest value among the sets of loads that run together, in the unit of theirs. [-]

    sets : the value in each set [any]
    Source: loads that never run together do not add

    Example:
        >>> largest(heaters=20.0, chillers=35.0)
        35.0
    """
    return max(sets.values())


@formula("max(I)", "A")
def larger_a(in_line_a: float, by_angle_a: float) -> float:
    """Return the larger of two currents. [A]

    in_line_a  : all loads at one angle [A]
    by_angle_a : each load at its own angle, those of unknown angle in line [A]
    Source: neither is always the larger where loads stand between lines

    Example:
        >>> larger_a(in_line_a=73.2, by_angle_a=75.6)
        75.6
    """
    return max(in_line_a, by_angle_a)
