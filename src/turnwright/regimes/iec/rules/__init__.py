"""The rules of the IEC world, each a small function beside its clause. The order is that of the findings."""

from turnwright.regimes.common.rules import classified, handling, harmonics, site, sound, sources
from turnwright.regimes.common.rules.spoken import spoken
from turnwright.regimes.iec.rules import cables, earthing, occasions, shared, small_units, unit, withstand
from turnwright.regimes.iec.traits import WORDS

RULES = (
    *spoken((*sources.RULES, sources.IMAGING), WORDS),
    *cables.RULES,
    *withstand.RULES,
    *earthing.RULES,
    *spoken((*harmonics.RULES, harmonics.heating(marked=False), *site.rules(metric=True)), WORDS),
    *spoken((*classified.RULES, *handling.RULES, *sound.RULES), WORDS),
    *unit.RULES,
    *small_units.RULES,
    *occasions.RULES,
    *spoken(shared.RULES, WORDS),
)
