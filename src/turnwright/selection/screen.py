"""Which sizes can do it: cheap, over every size of every proposal."""

from __future__ import annotations

from msgspec import Struct

from turnwright.arrangements import Proposal
from turnwright.demand import LoadPicture
from turnwright.model.case import Case
from turnwright.model.unit import Unit
from turnwright.regimes import Regime
from turnwright.selection.candidate import candidate
from turnwright.selection.derating import derating_of
from turnwright.selection.needs import SAME, Need, needs_of, windings
from turnwright.working import CLOSED, Ledger, formula

ORDINARY_K = 1.0  # a unit not built for harmonics


@formula("phases · S_worst / (S_rated · derating) · 100", "%")
def loading_pct(worst_phase_kva: float, phases: float, kva: float, derating: float) -> float:
    """Return the loading of the most loaded winding in percent of what it may carry. [%]

    worst_phase_kva : load of the most loaded winding, with growth [kVA]
    phases          : windings that share the rated power, 3 or 1 [-]
    kva             : rated power [kVA]
    derating        : usable share of the rated power [-]

    Example:
        >>> loading_pct(worst_phase_kva=20.0, phases=3, kva=75.0, derating=1.0)
        80.0
    """
    return phases * worst_phase_kva / (kva * derating) * 100


class Sized(Struct, frozen=True, kw_only=True):
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
    unit = candidate(proposal, kva, case, regime, case.choices.k_rating or ORDINARY_K)
    needs = needs_of(case, proposal, picture, unit, derating, regime, work)
    loading = work.calc(
        "demand.loading_pct",
        loading_pct,
        worst_phase_kva=picture.worst_phase_kva,
        phases=windings(proposal),
        kva=kva,
        derating=derating,
    )
    return Sized(
        proposal=proposal,
        picture=picture,
        unit=unit,
        needs=needs,
        derating=derating,
        loading_pct=loading,
        standard=kva in regime.sizes_kva[proposal.phases],
    )


def sizes_of(case: Case, proposal: Proposal, regime: Regime) -> tuple[float, ...]:
    """Return the sizes to look at: the preferred ratings, and the one insisted on or proposed."""
    series = regime.sizes_kva[proposal.phases]
    wanted = {float(kva) for kva in (case.choices.kva, case.choices.proposed_kva) if kva is not None}
    return tuple(sorted({float(kva) for kva in series} | wanted))


def screen(case: Case, proposal: Proposal, picture: LoadPicture, regime: Regime) -> tuple[Sized, ...]:
    """Return every size of a proposal, ascending."""
    derating = derating_of(case.site, CLOSED)
    sizes = sizes_of(case, proposal, regime)
    return tuple(size_up(case, proposal, picture, kva, derating, regime) for kva in sizes)
