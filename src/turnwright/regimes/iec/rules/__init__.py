"""The rules of the IEC world, each a small function beside its clause. The order is that of the findings."""

from turnwright.regimes.common.rules import classified, handling, harmonics, site, sources
from turnwright.regimes.iec.rules import cables, earthing, unit

RULES = (
    *sources.RULES,
    sources.IMAGING,
    *cables.RULES,
    *earthing.RULES,
    *harmonics.RULES,
    *classified.RULES,
    *site.RULES,
    *handling.RULES,
    *unit.RULES,
)
