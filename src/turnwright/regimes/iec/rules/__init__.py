"""The rules of the IEC world, each a small function beside its clause. The order is that of the findings."""

from turnwright.regimes.iec.rules import cables, earthing, unit

RULES = (*cables.RULES, *earthing.RULES, *unit.RULES)
