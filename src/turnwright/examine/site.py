"""Supply, conductors, unit and bus as one circuit, with the names of its nodes."""

from __future__ import annotations

from collections.abc import Container

from msgspec import Struct
from msgspec.structs import replace

from turnwright.circuit import EARTH, CurrentLoad, Impedance, Network, Solution, Source1, Source3
from turnwright.circuit.connections import Connection
from turnwright.circuit.studies.unbalance import rated_currents_a
from turnwright.examine.runs import NOT_COUNTED, Runs
from turnwright.examine.subject import Subject
from turnwright.examine.words import LINES
from turnwright.model.unit import Impedance as UnitImpedance
from turnwright.selection.currents import full_load
from turnwright.selection.network import LINE_NODES, NEUTRAL, SUPPLY_NODES, network_of

PANEL_NODES = ("S1", "S2", "S3")
BUS_NODES = ("B1", "B2", "B3")
BUS_NEUTRAL, BUS_EARTH = "BN", "BG"
NEUTRAL_BRANCH = "neutral of the run"
INSULATION_OHM = 1e6

Nodes = tuple[str, ...]


class Site(Struct, frozen=True, kw_only=True):
    """A unit between its supply and its load.

    supply       where the fault current of the supply is known; primary: terminals of the unit
    secondary    terminals of the unit; bus: end of the secondary run, the same where no run is counted
    neutral      at the unit; bus_neutral and bus_earth at the end of the run; None: there is none
    """

    network: Network
    connection: Connection
    supply: Nodes
    primary: Nodes
    secondary: Nodes
    bus: Nodes
    neutral: str | None
    bus_neutral: str | None
    bus_earth: str | None

    @property
    def has_run(self) -> bool:
        """The secondary conductors are part of the circuit."""
        return self.bus != self.secondary

    @property
    def supply_branches(self) -> tuple[str, ...]:
        """The branches of the supply's lines, current out of it."""
        names = (f"SUP:{node}" for node in self.supply)
        return tuple(names)


def site_of(
    subject: Subject,
    z: UnitImpedance,
    fault_a: float | None,
    runs: Runs = NOT_COUNTED,
    *,
    kva: float | None = None,
) -> Site:
    """Return the circuit of a unit.

    z        impedance of the unit, percent
    fault_a  fault current of the supply; None: an infinite source [A]
    runs     conductors counted
    kva      another rated power than that of the unit [kVA]
    """
    proposal = subject.sized.proposal
    size = float(subject.sized.unit.kva if kva is None else kva)
    network = network_of(subject.case, proposal, size, z, fault_a)
    connection = proposal.build(size, float(z.resistance_pct), float(z.reactance_pct))
    lines = 3 if subject.case.supply.system.phases == 3 else 2
    supply: Nodes = SUPPLY_NODES[:lines]
    if runs.primary_ohm is not None:
        network = replace(network, sources=tuple(_moved(source) for source in network.sources))
        network = network.with_(
            impedances=_run("primary", PANEL_NODES[:lines], SUPPLY_NODES[:lines], runs.primary_ohm)
        )
        supply = PANEL_NODES[:lines]
    nodes = proposal.nodes or LINE_NODES
    secondary = tuple(nodes[letter] for letter in LINES[: 3 if proposal.phases == 3 else 2])
    neutral = NEUTRAL if proposal.output.neutral_v is not None else None
    bus, bus_neutral, bus_earth, after = _bus(secondary, neutral, runs, earthed=subject.earthed)
    return Site(
        network=network.with_(impedances=after),
        connection=connection,
        supply=supply,
        primary=SUPPLY_NODES[:lines],
        secondary=secondary,
        bus=bus,
        neutral=neutral,
        bus_neutral=bus_neutral,
        bus_earth=bus_earth,
    )


def _moved(source: Source3 | Source1) -> Source3 | Source1:
    """The supply at the panel, where the primary conductors begin."""
    panel = dict(zip(SUPPLY_NODES, PANEL_NODES, strict=True))
    if isinstance(source, Source3):
        return replace(source, nodes=PANEL_NODES)
    return replace(
        source, node=panel.get(source.node, source.node), other=panel.get(source.other, source.other)
    )


def _run(name: str, starts: Nodes, ends: Nodes, ohm: complex) -> tuple[Impedance, ...]:
    return tuple(
        Impedance(f"{name}_{number}", start, end, ohm.real, ohm.imag, "conductor")
        for number, (start, end) in enumerate(zip(starts, ends, strict=True), 1)
    )


def _bus(
    secondary: Nodes, neutral: str | None, runs: Runs, *, earthed: bool
) -> tuple[Nodes, str | None, str | None, tuple[Impedance, ...]]:
    """Return the nodes at the end of the secondary run, and its conductors."""
    found: tuple[Impedance, ...] = ()
    bus, bus_neutral, bus_earth = secondary, neutral, EARTH if earthed else None
    if runs.secondary_ohm is not None:
        bus = BUS_NODES[: len(secondary)]
        found += _run("secondary", secondary, bus, runs.secondary_ohm)
        if earthed and runs.earth_ohm is not None:
            bus_earth = BUS_EARTH
            # the grounding conductor carries nothing before a fault: the insulation joins it to what is supplied
            found += (
                Impedance("earth", BUS_EARTH, EARTH, runs.earth_ohm.real, runs.earth_ohm.imag, "conductor"),
                Impedance("insulation", bus[0], BUS_EARTH, INSULATION_OHM, role="insulation"),
            )
    if neutral is not None:
        bus_neutral = BUS_NEUTRAL
        ohm = runs.neutral_ohm if runs.secondary_ohm is not None and runs.neutral_ohm is not None else 0j
        found += (Impedance(NEUTRAL_BRANCH, BUS_NEUTRAL, neutral, ohm.real, ohm.imag, "conductor"),)
    return bus, bus_neutral, bus_earth, found


def at_bus(site: Site, loads: tuple[CurrentLoad, ...]) -> tuple[CurrentLoad, ...]:
    """Return loads described at the terminals of the unit, connected at the bus."""
    moved = dict(zip(site.secondary, site.bus, strict=True))
    if site.neutral is not None and site.bus_neutral is not None:
        moved[site.neutral] = site.bus_neutral
    return tuple(
        replace(load, start=moved.get(load.start, load.start), end=moved.get(load.end, load.end))
        for load in loads
    )


def drawn_a(site: Site, solution: Solution, names: Container[str]) -> tuple[complex, ...]:
    """Return what loads draw from each line of the bus. [A]

    names  of the loads
    """
    of_node = dict.fromkeys(site.bus, 0j)
    for name, current in solution.currents_a.items():
        if name in names:
            start, end = solution.ends[name]
            if start in of_node:
                of_node[start] += current
            if end in of_node:
                of_node[end] -= current
    return tuple(of_node.values())


def rated_windings_a(site: Site) -> dict[str, float]:
    """Return the rated current of every winding, by its branch. [A]"""
    return {
        f"{core.name}.w{number}": amperes
        for core in site.connection.cores
        for number, amperes in enumerate(rated_currents_a(core), 1)
    }


def weak_supply_a(subject: Subject, kva: float | None = None) -> float:
    """Return the fault current of the supply for dips and drops: its low end, a weak one where nothing is known. [A]

    kva  rated power the weak supply is judged by; None: that of the unit [kVA]
    """
    supply = subject.case.supply
    if supply.fault_current_low_a is not None:
        return supply.fault_current_low_a
    share = 1.0 if kva is None else kva / float(subject.sized.unit.kva)
    weak_kva = subject.passes_kva * share * subject.practice("weak_source_multiple")
    return full_load(supply.system.phases or 3)(kva=weak_kva, voltage_v=supply.line_v)
