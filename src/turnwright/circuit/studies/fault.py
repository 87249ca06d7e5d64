"""Short circuits of every kind at any nodes, solved in the network with the fault in it.

Loads of constant power or current are left out; impedances stay. Motor contribution is added to the current
by size.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from math import atan, cos, exp, inf, isfinite, pi, sin, sqrt
from typing import Literal

from msgspec import Struct

from turnwright.circuit.network import EARTH, Impedance, Network, Source, Source1, Source3
from turnwright.circuit.solution import Solution
from turnwright.circuit.solve import solve
from turnwright.errors import InputError
from turnwright.working import formula

Kind = Literal["three-phase", "line-line", "line-ground", "line-line-ground", "half winding"]
NODES_OF: dict[str, int] = {
    "three-phase": 3,
    "line-line": 2,
    "line-ground": 1,
    "line-line-ground": 2,
    "half winding": 2,
}
# a path of more than this is none: what flows in it is rounding
NO_PATH_OHM = 1e9


class Fault(Struct, frozen=True):
    """One short circuit.

    current_a        largest symmetrical rms current at the fault, from the network alone
    total_a          with the motor contribution
    earth_a          current into earth at the fault
    x_over_r         of the impedance seen from the fault; None where no current flows
    peak_factor      largest instantaneous value of the first half cycle over the rms value; None likewise
    peak_a           that value with the motor contribution
    supply_lines_a   source terminal -> rms current
    windings_a       winding -> rms current
    """

    kind: Kind
    nodes: tuple[str, ...]
    current_a: float
    total_a: float
    earth_a: float
    x_over_r: float | None
    peak_factor: float | None
    peak_a: float
    supply_lines_a: dict[str, float]
    windings_a: dict[str, float]
    solution: Solution


def fault(
    network: Network,
    kind: Kind,
    nodes: Sequence[str],
    *,
    earth: str = EARTH,
    r_ohm: float = 0.0,
    voltage_factor: float = 1.0,
    motor_contribution_a: float = 0.0,
) -> Fault:
    """Return one short circuit, currents in A.

    nodes           three for three-phase (clear of earth), two for line-line and line-line-ground, one for
                    line-ground; line and tap for half winding
    earth           where the current returns in a fault to ground
    r_ohm           resistance of the fault, in each of its branches
    voltage_factor  by which the voltages of the sources are raised (the factor c of IEC 60909-0)

    Raises:
        InputError: CIR-13, a kind or number of nodes that does not exist; otherwise as `solve`: CIR-05 where
            nothing limits the current.

    Example:
        >>> supply = Source1("SUP", "A", "0", 240.0, 0.01 + 0.02j)
        >>> found = fault(Network(60.0, (supply,)), "line-ground", ["A"])
        >>> round(found.current_a), round(found.x_over_r, 6)
        (10733, 2.0)
    """
    nodes = tuple(nodes)
    _check(kind, nodes, voltage_factor, motor_contribution_a)
    names = {each.name for each in network.impedances}
    tag = "fault"
    while any(name.startswith(tag) for name in names):
        tag += "'"
    base = Network(
        network.frequency_hz,
        tuple(_raised(source, voltage_factor) for source in network.sources),
        network.cores,
        network.impedances,
    )
    after = solve(base.with_(impedances=_branches(tag, kind, nodes, earth, r_ohm)))
    currents = [abs(i) for name, i in after.currents_a.items() if name.startswith(tag)]
    z = _seen(solve(base), after, tag, kind, nodes, earth)
    current = max(currents)
    ratio = factor = None
    if z is not None:
        net_r = max(z.real - r_ohm, 0.0)
        ratio = z.imag / net_r if net_r * NO_PATH_OHM > abs(z) else inf
        factor = peak_factor(max(ratio, 0.0))
    total = current + motor_contribution_a
    return Fault(
        kind,
        nodes,
        current,
        total,
        abs(sum([i for name, i in after.currents_a.items() if name.startswith(tag)]))
        if kind in ("line-ground", "line-line-ground")
        else 0.0,
        ratio,
        factor,
        total * (factor or 0.0),
        {name: abs(after.currents_a[name]) for name in after.sources},
        {name: abs(i) for name, i in after.currents_a.items() if name.rpartition(".w")[2].isdigit()},
        after,
    )


def _check(kind: Kind, nodes: tuple[str, ...], voltage_factor: float, motor_contribution_a: float) -> None:
    if NODES_OF.get(kind) != len(nodes):
        raise InputError(
            "CIR-13", "fault", f"a {kind} fault at {len(nodes)} nodes is not known.", f"Known: {NODES_OF}."
        )
    _above_zero(voltage_factor=voltage_factor)
    if not (isfinite(motor_contribution_a) and motor_contribution_a >= 0):
        raise InputError(
            "CIR-13", "motors", f"they add {motor_contribution_a} A.", "Give a number from 0 up."
        )


def faults(
    network: Network,
    lines: Sequence[str],
    *,
    earth: str | None = EARTH,
    voltage_factor: float = 1.0,
    motor_contribution_a: float = 0.0,
) -> tuple[Fault, ...]:
    """Return every bolted short circuit between two or three lines and earth, the largest current first.

    earth  None where there is no conductor to short to; for a three-wire unit the node of its tap

    Raises:
        InputError: as `fault`.
    """
    kinds: list[tuple[Kind, tuple[str, ...]]] = []
    if len(lines) == NODES_OF["three-phase"]:
        kinds.append(("three-phase", tuple(lines)))
    pairs = tuple(combinations(lines, 2))
    kinds += [("line-line", pair) for pair in pairs]
    if earth is not None:
        kinds += [("line-ground", (line,)) for line in lines]
        kinds += [("line-line-ground", pair) for pair in pairs]
    found = [
        fault(
            network,
            kind,
            nodes,
            earth=earth or EARTH,
            voltage_factor=voltage_factor,
            motor_contribution_a=motor_contribution_a,
        )
        for kind, nodes in kinds
    ]
    return tuple(sorted(found, key=lambda each: -each.total_a))


def _branches(tag: str, kind: Kind, nodes: tuple[str, ...], earth: str, r_ohm: float) -> list[Impedance]:
    if kind == "three-phase":
        ends = [(node, f"{tag}.star") for node in nodes]
    elif kind in ("line-line", "half winding"):
        ends = [(nodes[0], nodes[1])]
    else:
        ends = [(node, earth) for node in nodes]
    return [Impedance(f"{tag}.{k}", a, b, r_ohm, 0.0, "fault") for k, (a, b) in enumerate(ends, 1)]


def _seen(
    before: Solution, after: Solution, tag: str, kind: Kind, nodes: tuple[str, ...], earth: str
) -> complex | None:
    """Return the impedance that the fault sees, from the voltage before it and the current in it."""
    first = after.currents_a[f"{tag}.1"]
    if len(nodes) == 1:
        volts = before.voltage_v(nodes[0], earth)
    else:
        volts = before.voltage_v(nodes[0], nodes[1])
        if kind in ("three-phase", "line-line-ground"):
            first -= after.currents_a[f"{tag}.2"]
    return volts / first if abs(first) * NO_PATH_OHM > abs(volts) else None


def _raised(source: Source, factor: float) -> Source:
    if isinstance(source, Source3):
        return Source3(
            source.name,
            source.nodes,
            source.line_v * factor,
            source.z1_ohm,
            source.z0_ohm,
            source.angle_deg,
            source.star,
        )
    return Source1(
        source.name, source.node, source.other, source.voltage_v * factor, source.z_ohm, source.angle_deg
    )


@formula("√2 · max over t of [sin(ωt - φ) + sin φ · e^(-ωt / tan φ)], φ = atan(X/R)", "", "circuit theory")
def peak_factor(x_over_r: float) -> float:
    """Return the largest instantaneous fault current over its symmetrical rms value. [-]

    The circuit closes at voltage zero, the worst moment. Where the slope is zero, cos(ωt - φ) = cos φ ·
    e^(-ωt / tan φ), between a quarter and half a cycle. Slightly above √2 (1 + e^(-π R/X)).

    x_over_r : of the fault loop, not below 0; infinite without resistance [-]
    Source: circuit theory: the current of a loop of R and L after it is closed

    Raises:
        InputError: CIR-13, a ratio below zero.

    Example:
        >>> [round(peak_factor(ratio), 3) for ratio in (0.0, 1.0, 6.591)]
        [1.414, 1.512, 2.309]
    """
    if not x_over_r >= 0:
        raise InputError("CIR-13", "x_over_r", f"it is {x_over_r}.", "It must not be below zero.")
    if x_over_r == 0:
        return sqrt(2)
    if not isfinite(x_over_r):
        return 2 * sqrt(2)
    phi = atan(x_over_r)

    def slope(angle: float) -> float:
        return cos(angle - phi) - cos(phi) * exp(-angle / x_over_r)

    low, high = pi / 2, pi
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if slope(middle) > 0 else (low, middle)
    return sqrt(2) * (sin(low - phi) + sin(phi) * exp(-low / x_over_r))


@formula("I_fl / (Z / 100)", "A", "impedance voltage by its definition")
def infinite_bus_fault_a(full_load_a: float, impedance_pct: float) -> float:
    """Return the fault current of a unit behind an infinite source. [A]

    full_load_a   : rated current of the unit on the faulted side, above 0 [A]
    impedance_pct : impedance voltage of the unit, above 0 [%]
    Source: impedance voltage by its definition

    Raises:
        InputError: CIR-13, a value that is not above zero.

    Example:
        >>> infinite_bus_fault_a(200.0, 4.0)
        5000.0
    """
    _above_zero(full_load_a=full_load_a, impedance_pct=impedance_pct)
    return full_load_a / (impedance_pct / 100)


@formula("c · V / (√3 · √(R² + X²))", "A", "Ohm's law per phase; c of IEC 60909-0")
def three_phase_fault_a(line_v: float, r_ohm: float, x_ohm: float, voltage_factor: float) -> float:
    """Return the three-phase fault current behind an impedance per phase. [A]

    line_v         : nominal voltage between lines, above 0 [V]
    r_ohm          : resistance of one phase from source to fault [ohm]
    x_ohm          : reactance of one phase; not both 0 [ohm]
    voltage_factor : c, by which the voltage of the source is raised or lowered, above 0 [-]
    Source: Ohm's law per phase; c of IEC 60909-0

    Raises:
        InputError: CIR-13, a value that is not above zero.

    Example:
        >>> round(three_phase_fault_a(208.0, 0.006, 0.008, 1.0))
        12009
    """
    _above_zero(line_v=line_v, impedance_ohm=abs(complex(r_ohm, x_ohm)), voltage_factor=voltage_factor)
    return voltage_factor * line_v / (sqrt(3) * sqrt(r_ohm**2 + x_ohm**2))


@formula("c · √3 · V / |2 Z1 + Z0 + 3 R_f|", "A", "symmetrical components; c of IEC 60909-0")
def line_ground_fault_a(
    line_v: float,
    r1_ohm: float,
    x1_ohm: float,
    r0_ohm: float,
    x0_ohm: float,
    fault_ohm: float,
    voltage_factor: float,
) -> float:
    """Return the current of a fault from one line to earth. [A]

    The negative sequence is taken equal to the positive one.

    line_v         : nominal voltage between lines, above 0 [V]
    r1_ohm, x1_ohm : positive-sequence impedance from source to fault [ohm]
    r0_ohm, x0_ohm : zero-sequence impedance [ohm]
    fault_ohm      : resistance at the fault [ohm]
    voltage_factor : c, as in `three_phase_fault_a` [-]
    Source: symmetrical components; c of IEC 60909-0

    Raises:
        InputError: CIR-13, a value that is not above zero.

    Example:
        >>> round(line_ground_fault_a(208.0, 0.006, 0.008, 0.006, 0.008, 0.0, 1.0))
        12009
    """
    z = complex(2 * r1_ohm + r0_ohm + 3 * fault_ohm, 2 * x1_ohm + x0_ohm)
    _above_zero(line_v=line_v, impedance_ohm=abs(z), voltage_factor=voltage_factor)
    return voltage_factor * sqrt(3) * line_v / abs(z)


@formula("multiple · I_motors", "A", "motors feed back about their starting current for the first cycles")
def motor_contribution_a(motor_full_load_a: float, multiple: float) -> float:
    """Return what running motors add to a fault in its first cycle. [A]

    motor_full_load_a : full-load current of the motors that run together, not below 0 [A]
    multiple          : fault current of a running motor over its full-load current, not below 0 [-]
    Source: motors feed back about their starting current for the first cycles; the multiple carries it

    Raises:
        InputError: CIR-13, a value below zero or without end.

    Example:
        >>> motor_contribution_a(100.0, 4.0)
        400.0
    """
    if not (motor_full_load_a >= 0 and multiple >= 0 and isfinite(motor_full_load_a * multiple)):
        raise InputError(
            "CIR-13", "motors", f"{motor_full_load_a} A times {multiple}.", "Neither is below zero."
        )
    return motor_full_load_a * multiple


def _above_zero(**values: float) -> None:
    for name, value in values.items():
        if not (isfinite(value) and value > 0):
            raise InputError("CIR-13", name, f"it is {value}.", "It must be a number above zero.")
