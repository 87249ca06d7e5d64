"""An offer line by line against the specification that the job would issue, and the job evaluated with the offer."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from turnwright.documents.brief import Brief, units_of, usual_measure
from turnwright.documents.papers.specification import items_of
from turnwright.intake import case_of
from turnwright.model.case import NeedsInput
from turnwright.model.job import Job, Nameplate
from turnwright.model.result import Result
from turnwright.narrow import select
from turnwright.narrow.select import regime_for
from turnwright.selection.grouping import Group, grouping_of
from turnwright.vetting import vet
from turnwright.vetting.offer import Offer, OfferVetting, lines_of, verdict_of


def vet_offer(job: Job, unit: Nameplate | Sequence[Nameplate], *, ledger_open: bool = True) -> OfferVetting:
    """Return whether an offered unit does a job, and each line of the issued specification with what is offered.

    Where the specification asks for several kinds of unit, the offer is held against the kind it is nearest to, with
    the loads of that unit.

    job  : the facts as given
    unit : the nameplate offered; several run in parallel, or as a bank
    Raises InputError for facts that cannot be used; a missing fact is never an error.
    """
    plates = (unit,) if isinstance(unit, Nameplate) else tuple(unit)
    result = select(job, ask=False)
    brief = Brief(
        job=job,
        text="",
        origin=job.origin,
        result=result,
        measure=usual_measure(result.job.get("regime") or ""),
    )
    found: list[OfferVetting] = []
    for paper, part in zip(units_of(result), _parts(job, result), strict=True):
        vetting = vet(part, plates, ledger_open=ledger_open)
        lines = lines_of(items_of(paper, brief), Offer(plates, vetting))
        verdict = verdict_of(vetting, lines)
        found.append(OfferVetting(verdict=verdict, mark=paper.mark, lines=lines, vetting=vetting))
    if not found:
        vetting = vet(job, plates, ledger_open=ledger_open)
        return OfferVetting(verdict=vetting.verdict, mark="", lines=(), vetting=vetting)
    return min(found, key=lambda one: (one.verdict == "unfit", one.counted("differs")))


def _parts(job: Job, result: Result) -> list[Job]:
    """Return for each unit of the specification the job with the loads it serves."""
    count = len(units_of(result))
    if count < 2:
        return [job] * count
    regime = regime_for(job)
    case = case_of(job, regime.defaults)
    if isinstance(case, NeedsInput):
        return [job] * count
    groups = grouping_of(case, regime).groups
    return [_of_group(job, group) for group in groups] if len(groups) == count else [job] * count


def _of_group(job: Job, group: Group) -> Job:
    loads = [job.load[load.index] for load in group.case.loads]
    names = {load.name for load in loads}
    kept = [load if load.never_with in names else replace(load, never_with=None) for load in loads]
    choices = job.choices
    if group.case.choices.kva is None:
        choices = replace(choices, kva=None, proposed_kva=None)
    return replace(job, load=tuple(kept), choices=choices)
