"""Unequal loading: currents of lines, neutral and windings, unbalance of voltages, the winding that is worst off."""

from __future__ import annotations

from cmath import rect
from math import pi

from msgspec import Struct

from turnwright.circuit.network import Core, Network
from turnwright.circuit.solution import Solution
from turnwright.circuit.solve import solve
from turnwright.errors import InputError
from turnwright.working import formula

TURN = rect(1.0, 2 * pi / 3)


class Unbalance(Struct, frozen=True):
    """How unequal a loaded network is.

    lines_v             voltages between lines 1-2, 2-3, 3-1
    nema_pct, iec_pct   unbalance of these by the two definitions
    supply_lines_a      source terminal -> rms current
    supply_iec_pct      unbalance of the currents of the first source by its negative sequence; None for one
                        phase
    neutral_a           rms current of the neutral branch asked for; None without one
    windings_a          winding -> rms current
    loading_pct         winding -> that over its rated current
    worst_winding       the most loaded winding, worst_pct its loading
    """

    lines_v: tuple[float, float, float]
    nema_pct: float
    iec_pct: float
    supply_lines_a: dict[str, float]
    supply_iec_pct: float | None
    neutral_a: float | None
    windings_a: dict[str, float]
    loading_pct: dict[str, float]
    worst_winding: str | None
    worst_pct: float | None
    solution: Solution


def unbalance(network: Network, lines: tuple[str, str, str], *, neutral: str | None = None) -> Unbalance:
    """Return the unbalance between three nodes; `neutral` is the branch whose current is the neutral's.

    Raises:
        InputError: as `solve`; CIR-08, no such node or branch.
    """
    solution = solve(network)
    one, two, three = lines
    volts = (solution.voltage_v(one, two), solution.voltage_v(two, three), solution.voltage_v(three, one))
    windings = {
        f"{core.name}.w{k}": (abs(solution.currents_a[f"{core.name}.w{k}"]), rated_a)
        for core in network.cores
        for k, rated_a in enumerate(rated_currents_a(core), 1)
    }
    loading = {name: 100 * amperes / rated for name, (amperes, rated) in windings.items()}
    worst = max(loading, key=loading.__getitem__, default=None)
    first = [solution.currents_a[name] for name in solution.sources[:3]]
    return Unbalance(
        (abs(volts[0]), abs(volts[1]), abs(volts[2])),
        voltage_unbalance_nema_pct(*map(abs, volts)),
        voltage_unbalance_iec_pct(*volts),
        {name: abs(solution.currents_a[name]) for name in solution.sources},
        _negative_pct(first[0], first[1], first[2]) if len(first) == 3 else None,
        None if neutral is None else abs(solution.current_a(neutral)),
        {name: amperes for name, (amperes, _) in windings.items()},
        loading,
        worst,
        None if worst is None else loading[worst],
        solution,
    )


def rated_currents_a(core: Core) -> tuple[float, ...]:
    """Return the current each winding is made for, A: its own, or the kVA of the core over its rated volts.

    Example:
        >>> from turnwright.circuit.connections import single_phase_three_wire
        >>> unit = single_phase_three_wire("T1", 24.0, 480.0, 240.0, 1.4, 2.0, 1.2)
        >>> rated_currents_a(unit.cores[0])
        (50.0, 100.0, 100.0)
    """
    return tuple(winding.rated_a or core.kva * 1e3 / winding.rated_v for winding in core.windings)


@formula("100 · max|V - V_mean| / V_mean", "%", "NEMA MG 1, definition of voltage unbalance", "memory")
def voltage_unbalance_nema_pct(v12: float, v23: float, v31: float) -> float:
    """Return the unbalance of three line voltages by their sizes. [%]

    v12, v23, v31 : voltages between lines, their mean above 0 [V]
    Source: NEMA MG 1, definition of voltage unbalance

    Raises:
        InputError: CIR-13, a mean that is not above zero.

    Example:
        >>> round(voltage_unbalance_nema_pct(480.0, 476.0, 472.0), 2)
        0.84
    """
    mean = (v12 + v23 + v31) / 3
    if not mean > 0:
        raise InputError("CIR-13", "voltages", f"their mean is {mean} V.", "Give voltages above zero.")
    return 100 * max(abs(v - mean) for v in (v12, v23, v31)) / mean


@formula("100 · |V2| / |V1|", "%", "symmetrical components of the line voltages")
def voltage_unbalance_iec_pct(v12: complex, v23: complex, v31: complex) -> float:
    """Return negative over positive sequence of three line-voltage phasors. [%]

    v12, v23, v31 : voltages between lines, their positive sequence not 0 [V]
    Source: symmetrical components of the line voltages

    Raises:
        InputError: CIR-13, phasors without a positive sequence.

    Example:
        >>> round(voltage_unbalance_iec_pct(400.0, 400.0 * TURN**2, 380.0 * TURN), 2)
        1.69
    """
    return _negative_pct(v12, v23, v31)


def _negative_pct(one: complex, two: complex, three: complex) -> float:
    positive = abs(one + TURN * two + TURN**2 * three)
    if positive == 0:
        raise InputError(
            "CIR-13", "phasors", "they have no positive sequence.", "Check the order of the lines."
        )
    return 100 * abs(one + TURN**2 * two + TURN * three) / positive
