"""The rules of Canada, each a small function beside its clause. The order is that of the findings."""

from turnwright.regimes.ca.rules import devices, equipment, grounding, place
from turnwright.regimes.common.rules import classified, handling, harmonics, site, sound, sources

RULES = (
    *sources.RULES,
    sources.IMAGING,
    *devices.RULES,
    *grounding.RULES,
    *harmonics.RULES,
    harmonics.K_RATING,
    *classified.RULES,
    *site.RULES,
    site.COLD,
    *handling.RULES,
    *sound.RULES,
    *place.RULES,
    *equipment.RULES,
)
