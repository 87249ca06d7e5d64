"""The rules of Canada, each a small function beside its clause. The order is that of the findings."""

from turnwright.regimes.ca.rules import (
    devices,
    efficiency,
    equipment,
    grounding,
    occasions,
    place,
    shared,
    systems,
)
from turnwright.regimes.ca.traits import WORDS
from turnwright.regimes.common.rules import classified, handling, harmonics, site, sound, sources
from turnwright.regimes.common.rules.spoken import spoken

RULES = (
    *spoken((*sources.RULES, sources.IMAGING), WORDS),
    *devices.RULES,
    *grounding.RULES,
    *systems.RULES,
    *spoken((*harmonics.RULES, harmonics.K_RATING, harmonics.heating(marked=True)), WORDS),
    *spoken((*site.rules(metric=True), site.COLD), WORDS),
    *spoken((*classified.RULES, *handling.RULES, *sound.RULES), WORDS),
    *place.RULES,
    *occasions.RULES,
    *equipment.RULES,
    *efficiency.RULES,
    *spoken(shared.RULES, WORDS),
)
