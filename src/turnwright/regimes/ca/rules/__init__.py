"""The rules of Canada, each a small function beside its clause. The order is that of the findings."""

from turnwright.regimes.ca.rules import devices, equipment, grounding, place
from turnwright.regimes.common.rules import harmonics, site, sources

RULES = (
    *sources.RULES,
    sources.IMAGING,
    *devices.RULES,
    *grounding.RULES,
    *harmonics.RULES,
    harmonics.K_RATING,
    *site.RULES,
    *place.RULES,
    *equipment.RULES,
)
