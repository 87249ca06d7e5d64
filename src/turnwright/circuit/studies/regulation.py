"""Regulation: what voltage a load leaves, on the no-load voltage."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite, sqrt

from msgspec import Struct

from turnwright.circuit.network import Impedance, Network
from turnwright.circuit.solution import Solution
from turnwright.circuit.solve import solve
from turnwright.errors import InputError
from turnwright.working import formula


class Regulation(Struct, frozen=True):
    """Voltage between two nodes without and with load; `on_loaded_pct` is the same fall over the loaded voltage."""

    nodes: tuple[str, str]
    no_load_v: float
    loaded_v: float
    regulation_pct: float
    on_loaded_pct: float


def regulation(
    network: Network, loads: Iterable[str], pairs: Iterable[tuple[str, str]]
) -> tuple[tuple[Regulation, ...], Solution]:
    """Return the regulation between each pair of nodes, and the loaded solution.

    loads  names of the impedances that are switched off for the no-load voltage; loads of constant power,
           loads of constant current and drawn currents always are

    Raises:
        InputError: as `solve`; CIR-13, a name that is no impedance, or no voltage without load.
    """
    off = set(loads)
    missing = off - {z.name for z in network.impedances}
    if missing:
        raise InputError("CIR-13", min(missing), "is no impedance of the network.", "Check the name.")
    kept: list[Impedance] = [z for z in network.impedances if z.name not in off]
    empty = solve(Network(network.frequency_hz, network.sources, network.cores, tuple(kept)))
    loaded = solve(network)
    found = []
    for a, b in pairs:
        was, is_ = abs(empty.voltage_v(a, b)), abs(loaded.voltage_v(a, b))
        if was == 0 or is_ == 0:
            raise InputError("CIR-13", a, f"there is no voltage between {a} and {b}.", "Check the nodes.")
        found.append(Regulation((a, b), was, is_, 100 * (was - is_) / was, 100 * (was - is_) / is_))
    return tuple(found), loaded


@formula(
    "100 - √(100² - q²) + d; d = k (R cos φ + X sin φ), q = k (X cos φ - R sin φ)",
    "%",
    "phasor diagram of the short-circuit impedance; on the no-load voltage",
)
def regulation_pct(load_pu: float, resistance_pct: float, reactance_pct: float, power_factor: float) -> float:
    """Return the fall of voltage at a load, of the no-load voltage. [%]

    load_pu        : k, load current over rated current, not below 0 [-]
    resistance_pct : R, of the unit on its rating [%]
    reactance_pct  : X, of the unit on its rating [%]
    power_factor   : at the load; negative where leading (the voltage may then rise) [-]
    Source: phasor diagram of the short-circuit impedance

    Raises:
        InputError: CIR-13, values for which no voltage is left.

    Example:
        >>> round(regulation_pct(1.0, 1.3, 3.8, 0.75), 3), round(regulation_pct(1.0, 1.3, 3.8, -0.75), 3)
        (3.508, -1.47)
    """
    d, q = _drop(load_pu, resistance_pct, reactance_pct, power_factor)
    if abs(q) >= 100 or sqrt(100**2 - q**2) <= d:
        raise InputError("CIR-13", "load_pu", "leaves no voltage at the load.", "Check load and impedance.")
    return 100 - sqrt((100 - q) * (100 + q)) + d


@formula(
    "√((100 + d)² + q²) - 100; d = k (R cos φ + X sin φ), q = k (X cos φ - R sin φ)",
    "%",
    "phasor diagram of the short-circuit impedance; on the voltage at the load",
)
def regulation_on_loaded_pct(
    load_pu: float, resistance_pct: float, reactance_pct: float, power_factor: float
) -> float:
    """Return the rise of voltage when the load is taken off, of the voltage held at the load. [%]

    load_pu, resistance_pct, reactance_pct, power_factor : as in `regulation_pct`
    Source: phasor diagram of the short-circuit impedance

    Raises:
        InputError: CIR-13, values that cannot be.

    Example:
        >>> round(regulation_on_loaded_pct(1.0, 1.3, 3.8, 0.75), 4)
        3.5076
    """
    d, q = _drop(load_pu, resistance_pct, reactance_pct, power_factor)
    return sqrt((100 + d) ** 2 + q**2) - 100


def _drop(
    load_pu: float, resistance_pct: float, reactance_pct: float, power_factor: float
) -> tuple[float, float]:
    """Return the drops in phase with the load voltage and across it, %."""
    good = all(isfinite(v) and v >= 0 for v in (load_pu, resistance_pct, reactance_pct))
    if not (good and 0 < abs(power_factor) <= 1):
        raise InputError(
            "CIR-13",
            "regulation",
            f"load {load_pu}, R {resistance_pct} %, X {reactance_pct} %, power factor {power_factor}.",
            "None may be below zero; the power factor is at most 1 and not 0.",
        )
    across = abs(power_factor)
    reactive = sqrt((1 - across) * (1 + across)) * (1 if power_factor > 0 else -1)
    d = load_pu * (resistance_pct * across + reactance_pct * reactive)
    return d, load_pu * (reactance_pct * across - resistance_pct * reactive)
