"""Connections that make phases or a neutral: zig-zag earthing, Scott, T."""

from __future__ import annotations

from math import sqrt

from turnwright.circuit.connections.connection import Connection, connection, two_windings
from turnwright.circuit.network import Core, Winding

Lines = tuple[str, str, str]


def zigzag_earthing(
    name: str,
    kva: float,
    line_v: float,
    resistance_pct: float,
    reactance_pct: float,
    *,
    lines: Lines = ("H1", "H2", "H3"),
    neutral: str = "H0",
    no_load_loss_pct: float = 0.0,
    magnetizing_pct: float = 0.0,
) -> Connection:
    """Return a zig-zag that makes a neutral: three cores with two equal halves of a third of the line
    voltage.

    Percentages between the two halves of a core, on a third of `kva`. Its zero-sequence impedance is a third
    of that on the base of `kva` and `line_v`.

    Example:
        >>> zigzag_earthing("Z", 9.0, 480.0, 2.0, 3.0).neutrals
        {'primary': 'H0'}
    """
    cores = [
        two_windings(
            f"{name}.{k + 1}",
            kva / 3,
            (lines[k], f"{name}.Z{k + 1}", line_v / 3),
            (neutral, f"{name}.Z{(k + 1) % 3 + 1}", line_v / 3),
            resistance_pct,
            reactance_pct,
            no_load_loss_pct,
            magnetizing_pct,
            name,
        )
        for k in range(3)
    ]
    terminals: dict[str, tuple[str, ...]] = {"primary": lines}
    return connection(
        "zig-zag", "ZN", None, cores, [("primary", "primary")] * 3, terminals, {"primary": neutral}
    )


def scott(
    name: str,
    unit_kva: float,
    three_phase_v: float,
    two_phase_v: float,
    resistance_pct: tuple[float, float],
    reactance_pct: tuple[float, float],
    main_halves_reactance_pct: float,
    *,
    primary: Lines = ("H1", "H2", "H3"),
    secondary: tuple[str, str] = ("P1", "Q1"),
    returns: tuple[str, str] = ("N", "N"),
) -> Connection:
    """Return a Scott connection: main unit between lines 2 and 3 with a tap, teaser from line 1 to the tap.

    The two phases of `two_phase_v` are `secondary` against `returns`, the first from the main unit, the
    second (from the teaser) leading it by 90°. Percentages of main and teaser on `unit_kva` and their own
    voltages; `main_halves_reactance_pct` between the halves of the main winding, which the teaser current
    flows through.

    Example:
        >>> main, teaser = scott("T1", 25.0, 480.0, 240.0, (1.6, 1.8), (3.0, 2.7), 0.8).cores
        >>> [round(w.rated_v, 2) for w in teaser.windings]
        [415.69, 240.0]
    """
    tap = f"{name}.tap"
    half = three_phase_v / 2
    # a half has a quarter of the ohms of the whole on a quarter of its base; the teaser current flows in it too
    line_a = 2 * unit_kva * 1e3 / (sqrt(3) * three_phase_v)
    main = Core(
        f"{name}.main",
        unit_kva,
        (
            Winding(primary[1], tap, half, resistance_pct[0], line_a),
            Winding(tap, primary[2], half, resistance_pct[0], line_a),
            Winding(secondary[0], returns[0], two_phase_v, resistance_pct[0] / 2),
        ),
        (main_halves_reactance_pct, *[reactance_pct[0] + main_halves_reactance_pct / 4] * 2),
        bank=name,
    )
    teaser = two_windings(
        f"{name}.teaser",
        unit_kva,
        (primary[0], tap, three_phase_v * sqrt(3) / 2),
        (secondary[1], returns[1], two_phase_v),
        resistance_pct[1],
        reactance_pct[1],
        bank=name,
    )
    terminals: dict[str, tuple[str, ...]] = {"primary": primary, "secondary": secondary}
    sides = [("primary", "primary", "secondary"), ("primary", "secondary")]
    return connection("scott", None, None, [main, teaser], sides, terminals)


def tee(
    name: str,
    unit_kva: tuple[float, float],
    primary_v: float,
    secondary_v: float,
    resistance_pct: tuple[float, float],
    reactance_pct: tuple[float, float],
    halves_reactance_pct: float,
    *,
    primary: Lines = ("H1", "H2", "H3"),
    secondary: Lines = ("X1", "X2", "X3"),
) -> Connection:
    """Return a T connection, three-phase to three-phase with two cores: main between lines 2 and 3, teaser
    to line 1.

    Kilovolt-amperes and percentages of main and teaser, each on its own kVA and volts;
    `halves_reactance_pct` between the halves of either side of the main unit and crosswise between them.

    Example:
        >>> bank = tee("T1", (15.0, 13.0), 480.0, 208.0, (2.0, 2.0), (3.0, 3.0), 0.8)
        >>> [len(core.windings) for core in bank.cores]
        [4, 2]
    """
    taps = (f"{name}.primary.tap", f"{name}.secondary.tap")
    across = reactance_pct[0] + halves_reactance_pct / 2
    r = resistance_pct[0]
    main = Core(
        f"{name}.main",
        unit_kva[0],
        (
            Winding(primary[1], taps[0], primary_v / 2, r, unit_kva[0] * 1e3 / primary_v),
            Winding(taps[0], primary[2], primary_v / 2, r, unit_kva[0] * 1e3 / primary_v),
            Winding(secondary[1], taps[1], secondary_v / 2, r, unit_kva[0] * 1e3 / secondary_v),
            Winding(taps[1], secondary[2], secondary_v / 2, r, unit_kva[0] * 1e3 / secondary_v),
        ),
        (halves_reactance_pct, across, across, across, across, halves_reactance_pct),
        bank=name,
    )
    teaser = two_windings(
        f"{name}.teaser",
        unit_kva[1],
        (primary[0], taps[0], primary_v * sqrt(3) / 2),
        (secondary[0], taps[1], secondary_v * sqrt(3) / 2),
        resistance_pct[1],
        reactance_pct[1],
        bank=name,
    )
    terminals: dict[str, tuple[str, ...]] = {"primary": primary, "secondary": secondary}
    sides = [("primary", "primary", "secondary", "secondary"), ("primary", "secondary")]
    return connection("tee", None, 0.0, [main, teaser], sides, terminals)
