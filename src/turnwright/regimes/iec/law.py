"""Ecodesign in the European Union: no loss limit for units with all windings to 1.1 kV, Reg. (EU) 548/2014."""

from __future__ import annotations

from turnwright.model.result import Efficiency
from turnwright.regimes.common.efficiency import NOTHING
from turnwright.regimes.procedures import LawNeed
from turnwright.working import Ledger


def no_limit(need: LawNeed, work: Ledger) -> Efficiency:
    """Return that no law asks for an efficiency; a rule says what product information is owed."""
    return NOTHING
