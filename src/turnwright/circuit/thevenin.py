"""What a network looks like from two of its nodes."""

from __future__ import annotations

from typing import NamedTuple

from turnwright.circuit.network import EARTH, Injection, Network, Source, Source1, Source3
from turnwright.circuit.solve import solve
from turnwright.errors import InputError


class Port(NamedTuple):
    """Open-circuit voltage and internal impedance between two nodes."""

    voltage_v: complex
    z_ohm: complex


def thevenin(network: Network, node: str, other: str = EARTH) -> Port:
    """Return voltage, V, and impedance, ohm, of a network seen from two of its nodes at its own frequency.

    Z is the voltage that 1 A driven in at `node` and out at `other` makes with the sources at 0 V.

    Raises:
        InputError: CIR-08, no such node; CIR-13, loads of constant power or current, which have no impedance;
            otherwise as `solve`.

    Example:
        >>> from turnwright.circuit.network import Impedance
        >>> supply = Source1("SUP", "A", "0", 240.0, 1 + 0j)
        >>> port = thevenin(Network(60.0, (supply,), (), (Impedance("z", "A", "B", 2.0),)), "B")
        >>> abs(port.voltage_v), port.z_ohm
        (240.0, (3+0j))
    """
    refuse_loads(network)
    voltage = solve(network).voltage_v(node, other)
    probe = Injection("probe", other, node, 1, 1.0, 0.0)
    while any(probe.name == each.name for each in network.impedances):
        probe = Injection(probe.name + "'", other, node, 1, 1.0, 0.0)
    return Port(voltage, solve(silent(network).with_(injections=[probe])).voltage_v(node, other))


def refuse_loads(network: Network) -> None:
    """Raise InputError CIR-13 for loads of constant power or current."""
    if network.loads:
        raise InputError(
            "CIR-13",
            network.loads[0].name,
            "a load of constant power or current has no fixed impedance.",
            "Describe it as a constant impedance.",
        )


def silent(network: Network) -> Network:
    """Return the network with its sources at 0 V and without drawn currents."""
    return Network(
        network.frequency_hz, tuple(map(_silent, network.sources)), network.cores, network.impedances
    )


def _silent(source: Source) -> Source:
    if isinstance(source, Source3):
        return Source3(
            source.name, source.nodes, 0.0, source.z1_ohm, source.z0_ohm, source.angle_deg, source.star
        )
    return Source1(source.name, source.node, source.other, 0.0, source.z_ohm, source.angle_deg)
