"""The rules of the United States, each a small function beside its clause.

The order is that of the findings: what may make the transformer needless, the secondary conductors and the ground
(where most is done wrong), the loads, the devices, the place, what is written on the unit, the law.
"""

from turnwright.regimes.common.rules import classified, handling, harmonics, site, sound, sources
from turnwright.regimes.us.rules import (
    access,
    conditions,
    conductors,
    efficiency,
    feeding_back,
    grounding,
    high_leg,
    neutral,
    occasions,
    place,
    protection,
    secondary_run,
    shared_winding,
    special_loads,
    supply,
    switchgear,
    system_grounding,
    voltage,
    voltage_pairs,
)

RULES = (
    *voltage_pairs.RULES,
    *supply.RULES,
    *sources.RULES,
    *occasions.RULES,
    *secondary_run.RULES,
    *grounding.RULES,
    *system_grounding.RULES,
    *special_loads.RULES,
    *harmonics.RULES,
    harmonics.K_RATING,
    harmonics.heating(marked=True),
    *neutral.RULES,
    *feeding_back.RULES,
    *shared_winding.RULES,
    *high_leg.RULES,
    *protection.RULES,
    *switchgear.RULES,
    *conductors.RULES,
    *place.RULES,
    *classified.RULES,
    *site.RULES,
    site.COLD,
    *handling.RULES,
    *sound.RULES,
    *conditions.RULES,
    *voltage.RULES,
    *access.RULES,
    *efficiency.RULES,
)
