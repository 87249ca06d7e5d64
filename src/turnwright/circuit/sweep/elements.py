"""The equations of elements that vary, over all variants at once: the array form of `primitives`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from turnwright.circuit.layout import Layout, star_node
from turnwright.circuit.network import Core, Impedance, Injection, Source1, Source3, pair_position
from turnwright.circuit.primitives import SMALLEST_OHM, SMALLEST_PER_UNIT, Bound, Coupled, Single, primitives
from turnwright.circuit.sweep.varied import Changes, elements_of

Number: TypeAlias = Any
"""A complex number, or an array of one for each variant."""


class Varied(NamedTuple):
    """Branches that act on each other: i = y v + given, over all variants; `apart` where that form has no sense."""

    names: Sequence[str]
    ends: Sequence[tuple[int, int]]
    y_siemens: Sequence[Sequence[Number]]
    given_a: Sequence[Number]
    sign: float = 1.0
    apart: NDArray[np.bool_] | None = None


class Bounded(NamedTuple):
    """Branches with equations of their own, a v + b i = c, over all variants; their currents are unknowns."""

    names: Sequence[str]
    ends: Sequence[tuple[int, int]]
    a: Sequence[Sequence[Number]]
    b: Sequence[Sequence[Number]]
    c: Sequence[Number]
    sign: float = 1.0


ArrayElement: TypeAlias = Varied | Bounded


def array_elements(layout: Layout, changes: Changes, harmonic: int, full: bool = False) -> list[ArrayElement]:
    """Return the equations of every element; numbers where nothing varies, arrays where something does.

    full  with the current of every element that has an impedance as an unknown of its own
    """
    known = elements_of(layout.network)
    own: list[ArrayElement] = []
    for name, fields in changes.items():
        own += _varied(known[name], fields, layout, harmonic, full)
    skipped = {name for element in own for name in element.names}
    found: list[ArrayElement] = []
    for element in primitives(layout, harmonic, full):
        names = (element.name,) if isinstance(element, Single) else element.names
        if names[0] not in skipped:
            found.append(_constant(element))
    return found + own


def _constant(element: Single | Coupled | Bound) -> ArrayElement:
    if isinstance(element, Single):
        ends = ((element.start, element.end),)
        return Varied((element.name,), ends, ((element.y_siemens,),), (element.given_a,), element.sign)
    if isinstance(element, Bound):
        return Bounded(*element)
    return Varied(*element)


def _varied(
    element: Any, fields: Mapping[str, Any], layout: Layout, harmonic: int, full: bool
) -> list[ArrayElement]:
    values = {name: getattr(element, name) for name in element.__struct_fields__} | dict(fields)
    number = layout.number
    if isinstance(element, Impedance):
        return [_impedance(element, values, number, harmonic, full)]
    if isinstance(element, Source1):
        return [_source1(element, values, number, harmonic, full)]
    if isinstance(element, Source3):
        return [_source3(element, values, number, harmonic, full)]
    if isinstance(element, Injection):
        return [_injection(element, values, number)] if element.harmonic == harmonic else []
    return _core(element, fields, number, harmonic, full)


def _impedance(
    z: Impedance, values: dict[str, Any], number: dict[str, int], harmonic: int, full: bool
) -> ArrayElement:
    names, ends = (z.name,), ((number[z.start], number[z.end]),)
    x = values["x_ohm"] * harmonic - values["xc_ohm"] / harmonic
    ohm = np.empty(np.broadcast(values["r_ohm"], x).shape, complex)
    ohm.real, ohm.imag = values["r_ohm"], x
    if full:
        return Bounded(names, ends, ((1 + 0j,),), ((-ohm,),), (0j,))
    y, apart = _inverted(ohm, SMALLEST_OHM)
    return Varied(names, ends, ((y,),), (0j,), apart=apart)


def _inverted(
    ohm: NDArray[np.complex128], smallest: float
) -> tuple[NDArray[np.complex128], NDArray[np.bool_]]:
    """Return 1/z, and where z is so small that it says nothing; there it stands for 1."""
    apart = ohm.real**2 + ohm.imag**2 <= smallest**2
    y: NDArray[np.complex128] = np.reciprocal(np.where(apart, 1 + 0j, ohm), dtype=np.complex128)
    return y, np.asarray(apart)


def _phasor(size: Any, angle_deg: Any) -> Any:
    return size * np.exp(1j * np.radians(angle_deg))


def _at_order(z: Any, harmonic: int) -> Any:
    return np.real(z) + 1j * (np.imag(z) * harmonic)


def _is_nothing(z: Any) -> bool:
    """One number for all variants, too small to be divided by."""
    return np.ndim(z) == 0 and abs(z) <= SMALLEST_OHM


def _source1(
    source: Source1, values: dict[str, Any], number: dict[str, int], harmonic: int, full: bool
) -> ArrayElement:
    volts = _phasor(values["voltage_v"], values["angle_deg"]) if harmonic == 1 else 0j
    ends = ((number[source.node], number[source.other]),)
    names, z = (f"{source.name}:{source.node}",), _at_order(values["z_ohm"], harmonic)
    if full or _is_nothing(z):
        return Bounded(names, ends, ((1 + 0j,),), ((-z,),), (volts,), -1.0)
    y, apart = _inverted(np.asarray(z), SMALLEST_OHM)
    return Varied(names, ends, ((y,),), (-volts * y,), -1.0, apart)


def _source3(
    source: Source3, values: dict[str, Any], number: dict[str, int], harmonic: int, full: bool
) -> ArrayElement:
    star = number[star_node(source)]
    names = [f"{source.name}:{node}" for node in source.nodes]
    ends = [(number[node], star) for node in source.nodes]
    size = values["line_v"] / 3**0.5 if harmonic == 1 else 0.0
    volts = [_phasor(size, values["angle_deg"] - 120.0 * k) for k in range(3)]
    z1 = _at_order(values["z1_ohm"], harmonic)
    z0 = z1 if source.star is None else _at_order(values["z0_ohm"], harmonic)
    if full or _is_nothing(z1) or _is_nothing(z0):
        against = [[-z for z in row] for row in _by_phase(z0, z1)]
        one = [[1 + 0j if i == j else 0j for j in range(3)] for i in range(3)]
        return Bounded(names, ends, one, against, volts, -1.0)
    y1, apart1 = _inverted(np.asarray(z1), SMALLEST_OHM)
    y0, apart0 = _inverted(np.asarray(z0), SMALLEST_OHM)
    return Varied(names, ends, _by_phase(y0, y1), [-e * y1 for e in volts], -1.0, apart0 | apart1)


def _by_phase(zero: Any, positive: Any) -> tuple[tuple[Any, ...], ...]:
    mutual = (zero - positive) / 3
    own = mutual + positive
    return ((own, mutual, mutual), (mutual, own, mutual), (mutual, mutual, own))


def _injection(draw: Injection, values: dict[str, Any], number: dict[str, int]) -> Varied:
    current = _phasor(values["current_a"], values["angle_deg"])
    return Varied((draw.name,), ((number[draw.start], number[draw.end]),), ((0j,),), (current,))


def _core(
    core: Core, fields: Mapping[str, Any], number: dict[str, int], harmonic: int, full: bool
) -> list[ArrayElement]:
    count = len(core.windings)
    va = fields.get("kva", core.kva) * 1e3
    volts = [fields.get(f"w{k}.rated_v", w.rated_v) for k, w in enumerate(core.windings, 1)]
    ends = [(number[w.dot], number[w.other]) for w in core.windings]
    names = [f"{core.name}.w{k}" for k in range(1, count + 1)]
    zb = _short_circuit_matrix(core, fields, harmonic)
    found: list[ArrayElement]
    if full:
        found = [_bounded_core(names, ends, zb, va, volts)]
    else:
        per_unit, apart = _winding_admittance(zb)
        y = [
            [va * entry / v / w for entry, w in zip(row, volts, strict=True)]
            for row, v in zip(per_unit, volts, strict=True)
        ]
        found = [Varied(names, ends, y, [0j] * count, 1.0, apart)]
    if core.no_load_loss_pct or core.magnetizing_pct:
        loss = fields.get("no_load_loss_pct", core.no_load_loss_pct)
        magnetizing = fields.get("magnetizing_pct", core.magnetizing_pct)
        shunt = (loss - 1j * magnetizing / harmonic) / 100 * va / volts[1] ** 2
        found.append(Varied((f"{core.name}.shunt",), (ends[1],), ((shunt,),), (0j,)))
    return found


def _short_circuit_matrix(core: Core, fields: Mapping[str, Any], harmonic: int) -> list[list[Any]]:
    """Return Zb of windings 2..n, per unit."""
    count = len(core.windings)
    everywhere = fields.get("resistance_pct")
    r = [
        fields.get(f"w{k}.resistance_pct", w.resistance_pct if everywhere is None else everywhere) / 100
        for k, w in enumerate(core.windings, 1)
    ]
    zsc: list[list[Any]] = [[0j] * count for _ in r]
    for i in range(count):
        for j in range(i + 1, count):
            own = core.reactance_pct[pair_position(count, i + 1, j + 1)]
            x = fields.get(f"reactance_pct.{i + 1}-{j + 1}", fields.get("reactance_pct", own)) / 100
            zsc[i][j] = zsc[j][i] = r[i] + r[j] + 1j * x * harmonic
    rest = range(1, count)
    return [[(zsc[0][k] + zsc[0][m] - zsc[k][m]) / 2 for m in rest] for k in rest]


def _bounded_core(
    names: Sequence[str], ends: Sequence[tuple[int, int]], zb: list[list[Any]], va: Any, volts: list[Any]
) -> Bounded:
    """The equations of a core with the currents of its windings as unknowns, as in `primitives`."""
    count = len(volts)
    a: list[list[Number]] = [[0j] * count for _ in volts]
    b: list[list[Number]] = [[0j] * count for _ in volts]
    b[0] = [v / va + 0j for v in volts]
    for k in range(1, count):
        a[k][0], a[k][k] = 1 / volts[0] + 0j, -1 / volts[k] + 0j
        for m in range(1, count):
            b[k][m] = zb[k - 1][m - 1] * volts[m] / va
    return Bounded(names, ends, a, b, [0j] * count)


def _winding_admittance(zb: list[list[Any]]) -> tuple[list[list[Any]], NDArray[np.bool_]]:
    """Return the admittances between the windings, per unit, and where they have no sense."""
    rest = range(len(zb))
    z = np.stack(np.broadcast_arrays(*[entry for row in zb for entry in row]), axis=-1)
    z = z.reshape(*z.shape[:-1], len(zb), len(zb))
    largest = np.abs(z).max(axis=(-2, -1))
    apart = np.asarray(largest <= SMALLEST_PER_UNIT)
    if len(zb) > 1:
        apart = apart | (np.abs(np.linalg.det(z)) <= 1e-9 * largest ** len(zb))
    y = np.linalg.inv(np.where(apart[..., None, None], np.eye(len(zb)), z))
    rows = [[y[..., k, m] for m in rest] for k in rest]
    heads = [-sum(row) for row in rows]
    return [[-sum(heads), *heads], *([head, *row] for head, row in zip(heads, rows, strict=True))], apart
