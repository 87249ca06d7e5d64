"""Rules for outputs that are not a system of their own, and for several units as one: 450.4, 450.5, 210.9, 215.11."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.reference import load
from turnwright.regimes.common.rules import pack
from turnwright.regimes.common.rules.connection import (
    boost_and_start,
    marked_for_it,
    shared_winding,
)
from turnwright.regimes.common.rules.plain import labels
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.looks import is_volts
from turnwright.regimes.us.rules.numbers import limit
from turnwright.regimes.us.rules.volts import VOLTS


def common_neutral(facts: Facts) -> Iterator[Said]:
    """210.9, 215.11: circuits from an autotransformer have a grounded conductor in common with the supply.

    Exceptions: between 208 V and 240 V; between 480 V and 600 V in industry with qualified persons.
    """
    supply = facts.case.supply.system
    wants = tuple(one for one in facts.case.loads if one.neutral or one.system.has_neutral)
    if wants and supply.neutral_v is None:
        yield Said(
            message=(
                f"{labels(wants)} needs a neutral; an autotransformer makes none and the {supply.text} "
                "supply has none. Take separate windings."
            )
        )
        return
    if wants or "N" in facts.proposal.lines:
        yield Said(
            message=f"The neutral of the {supply.text} supply is the neutral of the output: run it through unbroken.",
            severity="note",
        )
        return
    pair = sorted((facts.proposal.primary.line_v, max(one.system.line_v for one in facts.case.loads)))
    if is_volts(pair[0], 208) and is_volts(pair[1], 240):
        return
    if is_volts(pair[0], pair[1]):
        yield Said(
            message=(
                f"A correction of {pair[0]:g} V by a winding in the line, without a grounded conductor "
                "in common: the code has no exception for it by name. Ask the inspector first."
            ),
            severity="caution",
        )
        return
    if is_volts(pair[0], 480) and is_volts(pair[1], 600):
        yield Said(
            message=(
                "An autotransformer between 480 V and 600 V without a common neutral: only in industry where "
                "qualified persons alone look after it."
            ),
            severity="caution",
        )
        return
    yield Said(
        message=(
            f"An autotransformer from {pair[0]:g} V to {pair[1]:g} V needs a grounded conductor in common "
            "with the supply; without one only 208 to 240 V, or 480 to 600 V in supervised industry, is "
            "allowed."
        )
    )


def input_device(facts: Facts) -> Iterator[Said]:
    """450.4(A): a device in each ungrounded input conductor, none in series with the common winding."""
    plan = facts.blocks.protection
    most_a = plan.primary_only_max_a
    size = f" of at most {most_a:g} A" if most_a is not None else ""
    yield Said(
        message=(
            f"A device{size} in each ungrounded input conductor; none between the two windings, where it "
            "would open the common part and leave the output high."
        ),
        value=plan.primary_a,
        limit=most_a,
        unit="A" if most_a is not None else None,
    )


def grounding_autotransformer(facts: Facts) -> Iterator[Said]:
    """450.5: zigzag or T connected to a three-wire system to give it a neutral."""
    edition = facts.case.edition
    share = limit(edition, "grounding_autotransformer_neutral_device_pct")
    opens_pct = load("nec_450_3b").at(edition).row(id="GA2").number("max_pct")
    neutral_a = facts.blocks.currents.neutral_load_a
    unbalance = (
        f" Its neutral is rated for {figure(neutral_a, rounding='up')} A, the most its loads unbalance it by: "
        "one line alone on."
        if neutral_a
        else ""
    )
    yield Said(
        message=(
            "A grounding autotransformer: connected to the phases without a switch of its own, not behind a "
            f"point where the system is grounded already; the main opens at {opens_pct:g} % of its "
            f"continuous rating (or {share:g} % of the device in the neutral), all poles at once."
            f"{unbalance}"
        )
    )


BOOST = {
    "supply": {"system": "208Y/120", "panel_fault_rating": None},
    "load": [{"system": "230 1ph", "current": "16 A", "neutral": False}],
    "choices": {"arrangement": "buck-boost"},
}
AUTO_600 = {
    "supply": {"system": "600 3ph"},
    "load": [{"system": "480 3ph", "kva": "20 kVA"}],
    "choices": {"arrangement": "autotransformer"},
}

RULES = (
    Rule(
        id="autotransformer-neutral",
        severity="stop",
        refuses=True,
        applies=shared_winding,
        check=common_neutral,
        trips=AUTO_600,
        clean=BOOST,
    ),
    Rule(
        id="autotransformer-device",
        severity="note",
        applies=shared_winding,
        check=input_device,
        trips=BOOST,
        clean={},
    ),
    Rule(
        id="autotransformer-mark",
        severity="note",
        applies=shared_winding,
        check=marked_for_it,
        trips=BOOST,
        clean={},
    ),
    pack.not_a_new_system(VOLTS),
    Rule(
        id="boost-and-start",
        severity="caution",
        applies=shared_winding,
        check=boost_and_start,
        trips={**BOOST, "load": [{"system": "230 3ph", "hp": "20 hp", "kind": "motor"}]},
        clean=BOOST,
    ),
    *pack.bank_rules(VOLTS),
    Rule(
        id="grounding-autotransformer",
        severity="caution",
        applies=lambda facts: facts.proposal.shunt,
        check=grounding_autotransformer,
        trips={
            "supply": {"system": "480 3ph", "grounding": "ungrounded"},
            "load": [{"system": "480Y/277", "kva": "20 kVA"}],
            "choices": {"arrangement": "zig-zag"},
        },
        clean={},
    ),
)
