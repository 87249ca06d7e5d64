"""What a network looks like from several pairs of nodes at once: one factorization for many questions."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from turnwright.circuit.assemble import Equations, equations
from turnwright.circuit.layout import Layout, lay_out
from turnwright.circuit.linear import Factors, Row, Singular, factorize, inverse, refined
from turnwright.circuit.network import EARTH, Injection, Network
from turnwright.circuit.solution import known
from turnwright.circuit.solve import CONDITION_GATE, solve
from turnwright.circuit.thevenin import refuse_loads, silent
from turnwright.errors import InputError

Pair = tuple[str, str]


class Ports(Struct, frozen=True):
    """Open-circuit voltages of pairs of nodes, V, and their impedance matrix, ohm.

    z_ohm[k][l] is the voltage across pair k that 1 A driven in at one node of pair l and out at the other makes.
    """

    pairs: tuple[Pair, ...]
    voltages_v: tuple[complex, ...]
    z_ohm: tuple[tuple[complex, ...], ...]

    def short_a(self, pairs: Sequence[Pair]) -> tuple[complex, ...]:
        """Return the currents through shorts across these pairs, all at the same time, A.

        Raises:
            InputError: CIR-05, nothing limits the current.
        """
        at = [self.pairs.index(pair) for pair in pairs]
        matrix = [[self.z_ohm[k][m] for m in at] for k in at]
        try:
            turned = inverse(matrix)
        except Singular:
            names = ", ".join(f"{a} and {b}" for a, b in pairs)
            raise InputError(
                "CIR-05",
                "network",
                f"nothing limits the current between {names}.",
                "Give the supply an impedance.",
            ) from None
        return tuple(sum(y * self.voltages_v[m] for y, m in zip(row, at, strict=True)) for row in turned)

    def x_over_r(self, pair: Pair) -> float | None:
        """Return X/R of the impedance seen from one pair; None without resistance."""
        at = self.pairs.index(pair)
        z = self.z_ohm[at][at]
        return z.imag / z.real if z.real > 0 else None


def ports(network: Network, pairs: Sequence[Pair]) -> Ports:
    """Return a network as it is seen from pairs of nodes, at its own frequency.

    Raises:
        InputError: CIR-05, a pair between parts that nothing joins; CIR-08, no such node; CIR-13, loads of constant
            power or current, which have no impedance; otherwise as `solve`.

    Example:
        >>> from turnwright.circuit.network import Impedance, Source1
        >>> supply = Source1("SUP", "A", "0", 240.0, 1 + 0j)
        >>> seen = ports(Network(60.0, (supply,), (), (Impedance("z", "A", "B", 2.0),)), [("B", "0")])
        >>> abs(seen.short_a([("B", "0")])[0])
        80.0
    """
    pairs = tuple(pairs)
    refuse_loads(network)
    layout = lay_out(network)
    for pair in pairs:
        _check_way(layout, pair)
    system = equations(layout, 1, full=False)
    try:
        factors = factorize(system.rows)
    except Singular:
        return _one_by_one(network, pairs)
    if factors.condition() > CONDITION_GATE:
        return _one_by_one(network, pairs)
    open_circuit = refined(factors, system.rows, system.rhs)
    driven = [_driven(layout, system, factors, pair) for pair in pairs]
    return Ports(
        pairs,
        tuple(_across(layout, pair, open_circuit) for pair in pairs),
        tuple(tuple(_across(layout, pair, x) for x in driven) for pair in pairs),
    )


def _check_way(layout: Layout, pair: Pair) -> None:
    """Refuse a pair of nodes between which no current can flow: a part without earth, and anything outside it."""
    for node in pair:
        known(layout.number, node, "node")
    sides = [next((part for part in layout.floating if node in part), None) for node in pair]
    if sides[0] != sides[1]:
        raise InputError(
            "CIR-05",
            "network",
            f"nothing closes the circuit between {pair[0]} and {pair[1]}.",
            "Tie one node of the part without earth to earth, or ask for two of its nodes.",
        )


def _driven(layout: Layout, system: Equations, factors: Factors, pair: Pair) -> Row:
    """Return the solution with the sources at 0 V and 1 A through one pair."""
    tied = {part[0] for part in layout.floating}
    rhs = [0j] * len(system.rhs)
    for node, current in zip(pair, (1.0, -1.0), strict=True):
        if node != EARTH and node not in tied:
            rhs[layout.number[node]] += current
    return refined(factors, system.rows, rhs)


def _across(layout: Layout, pair: Pair, x: Row) -> complex:
    start, end = (layout.number[node] for node in pair)
    volts = [*x, 0j]
    return volts[start] - volts[end]


def _one_by_one(network: Network, pairs: tuple[Pair, ...]) -> Ports:
    """The same by one solution each, for networks that the reduced equations cannot carry."""
    open_circuit = solve(network)
    driven = [
        solve(silent(network).with_(injections=[Injection("port", b, a, 1, 1.0, 0.0)])) for a, b in pairs
    ]
    return Ports(
        pairs,
        tuple(open_circuit.voltage_v(*pair) for pair in pairs),
        tuple(tuple(one.voltage_v(*pair) for one in driven) for pair in pairs),
    )
