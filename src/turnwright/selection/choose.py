"""From a case to a result: what can serve, which size, what it takes, or why not and what instead."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import inf

from msgspec import Struct
from msgspec.structs import replace

from turnwright.arrangements import ARRANGEMENTS, NotServed, Proposal, at_hour, impossible
from turnwright.demand import LoadPicture, demand_of
from turnwright.errors import OutsideTable
from turnwright.model.case import Case
from turnwright.model.result import Alternative, Blocks, Finding, Option
from turnwright.regimes import Regime
from turnwright.selection.derating import derating_of
from turnwright.selection.evaluate import Evaluation, evaluate, numbers_if_allowed
from turnwright.selection.grouping import Group, Grouping, grouping_of
from turnwright.selection.options import Screened, options_of
from turnwright.selection.picked import picked_remarks
from turnwright.selection.remarks import unsaid
from turnwright.selection.screen import Sized, judged, screen
from turnwright.selection.supply_check import supply_remarks
from turnwright.working import CLOSED, Ledger

ALLOWED_TRIES = 4  # sizes looked at above the smallest that fits, where a rule forbids it


class Picked(Struct, frozen=True, eq=False):
    """The unit that was picked, and the case it was picked for: of several units that of the first."""

    case: Case
    sized: Sized


class Decision(Struct, frozen=True, kw_only=True):
    """What was decided for one case: the pick's blocks or none, and what goes with it."""

    blocks: Blocks | None
    options: tuple[Option, ...]
    findings: tuple[Finding, ...]
    instead: tuple[Alternative, ...]
    also: tuple[Alternative, ...] = ()
    picked: Picked | None = None


class Proposed(Struct, frozen=True):
    """What serves, best first; what would on request; why the others do not."""

    wanted: tuple[Proposal, ...]
    on_request: tuple[Proposal, ...]
    reasons: tuple[tuple[str, NotServed], ...]


def decide(case: Case, regime: Regime, work: Ledger) -> Decision:
    """Return the decision for a case, with the working of the pick recorded, and what to do instead of a refusal."""
    decision = attempt(case, regime, work)
    if decision.blocks is not None:
        return decision
    from turnwright.selection.refusals import instead_of  # most jobs never need it

    def another(other: Case, inner: Ledger) -> Decision:
        return attempt(other, regime, inner)

    factor, first = regime.demand.continuous_factor, len(decision.instead)
    found = instead_of(case, impossible(case), another, work, factor, first)
    return replace(decision, instead=(*decision.instead, *found))


def attempt(case: Case, regime: Regime, work: Ledger) -> Decision:
    """Return the decision for a case as it is given, without looking for other ways."""
    stopped = impossible(case)
    if stopped:
        findings = (*(one.finding for one in stopped), *supply_remarks(case))
        return Decision(blocks=None, options=(), findings=findings, instead=())
    grouping = grouping_of(case, regime)
    if grouping.is_whole:
        decision = _one(grouping.groups[0].case, regime, work)
    else:
        decision = _several(case, grouping, regime, work)
    found = (*decision.findings, *grouping.findings)
    return replace(decision, findings=(*found, *unsaid(supply_remarks(case), found)))


def _several(case: Case, grouping: Grouping, regime: Regime, work: Ledger) -> Decision:
    """Decide each group by itself and join the answers."""
    from turnwright.selection.several import combined  # most jobs take one unit

    decided: list[tuple[Group, Decision]] = []
    for number, group in enumerate(grouping.groups):
        inner = work if number == 0 else work.within(f"also[{number - 1}]")
        decided.append((group, _one(group.case, regime, inner)))
    return combined(case, decided, grouping.direct)


def _one(case: Case, regime: Regime, work: Ledger) -> Decision:
    """Decide for loads that hang on one unit."""
    proposed = proposals_of(case, regime)
    if not proposed.wanted:
        from turnwright.selection.refusals import refused  # most jobs never need it

        return Decision(
            blocks=None,
            options=options_of(case, [], None, proposed.reasons, regime),
            findings=tuple(refused(case, proposed.reasons)),
            instead=(),
        )
    return _best(case, regime, proposed, work)


def proposals_of(case: Case, regime: Regime, options: bool = True) -> Proposed:
    """Return every proposal of every arrangement, best first, and why the others do not serve.

    An arrangement, or a number of units, that is insisted on leaves only those.

    options : also what would be picked on request only
    """
    wanted: list[Proposal] = []
    on_request: list[Proposal] = []
    reasons: list[tuple[str, NotServed]] = []
    choices = case.choices
    for arrangement in ARRANGEMENTS:
        if choices.arrangement not in (None, arrangement.name):
            continue
        if not options and arrangement.asked is not None and not arrangement.asked(case):
            continue
        answer = _no_ware(arrangement.name, case, regime) or arrangement.propose(case, regime.systems)
        if isinstance(answer, NotServed):
            reasons.append((arrangement.name, answer))
            continue
        for made in answer:
            proposal = at_hour(made, regime.vector_hour)
            if choices.units is not None and proposal.units != choices.units:
                reasons.append((arrangement.name, _other_units(proposal, choices.units)))
            else:
                (on_request if proposal.on_request else wanted).append(proposal)
    return Proposed(tuple(sorted(wanted, key=lambda p: p.rank)), tuple(on_request), tuple(reasons))


def _no_ware(name: str, case: Case, regime: Regime) -> NotServed | None:
    """Say why an arrangement is not looked at where the trade of a regime has no such units."""
    if name not in regime.uncommon or case.choices.arrangement == name:
        return None
    return NotServed(code="uncommon-here", message=regime.uncommon[name], known="common practice")


def _other_units(proposal: Proposal, wanted: int) -> NotServed:
    return NotServed(
        code="number-of-units",
        message=f"{proposal.arrangement.capitalize()} takes {proposal.units} here; {wanted} is insisted on.",
        known="computed",
        shown=False,
    )


def picture_of(case: Case, proposal: Proposal, regime: Regime, work: Ledger = CLOSED) -> LoadPicture:
    """Return what the loads ask of one proposal."""
    picture = demand_of(case, proposal.load_system or proposal.output, regime.demand, work)
    return picture if proposal.adapt is None else proposal.adapt(picture, work)


def _best(case: Case, regime: Regime, proposed: Proposed, work: Ledger) -> Decision:
    screened = _screened(case, proposed.wanted, regime)
    forbidden: list[Finding] = []
    for sized in _in_order(case, screened, regime):
        draft = work.draft()
        try:
            tried = evaluate(case, _recorded(case, sized, regime, draft), regime, draft)
        except OutsideTable as error:
            forbidden.append(_outside_table(sized, error))
            continue
        if tried.refused_by:
            forbidden.extend(tried.refused_by)
            continue
        work.adopt(draft)
        return _selected(case, regime, tried, screened, proposed, work)
    return Decision(
        blocks=None,
        options=options_of(case, screened, None, proposed.reasons, regime),
        findings=_distinct(forbidden or [_too_large(case, screened)]),
        instead=(),
    )


def _screened(case: Case, proposals: Sequence[Proposal], regime: Regime) -> Screened:
    """Return the sizes of each proposal; of equal rank those first that take the least kVA in all."""
    screened = [(p, screen(case, p, picture_of(case, p, regime), regime)) for p in proposals]
    if len({p.rank for p in proposals}) == len(proposals):
        return screened
    return sorted(screened, key=lambda each: (each[0].rank, _total_kva(each[1])))


def _total_kva(sizes: tuple[Sized, ...]) -> float:
    return next((s.unit.kva * s.proposal.units for s in sizes if s.fits and s.standard), float("inf"))


def _in_order(
    case: Case, screened: Iterable[tuple[Proposal, tuple[Sized, ...]]], regime: Regime
) -> Iterator[Sized]:
    """Yield the sizes worth evaluating; larger ones only when a rule forbids the first."""
    for proposal, sizes in screened:
        near = list(candidates(case, sizes))
        yield from near
        if near and case.choices.kva is None:
            more = screen(case, proposal, sizes[0].picture, regime, ALLOWED_TRIES)
            yield from list(candidates(case, more))[len(near) :]


def _recorded(case: Case, sized: Sized, regime: Regime, work: Ledger) -> Sized:
    """The same size with its working, where a ledger is open."""
    if not work.is_open:
        return sized
    picture = picture_of(case, sized.proposal, regime, work)
    derating = derating_of(case.site, work, sized.unit.rise_k, sized.unit.insulation_c)
    return judged(case, sized.proposal, picture, sized.unit, derating, regime, work)


def candidates(case: Case, sizes: tuple[Sized, ...]) -> Iterator[Sized]:
    """Yield the sizes worth evaluating: the one insisted on, else those that fit."""
    if case.choices.kva is not None:
        yield from (s for s in sizes if s.unit.kva == case.choices.kva and s.fits)
        return
    yield from (s for s in sizes if s.fits and s.standard)


def picked_numbers(case: Case, regime: Regime) -> Blocks | None:
    """Return the numbers of the pick without options and remarks, at a fraction of the cost; None without a pick."""
    if impossible(case):
        return None
    grouping = grouping_of(case, regime)
    if not grouping.is_whole:
        return attempt(case, regime, CLOSED).blocks
    case = grouping.groups[0].case
    screened = _screened_lazily(case, proposals_of(case, regime, options=False).wanted, regime)
    for sized in _in_order(case, screened, regime):
        try:
            blocks = numbers_if_allowed(case, sized, regime)
        except OutsideTable:
            continue
        if blocks is not None:
            return blocks
    return None


def smallest_fitting_kva(case: Case, regime: Regime) -> float | None:
    """Return the size that would be picked by screening alone; None where nothing fits."""
    if impossible(case):
        return None
    case = grouping_of(case, regime).groups[0].case
    for _, sizes in _screened_lazily(case, proposals_of(case, regime, options=False).wanted, regime):
        found = next(candidates(case, sizes), None)
        if found is not None:
            return float(found.unit.kva)
    return None


def _screened_lazily(
    case: Case, proposals: Sequence[Proposal], regime: Regime
) -> Iterator[tuple[Proposal, tuple[Sized, ...]]]:
    """Yield what `_screened` returns, where no ranks are equal one by one."""
    if len({p.rank for p in proposals}) < len(proposals):
        yield from _screened(case, proposals, regime)
        return
    for proposal in proposals:
        yield proposal, screen(case, proposal, picture_of(case, proposal, regime), regime)


def _selected(
    case: Case, regime: Regime, final: Evaluation, screened: Screened, proposed: Proposed, work: Ledger
) -> Decision:
    known = {_counted_on(p): sizes[0].picture for p, sizes in screened if p.adapt is None}
    requested: Screened = []
    for proposal in proposed.on_request:
        picture = known.get(_counted_on(proposal)) if proposal.adapt is None else None
        picture = picture or picture_of(case, proposal, regime)
        requested.append((proposal, screen(case, proposal, picture, regime, 1)))
    return Decision(
        blocks=final.blocks,
        options=options_of(case, [*screened, *requested], final.sized, proposed.reasons, regime, work),
        findings=(*unsaid(picked_remarks(case, final, regime), final.findings), *final.findings),
        instead=(),
        picked=Picked(case, final.sized),
    )


def _counted_on(proposal: Proposal) -> str:
    return (proposal.load_system or proposal.output).text


def _too_large(case: Case, screened: Screened) -> Finding:
    insisted = case.choices.kva
    looked = [s for _, sizes in screened for s in sizes if insisted is None or s.unit.kva == insisted]
    nearest = min(looked, key=lambda sized: sized.governing.kva)
    need, kva = (
        nearest.governing,
        float(nearest.unit.kva if insisted is not None else max(s.unit.kva for s in looked)),
    )
    known = need.kva < inf
    wanted = f"{need.kva:.1f} kVA is needed ({need.why})" if known else f"no size is enough: {need.why}"
    if insisted is not None:
        code, message = "insisted-size-too-small", f"{insisted:g} kVA is insisted on; {wanted}."
    else:
        code, message = (
            "above-all-sizes",
            f"The largest preferred rating is {kva:g} kVA; {wanted}. Split the load.",
        )
    return Finding(
        code=code,
        severity="stop",
        message=message,
        known="computed",
        value=kva,
        limit=float(need.kva) if known else None,
        unit="kVA",
    )


def _outside_table(sized: Sized, error: OutsideTable) -> Finding:
    """A unit for which a table of the code has no row: nobody may guess what stands beyond its end."""
    message = (
        f"{sized.unit.kva:g} kVA goes beyond a table of the code: {error.where}: {error.what} {error.fix} "
        "Split the load, or have it designed by an engineer."
    )
    return Finding(code="outside-table", severity="stop", message=message, known="computed")


def _distinct(findings: list[Finding]) -> tuple[Finding, ...]:
    found: dict[str, Finding] = {}
    for finding in findings:  # of the sizes that were tried the smallest comes first
        found.setdefault(finding.code, finding)
    return tuple(found.values())
