"""The circuit of a case: supply, transformer, loads, as the solver takes them."""

from __future__ import annotations

from cmath import phase, rect
from math import acos, degrees, inf, radians, sqrt

from turnwright.arrangements import Proposal
from turnwright.circuit import CurrentLoad, Impedance, Network, Source1, Source3, supply1, supply3
from turnwright.circuit.connections import Connection
from turnwright.demand import LoadDemand, LoadPicture, Placement
from turnwright.model.case import Case, CaseSupply
from turnwright.model.unit import Impedance as UnitImpedance

SUPPLY_NODES = ("H1", "H2", "H3")
LINE_NODES = {"A": "X1", "B": "X2", "C": "X3"}
NEUTRAL = "X0"
FED_FROM_NEUTRAL = "N"
EARTH = "0"


def supply_source(
    supply: CaseSupply, fault_a: float | None, star: str | None = EARTH
) -> tuple[Source3 | Source1, ...]:
    """Return the supply; without a fault current as an ideal source.

    A single-phase one is two halves about the middle, which is earth: its neutral where it has one.

    star : node of the star point of a three-phase supply; None: nothing returns there
    """
    current_a = inf if fault_a is None else float(fault_a)
    volts, ratio = float(supply.line_v), float(supply.x_over_r)
    if supply.system.phases == 3:
        return (supply3("SUP", SUPPLY_NODES, volts, current_a, ratio, star=star),)
    return tuple(
        supply1("SUP", node, EARTH, volts / 2, current_a, ratio, angle_deg)
        for node, angle_deg in zip(SUPPLY_NODES[:2], (0.0, 180.0), strict=True)
    )


def network_of(
    case: Case, proposal: Proposal, kva: float, z: UnitImpedance, fault_a: float | None
) -> Network:
    """Return supply and transformer, the neutral of the output bonded to earth where it has one."""
    connection = proposal.build(float(kva), float(z.resistance_pct), float(z.reactance_pct))
    joined = links(connection)
    if FED_FROM_NEUTRAL in proposal.lines:
        joined += (Impedance("neutral", LINE_NODES["B"], EARTH, 0.0, role="line"),)
    if proposal.output.neutral_v is not None:
        joined += (Impedance("bond", NEUTRAL, EARTH, 0.0, role="bond"),)
    return Network(
        frequency_hz=float(case.supply.frequency_hz),
        sources=supply_source(case.supply, fault_a, None if proposal.shunt else EARTH),
        cores=connection.cores,
        impedances=joined,
    )


def links(connection: Connection) -> tuple[Impedance, ...]:
    """Return the lines that pass straight from the supply to the load: those that a connection shares."""
    ends = tuple(LINE_NODES.values())
    shared = connection.terminals.get("secondary") or connection.terminals["primary"]
    return tuple(
        Impedance(f"line {start} {end}", start, end, 0.0, role="line")
        for start, end in zip(shared, ends, strict=False)
        if start not in ends
    )


def load_elements(
    case: Case, proposal: Proposal, picture: LoadPicture, unknown_lag_deg: float, on_value: bool
) -> tuple[CurrentLoad, ...]:
    """Return the loads with growth as constant currents, each behind its own voltage by its own angle.

    Those between the same two nodes have one voltage, and are one load.

    unknown_lag_deg : angle of loads whose power factor is not known [deg]
    on_value        : duty loads while they are on, momentary demands in full; else by their rms value
    """
    growth = 1 + float(case.choices.growth_pct) / 100
    currents: dict[tuple[str, str], complex] = {}
    placed: dict[int, list[Placement]] = {}
    for placement in picture.placements:
        placed.setdefault(placement.load, []).append(placement)
    for index in picture.counted:
        demand = picture.loads[index]
        lag_deg = unknown_lag_deg if demand.power_factor is None else degrees(acos(demand.power_factor))
        for start, end, share in _places(proposal, demand, placed.get(demand.index, [])):
            drawn_a = rect(share * growth * _piece_a(demand, on_value), -radians(lag_deg))
            currents[start, end] = currents.get((start, end), 0j) + drawn_a
    return tuple(
        CurrentLoad(f"load {n}", start, end, abs(drawn_a), -degrees(phase(drawn_a)))
        for n, ((start, end), drawn_a) in enumerate(currents.items(), 1)
    )


def _piece_a(demand: LoadDemand, on_value: bool) -> float:
    return float(demand.peak_current_a if on_value else demand.current_a)


def _places(proposal: Proposal, demand: LoadDemand, placed: list[Placement]) -> list[tuple[str, str, float]]:
    """Where the pieces of a load are connected: (from, to, pieces that run there)."""
    output, running = proposal.output, _running_pieces(demand)
    if demand.place == "three-phase":
        if output.neutral_v is not None and not output.high_leg:
            return [(node, NEUTRAL, running) for node in LINE_NODES.values()]
        pairs = (("X1", "X2"), ("X2", "X3"), ("X3", "X1"))
        return [(start, end, running / sqrt(3)) for start, end in pairs]
    if not placed:
        return [("X1", "X2", running)]
    share = running / sum(p.pieces for p in placed)
    nodes = proposal.nodes or LINE_NODES
    return [(*_ends(p.lines, nodes), p.pieces * share) for p in placed]


def _running_pieces(demand: LoadDemand) -> float:
    """Pieces times demand factor: what runs over what one piece draws."""
    return demand.running_kva / demand.kva if demand.kva else 0.0


def _ends(lines: str, nodes: dict[str, str]) -> tuple[str, str]:
    start = nodes[lines[0]]
    return (start, nodes[lines[1]]) if len(lines) == 2 else (start, NEUTRAL)
