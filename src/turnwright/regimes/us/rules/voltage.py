"""Rules about the direction and the loading of the unit: step-up, back-feeding, the band it is usually loaded in."""

from __future__ import annotations

from turnwright.regimes.common.rules import plain
from turnwright.regimes.common.rules.connection import backfed_neutral
from turnwright.regimes.common.rules.loads import uneven_phases
from turnwright.regimes.rule import Rule

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
