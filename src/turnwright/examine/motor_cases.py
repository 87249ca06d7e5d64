"""The motors of a job, what each draws by every way of starting, and the solved start."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from turnwright.circuit import CurrentLoad
from turnwright.circuit.studies.motor_start import MotorStart, dip_pct, motor_start
from turnwright.circuit.thevenin import thevenin
from turnwright.demand import LoadDemand, LoadPicture
from turnwright.errors import InputError
from turnwright.examine.runs import Runs
from turnwright.examine.site import Nodes, Site, at_bus, site_of, weak_supply_a
from turnwright.examine.subject import Subject
from turnwright.model.unit import Impedance
from turnwright.selection.network import LINE_NODES, load_elements
from turnwright.selection.starting import MULTIPLES, SHARES, hardest_start, reduced_kva
from turnwright.working import Ledger

DIRECT = "across the line"
METHODS = (DIRECT, *SHARES, *MULTIPLES)
COLLAPSE = "CIR-07"
"""Code of a circuit that cannot carry its constant loads."""


class Motor(Struct, frozen=True, kw_only=True):
    """One motor of a load.

    method  how it starts by the job; kva: what each way of starting draws at rated volts [kVA]
    """

    load: int
    label: str
    demand: LoadDemand
    method: str
    kva: dict[str, float]


class Started(Struct, frozen=True, kw_only=True):
    """A motor switched on: dips in percent of the voltage before, what is left in percent of rated.

    collapsed  no voltage is left at which the other loads could go on
    """

    kva: float
    power_factor: float
    dip_pct: float
    terminal_dip_pct: float
    supply_dip_pct: float
    left_pct: float
    current_a: float
    collapsed: bool = False


def motors_of(subject: Subject, work: Ledger) -> tuple[Motor, ...]:
    """Return the motors of the loads that run, the hardest start first."""
    picture = subject.sized.picture
    found = [
        _motor(subject, index, work)
        for index in picture.counted
        if picture.loads[index].motor_kva is not None
    ]
    return tuple(sorted(found, key=lambda motor: -motor.kva[motor.method]))


def _motor(subject: Subject, index: int, work: Ledger) -> Motor:
    load = subject.case.loads[index]
    method = load.start or ("drive" if load.kind == "drive" else DIRECT)
    return Motor(
        load=load.index,
        label=load.label,
        demand=subject.sized.picture.loads[index],
        method=method,
        kva={one: _kva(subject, index, one, method, work) for one in METHODS},
    )


def _kva(subject: Subject, index: int, method: str, own: str, work: Ledger) -> float:
    """What a motor draws at rated volts by one way of starting: stated for its own way, else by letter or usual."""
    load = subject.case.loads[index]
    stated = load.start_multiple is not None or load.start_current_a is not None
    here = work.within(f"load[{load.index}].start[{method}]")
    if method == own:
        return _start(subject, index, load.start, keep=True, work=here)
    if stated and own == DIRECT and method in SHARES:
        direct = _start(subject, index, load.start, keep=True, work=here)
        share = subject.practice(SHARES[method])
        reduced: float = here.calc("kva", reduced_kva, direct_kva=direct, share_pct=share)
        return reduced
    return _start(subject, index, method, keep=False, work=here)


def _start(subject: Subject, index: int, start: str | None, *, keep: bool, work: Ledger) -> float:
    """What selection takes for the start of one load alone.

    keep  a stated starting current counts; it belongs to the load's own way of starting
    """
    load = subject.case.loads[index]
    if keep:
        asked = load
    else:
        kind = "motor" if load.kind == "drive" else load.kind
        asked = replace(load, start=start, kind=kind, start_multiple=None, start_current_a=None)
    loads = (*subject.case.loads[:index], asked, *subject.case.loads[index + 1 :])
    alone = replace(subject.sized.picture, counted=(index,))
    found = hardest_start(replace(subject.case, loads=loads), alone, subject.regime, work)
    assert found is not None, "a load with a motor starts"
    return found.kva


def others_of(subject: Subject, motor: Motor, lag_deg: float) -> tuple[CurrentLoad, ...]:
    """Return the loads that run while one piece of a motor load starts, at the terminals of the unit."""
    picture = subject.sized.picture
    index = picture.loads.index(motor.demand)
    running = max(motor.demand.running_kva - motor.demand.kva, 0.0)
    rest = replace(motor.demand, running_kva=running)
    loads = (*picture.loads[:index], rest, *picture.loads[index + 1 :])
    left: LoadPicture = replace(picture, loads=loads)
    if not running:
        left = replace(left, counted=tuple(one for one in picture.counted if one != index))
    return load_elements(subject.case, subject.sized.proposal, left, lag_deg, on_value=True)


def nodes_of(subject: Subject, site: Site, motor: Motor) -> tuple[Nodes, float]:
    """Return where a motor is connected at the bus, and its rated volts."""
    output = subject.sized.proposal.output
    if motor.demand.place == "three-phase":
        return site.bus, float(output.line_v)
    placed = [one for one in subject.sized.picture.placements if one.load == motor.load]
    lines = placed[0].lines if placed else "AB"
    bus = dict(zip(LINE_NODES, site.bus, strict=False))
    if len(lines) == 2:
        return (bus[lines[0]], bus[lines[1]]), float(output.line_v)
    assert site.bus_neutral is not None and output.neutral_v is not None
    return (bus[lines[0]], site.bus_neutral), float(output.neutral_v)


def bus_impedance(site: Site, nodes: Nodes) -> complex:
    """Return the impedance of the bus: per phase for a three-phase motor, else of the loop. [ohm]"""
    z = thevenin(site.network, nodes[0], nodes[1]).z_ohm
    return z / 2 if len(nodes) == 3 else z


def in_line(z_ohm: complex) -> float:
    """Return the power factor of a locked rotor that is in line with an impedance: the largest dip. [-]"""
    return min(z_ohm.real / abs(z_ohm), 1.0) if z_ohm else 1.0


def start(
    subject: Subject,
    site: Site,
    motor: Motor,
    kva: float,
    power_factor: float | None,
    others: tuple[CurrentLoad, ...] = (),
) -> Started:
    """Return a motor started at the bus; without a power factor at the angle of the largest dip."""
    nodes, rated_v = nodes_of(subject, site, motor)
    angle = in_line(bus_impedance(site, nodes)) if power_factor is None else power_factor
    network = site.network.with_(loads=at_bus(site, others))
    try:
        found = motor_start(network, nodes, float(kva), angle, rated_v, supply_nodes=site.supply)
    except InputError as refused:
        if refused.code != COLLAPSE:
            raise
        return Started(
            kva=kva,
            power_factor=angle,
            dip_pct=100.0,
            terminal_dip_pct=100.0,
            supply_dip_pct=100.0,
            left_pct=0.0,
            current_a=0.0,
            collapsed=True,
        )
    return _started(site, found, kva, angle, nodes, rated_v)


def _started(
    site: Site, found: MotorStart, kva: float, angle: float, nodes: Nodes, rated_v: float
) -> Started:
    terminals = dict(zip(site.bus, site.secondary, strict=True))
    if site.bus_neutral is not None and site.neutral is not None:
        terminals[site.bus_neutral] = site.neutral
    near = tuple(terminals[node] for node in nodes)
    return Started(
        kva=kva,
        power_factor=angle,
        dip_pct=found.dip_pct,
        terminal_dip_pct=dip_pct(found.before, found.after, near),
        supply_dip_pct=found.supply_dip_pct,
        left_pct=100 * found.voltage_v / rated_v,
        current_a=found.current_a,
    )


def dip_site(
    subject: Subject, z: Impedance, runs: Runs, kva: float | None = None, supply_a: float | None = None
) -> Site:
    """Return the circuit for dips: a supply at its low end, a weak one where nothing is known."""
    return site_of(subject, z, weak_supply_a(subject, kva) if supply_a is None else supply_a, runs, kva=kva)
