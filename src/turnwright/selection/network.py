"""The circuit of a case: supply, transformer, loads, as the solver takes them."""

from __future__ import annotations

from math import acos, degrees, inf, sqrt

from turnwright.arrangements import Proposal
from turnwright.circuit import CurrentLoad, Impedance, Network, Source1, Source3, supply1, supply3
from turnwright.demand import LoadDemand, LoadPicture
from turnwright.model.case import Case, CaseSupply
from turnwright.model.unit import Impedance as UnitImpedance
from turnwright.quantities import VoltageSystem

SUPPLY_NODES = ("H1", "H2", "H3")
LINE_NODES = {"A": "X1", "B": "X2", "C": "X3"}
NEUTRAL = "X0"
EARTH = "0"


def supply_source(supply: CaseSupply, fault_a: float | None) -> Source3 | Source1:
    """Return the supply; without a fault current as an ideal source."""
    current_a = inf if fault_a is None else float(fault_a)
    volts, ratio = float(supply.line_v), float(supply.x_over_r)
    if supply.system.phases == 3:
        return supply3("SUP", SUPPLY_NODES, volts, current_a, ratio)
    return supply1("SUP", SUPPLY_NODES[0], SUPPLY_NODES[1], volts, current_a, ratio)


def network_of(
    case: Case, proposal: Proposal, kva: float, z: UnitImpedance, fault_a: float | None
) -> Network:
    """Return supply and transformer, the neutral of the output bonded to earth where it has one."""
    connection = proposal.build(float(kva), float(z.resistance_pct), float(z.reactance_pct))
    bond: tuple[Impedance, ...] = ()
    if proposal.output.neutral_v is not None:
        bond = (Impedance("bond", NEUTRAL, EARTH, 0.0, role="bond"),)
    return Network(
        frequency_hz=float(case.supply.frequency_hz),
        sources=(supply_source(case.supply, fault_a),),
        cores=connection.cores,
        impedances=bond,
    )


def load_elements(
    case: Case, proposal: Proposal, picture: LoadPicture, unknown_lag_deg: float, on_value: bool
) -> tuple[CurrentLoad, ...]:
    """Return the loads with growth as constant currents, each behind its own voltage by its own angle.

    unknown_lag_deg : angle of loads whose power factor is not known [deg]
    on_value        : duty loads while they are on, else by their rms value
    """
    growth = 1 + float(case.choices.growth_pct) / 100
    currents: dict[tuple[str, str, float], float] = {}
    for index in picture.counted:
        demand = picture.loads[index]
        lag_deg = unknown_lag_deg if demand.power_factor is None else degrees(acos(demand.power_factor))
        for start, end, share in _places(proposal.output, demand, picture):
            amps = share * growth * _piece_a(demand, on_value)
            currents[start, end, lag_deg] = currents.get((start, end, lag_deg), 0.0) + amps
    return tuple(
        CurrentLoad(f"load {n}", start, end, amps, lag_deg)
        for n, ((start, end, lag_deg), amps) in enumerate(currents.items(), 1)
    )


def _piece_a(demand: LoadDemand, on_value: bool) -> float:
    return float(demand.on_current_a if on_value else demand.current_a)


def _places(output: VoltageSystem, demand: LoadDemand, picture: LoadPicture) -> list[tuple[str, str, float]]:
    """Where the pieces of a load are connected: (from, to, pieces that run there)."""
    running = _running_pieces(demand)
    if demand.place == "three-phase":
        if output.neutral_v is not None and not output.high_leg:
            return [(node, NEUTRAL, running) for node in LINE_NODES.values()]
        pairs = (("X1", "X2"), ("X2", "X3"), ("X3", "X1"))
        return [(start, end, running / sqrt(3)) for start, end in pairs]
    placed = [p for p in picture.placements if p.load == demand.index]
    if not placed:
        return [("X1", "X2", running)]
    share = running / sum(p.pieces for p in placed)
    return [(*_ends(p.lines), p.pieces * share) for p in placed]


def _running_pieces(demand: LoadDemand) -> float:
    """Pieces times demand factor: what runs over what one piece draws."""
    return demand.running_kva / demand.kva if demand.kva else 0.0


def _ends(lines: str) -> tuple[str, str]:
    start = LINE_NODES[lines[0]]
    return (start, LINE_NODES[lines[1]]) if len(lines) == 2 else (start, NEUTRAL)
