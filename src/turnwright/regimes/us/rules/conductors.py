"""Rules about the runs: advised voltage drop on both sides together."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.numbers import limit


def voltage_drop(facts: Facts) -> Iterator[Said]:
    """210.19, 215.2 informational notes: 3 % in a feeder, 5 % with the branch; advice, not a rule."""
    runs = facts.blocks.conductors
    advised_pct, total_pct = (limit(facts.case.edition, key) for key in ("drop_feeder_pct", "drop_total_pct"))
    for side, run in (("supply", runs.primary), ("load", runs.secondary)):
        if run is not None and run.drop_pct is not None and run.drop_pct > advised_pct:
            yield Said(
                message=(
                    f"The {side} side conductors drop {figure(run.drop_pct, rounding='up')} %: "
                    f"{advised_pct:g} % in a feeder and {total_pct:g} % with the branch are advised. The "
                    "transformer's own drop comes on top. Conductors of at most "
                    f"{figure(advised_pct / run.drop_pct, rounding='down')} times this impedance keep it: a larger "
                    "size, or more of them in parallel."
                ),
                value=run.drop_pct,
                limit=advised_pct,
                unit="%",
            )


RULES = (
    Rule(
        id="voltage-drop",
        severity="caution",
        check=voltage_drop,
        trips={"circuit": {"primary_length": "2500 ft"}},
        clean={},
    ),
)
