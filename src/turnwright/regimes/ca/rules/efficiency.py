"""Rules about the efficiency law, SOR/2016-311: which level holds, or why none does."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from turnwright.quantities import figure
from turnwright.reference import load
from turnwright.regimes.ca.law import largest_kva_key
from turnwright.regimes.common.efficiency import VENTILATED
from turnwright.regimes.rule import Facts, Rule, Said

SHARED_WINDING = ("autotransformer", "buck-boost", "zig-zag")


@lru_cache(maxsize=32)
def scope(key: str) -> float:
    """Return a number of the scope of the law by its key. [any]"""
    return float(load("ca_efficiency_scope").newest().row(key=key).number("value"))


def law_that_holds(facts: Facts) -> Iterator[Said]:
    """Section 705: the least efficiency at 35 % load, verified and marked before import or sale."""
    law = facts.blocks.efficiency
    if law.law_pct is None:
        return
    yield Said(
        message=(
            f"At least {figure(law.law_pct, digits=5, rounding='up')} % at {scope('test_load_pct'):g} % load by "
            f"{law.law}; a verification mark of an accredited body on the unit shows it."
        ),
        value=law.law_pct,
        unit="%",
    )


def why_none(facts: Facts) -> str:
    """Return why the law leaves the unit out, or "" where no reason is known."""
    unit, proposal = facts.unit, facts.proposal
    if proposal.arrangement in SHARED_WINDING:
        return "autotransformers and grounding units are outside"
    if facts.case.supply.frequency_hz != scope("frequency_hz"):
        return f"it is of {scope('frequency_hz'):g} Hz units"
    if unit.enclosure not in VENTILATED:
        return "sealed and nonventilated units are outside"
    if unit.kva < scope("kva_min"):
        return f"it begins at {scope('kva_min'):g} kVA"
    most = scope(largest_kva_key(unit.phases))
    return f"it ends at {most:g} kVA" if unit.kva > most else ""


def law_that_does_not(facts: Facts) -> Iterator[Said]:
    """Section 703: kinds, sizes and frequency outside the definition."""
    if facts.blocks.efficiency.law_pct is not None:
        return
    reason = why_none(facts)
    if reason:
        yield Said(
            message=f"No federal level of efficiency for this unit: {reason}. Provinces may ask for one."
        )


RULES = (
    Rule(
        id="efficiency-law",
        severity="note",
        check=law_that_holds,
        clean={"load": [{"system": "208Y/120", "kva": "5 kVA"}]},
    ),
    Rule(
        id="efficiency-outside",
        severity="note",
        check=law_that_does_not,
        trips={"load": [{"system": "208Y/120", "kva": "5 kVA"}]},
        clean={},
    ),
)
