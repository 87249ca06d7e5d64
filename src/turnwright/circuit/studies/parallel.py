"""Units in parallel: how a load divides, what circulates without one, and when joining them is next to a
short.

Each unit is its no-load voltage and impedance on the secondary side (one phase of it); the common bus is
solved as the network it is. Unequal ratios, taps, impedances and displacements are all in the voltages and
impedances.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

from msgspec import Struct

from turnwright.circuit.elements import load as load_of
from turnwright.circuit.network import EARTH, Network, Source1
from turnwright.circuit.solve import solve
from turnwright.errors import InputError

BUS = "bus"


class ParallelUnit(Struct, frozen=True):
    """One unit: its kVA, no-load secondary voltage at the primary voltage and tap in use, and impedance.

    secondary_v       line to line (single-phase: between its terminals)
    displacement_deg  by how much its secondary lags the primary
    """

    name: str
    kva: float
    secondary_v: float
    resistance_pct: float
    reactance_pct: float
    displacement_deg: float = 0.0


class Share(Struct, frozen=True):
    """What one unit carries.

    circulating_a    current without load, circulating_pct the same over its rated current
    load_kva         P + jQ with the load, at its terminals
    load_pct         size of its current with the load over its rated current
    """

    name: str
    circulating_a: float
    circulating_pct: float
    load_kva: complex
    load_a: float
    load_pct: float


class ParallelOperation(Struct, frozen=True):
    """Units joined at one bus.

    no_load_v, loaded_v   voltage of the bus, line to line
    near_short            without load already, a unit carries more than its rated current
    limit_kva             largest load current of this power factor at which no unit exceeds its rated one, as
                          kVA at the bus voltage asked for; 0.0 near a short
    limiting              the unit that reaches it first
    """

    no_load_v: float
    loaded_v: float
    shares: tuple[Share, ...]
    near_short: bool
    limit_kva: float
    limiting: str


def parallel(
    units: Sequence[ParallelUnit], load_kva: float, power_factor: float, bus_v: float, *, phases: int = 3
) -> ParallelOperation:
    """Return how units share a constant-impedance load of `load_kva` at `bus_v`.

    Raises:
        InputError: CIR-13, fewer than two units or a unit without impedance.

    Example:
        >>> units = [ParallelUnit("A", 250.0, 208.0, 0.0, 2.4), ParallelUnit("B", 500.0, 208.0, 0.0, 3.1)]
        >>> found = parallel(units, 600.0, 0.8, 208.0)
        >>> round(found.shares[0].load_kva.real / found.shares[1].load_kva.real, 4), found.limiting
        (0.6458, 'A')
    """
    _check(units, phases)
    to_phase = sqrt(3) if phases == 3 else 1.0
    sources = tuple(
        Source1(
            unit.name,
            BUS,
            EARTH,
            unit.secondary_v / to_phase,
            complex(unit.resistance_pct, unit.reactance_pct) / 100 * unit.secondary_v**2 / (unit.kva * 1e3),
            -unit.displacement_deg,
        )
        for unit in units
    )
    empty = Network(50.0, sources)
    no_load = solve(empty)
    loaded = solve(
        empty.with_(
            impedances=[load_of("load", BUS, EARTH, load_kva / phases, power_factor, bus_v / to_phase)]
        )
    )
    shares = []
    for unit in units:
        branch = f"{unit.name}:{BUS}"
        rated = unit.kva * 1e3 / (phases * unit.secondary_v / to_phase)
        idle, busy = abs(no_load.currents_a[branch]), abs(loaded.currents_a[branch])
        power = loaded.power_va(branch) * phases / 1e3
        shares.append(Share(unit.name, idle, 100 * idle / rated, power, busy, 100 * busy / rated))
    near_short = any(share.circulating_pct > 100 for share in shares)
    limit, limiting = _limit(empty, units, power_factor, bus_v, phases, to_phase)
    return ParallelOperation(
        abs(no_load.voltage_v(BUS)) * to_phase,
        abs(loaded.voltage_v(BUS)) * to_phase,
        tuple(shares),
        near_short,
        limit,
        limiting,
    )


def _check(units: Sequence[ParallelUnit], phases: int) -> None:
    if len(units) < 2:
        raise InputError("CIR-13", "units", f"{len(units)} unit is not in parallel.", "Give at least two.")
    if phases not in (1, 3):
        raise InputError("CIR-13", "phases", f"{phases} phases are not known.", "Write 1 or 3.")
    for unit in units:
        if not (
            unit.kva > 0 and unit.secondary_v > 0 and unit.resistance_pct >= 0 and unit.reactance_pct >= 0
        ):
            raise InputError(
                "CIR-13", unit.name, "a value is not above zero.", "Check kVA, voltage, impedance."
            )
        if unit.resistance_pct == unit.reactance_pct == 0:
            raise InputError("CIR-13", unit.name, "has no impedance.", "Give its resistance and reactance.")


def _limit(
    empty: Network,
    units: Sequence[ParallelUnit],
    power_factor: float,
    bus_v: float,
    phases: int,
    to_phase: float,
) -> tuple[float, str]:
    """Return the largest load current, as kVA at `bus_v`, without a unit above its rated one, and which stops it."""

    def at(kva: float) -> tuple[float, str, float]:
        loads = [load_of("load", BUS, EARTH, kva / phases, power_factor, bus_v / to_phase)] if kva else []
        found = solve(empty.with_(impedances=loads))
        most, name = max(
            (
                abs(found.currents_a[f"{u.name}:{BUS}"]) * phases * u.secondary_v / to_phase / u.kva / 1e3,
                u.name,
            )
            for u in units
        )
        drawn = abs(found.currents_a["load"]) if kva else 0.0
        return most, name, drawn * phases * bus_v / to_phase / 1e3

    low, high = 0.0, 2.0 * sum(unit.kva for unit in units)
    if at(low)[0] > 1:
        return 0.0, at(low)[1]
    # units of more than 100 % impedance never reach their rated current
    while at(high)[0] <= 1 and high < 1e9 * units[0].kva:
        low, high = high, 2 * high
    while high - low > 1e-10 * high:
        middle = (low + high) / 2
        low, high = (middle, high) if at(middle)[0] <= 1 else (low, middle)
    return at(low)[2], at(high)[1]
