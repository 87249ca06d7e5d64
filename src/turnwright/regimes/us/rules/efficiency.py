"""Rules about the efficiency law, 10 CFR 431.192 and 431.196: which level holds, or why none does."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from turnwright.quantities import figure
from turnwright.reference import load
from turnwright.regimes.common.efficiency import VENTILATED
from turnwright.regimes.common.rules.plain import labels
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.law import last_day

SHARED_WINDING = ("autotransformer", "buck-boost")
GROUNDING = ("zig-zag",)


@lru_cache(maxsize=64)
def scope(manufactured: str, key: str) -> float:
    """Return a number of the definition of 10 CFR 431.192 as it stood when the unit was made. [any]"""
    return float(load("us_doe_scope").at(manufactured).row(key=key).number("value"))


@lru_cache(maxsize=64)
def table_span_kva(manufactured: str, phases: int) -> tuple[float, float]:
    """Return the smallest and the largest rating with a minimum. [kVA]

    Example:
        >>> table_span_kva("2026-01-01", 3)
        (15.0, 1000.0)
    """
    ratings = load("us_doe_lvdt_efficiency").at(manufactured).where(phases=phases).column("kva")
    return float(ratings[0]), float(ratings[-1])


def _made(facts: Facts) -> str:
    return last_day(facts.case.choices.manufactured)


def law_that_holds(facts: Facts) -> Iterator[Said]:
    """431.196(a): the least efficiency at 35 % load, by date of manufacture."""
    law = facts.blocks.efficiency
    if law.law_pct is None:
        return
    yield Said(
        message=(
            f"Made {facts.case.choices.manufactured}: at least "
            f"{figure(law.law_pct, digits=5, rounding='up')} % at {scope(_made(facts), 'test_load_pct'):g} % "
            f"load by {law.law}; the date of manufacture or import counts, not that of installation."
        ),
        value=law.law_pct,
        unit="%",
    )


def why_none(facts: Facts) -> str:
    """Return why the definition leaves the unit out, or "" where no reason is known."""
    unit, made = facts.unit, _made(facts)
    first = load("us_doe_lvdt_efficiency").editions[0]
    if made < first:
        return f"it was made before {first}"
    if facts.proposal.arrangement in SHARED_WINDING:
        return "autotransformers are outside the definition"
    if facts.proposal.arrangement in GROUNDING:
        return "grounding transformers are outside the definition"
    if facts.case.supply.frequency_hz != scope(made, "frequency_hz"):
        return f"the definition is of {scope(made, 'frequency_hz'):g} Hz units"
    if unit.enclosure not in VENTILATED:
        return "sealed and nonventilated units are outside the definition"
    if max(unit.primary.line_v, unit.secondary.line_v) > scope(made, "input_low_voltage_max_v"):
        return f"it has over {scope(made, 'input_low_voltage_max_v'):g} V"
    if unit.taps_pct and max(unit.taps_pct) - min(unit.taps_pct) >= scope(made, "tap_range_excluded_pct"):
        return f"its taps span {scope(made, 'tap_range_excluded_pct'):g} % or more"
    low, high = table_span_kva(made, unit.phases)
    if unit.kva < low:
        return f"it is below {low:g} kVA"
    return f"it is above {high:g} kVA, where the table ends" if unit.kva > high else ""


def law_that_does_not(facts: Facts) -> Iterator[Said]:
    """431.192: kinds, sizes, volts and frequency outside the definition of a distribution transformer."""
    if facts.blocks.efficiency.law_pct is not None:
        return
    reason = why_none(facts)
    if reason:
        yield Said(
            message=(
                f"No federal minimum of efficiency for this unit: {reason}. State laws may ask for one; compare losses."
            )
        )
    else:
        yield Said(
            message=(
                f"The efficiency law was not applied to this arrangement ({facts.proposal.arrangement}): "
                "each of its units counts on its own and may be under it. Ask the maker for what is marked "
                "on them."
            ),
            severity="caution",
        )


BUILT_FOR = {"drive": "for drive isolation", "welder": "as a welding transformer"}
"""Kinds of load for which units are built that the definition leaves out."""


def built_for_one_kind(facts: Facts) -> Iterator[Said]:
    """431.192: units for drives or welding are outside only where they are built as such."""
    if facts.blocks.efficiency.law_pct is None:
        return
    for kind, built in BUILT_FOR.items():
        loads = facts.of_kind(kind)
        if loads and len(loads) == len(facts.case.loads):
            yield Said(
                message=(
                    f"Nothing but {labels(loads)} on it: a unit built and marked {built} is outside the law; an "
                    f"ordinary one used for {kind}s is not."
                )
            )


def coming_level(facts: Facts) -> Iterator[Said]:
    """89 FR 29834: the level from 2029, whose numbers are carried from memory."""
    levels = load("us_doe_lvdt_efficiency").editions
    made = _made(facts)
    if made >= levels[-1] and facts.blocks.efficiency.law_pct is not None:
        yield Said(
            message=(
                f"The numbers of the level from {levels[-1]} were not read: read the Federal Register before "
                "relying on them, and whether the level still stands."
            )
        )


RULES = (
    Rule(
        id="efficiency-law",
        severity="note",
        check=law_that_holds,
        trips={},
        clean={"load": [{"system": "208Y/120", "kva": "5 kVA"}]},
    ),
    Rule(
        id="efficiency-outside",
        severity="note",
        check=law_that_does_not,
        trips={"load": [{"system": "208Y/120", "kva": "5 kVA"}]},
        clean={},
    ),
    Rule(
        id="efficiency-drives",
        severity="note",
        check=built_for_one_kind,
        trips={"load": [{"name": "fan drive", "system": "208Y/120", "kva": "20 kVA", "kind": "drive"}]},
        clean={},
    ),
    Rule(
        id="efficiency-2029",
        severity="caution",
        check=coming_level,
        trips={"choices": {"manufactured": "2029-06"}},
        clean={"choices": {"manufactured": "2028-12"}},
    ),
)
