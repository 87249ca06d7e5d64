"""Connections that put a winding in series with the line: autotransformers, buck-boost."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import sqrt
from typing import Literal

from turnwright.circuit.connections.connection import Connection, connection, two_windings
from turnwright.circuit.network import EARTH, Core
from turnwright.errors import InputError

Lines = tuple[str, str, str]
Direction = Literal["boost", "buck"]


def autotransformer(
    name: str,
    through_kva: float,
    high_v: float,
    low_v: float,
    resistance_pct: float,
    reactance_pct: float,
    *,
    high: str = "H1",
    low: str = "X1",
    common: str = EARTH,
) -> Connection:
    """Return a single-phase autotransformer: winding 1 in series from `low` to `high`, winding 2 common.

    Percentages on the throughput kVA and the high voltage, as on the nameplate. The windings carry the share
    (high - low) / high of the throughput, and on that kVA their impedance is larger by high / (high - low).

    Raises:
        InputError: CIR-09, the low voltage is not below the high one.

    Example:
        >>> auto = autotransformer("T1", 100.0, 480.0, 240.0, 0.8, 1.5)
        >>> auto.cores[0].kva, auto.cores[0].reactance_pct
        (50.0, (3.0,))
    """
    core = _auto_core(
        name, None, through_kva, (high_v, low_v), resistance_pct, reactance_pct, (high, low, common)
    )
    terminals: dict[str, tuple[str, ...]] = {"primary": (high, common), "secondary": (low, common)}
    return connection("autotransformer", None, 0.0, [core], [("series", "common")], terminals)


def autotransformer_wye(
    name: str,
    through_kva: float,
    high_v: float,
    low_v: float,
    resistance_pct: float,
    reactance_pct: float,
    *,
    high: Lines = ("H1", "H2", "H3"),
    low: Lines = ("X1", "X2", "X3"),
    neutral: str = "X0",
) -> Connection:
    """Return three autotransformers in star, voltages line to line; see `autotransformer`.

    Example:
        >>> autotransformer_wye("T1", 75.0, 480.0, 240.0, 0.8, 1.5).vector_group
        'YNa0'
    """
    volts = (high_v / sqrt(3), low_v / sqrt(3))

    def core(part: str, nodes: Lines) -> Core:
        return _auto_core(part, name, through_kva / 3, volts, resistance_pct, reactance_pct, nodes)

    return _in_star("autotransformer", name, core, ("series", "common"), high, low, neutral)


def _in_star(
    kind: str,
    name: str,
    core: Callable[[str, Lines], Core],
    windings: tuple[str, str],
    primary: Lines,
    secondary: Lines,
    neutral: str,
) -> Connection:
    """Return three cores in star; `core` makes one of its name and of its nodes: line in, line out, neutral."""
    cores = [core(f"{name}.{k + 1}", (primary[k], secondary[k], neutral)) for k in range(3)]
    terminals: dict[str, tuple[str, ...]] = {"primary": primary, "secondary": secondary}
    neutrals = {"primary": neutral, "secondary": neutral}
    return connection(kind, "YNa0", 0.0, cores, [windings] * 3, terminals, neutrals)


def _auto_core(
    name: str,
    bank: str | None,
    kva: float,
    volts: tuple[float, float],
    resistance_pct: float,
    reactance_pct: float,
    nodes: Lines,
) -> Core:
    high_v, low_v = volts
    if not 0 < low_v < high_v:
        raise InputError(
            "CIR-09", name, f"steps {high_v} V down to {low_v} V.", "The first voltage is the higher."
        )
    share = (high_v - low_v) / high_v
    high, low, common = nodes
    return two_windings(
        name,
        kva * share,
        (high, low, high_v - low_v),
        (low, common, low_v),
        resistance_pct / share,
        reactance_pct / share,
        bank=bank,
    )


def buck_boost(
    name: str,
    unit_kva: float,
    winding_v: tuple[float, float],
    resistance_pct: float,
    reactance_pct: float,
    direction: Direction,
    *,
    line_in: str = "IN",
    line_out: str = "OUT",
    common: str = EARTH,
) -> Connection:
    """Return an isolating unit of `winding_v` (for example 240, 24) used as an autotransformer.

    boost: the first winding lies across the input, the second adds to it: out = in (1 + V2 / V1).
    buck: the first winding lies across the output, the second takes away: out = in / (1 + V2 / V1).
    Percentages on the kVA of the unit as an isolating one.

    Example:
        >>> unit = buck_boost("T1", 1.0, (240.0, 24.0), 3.2, 2.1, "boost")
        >>> [(w.dot, w.other) for w in unit.cores[0].windings]
        [('IN', '0'), ('OUT', 'IN')]
    """
    core = _buck_boost_core(
        name, None, unit_kva, winding_v, resistance_pct, reactance_pct, direction, (line_in, line_out, common)
    )
    terminals: dict[str, tuple[str, ...]] = {"primary": (line_in, common), "secondary": (line_out, common)}
    return connection("buck-boost", None, 0.0, [core], [("common", "series")], terminals)


def buck_boost_open_delta(
    name: str,
    unit_kva: float,
    winding_v: tuple[float, float],
    resistance_pct: float,
    reactance_pct: float,
    direction: Direction,
    *,
    primary: Lines = ("H1", "H2", "H3"),
    secondary: Lines = ("X1", "H2", "X3"),
) -> Connection:
    """Return two buck-boost units in open delta; the second line passes straight through.

    Example:
        >>> buck_boost_open_delta("T1", 1.0, (240.0, 24.0), 3.2, 2.1, "boost").terminals["secondary"]
        ('X1', 'H2', 'X3')
    """
    cores = [
        _buck_boost_core(
            f"{name}.{at}",
            name,
            unit_kva,
            winding_v,
            resistance_pct,
            reactance_pct,
            direction,
            (primary[k], secondary[k], primary[1]),
        )
        for at, k in ((1, 0), (2, 2))
    ]
    terminals: dict[str, tuple[str, ...]] = {"primary": primary, "secondary": secondary}
    return connection("buck-boost open delta", None, 0.0, cores, [("common", "series")] * 2, terminals)


def buck_boost_wye(
    name: str,
    unit_kva: float,
    winding_v: tuple[float, float],
    resistance_pct: float,
    reactance_pct: float,
    direction: Direction,
    *,
    primary: Lines = ("H1", "H2", "H3"),
    secondary: Lines = ("X1", "X2", "X3"),
    neutral: str = "X0",
) -> Connection:
    """Return three buck-boost units in star, each between a line and `neutral`.

    Example:
        >>> len(buck_boost_wye("T1", 1.0, (120.0, 12.0), 3.2, 2.1, "buck").cores)
        3
    """

    def core(part: str, nodes: Lines) -> Core:
        return _buck_boost_core(
            part, name, unit_kva, winding_v, resistance_pct, reactance_pct, direction, nodes
        )

    return _in_star("buck-boost wye", name, core, ("common", "series"), primary, secondary, neutral)


def _buck_boost_core(
    name: str,
    bank: str | None,
    kva: float,
    winding_v: Sequence[float],
    resistance_pct: float,
    reactance_pct: float,
    direction: Direction,
    nodes: Lines,
) -> Core:
    line_in, line_out, common = nodes
    if direction == "boost":
        ends = ((line_in, common), (line_out, line_in))
    elif direction == "buck":
        ends = ((line_out, common), (line_in, line_out))
    else:
        raise InputError("CIR-09", name, f"the direction {direction!r} is not known.", "Write boost or buck.")
    first, second = ((*pair, volts) for pair, volts in zip(ends, winding_v, strict=True))
    return two_windings(name, kva, first, second, resistance_pct, reactance_pct, bank=bank)
