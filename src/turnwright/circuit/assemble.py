"""The equations of a whole network (modified nodal formulation) and the currents that follow."""

from __future__ import annotations

from msgspec import Struct

from turnwright.circuit.layout import EARTH_NUMBER, Layout
from turnwright.circuit.linear import Matrix, Row
from turnwright.circuit.primitives import Bound, Coupled, Primitive, Single, primitives
from turnwright.errors import InputError

UNKNOWN_LIMIT = 1200
# volts or amperes that are surely nothing
SMALLEST = 1e-100


class Equations(Struct, frozen=True):
    """The assembled system. Unknowns: the nodes by their number, then the currents of `Bound`
    elements.

    owners  what each unknown and each equation belongs to: a node or a branch
    """

    rows: Matrix
    rhs: Row
    nodes: int
    elements: list[Primitive]
    owners: list[str]


def equations(layout: Layout, harmonic: int, full: bool) -> Equations:
    """Return the equations at one harmonic order, parts without earth tied at one node each.

    Raises:
        InputError: CIR-06, there are more than `UNKNOWN_LIMIT` unknowns.
    """
    elements = list(primitives(layout, harmonic, full))
    nodes = len(layout.number) - 1
    size = nodes + sum([len(e.ends) for e in elements if type(e) is Bound])
    if size > UNKNOWN_LIMIT:
        raise InputError(
            "CIR-06",
            "network",
            f"{size} unknowns are more than the {UNKNOWN_LIMIT} that are solved.",
            "Split the network, or join impedances in parallel.",
        )
    # earth is number -1: its row is the last one of the list and its column the key -1, both dropped at the end
    rows: Matrix = [{} for _ in range(size + 1)]
    rhs = [0j] * (size + 1)
    owners = [""] * (size + 1)
    at = nodes
    for element in elements:
        if type(element) is Single:
            _add_single(element, rows, rhs)
        elif type(element) is Coupled:
            _add_coupled(element, rows, rhs)
        elif type(element) is Bound:
            _add_bound(element, at, rows, rhs)
            owners[at : at + len(element.names)] = element.names
            at += len(element.names)
    for part in layout.floating:
        tied = layout.number[part[0]]
        # the balance of currents at this node follows from that at the others of its part
        rows[tied] = {tied: 1 + 0j}
        rhs[tied] = 0j
    for node, number in layout.number.items():
        owners[number] = node
    del rows[-1], rhs[-1], owners[-1]
    for row in rows:
        row.pop(EARTH_NUMBER, None)
    return Equations(rows, rhs, nodes, elements, owners)


def _add(row: dict[int, complex], column: int, entry: complex) -> None:
    row[column] = row.get(column, 0j) + entry


def _add_single(element: Single, rows: Matrix, rhs: Row) -> None:
    _, a, b, y, given, _ = element
    if y:
        into, out = rows[a], rows[b]
        into[a] = into.get(a, 0j) + y
        into[b] = into.get(b, 0j) - y
        out[a] = out.get(a, 0j) - y
        out[b] = out.get(b, 0j) + y
    if given:
        rhs[a] -= given
        rhs[b] += given


def _add_coupled(element: Coupled, rows: Matrix, rhs: Row) -> None:
    _, ends, y, given, _ = element
    for (start, end), by, current in zip(ends, y, given, strict=True):
        into, out = rows[start], rows[end]
        for (a, b), entry in zip(ends, by, strict=True):
            into[a] = into.get(a, 0j) + entry
            into[b] = into.get(b, 0j) - entry
            out[a] = out.get(a, 0j) - entry
            out[b] = out.get(b, 0j) + entry
        if current:
            rhs[start] -= current
            rhs[end] += current


def _add_bound(element: Bound, at: int, rows: Matrix, rhs: Row) -> None:
    for k, (start, end) in enumerate(element.ends):
        _add(rows[start], at + k, 1 + 0j)
        _add(rows[end], at + k, -1 + 0j)
        row = rows[at + k]
        for (into, out), by in zip(element.ends, element.a[k], strict=True):
            _add(row, into, by)
            _add(row, out, -by)
        for m, entry in enumerate(element.b[k]):
            if entry:
                row[at + m] = entry
        rhs[at + k] = element.c[k]


def currents(system: Equations, x: Row) -> dict[str, complex]:
    """Return the current of each branch, by name, A."""
    volts = [*x, 0j]
    at = system.nodes
    found: dict[str, complex] = {}
    for element in system.elements:
        if type(element) is Single:
            name, a, b, y, given, sign = element
            found[name] = sign * (y * (volts[a] - volts[b]) + given)
        elif type(element) is Coupled:
            names, ends, matrix, plus, sign = element
            across = [volts[start] - volts[end] for start, end in ends]
            for name, by, given in zip(names, matrix, plus, strict=True):
                found[name] = sign * sum([g * v for g, v in zip(by, across, strict=True)], given)
        elif type(element) is Bound:
            for name in element.names:
                found[name] = element.sign * x[at]
                at += 1
    return found


def mismatch(system: Equations, x: Row) -> float:
    """Return how far `Bound` elements miss their equations, as a fraction of the largest volts or amperes. [-]"""
    at, worst = system.nodes, 0.0
    bound = [element for element in system.elements if type(element) is Bound]
    if not bound:
        return worst
    volts = [*x, 0j]
    largest_v = max(SMALLEST, *map(abs, volts[:at]))
    largest_a = max(SMALLEST, *map(abs, x[at:]))
    for element in bound:
        across = [volts[start] - volts[end] for start, end in element.ends]
        through = x[at : at + len(across)]
        at += len(across)
        for a, b, c in zip(element.a, element.b, element.c, strict=True):
            miss = sum([g * v for g, v in zip(a, across, strict=True)], -c)
            miss = sum([g * i for g, i in zip(b, through, strict=True)], miss)
            by_volts, by_amperes = max(map(abs, a)), max(map(abs, b))
            worst = max(worst, abs(miss) / (by_volts * largest_v or by_amperes * largest_a))
    return worst
