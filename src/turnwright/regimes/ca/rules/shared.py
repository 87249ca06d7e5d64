"""Rules that need nothing of the code, in the volts of Canada."""

from __future__ import annotations

from functools import lru_cache

from turnwright.reference import load
from turnwright.regimes.ca.rules.numbers import limit
from turnwright.regimes.ca.rules.volts import VOLTS
from turnwright.regimes.common.rules import connection, loads, pack
from turnwright.regimes.common.rules.connection import shared_winding
from turnwright.regimes.rule import Rule

BOOST = {
    "supply": {"system": "208Y/120", "panel_fault_rating": None},
    "load": [{"name": "lathe", "system": "230 3ph", "hp": "20 hp", "kind": "motor"}],
    "choices": {"arrangement": "buck-boost"},
}


@lru_cache(maxsize=64)
def service_band_v(system: str) -> tuple[float, float] | None:
    """Return least and largest service voltage between lines under normal conditions; None where none is listed.

    Source: CSA C235

    Example:
        >>> service_band_v("600Y/347"), service_band_v("415Y/240")
        ((550.0, 625.0), None)
    """
    rows = load("ca_voltage_ranges").newest().rows
    row = next((r for r in rows if r.text("system") == system and r.text("range") == "normal"), None)
    if row is None:
        return None
    low, high = row.optional("service_min_line_v"), row.optional("service_max_line_v")
    return None if low is None or high is None else (float(low), float(high))


RULES = (
    *pack.shared_rules(service_band_v, VOLTS),
    Rule(
        id="boost-and-start",
        severity="caution",
        applies=shared_winding,
        check=connection.boost_and_start,
        trips=BOOST,
        clean={},
    ),
    Rule(
        id="autotransformer-mark",
        severity="note",
        applies=shared_winding,
        check=connection.marked_for_it,
        trips=BOOST,
        clean={},
    ),
    Rule(
        id="motor-tables",
        severity="note",
        applies=lambda facts: facts.picture.largest_motor is not None,
        check=loads.motor_tables(lambda facts: limit(facts.case.edition, "largest_motor_pct")),
        trips={"load": [{"name": "saw", "system": "208 3ph", "hp": "10 hp", "kind": "motor"}]},
        clean={},
    ),
)
