"""What hangs together: names and values checked, nodes numbered, parts without earth or supply."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import isfinite

from msgspec import Struct

from turnwright.circuit.network import EARTH, Core, Impedance, Network, Source, Source1, Source3
from turnwright.errors import InputError

NODE_LIMIT = 400
EARTH_NUMBER = -1


class Layout(Struct, frozen=True):
    """A checked network with its nodes numbered.

    number      node -> number, from 0 up; earth is -1, one after the last when it indexes a list
    ends        branch -> its two nodes, sources reported out of the first one
    floating    parts that nothing ties to earth, each as its nodes
    open_nodes  nodes where only one branch ends
    sources     the branches that are sources
    """

    network: Network
    number: dict[str, int]
    ends: dict[str, tuple[str, str]]
    floating: tuple[tuple[str, ...], ...]
    open_nodes: tuple[str, ...]
    sources: tuple[str, ...]


def lay_out(network: Network) -> Layout:
    """Check a network and return what hangs together in it.

    Raises:
        InputError: a value, name or connection that cannot be solved (CIR-01 to CIR-04, CIR-06, CIR-09).
    """
    if not (isfinite(network.frequency_hz) and network.frequency_hz > 0):
        raise _bad_value("network", "frequency_hz", network.frequency_hz, "above zero")
    ends: dict[str, tuple[str, str]] = {}
    touched: dict[str, int] = {EARTH: 0}
    for name, start, end in branches(network):
        if name in ends:
            raise InputError(
                "CIR-02", name, "the name is used twice.", "Give each element a name of its own."
            )
        if start == end:
            raise InputError(
                "CIR-03", name, f"starts and ends at node {start}.", "Connect it between two different nodes."
            )
        ends[name] = (start, end)
        touched[start] = touched.get(start, 0) + 1
        touched[end] = touched.get(end, 0) + 1
    count = len(touched) - 1
    if count > NODE_LIMIT:
        raise InputError(
            "CIR-06",
            "network",
            f"{count} nodes are more than the {NODE_LIMIT} that are solved.",
            "Split the network.",
        )
    index = _numbered(touched)
    _check_spelling(index)
    _check_values(network)
    parts, earthed = _parts(index, ends)
    _check_supplied(network, index, ends, parts)
    loose: dict[int, list[str]] = {}
    for node, at in index.items():
        if at and parts[at] not in earthed:
            loose.setdefault(parts[at], []).append(node)
    open_nodes = tuple([node for node, times in touched.items() if times == 1 and node != EARTH])
    sources = tuple([name for source in network.sources for name, *_ in _source_branches(source)])
    numbers = {node: at - 1 for node, at in index.items()}
    return Layout(network, numbers, ends, tuple(map(tuple, loose.values())), open_nodes, sources)


def _numbered(touched: dict[str, int]) -> dict[str, int]:
    """Number the nodes, those with few branches first, so that elimination fills in little; earth is 0."""
    index = dict.fromkeys(touched, 0)
    inner = [node for node in touched if node != EARTH]
    for number, node in enumerate(sorted(inner, key=touched.__getitem__), 1):
        index[node] = number
    return index


def branches(network: Network) -> Iterator[tuple[str, str, str]]:
    """Yield each branch as (name, first node, second node), in the order of the results."""
    for source in network.sources:
        yield from _source_branches(source)
    for core in network.cores:
        for at, winding in enumerate(core.windings, 1):
            yield f"{core.name}.w{at}", winding.dot, winding.other
        if core.no_load_loss_pct or core.magnetizing_pct:
            yield f"{core.name}.shunt", core.windings[1].dot, core.windings[1].other
    for element in (*network.impedances, *network.injections, *network.loads):
        yield element.name, element.start, element.end


def _source_branches(source: Source) -> Iterator[tuple[str, str, str]]:
    if isinstance(source, Source3):
        star = star_node(source)
        for node in source.nodes:
            yield f"{source.name}:{node}", node, star
    else:
        yield f"{source.name}:{source.node}", source.node, source.other


def star_node(source: Source3) -> str:
    """Return the node of the star point, its own one when it is not brought out."""
    return f"{source.name}.star" if source.star is None else source.star


def _check_spelling(index: dict[str, int]) -> None:
    seen: dict[str, str] = {}
    for node in index:
        if not node:
            raise InputError("CIR-08", "network", "a node has an empty name.", "Give each node a name.")
        twin = seen.setdefault(node.casefold(), node)
        if twin != node:
            raise InputError(
                "CIR-08",
                "network",
                f"the nodes {twin} and {node} differ only in capital letters.",
                "Write one node in one way.",
            )


def _bad_value(where: str, field: str, value: object, allowed: str) -> InputError:
    return InputError("CIR-01", where, f"{field} is {value}.", f"It must be a number {allowed}.")


def _check_values(network: Network) -> None:
    for source in network.sources:
        _check_source(source)
    for core in network.cores:
        _check_core(core)
    for z in network.impedances:
        _check_impedance(z)
    for draw in network.injections:
        if not (isfinite(draw.current_a) and isfinite(draw.angle_deg)):
            raise _bad_value(
                draw.name, "the current", f"{draw.current_a} A at {draw.angle_deg}", "with an angle"
            )
        if draw.harmonic < 1:
            raise _bad_value(draw.name, "harmonic", draw.harmonic, "from 1 up")
    for load in network.loads:
        values = [getattr(load, field) for field in load.__struct_fields__[3:]]
        if not all(map(isfinite, values)):
            raise _bad_value(load.name, "what it draws", values, "")


def _check_source(source: Source) -> None:
    impedances: tuple[complex, ...]
    if isinstance(source, Source1):
        volts, impedances = source.voltage_v, (source.z_ohm,)
    else:
        volts, impedances = source.line_v, (source.z1_ohm, source.z0_ohm)
    if not (isfinite(volts) and volts >= 0):
        raise _bad_value(source.name, "the voltage", volts, "not below zero")
    if not isfinite(source.angle_deg):
        raise _bad_value(source.name, "angle_deg", source.angle_deg, "")
    for z in impedances:
        if not (isfinite(z.real) and isfinite(z.imag) and z.real >= 0):
            raise _bad_value(source.name, "the impedance", z, "with a resistance not below zero")


def _check_impedance(z: Impedance) -> None:
    if not (isfinite(z.r_ohm) and z.r_ohm >= 0):
        raise _bad_value(z.name, "r_ohm", z.r_ohm, "not below zero")
    if not isfinite(z.x_ohm):
        raise _bad_value(z.name, "x_ohm", z.x_ohm, "")
    if not (isfinite(z.xc_ohm) and z.xc_ohm >= 0):
        raise _bad_value(z.name, "xc_ohm", z.xc_ohm, "not below zero")


def _check_core(core: Core) -> None:
    count = len(core.windings)
    if count < 2:
        raise InputError("CIR-09", core.name, f"has {count} winding.", "A core needs at least two windings.")
    pairs = count * (count - 1) // 2
    if len(core.reactance_pct) != pairs:
        raise InputError(
            "CIR-09",
            core.name,
            f"has {count} windings and {len(core.reactance_pct)} leakage reactances.",
            f"Give one for each of the {pairs} pairs.",
        )
    if not (isfinite(core.kva) and core.kva > 0):
        raise _bad_value(core.name, "kva", core.kva, "above zero")
    for at, winding in enumerate(core.windings, 1):
        if not (isfinite(winding.rated_v) and winding.rated_v > 0):
            raise _bad_value(f"{core.name}.w{at}", "rated_v", winding.rated_v, "above zero")
        if not (isfinite(winding.resistance_pct) and winding.resistance_pct >= 0):
            raise _bad_value(f"{core.name}.w{at}", "resistance_pct", winding.resistance_pct, "not below zero")
        if winding.rated_a is not None and not (isfinite(winding.rated_a) and winding.rated_a > 0):
            raise _bad_value(f"{core.name}.w{at}", "rated_a", winding.rated_a, "above zero")
    for value in (*core.reactance_pct, core.no_load_loss_pct, core.magnetizing_pct):
        if not (isfinite(value) and value >= 0):
            raise _bad_value(core.name, "a percentage", value, "not below zero")


class _Groups:
    """Which of the numbers 0 .. count-1 belong together."""

    def __init__(self, count: int) -> None:
        self.parent = list(range(count))

    def find(self, at: int) -> int:
        parent = self.parent
        while parent[at] != at:
            parent[at] = at = parent[parent[at]]
        return at

    def join(self, first: int, second: int) -> None:
        self.parent[self.find(first)] = self.find(second)


def _parts(index: dict[str, int], ends: dict[str, tuple[str, str]]) -> tuple[list[int], set[int]]:
    """Return the part of each node (joined other than through earth) and the parts that touch earth."""
    groups = _Groups(len(index))
    at_earth = []
    for start, end in ends.values():
        a, b = index[start], index[end]
        if a and b:
            groups.join(a, b)
        else:
            at_earth.append(a or b)
    parts = [groups.find(at) for at in range(len(index))]
    return parts, {parts[at] for at in at_earth}


def _check_supplied(
    network: Network, index: dict[str, int], ends: dict[str, tuple[str, str]], parts: list[int]
) -> None:
    """Refuse a part that no source and no drawn current reaches, not even through a core."""
    groups = _Groups(len(index))
    for core in network.cores:
        first = _a_node(index, core.windings[0].dot, core.windings[0].other)
        for winding in core.windings[1:]:
            groups.join(parts[first], parts[_a_node(index, winding.dot, winding.other)])
    driven = {groups.find(parts[at]) for at in _driven(network, index)}
    if not driven:
        raise InputError("CIR-04", "network", "nothing supplies it.", "Add a source.")
    for name, (start, end) in ends.items():
        if groups.find(parts[_a_node(index, start, end)]) not in driven:
            raise InputError(
                "CIR-04",
                name,
                f"between {start} and {end} is connected to nothing that is supplied.",
                "Check the names of the nodes, or leave it out.",
            )


def _driven(network: Network, index: dict[str, int]) -> Iterable[int]:
    for source in network.sources:
        if isinstance(source, Source3):
            yield from (index[node] for node in (*source.nodes, star_node(source)) if index[node])
        else:
            yield _a_node(index, source.node, source.other)
    for draw in network.injections:
        yield _a_node(index, draw.start, draw.end)


def _a_node(index: dict[str, int], start: str, end: str) -> int:
    return index[start] or index[end]
