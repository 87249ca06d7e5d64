"""The rules of the United States, each a small function beside its clause. The order is that of the findings."""

from turnwright.regimes.us.rules import grounding, place, protection, voltage

RULES = (*protection.RULES, *grounding.RULES, *place.RULES, *voltage.RULES)
