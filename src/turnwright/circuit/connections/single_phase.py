"""Connections of one or two single-phase units: two-wire, three-wire, open delta, high-leg delta."""

from __future__ import annotations

from turnwright.circuit.connections.connection import Connection, connection, two_windings
from turnwright.circuit.network import Core, Winding

Lines = tuple[str, str, str]


def single_phase(
    name: str,
    kva: float,
    primary_v: float,
    secondary_v: float,
    resistance_pct: float,
    reactance_pct: float,
    *,
    primary: tuple[str, str] = ("H1", "H2"),
    secondary: tuple[str, str] = ("X1", "X2"),
    no_load_loss_pct: float = 0.0,
    magnetizing_pct: float = 0.0,
) -> Connection:
    """Return a two-wire single-phase unit; its primary lies between any two nodes, two lines or line and
    neutral.

    Example:
        >>> single_phase("T1", 10.0, 480.0, 120.0, 2.0, 3.0, secondary=("X1", "X2")).terminals["primary"]
        ('H1', 'H2')
    """
    core = two_windings(
        name,
        kva,
        (*primary, primary_v),
        (*secondary, secondary_v),
        resistance_pct,
        reactance_pct,
        no_load_loss_pct,
        magnetizing_pct,
    )
    terminals: dict[str, tuple[str, ...]] = {"primary": primary, "secondary": secondary}
    return connection("single-phase", "Ii0", 0.0, [core], [("primary", "secondary")], terminals)


def tapped_core(
    name: str,
    kva: float,
    primary: tuple[str, str, float],
    secondary: tuple[str, str, str],
    full_v: float,
    resistance_pct: float,
    reactance_pct: float,
    half_reactance_ratio: float,
    no_load_loss_pct: float = 0.0,
    magnetizing_pct: float = 0.0,
    bank: str | None = None,
) -> Core:
    """Return a core whose secondary is two equal halves in series with a tap between, (end, tap, end).

    resistance_pct, reactance_pct  seen from the primary with both halves in series, on `kva`
    half_reactance_ratio           reactance from the primary to one half (on its own volts and `kva`) over
                                   that; 1.2 is common practice for interleaved halves, so the caller says so

    With x the reactance of the whole and k the ratio, the pairs are k x, k x and (4 k - 4) x, so that
    x = k x - (4 k - 4) x / 4. The resistance is half in the primary, so a half by itself has 1.5 of the
    whole.
    """
    half = half_reactance_ratio * reactance_pct
    between = 4 * (half_reactance_ratio - 1) * reactance_pct
    end, tap, other_end = secondary
    windings = (
        Winding(primary[0], primary[1], primary[2], resistance_pct / 2),
        Winding(end, tap, full_v / 2, resistance_pct, kva * 1e3 / full_v),
        Winding(tap, other_end, full_v / 2, resistance_pct, kva * 1e3 / full_v),
    )
    return Core(name, kva, windings, (half, half, between), no_load_loss_pct, magnetizing_pct, bank)


def single_phase_three_wire(
    name: str,
    kva: float,
    primary_v: float,
    secondary_v: float,
    resistance_pct: float,
    reactance_pct: float,
    half_reactance_ratio: float,
    *,
    primary: tuple[str, str] = ("H1", "H2"),
    secondary: tuple[str, str, str] = ("X1", "X0", "X2"),
    no_load_loss_pct: float = 0.0,
    magnetizing_pct: float = 0.0,
) -> Connection:
    """Return a three-wire unit, `secondary_v` between the outer wires (240 for 120/240); see `tapped_core`.

    Example:
        >>> unit = single_phase_three_wire("T1", 25.0, 480.0, 240.0, 1.4, 2.0, 1.2)
        >>> [round(x, 9) for x in unit.cores[0].reactance_pct]
        [2.4, 2.4, 1.6]
    """
    core = tapped_core(
        name,
        kva,
        (*primary, primary_v),
        secondary,
        secondary_v,
        resistance_pct,
        reactance_pct,
        half_reactance_ratio,
        no_load_loss_pct,
        magnetizing_pct,
    )
    end, tap, other_end = secondary
    terminals: dict[str, tuple[str, ...]] = {"primary": primary, "secondary": (end, other_end)}
    sides = [("primary", "secondary", "secondary")]
    return connection("single-phase three-wire", None, 0.0, [core], sides, terminals, {"secondary": tap})


def open_delta(
    name: str,
    unit_kva: float,
    primary_v: float,
    secondary_v: float,
    resistance_pct: float,
    reactance_pct: float,
    *,
    primary: Lines = ("H1", "H2", "H3"),
    secondary: Lines = ("X1", "X2", "X3"),
    no_load_loss_pct: float = 0.0,
    magnetizing_pct: float = 0.0,
) -> Connection:
    """Return two single-phase units between lines 1-2 and 2-3; percentages on the kVA of one unit.

    Example:
        >>> [core.windings[1].other for core in open_delta("T1", 25.0, 480.0, 240.0, 1.8, 2.4).cores]
        ['X2', 'X3']
    """
    cores = [
        two_windings(
            f"{name}.{k + 1}",
            unit_kva,
            (primary[k], primary[k + 1], primary_v),
            (secondary[k], secondary[k + 1], secondary_v),
            resistance_pct,
            reactance_pct,
            no_load_loss_pct,
            magnetizing_pct,
            name,
        )
        for k in range(2)
    ]
    terminals: dict[str, tuple[str, ...]] = {"primary": primary, "secondary": secondary}
    return connection("open delta", None, 0.0, cores, [("primary", "secondary")] * 2, terminals)


def high_leg_delta(
    name: str,
    lighting_kva: float,
    power_kva: float,
    primary_v: float,
    secondary_v: float,
    resistance_pct: tuple[float, float],
    reactance_pct: tuple[float, float],
    half_reactance_ratio: float,
    *,
    closed: bool = True,
    primary: Lines = ("H1", "H2", "H3"),
    secondary: Lines = ("X1", "X2", "X3"),
    tap: str = "X0",
) -> Connection:
    """Return a four-wire delta: one unit with a tap on leg 1-2, one (open) or two (closed) units beside it.

    The third secondary terminal is the high leg. Percentages of the lighting unit first, then of the power
    units, each on its own kVA.

    Example:
        >>> bank = high_leg_delta("T1", 37.5, 25.0, 480.0, 240.0, (1.2, 1.6), (2.3, 2.2), 1.2)
        >>> [len(core.windings) for core in bank.cores], bank.neutrals
        ([3, 2, 2], {'secondary': 'X0'})
    """
    lighting = tapped_core(
        f"{name}.1",
        lighting_kva,
        (primary[0], primary[1], primary_v),
        (secondary[0], tap, secondary[1]),
        secondary_v,
        resistance_pct[0],
        reactance_pct[0],
        half_reactance_ratio,
        bank=name,
    )
    power = [
        two_windings(
            f"{name}.{k + 1}",
            power_kva,
            (primary[k], primary[(k + 1) % 3], primary_v),
            (secondary[k], secondary[(k + 1) % 3], secondary_v),
            resistance_pct[1],
            reactance_pct[1],
            bank=name,
        )
        for k in ((1, 2) if closed else (1,))
    ]
    sides = [("primary", "secondary", "secondary"), *[("primary", "secondary")] * len(power)]
    terminals: dict[str, tuple[str, ...]] = {"primary": primary, "secondary": secondary}
    kind = "high leg" if closed else "open delta with high leg"
    group = "Dd0" if closed else None
    return connection(kind, group, 0.0, [lighting, *power], sides, terminals, {"secondary": tap})
