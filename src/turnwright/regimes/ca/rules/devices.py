"""Rules about devices and conductors: 26-254, 26-256, 14-606, 14-012, 8-102 (numbers of 2021)."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.regimes.ca.rules.numbers import limit
from turnwright.regimes.common.rules import around, plain
from turnwright.regimes.rule import Facts, Rule, Said


def secondary_device(facts: Facts) -> Iterator[Said]:
    """26-254: 125 % before the transformer protects both sides; 125 % after it lets the feeder device reach 300 %."""
    plan = facts.blocks.protection
    both_a = plan.primary_with_secondary_max_a
    reach = f" ({both_a:g} A)" if both_a is not None else ""
    if plan.secondary_devices_a:
        message = (
            f"The {plan.secondary_a:g} A after the transformer is a choice: a device before it within 125 % "
            "protects "
            f"conductors of 125 % on both sides alone. With it the device before may reach 300 %{reach}."
        )
        yield Said(message=message, value=plan.secondary_a, limit=plan.secondary_max_a, unit="A")
    else:
        message = (
            "No device after the transformer: the one before it protects the conductors on both sides, which have "
            "125 % of the rated currents."
        )
        yield Said(message=message, value=plan.primary_a, limit=plan.primary_only_max_a, unit="A")


def above_125(facts: Facts) -> Iterator[Said]:
    """26-256(4): a device rounded up above 125 % protects the conductors after it by their own ampacity only."""
    plan, currents = facts.blocks.protection, facts.blocks.currents
    share = limit(facts.case.edition, "conductor_rated_pct")
    most_a = currents.primary_rated_a * share / 100
    if plan.primary_a is None or plan.secondary_devices_a or plan.primary_a <= most_a * (1 + plain.SAME):
        return
    yield Said(
        message=(
            f"The {plan.primary_a:g} A device before the transformer is the rating above {share:g} % "
            f"({figure(most_a)} A): it protects the conductors after it only where their own ampacity suits it through "
            "the voltages, as here."
        ),
        value=plan.primary_a,
        limit=most_a,
        unit="A",
    )


def conductors_125(facts: Facts) -> Iterator[Said]:
    """26-256(1), (2): conductors by the rating of the transformer, whatever its load."""
    currents = facts.blocks.currents
    share = limit(facts.case.edition, "conductor_rated_pct")
    before_a, after_a = (
        amps * share / 100 for amps in (currents.primary_rated_a, currents.secondary_rated_a)
    )
    yield Said(
        message=(
            f"Conductors by the rating, not the load: {share:g} % of rated current, "
            f"{figure(before_a, rounding='up')} A "
            f"before and {figure(after_a, rounding='up')} A after the transformer at least."
        ),
        value=after_a,
        unit="A",
    )


def panel_through_transformer(facts: Facts) -> Iterator[Said]:
    """14-606: the primary device, referred by the voltages, may be the protection of the panel after it."""
    primary_a = facts.blocks.protection.primary_a
    if primary_a is None:
        return
    ratio = facts.proposal.primary.line_v / facts.proposal.secondary.line_v
    seen_a = primary_a * ratio
    yield Said(
        message=(
            f"A panel after the transformer may do without a main of its own if it is rated at least "
            f"{figure(seen_a, rounding='up')} A: {primary_a:g} A times {figure(ratio)}."
        ),
        value=seen_a,
        unit="A",
    )


def drop(facts: Facts) -> Iterator[Said]:
    """8-102: 3 % in a feeder or branch, 5 % in all; the transformer's own drop comes on top."""
    runs = facts.blocks.conductors
    parts = [run.drop_pct for run in (runs.primary, runs.secondary) if run and run.drop_pct is not None]
    if not parts:
        return
    most, total = limit(facts.case.edition, "drop_part_pct"), limit(facts.case.edition, "drop_total_pct")
    worst, everything = max(parts), sum(parts)
    if worst > most * (1 + plain.SAME):
        message = (
            f"One run drops {figure(worst, rounding='up')} %; {most:g} % is the most in a feeder or branch "
            "circuit."
        )
        yield Said(message=message, value=worst, limit=most, unit="%")
    elif everything > total * (1 + plain.SAME):
        message = (
            f"The runs drop {figure(everything, rounding='up')} % together; {total:g} % is the most in all."
        )
        yield Said(message=message, value=everything, limit=total, unit="%")


TWO_WIRE = {"load": [{"system": "240 3ph", "kva": "20 kVA"}]}

RULES = (
    *around.board_rules("panel", carries="90 A"),
    Rule(
        id="secondary-device",
        severity="note",
        applies=plain.derived,
        check=secondary_device,
        clean={
            "supply": {"system": "240 3ph"},
            "load": [{"system": "208 3ph", "kva": "20 kVA"}],
            "choices": {"arrangement": "autotransformer"},
        },
    ),
    Rule(
        id="above-125",
        severity="note",
        applies=plain.derived,
        check=above_125,
        trips={"load": [{"system": "208Y/120", "kva": "29.5 kVA"}]},
        clean={"circuit": {"primary_device": "40 A"}},
    ),
    Rule(
        id="conductors-125",
        severity="note",
        check=conductors_125,
    ),
    Rule(
        id="panel-through-transformer",
        severity="note",
        applies=plain.has_neutral,
        check=panel_through_transformer,
        clean=TWO_WIRE,
    ),
    Rule(
        id="drop",
        severity="caution",
        needs=("circuit.primary_length_m", "circuit.secondary_length_m"),
        check=drop,
        trips={"circuit": {"primary_length": "400 m"}},
        clean={},
    ),
)
