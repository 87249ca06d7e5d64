"""Solve a network: the quick form first, the full one where the quick one cannot be trusted.

The reduced equations hold node voltages only and suit almost every network. Where they are singular, or the
currents they give do not balance at the nodes to `GATE`, the full equations are solved, in which each
current is an unknown; where these have no full rank either, what is free is found, given its smallest value,
and reported.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import inf, isfinite
from typing import Literal

from msgspec import Struct

from turnwright.circuit.assemble import Equations, currents, equations, mismatch
from turnwright.circuit.iterate import draw, extra_currents
from turnwright.circuit.layout import EARTH_NUMBER, Layout, lay_out
from turnwright.circuit.linear import Factors, Row, Singular, dense, factorize, refined
from turnwright.circuit.network import EARTH, Network
from turnwright.circuit.solution import HarmonicSolution, Solution, Undetermined
from turnwright.errors import InputError

# keeps currents of a thousandth of the largest within 1e-9 of the full form
GATE = 2.5e-13
CONDITION_GATE = 1e12
Form = Literal["reduced", "full"]


class _Answer(Struct, frozen=True):
    x: Row
    residual: float
    condition: float
    open_: tuple[Undetermined, ...]
    form: Form
    iterations: int
    currents_a: dict[str, complex]


def solve(network: Network, harmonic: int = 1) -> Solution:
    """Return voltages and currents of a network at one harmonic order, V and A.

    Above order 1 the sources are only their impedances, and loads of constant power or current are open.

    Raises:
        InputError: CIR-01 to CIR-06 and CIR-09, a network that cannot be solved; CIR-07, a load that cannot
        be carried.

    Example:
        >>> from turnwright.circuit.network import Impedance, Source1
        >>> supply, heater = Source1("SUP", "A", "0", 240.0, 1 + 0j), Impedance("heater", "A", "0", 5.0)
        >>> found = solve(Network(60.0, (supply,), (), (heater,)))
        >>> found.voltage_v("A"), found.current_a("heater")
        ((200+0j), (40+0j))
    """
    return solve_layout(lay_out(network), harmonic)


def solve_harmonics(network: Network, orders: Iterable[int] | None = None) -> HarmonicSolution:
    """Return a solution for each order; without `orders`, for order 1 and those of the drawn currents.

    Raises:
        InputError: as `solve`.
    """
    layout = lay_out(network)
    wanted = sorted({1, *(draw.harmonic for draw in network.injections)}) if orders is None else list(orders)
    return HarmonicSolution({h: solve_layout(layout, h) for h in wanted})


def solve_layout(layout: Layout, harmonic: int = 1, form: Form | None = None) -> Solution:
    """Return the solution of a network that is laid out already; `form` insists on one formulation."""
    if harmonic < 1:
        raise InputError("CIR-01", "network", f"harmonic is {harmonic}.", "Orders count from 1.")
    try:
        answer = None if form == "full" else _reduced(layout, harmonic)
        if answer is None:
            answer = _full(layout, harmonic)
    except (OverflowError, ZeroDivisionError):
        answer = None
    if answer is None or not isfinite(answer.residual):
        raise InputError(
            "CIR-01",
            "network",
            "its values are so far apart that no numbers come out.",
            "Look for a voltage, impedance or rating in the wrong unit.",
        )
    return _solution(layout, harmonic, answer)


def _reduced(layout: Layout, harmonic: int) -> _Answer | None:
    system = equations(layout, harmonic, full=False)
    try:
        factors = factorize(system.rows)
    except Singular:
        return None
    answer = _solved(layout, harmonic, system, factors, "reduced")
    return answer if answer.residual <= GATE and answer.condition <= CONDITION_GATE else None


def _full(layout: Layout, harmonic: int) -> _Answer:
    system = equations(layout, harmonic, full=True)
    try:
        factors = factorize(system.rows)
        answer = _solved(layout, harmonic, system, factors, "full")
        if answer.condition <= CONDITION_GATE:
            return answer
    except Singular:
        pass
    return _solved(layout, harmonic, system, _FreeFactors(layout, system), "full")


class _FreeFactors:
    """Equations without full rank, solved for the smallest unknowns; remembers what was free."""

    def __init__(self, layout: Layout, system: Equations) -> None:
        self.layout, self.system = layout, system
        self.free: list[Row] = []

    def solve(self, rhs: Row) -> Row:
        from turnwright.circuit.rank import analyse  # few networks have no full rank

        found = analyse(dense(self.system.rows), rhs)
        if found.contradictions:
            raise _contradiction(self.layout, [self.system.owners[at] for at in found.contradictions])
        self.free = found.free
        return found.x

    def condition(self) -> float:
        return inf if self.free else CONDITION_GATE


def _solved(layout: Layout, harmonic: int, system: Equations, factors: Factors, form: Form) -> _Answer:
    rhs, iterations = system.rhs, 0
    extra: dict[str, complex] = {}
    if layout.network.loads and harmonic == 1:
        extra, iterations = extra_currents(layout, rhs, factors)
        rhs = rhs[:]
        for load in layout.network.loads:
            draw(rhs, layout, load, extra[load.name])
    if isinstance(factors, _FreeFactors):
        from turnwright.circuit.rank import smallest

        x = _centred(layout, factors.solve(rhs))
        x = smallest(x, [_centred(layout, vector) for vector in factors.free])
        open_ = (*_without_earth(layout), *_what_is_free(system, factors.free))
    else:
        x = _centred(layout, refined(factors, system.rows, rhs))
        open_ = _without_earth(layout)
    error = mismatch(system, x)
    found = currents(system, x)
    for name, beyond in extra.items():
        found[name] += beyond
    error = max(error, _imbalance(layout, found)) if isfinite(abs(sum(x, 0j))) else inf
    return _Answer(x, error, factors.condition(), open_, form, iterations, found)


def _centred(layout: Layout, x: Row) -> Row:
    """Return x with each part without earth moved so that the mean of its nodes is 0 V."""
    for part in layout.floating:
        numbers = [layout.number[node] for node in part]
        mean = sum([x[at] for at in numbers], 0j) / len(numbers)
        x = x[:]
        for at in numbers:
            x[at] -= mean
    return x


def _without_earth(layout: Layout) -> tuple[Undetermined, ...]:
    return tuple(
        Undetermined(
            "potential",
            part,
            f"nothing ties {', '.join(part)} to earth; the mean of their voltages was taken as 0 V.",
        )
        for part in layout.floating
    )


def _what_is_free(system: Equations, free: list[Row]) -> tuple[Undetermined, ...]:
    said = []
    for vector in free:
        top = max(map(abs, vector))
        parts = [at for at, value in enumerate(vector) if abs(value) > 1e-7 * top]
        nodes = tuple(system.owners[at] for at in parts if at < system.nodes)
        through = tuple(system.owners[at] for at in parts if at >= system.nodes)
        if nodes:
            note = (
                f"no winding, load or magnetizing branch fixes the common voltage of {', '.join(nodes)}; "
                "the smallest was taken."
            )
            said.append(Undetermined("voltage", nodes, note))
        else:
            named = ", ".join(through)
            note = f"nothing decides how the current divides between {named}; the smallest was taken."
            said.append(Undetermined("current", through, note))
    return tuple(said)


def _contradiction(layout: Layout, owners: Sequence[str]) -> InputError:
    nodes = [name for name in owners if name in layout.number]
    elements = [name for name in owners if name not in layout.number]
    if not elements:
        elements = [name for name, ends in layout.ends.items() if not {*ends}.isdisjoint(nodes)]
    named = [*elements, *(f"node {node}" for node in nodes)]
    around = sorted({end for name in elements for end in layout.ends[name]} - {EARTH})
    at = f" at {', '.join(around)}" if around else ""
    return InputError(
        "CIR-05",
        named[0],
        f"contradicts the rest of the network{at}: {', '.join(named)} cannot all hold.",
        "Look for a shorted source, sources in parallel without impedance, or a current without a way back.",
    )


def _imbalance(layout: Layout, found: dict[str, complex]) -> float:
    """Return the largest sum of currents at a node as a fraction of the largest current, or of a core's rated one."""
    sums = [0j] * len(layout.number)
    # the rated current stands in where hardly any flows: an idle network has nothing but rounding in it
    rated = [core.kva * 1e3 / winding.rated_v for core in layout.network.cores for winding in core.windings]
    largest = max(rated, default=0.0)
    index, ends, sources = layout.number, layout.ends, layout.sources
    for name, current in found.items():
        largest = max(largest, abs(current))
        start, end = ends[name]
        if name in sources:
            current = -current
        sums[index[start]] += current
        sums[index[end]] -= current
    sums[EARTH_NUMBER] = 0j
    return max(map(abs, sums)) / largest if largest else 0.0


def _solution(layout: Layout, harmonic: int, answer: _Answer) -> Solution:
    return Solution(
        harmonic,
        {node: answer.x[at] for node, at in layout.number.items() if at != EARTH_NUMBER},
        answer.currents_a,
        layout.ends,
        layout.sources,
        answer.residual,
        answer.condition,
        answer.open_,
        layout.open_nodes,
        answer.form,
        answer.iterations,
    )
