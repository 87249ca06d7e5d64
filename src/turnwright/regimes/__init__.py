"""Whose rules: each regime is a value made of tables, procedures and rules."""

from turnwright.regimes.carried import carried_regimes, regime_of
from turnwright.regimes.procedures import DeviceNeed, DevicePlan, GroundingNeed, LawNeed, RunNeed, RunPlan
from turnwright.regimes.regime import Regime, UsualUnit
from turnwright.regimes.rule import Facts, Rule, Said, run

__all__ = [
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
    "UsualUnit",
    "carried_regimes",
    "regime_of",
    "run",
]
