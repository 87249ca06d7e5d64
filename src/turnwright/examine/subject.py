"""What is examined: the unit a job comes to, with everything that was computed for it."""

from __future__ import annotations

from msgspec import Struct

from turnwright.arrangements import Proposal, impossible
from turnwright.errors import InputError
from turnwright.model.case import Case
from turnwright.model.result import Blocks, Pick, Result
from turnwright.regimes import Regime
from turnwright.selection import evaluate
from turnwright.selection.choose import picture_of, proposals_of
from turnwright.selection.derating import derating_of
from turnwright.selection.grouping import grouping_of
from turnwright.selection.screen import Sized, size_up
from turnwright.working import Ledger

UNEARTHED = ("ungrounded", "resistance")
"""Groundings of a supply that give a fault to ground no way back worth the name."""


class Subject(Struct, frozen=True, kw_only=True):
    """A case with the unit that is examined.

    sized   the unit, the way it is connected, and what the loads ask of it
    blocks  the numbers of the answer
    """

    case: Case
    regime: Regime
    sized: Sized
    blocks: Blocks

    @property
    def three_phase(self) -> bool:
        """What the loads get is three-phase."""
        return self.sized.proposal.output.phases == 3

    @property
    def earthed(self) -> bool:
        """A fault to ground after the unit finds a way back: through its own bonded neutral, or through the supply."""
        proposal = self.sized.proposal
        if proposal.output.neutral_v is not None:
            return True
        return not proposal.derived and self.case.supply.grounding not in UNEARTHED

    @property
    def balanced(self) -> bool:
        """One three-phase unit of equal phases, or one single-phase unit: closed forms hold for its terminals."""
        proposal = self.sized.proposal
        return proposal.share == 1.0 and proposal.units == 1 and proposal.unit_phases == proposal.phases

    @property
    def passes_kva(self) -> float:
        """What the unit passes on at its rated current: its rating, or more where it adds to the line. [kVA]"""
        volts = float(self.sized.proposal.output.line_v) * (3**0.5 if self.three_phase else 1.0)
        return float(self.blocks.currents.secondary_rated_a) * volts / 1000

    def practice(self, key: str) -> float:
        """Return a number of the trade's practice, with its source. [any]"""
        return self.regime.practice.row(key=key).number("value")


def subject_of(case: Case, regime: Regime, result: Result) -> Subject | None:
    """Return what to examine: the pick, or the size insisted on where that alone was refused; None for neither.

    Of several transformers the first, of several pieces one.

    Raises:
        InputError: EXM-02, an answer whose circuit is not known here.
    """
    if impossible(case):
        return None
    own = grouping_of(case, regime).groups[0].case
    proposed = proposals_of(own, regime)
    if result.pick is not None:
        proposal = _proposal_of((*proposed.wanted, *proposed.on_request), result.pick)
        return _subject(own, regime, proposal, result.pick.kva)
    if case.choices.kva is None or not proposed.wanted:
        return None
    return _subject(own, regime, proposed.wanted[0], case.choices.kva)


def _proposal_of(proposals: tuple[Proposal, ...], pick: Pick) -> Proposal:
    """Return the proposal that a pick was made from."""
    wanted = (pick.arrangement, pick.phases, pick.primary, pick.secondary)
    for proposal in proposals:
        if wanted == (
            proposal.arrangement,
            proposal.unit_phases,
            proposal.primary.text,
            proposal.secondary.text,
        ):
            return proposal
    raise InputError(
        "EXM-02",
        "the unit of this job",
        f"{pick.arrangement}, {pick.primary} to {pick.secondary}, cannot be examined on its own.",
        "Examine a job with the loads of one unit.",
    )


def _subject(case: Case, regime: Regime, proposal: Proposal, kva: float) -> Subject:
    work = Ledger()
    rated = next((size for size in regime.sizes_kva[proposal.unit_phases] if size == kva), kva)
    picture = picture_of(case, proposal, regime, work)
    sized = size_up(
        case,
        proposal,
        picture,
        rated,
        derating_of(case.site, work, case.choices.rise_k or regime.usual_rise_k),
        regime,
        work,
    )
    return Subject(case=case, regime=regime, sized=sized, blocks=evaluate(case, sized, regime, work).blocks)
