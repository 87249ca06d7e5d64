"""The other sizes and arrangements, with what speaks for or against each."""

from __future__ import annotations

from turnwright.arrangements import Proposal
from turnwright.model.case import Case
from turnwright.model.result import Option
from turnwright.regimes import LawNeed, Regime
from turnwright.selection.screen import Sized
from turnwright.working import CLOSED

Screened = list[tuple[Proposal, tuple[Sized, ...]]]


def options_of(case: Case, screened: Screened, pick: Sized | None, regime: Regime) -> tuple[Option, ...]:
    """Return the pick, its neighbours, a size that was proposed, and the best of the other proposals."""
    shown: list[Sized] = []
    for proposal, sizes in screened:
        if (
            pick is not None
            and proposal.rank == pick.proposal.rank
            and proposal.output == pick.proposal.output
        ):
            shown += around(sizes, pick, case)
        else:
            shown += [s for s in sizes if s.fits][:1]
    return tuple(_option(case, sized, pick, regime) for sized in shown)


def around(sizes: tuple[Sized, ...], pick: Sized, case: Case) -> list[Sized]:
    """Return the size below, the pick, the size above, and a proposed size."""
    kvas = [s.unit.kva for s in sizes]
    at = kvas.index(pick.unit.kva)
    near = sizes[max(at - 1, 0) : at + 2]
    proposed = [s for s in sizes if s.unit.kva == case.choices.proposed_kva and s not in near]
    return sorted([*near, *proposed], key=lambda s: s.unit.kva)


def _option(case: Case, sized: Sized, pick: Sized | None, regime: Regime) -> Option:
    is_pick = pick is not None and sized.unit.kva == pick.unit.kva and sized.proposal == pick.proposal
    return Option(
        arrangement=sized.proposal.arrangement,
        kva=float(sized.unit.kva),
        status="fits" if sized.fits else "too small",
        loading_pct=float(sized.loading_pct),
        why="the pick" if is_pick else why(case, sized, pick, regime),
    )


def why(case: Case, sized: Sized, pick: Sized | None, regime: Regime) -> str:
    """Return in a few words what speaks for or against a size."""
    governing = sized.governing
    if not sized.fits:
        return f"{sized.unit.kva:g} kVA is too small for {governing.kva:.1f} kVA ({governing.why})"
    said = []
    if pick is not None and sized.proposal != pick.proposal:
        said.append(sized.proposal.why.rstrip("."))
    said.append(f"fits; {_band(sized.loading_pct, regime)}")
    ceiling_w = _ceiling_w(case, sized, regime)
    if ceiling_w is not None and pick is not None and sized is not pick:
        own_w = _ceiling_w(case, pick, regime)
        if own_w is not None and own_w != ceiling_w:
            said.append(f"may lose {ceiling_w:.0f} W at 35 % load against {own_w:.0f} W")
    return "; ".join(said)


def _band(loading_pct: float, regime: Regime) -> str:
    low = regime.practice.row(key="loading_low_pct").number("value")
    high = regime.practice.row(key="loading_high_pct").number("value")
    if loading_pct > high:
        return f"above the usual {low:g}-{high:g} % band"
    return (
        f"inside the usual {low:g}-{high:g} % band"
        if loading_pct >= low
        else f"below the usual {low:g}-{high:g} % band"
    )


def _ceiling_w(case: Case, sized: Sized, regime: Regime) -> float | None:
    unit = sized.unit
    need = LawNeed(
        phases=unit.phases,
        kva=unit.kva,
        primary_v=unit.primary.line_v,
        secondary_v=unit.secondary.line_v,
        frequency_hz=case.supply.frequency_hz,
        manufactured=case.choices.manufactured,
        arrangement=sized.proposal.arrangement,
        taps_pct=unit.taps_pct,
        enclosure=unit.enclosure,
        k_rating=unit.k_rating,
    )
    return regime.law(need, CLOSED).loss_ceiling_w
