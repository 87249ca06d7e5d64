"""The equations of one element: of a source, a core, an impedance, a drawn current.

Every element is a set of branches. Where its currents follow from its voltages, i = Y v + i0, only Y enters
the node equations. Where they do not (no impedance, ideal windings), or when asked ("full"), the currents
are unknowns of their own and the element adds its equations A v + B i = c.

A core with windings 1..n, S = its volt-amperes, V_k rated volts, u_k = v_k / V_k, j_k = i_k V_k / S:

    Σ j_k = 0                                              ampere-turn balance
    u_1 - u_k + Σ_{m=2..n} Zb[k, m] j_m = 0,  k = 2..n     Zb[k, m] = (Zsc[1, k] + Zsc[1, m] - Zsc[k, m]) / 2
    Zsc[i, j] = r_i + r_j + j x_ij,  Zsc[i, i] = 0         short-circuit impedance of a pair of windings

which is exact for any number of windings.
"""

from __future__ import annotations

from cmath import rect
from collections.abc import Iterator, Sequence
from math import radians
from typing import NamedTuple

from turnwright.circuit.iterate import stand_in_siemens
from turnwright.circuit.layout import Layout, star_node
from turnwright.circuit.linear import Row, Singular, inverse
from turnwright.circuit.network import Core, Impedance, Source, Source1, Source3, pair_position

# below these an impedance is solved as an equation of its own: its admittance would swamp everything beside
# it
SMALLEST_OHM = 1e-7
SMALLEST_PER_UNIT = 1e-9


class Single(NamedTuple):
    """One branch: i = y v + given, counted into `start`; reported times `sign`."""

    name: str
    start: int
    end: int
    y_siemens: complex
    given_a: complex = 0j
    sign: float = 1.0


class Coupled(NamedTuple):
    """Branches that act on each other: i = y v + given, counted into the first node of each."""

    names: Sequence[str]
    ends: Sequence[tuple[int, int]]
    y_siemens: Sequence[Sequence[complex]]
    given_a: Sequence[complex]
    sign: float = 1.0


class Bound(NamedTuple):
    """Branches with equations of their own, a v + b i = c; their currents are unknowns."""

    names: Sequence[str]
    ends: Sequence[tuple[int, int]]
    a: Sequence[Sequence[complex]]
    b: Sequence[Sequence[complex]]
    c: Sequence[complex]
    sign: float = 1.0


Primitive = Single | Coupled | Bound


def primitives(layout: Layout, harmonic: int, full: bool) -> Iterator[Primitive]:
    """Yield the equations of each element at one harmonic order, in the order of the results."""
    network, number = layout.network, layout.number
    for source in network.sources:
        yield _source(source, number, harmonic, full)
    for core in network.cores:
        yield _core(core, number, harmonic, full)
        if core.no_load_loss_pct or core.magnetizing_pct:
            winding = core.windings[1]
            y = (
                complex(core.no_load_loss_pct, -core.magnetizing_pct / harmonic)
                * core.kva
                * 10
                / winding.rated_v**2
            )
            yield Single(f"{core.name}.shunt", number[winding.dot], number[winding.other], y)
    for z in network.impedances:
        yield _impedance(z, number, harmonic, full)
    for draw in network.injections:
        if draw.harmonic == harmonic:
            current = rect(draw.current_a, radians(draw.angle_deg))
            yield Single(draw.name, number[draw.start], number[draw.end], 0j, current)
    if harmonic == 1:
        for load in network.loads:
            yield Single(load.name, number[load.start], number[load.end], stand_in_siemens(network, load))


def _impedance(z: Impedance, number: dict[str, int], harmonic: int, full: bool) -> Primitive:
    ohm = complex(z.r_ohm, z.x_ohm * harmonic - z.xc_ohm / harmonic)
    if abs(ohm) > SMALLEST_OHM and not full:
        return Single(z.name, number[z.start], number[z.end], 1 / ohm)
    return Bound((z.name,), ((number[z.start], number[z.end]),), ((1 + 0j,),), ((-ohm,),), (0j,))


def _source(source: Source, number: dict[str, int], harmonic: int, full: bool) -> Primitive:
    if isinstance(source, Source3):
        return _source3(source, number, harmonic, full)
    return _source1(source, number, harmonic, full)


def _source1(source: Source1, number: dict[str, int], harmonic: int, full: bool) -> Primitive:
    volts = rect(source.voltage_v, radians(source.angle_deg)) if harmonic == 1 else 0j
    z = complex(source.z_ohm.real, source.z_ohm.imag * harmonic)
    name, start, end = f"{source.name}:{source.node}", number[source.node], number[source.other]
    if abs(z) > SMALLEST_OHM and not full:
        return Single(name, start, end, 1 / z, -volts / z, -1.0)
    return Bound((name,), ((start, end),), ((1 + 0j,),), ((-z,),), (volts,), -1.0)


def _source3(source: Source3, number: dict[str, int], harmonic: int, full: bool) -> Primitive:
    star = number[star_node(source)]
    names = [f"{source.name}:{node}" for node in source.nodes]
    ends = [(number[node], star) for node in source.nodes]
    size = source.line_v / 3**0.5 if harmonic == 1 else 0.0
    volts = [rect(size, radians(source.angle_deg - 120.0 * k)) for k in range(3)]
    z1 = complex(source.z1_ohm.real, source.z1_ohm.imag * harmonic)
    z0 = complex(source.z0_ohm.real, source.z0_ohm.imag * harmonic)
    if source.star is None:
        z0 = z1
    if min(abs(z0), abs(z1)) > SMALLEST_OHM and not full:
        # the voltages have no zero sequence, so the currents they drive see z1 alone
        return Coupled(names, ends, _by_phase(1 / z0, 1 / z1), [-e / z1 for e in volts], -1.0)
    against = [[-z for z in row] for row in _by_phase(z0, z1)]
    return Bound(names, ends, _identity(3), against, volts, -1.0)


def _by_phase(zero: complex, positive: complex) -> tuple[tuple[complex, ...], ...]:
    mutual = (zero - positive) / 3
    own = mutual + positive
    return ((own, mutual, mutual), (mutual, own, mutual), (mutual, mutual, own))


def _identity(count: int) -> list[Row]:
    return [[1 + 0j if i == j else 0j for j in range(count)] for i in range(count)]


def _core(core: Core, number: dict[str, int], harmonic: int, full: bool) -> Primitive:
    windings, name = core.windings, core.name
    ends = [(number[w.dot], number[w.other]) for w in windings]
    names = [f"{name}.w{k}" for k in range(1, len(windings) + 1)]
    va = core.kva * 1e3
    if len(windings) == 2 and not full:
        one, two = windings
        z = complex(one.resistance_pct + two.resistance_pct, core.reactance_pct[0] * harmonic) / 100
        if abs(z) > SMALLEST_PER_UNIT:
            y11 = va / z / one.rated_v / one.rated_v
            ratio = one.rated_v / two.rated_v
            y12 = -y11 * ratio
            return Coupled(names, ends, ((y11, y12), (y12, -y12 * ratio)), (0j, 0j))
    zb = _short_circuit_matrix(core, harmonic)
    if not full:
        try:
            return Coupled(names, ends, _core_admittance(core, _inverse(zb)), [0j] * len(windings))
        except Singular:
            pass
    count = len(windings)
    a, b = [[0j] * count for _ in windings], [[0j] * count for _ in windings]
    b[0] = [w.rated_v / va + 0j for w in windings]
    for k in range(1, count):
        a[k][0], a[k][k] = 1 / windings[0].rated_v + 0j, -1 / windings[k].rated_v + 0j
        for m in range(1, count):
            b[k][m] = zb[k - 1][m - 1] * windings[m].rated_v / va
    return Bound(names, ends, a, b, [0j] * count)


def _short_circuit_matrix(core: Core, harmonic: int) -> list[Row]:
    """Return Zb of the module's text, per unit, for windings 2..n."""
    count = len(core.windings)
    r = [w.resistance_pct / 100 for w in core.windings]
    zsc = [[0j] * count for _ in r]
    for i in range(count):
        for j in range(i + 1, count):
            x = core.reactance_pct[pair_position(count, i + 1, j + 1)] / 100 * harmonic
            zsc[i][j] = zsc[j][i] = complex(r[i] + r[j], x)
    rest = range(1, count)
    return [[(zsc[0][k] + zsc[0][m] - zsc[k][m]) / 2 for m in rest] for k in rest]


def _inverse(zb: list[Row]) -> list[Row]:
    if max(abs(z) for row in zb for z in row) <= SMALLEST_PER_UNIT:
        raise Singular
    if len(zb) != 2:
        return inverse(zb)
    (a, b), (c, d) = zb
    determinant = a * d - b * c
    if abs(determinant) <= 1e-9 * max(abs(a), abs(b), abs(d)) ** 2:
        raise Singular
    return [[d / determinant, -b / determinant], [-c / determinant, a / determinant]]


def _core_admittance(core: Core, yb: list[Row]) -> list[Row]:
    """Return the admittances between the windings, siemens: j_k = Σ Yb[k, m] (u_m - u_1), j_1 = -Σ j_k."""
    heads = [-sum(row, 0j) for row in yb]
    per_unit = [[-sum(heads, 0j), *[-sum(column, 0j) for column in zip(*yb, strict=True)]]]
    per_unit += [[head, *row] for head, row in zip(heads, yb, strict=True)]
    va = core.kva * 1e3
    volts = [w.rated_v for w in core.windings]
    return [
        [va * y / v / w for y, w in zip(row, volts, strict=True)]
        for row, v in zip(per_unit, volts, strict=True)
    ]
