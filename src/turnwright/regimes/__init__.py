"""Whose rules: each regime is a value made of tables, procedures and rules."""

from turnwright.regimes.carried import DEFAULT, carried_regimes, regime_of, regime_on, traits_of
from turnwright.regimes.procedures import DeviceNeed, DevicePlan, GroundingNeed, LawNeed, RunNeed, RunPlan
from turnwright.regimes.regime import Regime, UsualUnit
from turnwright.regimes.rule import Facts, Rule, Said, run
from turnwright.regimes.traits import Traits, Words

__all__ = [
    "DEFAULT",
    "DeviceNeed",
    "DevicePlan",
    "Facts",
    "GroundingNeed",
    "LawNeed",
    "Regime",
    "Rule",
    "RunNeed",
    "RunPlan",
    "Said",
    "Traits",
    "UsualUnit",
    "Words",
    "carried_regimes",
    "regime_of",
    "regime_on",
    "run",
    "traits_of",
]
