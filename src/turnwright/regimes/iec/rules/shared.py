"""Rules that need nothing of the standards, in the volts of the IEC world."""

from __future__ import annotations

from functools import lru_cache

from turnwright.quantities import VoltageSystem, parse_system
from turnwright.regimes.common.rules import pack
from turnwright.regimes.iec.numbers import limit

VOLTS = pack.Volts(
    supply="690Y/400",
    supply_v=690.0,
    wye="400Y/230",
    delta="275 3ph",
    single="230 1ph",
    low="400Y/230",
    high="690 3ph",
    off="600 3ph",
)


@lru_cache(maxsize=64)
def service_band_v(system: str) -> tuple[float, float] | None:
    """Return least and largest volts between lines at the supply terminals: nominal ± 10 %. [V]

    Source: IEC 60038

    Example:
        >>> service_band_v("400Y/230")
        (360.0, 440.0)
    """
    found = parse_system(system, where="supply")
    if not isinstance(found, VoltageSystem):
        return None
    off = found.line_v * limit("supply_band_pct") / 100
    return float(found.line_v - off), float(found.line_v + off)


RULES = (
    *pack.source_rules(service_band_v, VOLTS),
    *pack.load_rules(VOLTS),
    *pack.connection_rules(VOLTS),
    *pack.direction_rules(VOLTS),
)
