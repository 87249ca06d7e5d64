"""A unit fed at its marked secondary: leave of the maker, the neutral of the fed side, switching on, low volts."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.arrangements.wishes import start_of
from turnwright.model.result import Finding
from turnwright.reference import Row, load
from turnwright.regimes import Regime
from turnwright.selection import Evaluation
from turnwright.vetting.joined import Joined

REVERSIBLE = ("either",)
STEP_UP_RULE = "step-up"
"""The rule of a regime that says which way a unit may be fed, where it has one."""


def is_backwards(joined: Joined) -> bool:
    """Whether it runs against the direction it was built for."""
    return joined.reversed_ and joined.plate.unit.built_as not in REVERSIBLE


def remarks(joined: Joined, evaluation: Evaluation | None, regime: Regime) -> Iterator[Finding]:
    """Yield what has to be settled and watched where a unit runs backwards."""
    if not is_backwards(joined):
        return
    unit, output = joined.plate.unit, joined.proposal.output
    clause = next((row for row in regime.rule_table.rows if row.text("rule") == STEP_UP_RULE), None)
    yield Finding(
        code="reverse-feed",
        severity="caution",
        message=(
            f"{start_of(unit.name)} would be fed at its marked secondary ({unit.secondary.text}): only where the "
            "maker's instructions allow it. Get that in writing."
        ),
        clause=clause.source.cite() if clause else None,
        known=clause.source.known if clause else "common practice",
    )
    if unit.secondary.neutral_v is not None:
        yield Finding(
            code="reverse-neutral",
            severity="caution",
            message=(
                "The side that is fed has a neutral terminal: only the lines are connected, nothing to the neutral "
                "(X0), and the bonding strap from the works comes off. Tied to the neutral of the supply it carries "
                "circulating current until it burns."
            ),
            known="common practice",
        )
    yield _switching_on(joined, evaluation)
    yield from _volts(joined)
    if output.neutral_v is None:
        yield Finding(
            code="reverse-floating",
            severity="caution",
            message=(
                f"The {output.text} output then has no ground of its own: ground a corner on purpose, or leave it "
                "ungrounded with a ground detector and a mark."
            ),
            known="common practice",
        )


def _row(key: str) -> Row:
    return load("trade_practice").newest().row(key=key)


def _switching_on(joined: Joined, evaluation: Evaluation | None) -> Finding:
    row = _row("backfed_inrush_multiple")
    multiple = float(row.number("value"))
    rated_a = None if evaluation is None else float(evaluation.blocks.currents.primary_rated_a)
    amps = "" if rated_a is None else f", {multiple * rated_a:.0f} A"
    return Finding(
        code="reverse-inrush",
        severity="note",
        message=(
            f"Switched on from the inner winding it draws up to {multiple:g} times its rated current{amps}: take the "
            "largest device that is allowed, with time delay."
        ),
        known=row.source.known,
        value=None if rated_a is None else multiple * rated_a,
        unit=None if rated_a is None else "A",
    )


def _volts(joined: Joined) -> Iterator[Finding]:
    empty = [float(_row(f"backfed_no_load_{end}_pct").number("value")) for end in ("low", "high")]
    loaded = [float(_row(f"backfed_loaded_{end}_pct").number("value")) for end in ("low", "high")]
    output_v = float(joined.at.output_v)
    yield Finding(
        code="reverse-low-volts",
        severity="caution",
        message=(
            f"Small units have turns that make up for their own drop; backwards these work the wrong way: expect "
            f"{empty[0]:g} to {empty[1]:g} % below {output_v:.4g} V without load and {loaded[0]:g} to {loaded[1]:g} % "
            "with it."
        ),
        known="common practice",
        value=output_v * (1 - loaded[1] / 100),
        limit=output_v,
        unit="V",
    )
    if joined.plate.unit.taps_pct:
        yield Finding(
            code="reverse-taps",
            severity="note",
            message=(
                "The taps are on the output now and work backwards: a tap above nominal raises the output, and none of "
                "them helps against a supply that is too high for the iron."
            ),
            known="computed",
        )
