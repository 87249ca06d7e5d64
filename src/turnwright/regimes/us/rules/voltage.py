"""Rules about the direction and the loading of the unit: step-up, back-feeding, the band it is usually loaded in."""

from __future__ import annotations

from turnwright.regimes.common.rules import pack
from turnwright.regimes.us.rules.volts import VOLTS

RULES = (
    pack.loading_band(full={"load": [{"system": "208Y/120", "kva": "29 kVA"}]}),
    pack.uneven_phases(VOLTS),
    pack.step_up(VOLTS),
    pack.backfed_neutral(VOLTS),
)
