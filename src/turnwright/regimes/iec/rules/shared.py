"""Rules that need nothing of the standards, in the volts of the IEC world."""

from __future__ import annotations

from functools import lru_cache

from turnwright.quantities import VoltageSystem, parse_system
from turnwright.regimes.common.rules import pack
from turnwright.regimes.iec.numbers import limit
from turnwright.regimes.iec.rules.volts import VOLTS


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


RULES = (*pack.shared_rules(service_band_v, VOLTS),)
