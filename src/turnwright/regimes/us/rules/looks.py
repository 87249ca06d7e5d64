"""What several rules ask of the facts: where it stands, what the output is, which loads are meant."""

from __future__ import annotations

from turnwright.arrangements import same_volts
from turnwright.regimes.common.rules.looks import named
from turnwright.regimes.rule import Facts
from turnwright.regimes.us.rules.numbers import SAME


def indoors(facts: Facts) -> bool:
    """Return whether the unit stands inside a building."""
    return facts.case.site.place not in ("outdoor", "roof")


def output_has_neutral(facts: Facts) -> bool:
    """Return whether the loads get a neutral."""
    return facts.proposal.output.neutral_v is not None


def before_counts_a(facts: Facts) -> float | None:
    """Return the device before the transformer as it counts on the load side, by the voltage ratio. [A]"""
    before_a = facts.blocks.protection.primary_a
    if before_a is None:
        return None
    return before_a * facts.proposal.primary.line_v / facts.proposal.secondary.line_v


def needs_own_device(facts: Facts) -> bool:
    """Return whether the secondary conductors cannot rely on the device before the transformer: 240.21(C)(1)."""
    if not facts.proposal.derived:
        return False
    counts_a, run = before_counts_a(facts), facts.blocks.conductors.secondary
    if not facts.proposal.covered or counts_a is None or run is None:
        return True
    return counts_a > run.ampacity_a * (1 + SAME)


def supply_has_solid_wye(facts: Facts) -> bool:
    """Return whether the supply is a wye whose neutral is, as far as told, tied to ground."""
    supply = facts.case.supply
    return supply.system.connection == "wye" and supply.grounding in (None, "solid")


def is_volts(nominal_v: float, wanted_v: float) -> bool:
    """Return whether a nominal voltage is the one named."""
    return same_volts(nominal_v, wanted_v)


def never_grounded(facts: Facts) -> bool:
    """Return whether a load is named whose system must not be grounded: 250.22."""
    cells = named(facts, "electrolytic cell") or named(facts, "isolated power")
    return bool(cells or ("hazardous" in facts.case.site.conditions and named(facts, "crane")))
