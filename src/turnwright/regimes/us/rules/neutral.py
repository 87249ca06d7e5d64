"""Rules about the neutral of loads that distort: 310.15(E), 220.61."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.regimes.common.rules.harmonics import PCS, PLAIN, nonlinear_share_pct
from turnwright.regimes.common.rules.plain import practice
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.numbers import limit


def neutral_counts(facts: Facts) -> Iterator[Said]:
    """310.15(E)(3): on a four-wire wye with mostly nonlinear load the neutral counts as current-carrying."""
    share, major_pct = nonlinear_share_pct(facts), practice("nonlinear_major_pct")
    if share > major_pct:
        yield Said(
            message=(
                f"{figure(share)} % of the load may be nonlinear: the neutral counts as a current-carrying "
                "conductor, four in a raceway, and each circuit gets a neutral of its own or one sized for "
                "the sum."
            ),
            value=share,
            limit=major_pct,
            unit="%",
        )


def neutral_reduction(facts: Facts) -> Iterator[Said]:
    """220.61(B), (C): 70 % of the neutral load over 200 A, not for nonlinear load on a four-wire wye."""
    edition = facts.case.edition
    over_a, share = limit(edition, "neutral_demand_over_a"), limit(edition, "neutral_demand_pct")
    neutral_a = facts.picture.neutral_fundamental_a
    if neutral_a is None or neutral_a <= over_a:
        return
    yield Said(
        message=(
            f"The neutral carries {figure(neutral_a, rounding='up')} A of unbalance: the part over "
            f"{over_a:g} A may be counted at {share:g} %, but not what is nonlinear. It is not reduced here."
        ),
        value=neutral_a,
        limit=over_a,
        unit="A",
    )


RULES = (
    Rule(
        id="neutral-counts",
        severity="note",
        applies=lambda facts: (
            facts.proposal.derived
            and facts.proposal.output.connection == "wye"
            and any(load.neutral for load in facts.picture.loads)
        ),
        check=neutral_counts,
        trips=PCS,
        clean=PLAIN,
    ),
    Rule(
        id="neutral-reduction",
        severity="note",
        check=neutral_reduction,
        trips={"load": [{"name": "ranges", "system": "120 1ph", "kva": "30 kVA", "lines": "A"}]},
        clean={},
    ),
)
