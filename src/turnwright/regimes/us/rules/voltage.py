"""Rules about the direction and the loading of the unit: step-up, back-feeding, the band it is usually loaded in."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.regimes.common.rules import plain
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.numbers import usual


def backfed_neutral(facts: Facts) -> Iterator[Said]:
    """Common practice: on a back-fed unit the neutral terminal of the fed wye stays open and unbonded."""
    yield Said(
        message=(
            "If a step-down unit is fed backwards all the same: phases only on its wye side, nothing on X0, "
            "its factory bond strap taken off. Its output floats until it is grounded on purpose."
        )
    )


def uneven_phases(facts: Facts) -> Iterator[Said]:
    """Each winding carries a third: the most loaded one decides, and one reading says nothing of the others."""
    phases_kva = facts.picture.phase_kva
    if len(phases_kva) < 2:
        return
    average_kva = sum(phases_kva) / len(phases_kva)
    if average_kva <= 0:
        return
    above_pct = (max(phases_kva) / average_kva - 1) * 100
    watch_pct = usual("phase_unbalance_watch_pct")
    if above_pct > watch_pct:
        worst = facts.picture.phases[phases_kva.index(max(phases_kva))]
        yield Said(
            message=(
                f"Phase {worst} carries {figure(above_pct)} % more than the average: spread the single-phase "
                "loads, and measure all phases later, not one."
            ),
            value=above_pct,
            limit=watch_pct,
            unit="%",
        )


RULES = (
    Rule(
        id="loading-band",
        severity="note",
        check=plain.loading_band,
        trips={"load": [{"system": "208Y/120", "kva": "29 kVA"}]},
        clean={"load": [{"system": "208Y/120", "kva": "20 kVA"}]},
    ),
    Rule(
        id="uneven-phases",
        severity="note",
        check=uneven_phases,
        trips={
            "load": [
                {"system": "208Y/120", "kva": "10 kVA"},
                {"system": "120 1ph", "kva": "6 kVA", "lines": "A"},
            ]
        },
        clean={},
    ),
    Rule(
        id="step-up",
        severity="note",
        applies=lambda facts: facts.proposal.step_up,
        check=plain.step_up,
        trips={"supply": {"system": "208Y/120"}, "load": [{"system": "480 3ph", "kva": "20 kVA"}]},
        clean={},
    ),
    Rule(
        id="back-fed-neutral",
        severity="note",
        applies=lambda facts: (
            facts.proposal.step_up and facts.proposal.derived and facts.proposal.phases == 3
        ),
        check=backfed_neutral,
        trips={"supply": {"system": "208Y/120"}, "load": [{"system": "480 3ph", "kva": "20 kVA"}]},
        clean={},
    ),
)
