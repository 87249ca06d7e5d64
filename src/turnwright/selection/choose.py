"""From a case to a result: what can serve, which size, what it takes, or why not and what instead."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from turnwright.arrangements import ARRANGEMENTS, NotServed, Proposal, impossible
from turnwright.demand import LoadPicture, demand_of
from turnwright.model.case import Case
from turnwright.model.result import Alternative, Blocks, Finding, Option
from turnwright.regimes import Regime
from turnwright.selection.derating import derating_of
from turnwright.selection.evaluate import Evaluation, evaluate
from turnwright.selection.options import options_of
from turnwright.selection.refusals import instead_of
from turnwright.selection.screen import Sized, screen, size_up
from turnwright.working import CLOSED, Ledger

ALLOWED_TRIES = 4  # sizes looked at above the smallest that fits, where a rule forbids it


class Decision(Struct, frozen=True, kw_only=True):
    """What was decided for one case: the pick's blocks or none, and what goes with it."""

    blocks: Blocks | None
    options: tuple[Option, ...]
    findings: tuple[Finding, ...]
    instead: tuple[Alternative, ...]
    also: tuple[Alternative, ...] = ()


def decide(case: Case, regime: Regime, work: Ledger) -> Decision:
    """Return the decision for a case, with the working of the pick recorded."""
    stopped = impossible(case)
    if stopped:
        return Decision(
            blocks=None,
            options=(),
            findings=tuple(one.finding for one in stopped),
            instead=instead_of(case, regime, stopped, decide),
        )
    proposals, reasons = proposals_of(case, regime)
    if not proposals:
        return Decision(blocks=None, options=(), findings=reasons, instead=())
    return _best(case, regime, proposals, work)


def proposals_of(case: Case, regime: Regime) -> tuple[tuple[Proposal, ...], tuple[Finding, ...]]:
    """Return every proposal of every arrangement, best first, and why the others do not serve."""
    proposals: list[Proposal] = []
    reasons: list[Finding] = []
    for arrangement in ARRANGEMENTS:
        if case.choices.arrangement not in (None, arrangement.name):
            continue
        answer = arrangement.propose(case, regime.systems)
        if isinstance(answer, NotServed):
            reasons.append(_reason(answer))
        else:
            proposals.extend(answer)
    return tuple(sorted(proposals, key=lambda p: p.rank)), tuple(reasons)


def _reason(answer: NotServed) -> Finding:
    return Finding(
        code=answer.code, severity="stop", message=answer.message, clause=answer.clause, known=answer.known
    )


def picture_of(case: Case, proposal: Proposal, regime: Regime, work: Ledger = CLOSED) -> LoadPicture:
    """Return what the loads ask of one proposal."""
    return demand_of(case, proposal.output, regime.demand, work)


def _best(case: Case, regime: Regime, proposals: tuple[Proposal, ...], work: Ledger) -> Decision:
    screened = [(p, screen(case, p, picture_of(case, p, regime), regime)) for p in proposals]
    refused: list[Finding] = []
    for _, sizes in screened:
        for sized in candidates(case, sizes):
            draft = work.draft()
            tried = evaluate(case, _recorded(case, sized, regime, draft), regime, draft)
            if tried.refused_by:
                refused.extend(tried.refused_by)
                continue
            work.adopt(draft)
            return _selected(case, regime, tried, screened)
    refused = refused or [_too_large(case, screened)]
    return Decision(
        blocks=None,
        options=options_of(case, screened, None, regime),
        findings=_distinct(refused),
        instead=instead_of(case, regime, (), decide),
    )


def _recorded(case: Case, sized: Sized, regime: Regime, work: Ledger) -> Sized:
    """The same size with its working, where a ledger is open."""
    if not work.is_open:
        return sized
    picture = picture_of(case, sized.proposal, regime, work)
    derating = derating_of(case.site, work)
    return size_up(case, sized.proposal, picture, sized.unit.kva, derating, regime, work)


def candidates(case: Case, sizes: tuple[Sized, ...]) -> Iterator[Sized]:
    """Yield the sizes worth evaluating: the one insisted on, else the smallest that fit."""
    if case.choices.kva is not None:
        yield from (s for s in sizes if s.unit.kva == case.choices.kva and s.fits)
        return
    yield from [s for s in sizes if s.fits and s.standard][:ALLOWED_TRIES]


def smallest_fitting_kva(case: Case, regime: Regime) -> float | None:
    """Return the size that would be picked by screening alone; None where nothing fits."""
    if impossible(case):
        return None
    for proposal in proposals_of(case, regime)[0]:
        sizes = screen(case, proposal, picture_of(case, proposal, regime), regime)
        found = next(candidates(case, sizes), None)
        if found is not None:
            return float(found.unit.kva)
    return None


def _selected(
    case: Case, regime: Regime, final: Evaluation, screened: list[tuple[Proposal, tuple[Sized, ...]]]
) -> Decision:
    return Decision(
        blocks=final.blocks,
        options=options_of(case, screened, final.sized, regime),
        findings=final.findings,
        instead=(),
    )


def _too_large(case: Case, screened: list[tuple[Proposal, tuple[Sized, ...]]]) -> Finding:
    need = min(sizes[-1].governing.kva for _, sizes in screened)
    if case.choices.kva is not None:
        return Finding(
            code="insisted-size-too-small",
            severity="stop",
            message=f"{case.choices.kva:g} kVA is insisted on; {need:.1f} kVA is needed.",
            known="computed",
            value=float(case.choices.kva),
            limit=float(need),
            unit="kVA",
        )
    largest = max(sizes[-1].unit.kva for _, sizes in screened)
    return Finding(
        code="above-all-sizes",
        severity="stop",
        message=f"{need:.1f} kVA is needed; the largest preferred rating is {largest:g} kVA. Split the load.",
        clause="NEMA ST 20",
        known="memory",
        value=float(need),
        limit=float(largest),
        unit="kVA",
    )


def _distinct(findings: list[Finding]) -> tuple[Finding, ...]:
    return tuple({finding.code: finding for finding in findings}.values())
