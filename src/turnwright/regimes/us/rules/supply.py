"""Rules about what feeds the transformer: volts measured, unbalance, its ground, generators, a high leg, two lines."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.regimes.common.rules import pack
from turnwright.regimes.common.rules.looks import SQRT3
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.numbers import service_band_v
from turnwright.regimes.us.rules.volts import VOLTS


def high_leg_supply(facts: Facts) -> Iterator[Said]:
    """110.15, 240.85: one line of a mid-tapped delta stands at 1.73 times the volts of the others to neutral."""
    supply = facts.case.supply.system
    neutral_v = supply.neutral_v or supply.line_v / 2
    high_v = supply.line_v * SQRT3 / 2
    yield Said(
        message=(
            f"The supply has a high leg: {figure(high_v)} V to neutral, the other two {figure(neutral_v)} V. "
            "It is no usable voltage to neutral; nothing single-pole on it. A qualified person finds it with "
            "a meter, not by color."
        ),
        value=high_v,
        unit="V",
    )


def two_lines(facts: Facts) -> Iterator[Said]:
    """A single-phase unit on a three-phase supply loads two lines and leaves the third."""
    if facts.proposal.units > 1 or len(facts.proposal.lines) != 2:
        return
    current_a = facts.blocks.currents.primary_load_a
    lines = " and ".join(facts.proposal.lines)
    yield Said(
        message=(
            f"Single-phase on a three-phase supply: lines {lines} carry {figure(current_a, rounding='up')} "
            "A, the third nothing. Write the lines used in the panel schedule and balance them with other "
            "loads."
        ),
        value=current_a,
        unit="A",
    )


RULES = (
    *pack.source_rules(service_band_v, VOLTS),
    Rule(
        id="high-leg-supply",
        severity="caution",
        applies=lambda facts: facts.case.supply.system.high_leg,
        check=high_leg_supply,
        trips={"supply": {"system": "240/120 delta"}},
        clean={},
    ),
    Rule(
        id="two-lines",
        severity="caution",
        applies=lambda facts: facts.case.supply.system.phases == 3 and facts.proposal.phases == 1,
        check=two_lines,
        trips={"load": [{"system": "120/240 1ph", "kva": "10 kVA"}]},
        clean={"load": [{"system": "208Y/120", "kva": "10 kVA"}]},
    ),
)
