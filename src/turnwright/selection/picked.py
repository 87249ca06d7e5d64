"""What there is to say because a unit was picked: what set its size, and loads that need none."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.arrangements.wishes import start_of
from turnwright.model.case import Case
from turnwright.model.result import Finding
from turnwright.regimes import Regime
from turnwright.selection.evaluate import Evaluation
from turnwright.selection.grouping import is_served
from turnwright.selection.needs import SAME

SETS = {
    "drop": "Voltage drop, not heat, sets the size",
    "dip": "The dip at a motor's start, not heat, sets the size",
    "momentary": "The short-time demand, not heat, sets the size",
    "harmonics": "The harmonics set the size",
    "neutral": "The neutral, not heat, sets the size",
    "insisted": "The size is the one insisted on",
}


def picked_remarks(case: Case, final: Evaluation, regime: Regime) -> Iterator[Finding]:
    """Yield what set the size where it was not heat, and which loads the supply serves as it is."""
    yield from _size_basis(final, regime)
    yield from no_transformer_needed(case)


def _size_basis(final: Evaluation, regime: Regime) -> Iterator[Finding]:
    sized, demand = final.sized, final.blocks.demand
    heat = next((need.kva for need in sized.needs if need.basis == "heat"), None)
    if demand.basis not in SETS or heat is None:
        return
    series = regime.sizes_kva[sized.proposal.unit_phases]
    passes = next((kva for kva in series if kva >= heat * (1 - SAME)), None)
    alone = "" if passes is None or passes >= sized.unit.kva else f"; heat alone would pass {passes:g} kVA"
    yield Finding(
        code="size-basis",
        severity="note",
        message=f"{SETS[demand.basis]}{alone}.",
        known="computed",
        value=float(demand.kva_required),
        limit=None if passes is None else float(passes),
        unit="kVA",
    )


def no_transformer_needed(case: Case) -> Iterator[Finding]:
    """Yield the loads whose volts the supply has already."""
    for load in case.loads:
        if is_served(case, load):
            yield Finding(
                code="no-transformer-needed",
                severity="caution",
                message=(
                    f"{start_of(load.label)} asks for {load.system.text}, which the {case.supply.system.text} "
                    "supply has already: no transformer is needed for the volts. One still makes sense for isolation "
                    "or a neutral and ground of its own."
                ),
                known="computed",
            )
