"""Three-phase connections by their vector group: delta, wye and zig-zag, two or three sides."""

from __future__ import annotations

from math import sqrt

from msgspec import Struct

from turnwright.circuit.connections.connection import Connection, connection
from turnwright.circuit.connections.group import Group, Way, read_group, ways, winding_ends
from turnwright.circuit.network import Core, Winding
from turnwright.errors import InputError

Lines = tuple[str, str, str]
WORDS = {"D": "delta", "Y": "wye", "Z": "zig-zag"}
SIDES = ("primary", "secondary", "tertiary")


class _Side(Struct, frozen=True):
    way: Way
    lines: Lines
    star: str
    line_v: float
    resistance_pct: float


def three_phase(
    name: str,
    group: str,
    kva: float,
    primary_v: float,
    secondary_v: float,
    resistance_pct: float,
    reactance_pct: float,
    *,
    primary: Lines = ("H1", "H2", "H3"),
    secondary: Lines = ("X1", "X2", "X3"),
    primary_neutral: str = "H0",
    secondary_neutral: str = "X0",
    no_load_loss_pct: float = 0.0,
    magnetizing_pct: float = 0.0,
    halves_reactance_pct: float | None = None,
) -> Connection:
    """Return a three-phase bank of three equal cores for any vector group of D, Y and z.

    Voltages are line to line, percentages on `kva`, as on the nameplate. A star point that the group does
    not bring out is a node of its own. Of a zig-zag side, each core has two halves; `halves_reactance_pct`
    (on a third of the kVA and a third of the line voltage) is three times its zero-sequence reactance and,
    when not given, is taken equal to that from a half to the primary.

    Raises:
        InputError: CIR-09, no such vector group.

    Example:
        >>> bank = three_phase("T1", "Dyn1", 45.0, 480.0, 208.0, 2.4, 3.2)
        >>> bank.displacement_deg, [(w.dot, w.other) for w in bank.cores[0].windings]
        (30.0, [('H1', 'H3'), ('X1', 'X0')])
    """
    parts = read_group(group)
    if len(parts.clocks) != 1:
        raise InputError("CIR-09", group, "has three sides.", "Use three_winding.")
    one, two = ways(parts)
    stars = _stars(name, parts, (primary_neutral, secondary_neutral))
    if two.letter == "Z":
        # seen from the output with balanced current: z12 - z23 / 6, r1 + 2/3 of a half
        halves = 1.2 * reactance_pct if halves_reactance_pct is None else halves_reactance_pct
        half, r_two = reactance_pct + halves / 6, 0.75 * resistance_pct
        x: tuple[float, ...] = (half, half, halves)
    else:
        x, r_two = (reactance_pct,), 0.5 * resistance_pct
    sides = (
        _Side(one, primary, stars[0], primary_v, 0.5 * resistance_pct),
        _Side(two, secondary, stars[1], secondary_v, r_two),
    )
    return _bank(name, group, kva, sides, x, no_load_loss_pct, magnetizing_pct)


def three_winding(
    name: str,
    group: str,
    kva: float,
    line_v: tuple[float, float, float],
    resistance_pct: tuple[float, float, float],
    reactance_pct: tuple[float, float, float],
    *,
    primary: Lines = ("H1", "H2", "H3"),
    secondary: Lines = ("X1", "X2", "X3"),
    tertiary: Lines = ("Y1", "Y2", "Y3"),
    neutrals: tuple[str, str, str] = ("H0", "X0", "Y0"),
    no_load_loss_pct: float = 0.0,
    magnetizing_pct: float = 0.0,
) -> Connection:
    """Return a bank of three equal cores with three windings each, for a group like Dyn1d0.

    resistance_pct  of each winding, reactance_pct of the pairs 1-2, 1-3, 2-3; all on `kva`

    Raises:
        InputError: CIR-09, no such vector group, or a zig-zag in it.

    Example:
        >>> volts, r, x = (480.0, 208.0, 208.0), (0.9, 1.1, 1.3), (4.0, 4.4, 6.5)
        >>> bank = three_winding("T1", "Dyn1d0", 75.0, volts, r, x)
        >>> [(w.dot, w.other) for w in bank.cores[0].windings]
        [('H1', 'H3'), ('X1', 'X0'), ('Y1', 'Y3')]
    """
    parts = read_group(group)
    if len(parts.clocks) != 2 or "Z" in parts.letters:
        raise InputError(
            "CIR-09", group, "is no group of three sides in delta or wye.", "Write for example Dyn1d0."
        )
    sides = tuple(
        _Side(*side)
        for side in zip(
            ways(parts),
            (primary, secondary, tertiary),
            _stars(name, parts, neutrals),
            line_v,
            resistance_pct,
            strict=True,
        )
    )
    return _bank(name, group, kva, sides, reactance_pct, no_load_loss_pct, magnetizing_pct)


def _stars(name: str, parts: Group, neutrals: tuple[str, ...]) -> tuple[str, ...]:
    """Return the node of each star point; one that is not brought out gets a node of its own."""
    return tuple(
        neutral if out else f"{name}.{side}.star"
        for neutral, out, side in zip(neutrals, parts.brought_out, SIDES, strict=False)
    )


def _bank(
    name: str,
    group: str,
    kva: float,
    sides: tuple[_Side, ...],
    reactance_pct: tuple[float, ...],
    no_load_loss_pct: float,
    magnetizing_pct: float,
) -> Connection:
    cores, of_core = [], []
    for k in range(3):
        windings, labels = [], []
        for side, label in zip(sides, SIDES, strict=False):
            volts = side.line_v / {"D": 1.0, "Y": sqrt(3), "Z": 3.0}[side.way.letter]
            rated_a = kva * 1e3 / (sqrt(3) * side.line_v) if side.way.letter == "Z" else None
            for dot, other in winding_ends(side.way, k, side.lines, side.star, f"{name}.Z"):
                windings.append(Winding(dot, other, volts, side.resistance_pct, rated_a))
                labels.append(label)
        cores.append(
            Core(
                f"{name}.{k + 1}",
                kva / 3,
                tuple(windings),
                reactance_pct,
                no_load_loss_pct,
                magnetizing_pct,
                name,
            )
        )
        of_core.append(labels)
    parts = read_group(group)
    return connection(
        "-".join(WORDS[letter] for letter in parts.letters),
        group,
        30.0 * parts.clocks[0],
        cores,
        of_core,
        {label: side.lines for label, side in zip(SIDES, sides, strict=False)},
        {label: side.star for label, side in zip(SIDES, sides, strict=False) if side.way.letter != "D"},
    )
