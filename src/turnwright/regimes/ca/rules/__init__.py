"""The rules of Canada, each a small function beside its clause. The order is that of the findings."""

from turnwright.regimes.ca.rules import devices, equipment, grounding, place

RULES = (*devices.RULES, *grounding.RULES, *place.RULES, *equipment.RULES)
