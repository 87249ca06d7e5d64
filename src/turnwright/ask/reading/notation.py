"""What was written about one voltage system, and the notation of the job file for it."""

from __future__ import annotations

import math
from functools import lru_cache

from msgspec import Struct

from turnwright.quantities.spelling import plain
from turnwright.quantities.voltage_system import HIGHEST_V
from turnwright.reference import load

_SLACK = 0.02
"""Written voltages are rounded: 347 for 346.4."""


class Volts(Struct, frozen=True, kw_only=True):
    """What was written about one voltage system.

    values  in the order written; two of them belong to one system unless `either`
    either  a plate that takes any of them
    sure    written with a unit, as a pair or with a prefix; a bare number is not
    hz      where volts, phases and hertz stand in one: 460/3/60
    """

    values: tuple[float, ...]
    either: bool = False
    sure: bool = True
    phases: int | None = None
    wires: int | None = None
    neutral: bool | None = None
    delta: bool = False
    wye: bool = False
    corner: bool = False
    high_leg: bool = False
    hz: float | None = None

    @property
    def highest(self) -> float:
        """The voltage between lines. [V]"""
        return max(self.values)


@lru_cache(maxsize=1)
def wye_systems() -> dict[float, str]:
    """Return the usual four-wire wye systems by their volts between lines, from the table of systems."""
    rows = load("us_voltage_systems").newest().rows
    return {
        float(row.number("line_v")): str(row.text("system"))
        for row in rows
        if row.text("winding").startswith("wye")
    }


@lru_cache(maxsize=32)
def nominal_v(plate_v: float) -> float | None:
    """Return the nominal volts of the systems a nameplate voltage belongs to, from the table of nameplates."""
    rows = load("us_nameplate_voltages").newest().rows
    return next(
        (float(row.number("nominal_v")) for row in rows if row.number("nameplate_v") == plate_v), None
    )


def near(value: float, expected: float) -> bool:
    """Return whether two voltages are the same but for rounding."""
    return abs(value - expected) <= _SLACK * expected


def belong(first: float, second: float) -> bool:
    """Return whether two voltages are those of one system: √3 or 2 apart.

    Example:
        >>> belong(120, 208), belong(240, 120), belong(208, 230)
        (True, True, False)
    """
    high, low = max(first, second), min(first, second)
    return low > 0 and (near(low, high / math.sqrt(3)) or near(low, high / 2))


def is_half(first: float, second: float) -> bool:
    """Return whether one voltage is half the other."""
    return near(min(first, second), max(first, second) / 2)


def system_text(volts: Volts, *, motors: bool = False) -> str | None:
    """Return the system in the notation of the job file, as far as the words say it; None where they do not agree.

    volts  : what was written
    motors : it is the plate of motors, which take three wires only as three phases
    """
    if volts.either or volts.highest > HIGHEST_V or volts.highest < 1:
        return None
    return _of_pair(volts) if len(volts.values) == 2 else _of_one(volts, motors)


def _of_pair(volts: Volts) -> str | None:
    high, low = plain(max(volts.values)), plain(min(volts.values))
    if not is_half(*volts.values):
        return None if volts.phases == 1 or volts.delta else f"{high}Y/{low}"
    if volts.delta or volts.high_leg or volts.phases == 3 or volts.wires == 4:
        return f"{high}/{low} delta"
    rising = volts.values[0] < volts.values[1]
    if volts.phases == 1 or volts.wires == 3 or rising:
        return f"{low}/{high} 1ph"
    return None


def _of_one(volts: Volts, motors: bool) -> str | None:
    value, text = volts.values[0], plain(volts.values[0])
    if volts.high_leg:
        return f"{text}/{plain(value / 2)} delta"
    if volts.delta or volts.corner:
        return f"{text} delta corner" if volts.corner else f"{text} delta"
    if volts.phases == 1 or volts.wires == 2:
        is_three_wire = volts.wires == 3 and value == 240.0
        return f"{plain(value / 2)}/{text} 1ph" if is_three_wire else f"{text} 1ph"
    named = wye_systems().get(value)
    if volts.wye or volts.wires == 4 or (volts.neutral and volts.wires is None):
        if named is not None:
            return named
        if volts.wires == 4 and value == 240.0:
            return "240/120 delta"
    if volts.phases == 3:
        return f"{text} 3ph"
    if volts.wires == 3 and (motors or named is not None or nominal_v(value) in wye_systems()):
        return f"{text} 3ph"
    return text
