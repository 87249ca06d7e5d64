"""Rules for outputs that are not a system of their own, and for several units as one: 450.4, 450.5, 210.9, 215.11."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.reference import load
from turnwright.regimes.common.rules.looks import SQRT3
from turnwright.regimes.common.rules.plain import labels, practice
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.looks import is_volts
from turnwright.regimes.us.rules.numbers import limit


def _shared(facts: Facts) -> bool:
    """Return whether load current flows through a winding that both sides share."""
    return not facts.proposal.derived and not facts.proposal.shunt


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
                f"A correction of {pair[0]:g} V volts by a winding in the line, without a grounded conductor "
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


def marked_for_it(facts: Facts) -> Iterator[Said]:
    """450.4(B): a unit connected as autotransformer in the field is marked for the elevated voltage."""
    yield Said(
        message=(
            f"The unit must be marked for use at the higher voltage ({figure(facts.proposal.output.line_v)} "
            "V) when it is connected as an autotransformer on site."
        )
    )


def no_new_system(facts: Facts) -> Iterator[Said]:
    """Article 100: an autotransformer does not make a separately derived system."""
    yield Said(
        message=(
            "The output is part of the supply's system: no isolation, no new bond and no new electrode; the "
            "supply's grounding holds on both sides, and an open winding can put the higher voltage on the "
            "load."
        )
    )


def boost_and_start(facts: Facts) -> Iterator[Said]:
    """Common practice: a boost unit adds impedance and line current when a motor starts."""
    motors = facts.of_kind("motor")
    if motors:
        yield Said(
            message=(
                f"A boost does not help a hard start ({labels(motors)}): it draws more current from the "
                "supply and adds its own drop. Measure the volts during a start first."
            )
        )


def counts_as_one(facts: Facts) -> Iterator[Said]:
    """450.3: single-phase units run as one polyphase unit are protected by the rating of the bank."""
    yield Said(
        message=(
            f"The {facts.proposal.units} units count as one: one device before them by the current of the "
            "bank, equal voltage, taps and impedance in all."
        ),
        value=float(facts.proposal.units),
    )


def parallel_units(facts: Facts) -> Iterator[Said]:
    """450.7: units in parallel are switched as one and each is protected; equal impedance, taps and group."""
    within_pct = practice("parallel_impedance_pct")
    yield Said(
        message=(
            f"{facts.proposal.units} units in parallel: switched as one, each protected on both sides, same "
            f"ratio, taps and phase shift, impedances within {within_pct:g} % of each other, or they share "
            "unevenly."
        ),
        value=float(facts.proposal.units),
    )


def open_delta(facts: Facts) -> Iterator[Said]:
    """Two windings of an open delta carry the line current at 30 degrees: 86.6 % of their sum."""
    of_two_pct, of_three_pct = SQRT3 / 2 * 100, SQRT3 / 3 * 100
    yield Said(
        message=(
            f"Open delta: two units carry {of_two_pct:.1f} % of their sum for three-phase load, "
            f"{of_three_pct:.1f} % of three; do not count by simple thirds. Single-phase load loads one of "
            "them fully."
        )
    )


def grounding_autotransformer(facts: Facts) -> Iterator[Said]:
    """450.5: zigzag or T connected to a three-wire system to give it a neutral."""
    edition = facts.case.edition
    share = limit(edition, "grounding_autotransformer_neutral_device_pct")
    opens_pct = load("nec_450_3b").at(edition).row(id="GA2").number("max_pct")
    yield Said(
        message=(
            "A grounding autotransformer: connected to the phases without a switch of its own, not behind a "
            f"point where the system is grounded already; the main opens at {opens_pct:g} % of its "
            f"continuous rating (or {share:g} % of the device in the neutral), all poles at once."
        )
    )


BOOST = {
    "supply": {"system": "208Y/120", "panel_fault_rating": None},
    "load": [{"system": "230 1ph", "current": "16 A", "neutral": False}],
    "choices": {"arrangement": "buck-boost"},
}
OPEN_DELTA = {"load": [{"system": "240 3ph", "kva": "20 kVA"}], "choices": {"arrangement": "open delta"}}
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
        applies=_shared,
        check=common_neutral,
        trips=AUTO_600,
        clean=BOOST,
    ),
    Rule(
        id="autotransformer-device",
        severity="note",
        applies=_shared,
        check=input_device,
        trips=BOOST,
        clean={},
    ),
    Rule(
        id="autotransformer-mark",
        severity="note",
        applies=_shared,
        check=marked_for_it,
        trips=BOOST,
        clean={},
    ),
    Rule(
        id="not-a-new-system",
        severity="note",
        applies=_shared,
        check=no_new_system,
        trips=BOOST,
        clean={},
    ),
    Rule(
        id="boost-and-start",
        severity="caution",
        applies=_shared,
        check=boost_and_start,
        trips={**BOOST, "load": [{"system": "230 3ph", "hp": "20 hp", "kind": "motor"}]},
        clean=BOOST,
    ),
    Rule(
        id="bank-as-one",
        severity="note",
        applies=lambda facts: (
            facts.proposal.arrangement in ("bank", "open delta", "high leg") and facts.proposal.units > 1
        ),
        check=counts_as_one,
        trips=OPEN_DELTA,
        clean={},
    ),
    Rule(
        id="parallel-units",
        severity="caution",
        applies=lambda facts: facts.proposal.arrangement == "isolation" and facts.proposal.units > 1,
        check=parallel_units,
        trips={"load": [{"system": "208Y/120", "kva": "60 kVA"}], "choices": {"units": 2}},
        clean={},
    ),
    Rule(
        id="open-delta",
        severity="note",
        applies=lambda facts: facts.proposal.arrangement == "open delta",
        check=open_delta,
        trips=OPEN_DELTA,
        clean={},
    ),
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
