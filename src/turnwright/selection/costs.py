"""What a pick costs beside other builds of it and beside the units that are offered."""

from __future__ import annotations

from msgspec import Struct

from turnwright.model.case import Case
from turnwright.model.result import Blocks, Finding, Option, Question
from turnwright.regimes import Regime
from turnwright.selection.currents import full_load_kva
from turnwright.selection.screen import Sized
from turnwright.selection.yearly_loss import loss_frame
from turnwright.working import Ledger


class Costs(Struct, frozen=True):
    """More options, the order of the offers, what else there is to say, and what would settle the order."""

    options: tuple[Option, ...] = ()
    order: tuple[Finding, ...] = ()
    findings: tuple[Finding, ...] = ()
    questions: tuple[Question, ...] = ()


def costs_of(case: Case, pick: Sized, blocks: Blocks, regime: Regime, work: Ledger, first: int) -> Costs:
    """Return other builds of the pick, then the offers, each with its losses and as far as known its cost.

    first : how many options there are before these
    """
    from turnwright.selection.builds import other_builds  # not every answer compares them

    builds, findings = other_builds(case, pick, regime, work, first)
    if not case.offers:
        return Costs(builds, (), findings)
    from turnwright.selection.offers import offered  # most jobs have none

    if loss_frame(case, pick, regime) is None:
        return Costs(builds, (not_compared("windings are not separate here"),), findings)
    output = pick.proposal.output
    load_kva = full_load_kva(pick.proposal.phases)(
        current_a=blocks.currents.secondary_load_a, voltage_v=output.line_v
    )
    offers, told, questions = offered(case, pick, load_kva, regime, work)
    return Costs((*builds, *offers), told, findings, questions)


def not_compared(why: str) -> Finding:
    """Return that the offers of a job are not compared, and why."""
    message = f"The offers are not compared: {why}. 'vet --offer' judges each by itself."
    return Finding(code="offers-by-cost", severity="caution", message=message, known="computed")
