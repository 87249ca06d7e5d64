"""Which sizes can do it: cheap, over every size of every proposal."""

from __future__ import annotations

from bisect import bisect_left

from msgspec import Struct
from msgspec.structs import replace

from turnwright.arrangements import Ask, Proposal
from turnwright.demand import LoadPicture
from turnwright.model.case import Case
from turnwright.model.unit import Unit
from turnwright.regimes import Regime
from turnwright.selection.candidate import candidate
from turnwright.selection.derating import LOWER_RISES_K, USUAL_RISE_K, derating_of
from turnwright.selection.harmonics import k_rating_for
from turnwright.selection.needs import SAME, Need, needs_of, windings
from turnwright.selection.specification import ORDINARY_K
from turnwright.thermal.classes import rated_rise
from turnwright.working import CLOSED, Ledger, formula

FEW = 2  # the size to take, and the one above it


@formula("phases · S_worst / (S_rated · derating) · 100", "%")
def loading_pct(worst_phase_kva: float, phases: float, kva: float, derating: float) -> float:
    """Return the loading of the most loaded winding in percent of what it may carry. [%]

    worst_phase_kva : load of the most loaded winding, with growth [kVA]
    phases          : windings that share the rated power, 3 or 1 [-]
    kva             : rated power [kVA]
    derating        : usable share of the rated power [-]
    Source: definition; each winding of a three-phase unit is built for a third of its rated power

    Example:
        >>> loading_pct(worst_phase_kva=20.0, phases=3, kva=75.0, derating=1.0)
        80.0
    """
    return phases * worst_phase_kva / (kva * derating) * 100


@formula("S_need · share", "kVA")
def unit_need_kva(need_kva: float, share: float) -> float:
    """Return what a need of the whole asks of each of its units. [kVA]

    need_kva : what it asks of one ordinary unit [kVA]
    share    : rating of one unit here over that [-]
    Source: definition of the share

    Example:
        >>> unit_need_kva(need_kva=90.0, share=0.5)
        45.0
    """
    return need_kva * share


@formula("S_asked / S_rated · 100", "%")
def asked_loading_pct(asked_kva: float, kva: float) -> float:
    """Return the loading of a unit by what its most loaded part asks for, derating counted there. [%]

    asked_kva : asked of the rated power, without the allowance for motors [kVA]
    kva       : rated power [kVA]
    Source: definition

    Example:
        >>> asked_loading_pct(asked_kva=0.4, kva=0.5)
        80.0
    """
    return asked_kva / kva * 100


class Sized(Struct, frozen=True, kw_only=True, eq=False):
    """One size of a proposal: the unit, what asks for which size, and how loaded it would be.

    standard  the size is a preferred rating
    """

    proposal: Proposal
    picture: LoadPicture
    unit: Unit
    needs: tuple[Need, ...]
    derating: float
    loading_pct: float
    standard: bool

    @property
    def governing(self) -> Need:
        """The need that asks for the most."""
        return max(self.needs, key=lambda need: need.kva)

    @property
    def heat_kva(self) -> float:
        """What heat asks for, which does not depend on the size; 0 where it asks for nothing. [kVA]"""
        return max((need.kva for need in self.needs if need.basis == "heat"), default=0.0)

    @property
    def fits(self) -> bool:
        """The rated power is not below any need."""
        return self.unit.kva >= self.governing.kva * (1 - SAME)


def size_up(
    case: Case,
    proposal: Proposal,
    picture: LoadPicture,
    kva: float,
    derating: float,
    regime: Regime,
    work: Ledger = CLOSED,
) -> Sized:
    """Return one size of a proposal with its needs and its loading."""
    marked = k_rating_for(case, picture, regime)
    if marked != k_rating_for(case, picture, regime, ordinary=True):
        unit = candidate(proposal, kva, case, regime, ORDINARY_K)
        ordinary = judged(case, proposal, picture, unit, derating, regime)
        if ordinary.governing.kva <= kva * (1 + SAME):
            return judged(case, proposal, picture, unit, derating, regime, work) if work.is_open else ordinary
    unit = candidate(proposal, kva, case, regime, marked)
    return judged(case, proposal, picture, unit, derating, regime, work)


def judged(
    case: Case,
    proposal: Proposal,
    picture: LoadPicture,
    unit: Unit,
    derating: float,
    regime: Regime,
    work: Ledger = CLOSED,
) -> Sized:
    """Return a unit in an arrangement, a standard size or one that exists, with its needs and its loading."""
    needs = needs_of(case, proposal, picture, unit, derating, regime, work)
    asks = proposal.asks(picture) if proposal.asks is not None else ()
    if asks or proposal.share != 1.0:
        needs = _of_each_unit(needs, asks, proposal, derating, work)
    return Sized(
        proposal=proposal,
        picture=picture,
        unit=unit,
        needs=needs,
        derating=derating,
        loading_pct=_loading_pct(proposal, picture, unit, asks, derating, work),
        standard=unit.kva in regime.sizes_kva[proposal.unit_phases],
    )


def _of_each_unit(
    needs: tuple[Need, ...], asks: tuple[Ask, ...], proposal: Proposal, derating: float, work: Ledger
) -> tuple[Need, ...]:
    """Turn what the load asks of one ordinary unit into what it asks of each unit here."""
    found = [
        Need(
            basis=ask.basis,
            kva=work.calc(f"demand.need[{ask.basis}].kva", ask.formula, **ask.inputs, derating=derating),
            why=ask.why,
        )
        for ask in asks
    ]
    for need in needs:
        if need.basis == "heat" and asks:
            continue
        share = proposal.share if need.basis in ("heat", "harmonics") else proposal.drop_share
        name = f"demand.need[{need.basis}].unit_kva"
        found.append(
            Need(
                basis=need.basis,
                kva=work.calc(name, unit_need_kva, need_kva=need.kva, share=share),
                why=need.why,
            )
        )
    return tuple(found)


def _loading_pct(
    proposal: Proposal,
    picture: LoadPicture,
    unit: Unit,
    asks: tuple[Ask, ...],
    derating: float,
    work: Ledger,
) -> float:
    if asks:
        ask = asks[0]
        asked_kva = ask.formula(**(ask.running or ask.inputs), derating=derating)
        asked: float = work.calc("demand.loading_pct", asked_loading_pct, asked_kva=asked_kva, kva=unit.kva)
        return asked
    found: float = work.calc(
        "demand.loading_pct",
        loading_pct,
        worst_phase_kva=picture.worst_phase_kva,
        phases=windings(proposal),
        kva=unit.kva if proposal.share == 1.0 else unit.kva / proposal.share,
        derating=derating,
    )
    return found


def with_lower_rise(case: Case, sized: Sized, regime: Regime) -> Sized | None:
    """Return a size that only the height or warmth of its place makes too small, built with a lower rise; else None.

    The rated power itself is never exceeded: a lower rise makes good what the place takes, no more.
    """
    proposal = sized.proposal
    free = case.choices.rise_k is None and regime.usual_rise_k == USUAL_RISE_K
    if not free or sized.derating >= 1.0 or not proposal.derived or proposal.winding_v is not None:
        return None
    for rise_k in LOWER_RISES_K:
        unit = replace(sized.unit, rise_k=rise_k, insulation_c=rated_rise(USUAL_RISE_K).system_c)
        share = derating_of(case.site, CLOSED, rise_k, unit.insulation_c)
        cooler = judged(case, proposal, sized.picture, unit, share, regime)
        if cooler.fits:
            return cooler
    return None


def rating_below(sized: Sized, regime: Regime) -> float | None:
    """Return the preferred rating before that of a unit; None where it is the smallest. [kVA]"""
    series = regime.sizes_kva[sized.proposal.unit_phases]
    return max((kva for kva in series if kva < sized.unit.kva), default=None)


def sizes_of(case: Case, proposal: Proposal, regime: Regime) -> tuple[float, ...]:
    """Return the sizes to look at: the preferred ratings there are, and the one insisted on or proposed. [kVA]"""
    series = regime.sizes_kva[proposal.unit_phases]
    if proposal.size_limits_kva is not None:
        least, most = proposal.size_limits_kva
        series = tuple(kva for kva in series if least <= kva <= most)
    wanted = {float(kva) for kva in (case.choices.kva, case.choices.proposed_kva) if kva is not None}
    return tuple(sorted({float(kva) for kva in series} | wanted)) if wanted else series


def screen(
    case: Case, proposal: Proposal, picture: LoadPicture, regime: Regime, fitting: int = FEW
) -> tuple[Sized, ...]:
    """Return sizes of a proposal, ascending: one that is too small, then some that fit, and those somebody named.

    Where none fits the largest there is stands last.

    fitting : preferred ratings that fit to stop at
    """
    derating = derating_of(case.site, CLOSED, case.choices.rise_k or regime.usual_rise_k)
    sizes = sizes_of(case, proposal, regime)

    def look(kva: float) -> Sized:
        sized = size_up(case, proposal, picture, kva, derating, regime)
        if sized.fits or kva not in (case.choices.kva, sizes[-1]):
            return sized
        return with_lower_rise(case, sized, regime) or sized

    start = max(bisect_left(sizes, look(sizes[-1]).heat_kva * (1 - SAME)) - 1, 0)
    found = [look(sizes[start])]
    while found[0].fits and start > 0:
        start -= 1
        found.insert(0, look(sizes[start]))
    named = {case.choices.kva, case.choices.proposed_kva} - {None}
    for kva in sizes[start + len(found) :]:
        enough = sum(sized.fits and sized.standard for sized in found) >= fitting
        if not enough or kva in named:
            found.append(look(kva))
    return (*(look(kva) for kva in sizes[:start] if kva in named), *found)
