"""The other sizes and arrangements, with what speaks for or against each."""

from __future__ import annotations

from math import floor

from turnwright.arrangements import NotServed, Proposal
from turnwright.model.case import Case
from turnwright.model.result import Option
from turnwright.regimes import Regime
from turnwright.selection.screen import Sized, with_lower_rise
from turnwright.selection.sizing import law
from turnwright.selection.yearly_loss import YearlyLoss, yearly_loss
from turnwright.working import CLOSED, Ledger

Screened = list[tuple[Proposal, tuple[Sized, ...]]]
Reasons = tuple[tuple[str, NotServed], ...]
Lost = tuple[YearlyLoss | None, YearlyLoss | None]
"""What a size loses in a year, and what the pick loses."""


def options_of(
    case: Case,
    screened: Screened,
    pick: Sized | None,
    reasons: Reasons,
    regime: Regime,
    work: Ledger = CLOSED,
) -> tuple[Option, ...]:
    """Return the pick, its neighbours, a size that was proposed, the best of the other ways, and why some cannot be."""
    shown: list[Sized] = []
    for proposal, sizes in screened:
        if pick is not None and proposal is pick.proposal:
            shown += around(sizes, pick, case)
        else:
            fitting = [s for s in sizes if s.fits and s.standard]
            shown += fitting[:1] or [s for s in sizes if s.fits][:1] or list(sizes[-1:])
    own = None if pick is None else yearly_loss(case, pick, regime, CLOSED, "")
    options = []
    for number, sized in enumerate(shown):
        lost = yearly_loss(case, sized, regime, work, f"options[{number}]") if sized.fits else None
        options.append(_option(case, sized, pick, regime, (lost, own)))
    options += [
        Option(arrangement=name, kva=None, status="not possible", loading_pct=None, why=reason.message)
        for name, reason in reasons
        if reason.shown
    ]
    return tuple(options)


def around(sizes: tuple[Sized, ...], pick: Sized, case: Case) -> list[Sized]:
    """Return the size below, the pick, the size above, and a proposed size."""
    others = [s for s in sizes if s.unit.kva != pick.unit.kva]
    below = [s for s in others if s.unit.kva < pick.unit.kva][-1:]
    above = [s for s in others if s.unit.kva > pick.unit.kva][:1]
    near = [*below, pick, *above]
    proposed = [s for s in others if s.unit.kva == case.choices.proposed_kva and s not in near]
    return sorted([*near, *proposed], key=lambda s: s.unit.kva)


def _option(case: Case, sized: Sized, pick: Sized | None, regime: Regime, lost: Lost) -> Option:
    return Option(
        arrangement=sized.proposal.arrangement,
        kva=float(sized.unit.kva),
        status="fits" if sized.fits else "too small",
        loading_pct=float(sized.loading_pct),
        why="the pick" if sized is pick else why(case, sized, pick, regime, lost),
        loss_kwh_year=None if lost[0] is None else lost[0].kwh,
        loss_cost_year=None if lost[0] is None else lost[0].cost,
    )


def why(case: Case, sized: Sized, pick: Sized | None, regime: Regime, lost: Lost = (None, None)) -> str:
    """Return in a few words what speaks for or against a size."""
    governing = sized.governing
    if not sized.fits:
        needed = f"{governing.kva:.3g}" if governing.kva < 10 else f"{governing.kva:.1f}"
        cooler = with_lower_rise(case, sized, regime)
        built = "" if cooler is None else f"{cooler.unit.rise_k:g} K rise on {cooler.unit.insulation_c:g} °C"
        other = f"; at {built} insulation it would do" if built else ""
        return f"{sized.unit.kva:g} kVA is too small for {needed} kVA ({governing.why}){other}"
    said = []
    if sized.proposal.units > 1:
        said.append(f"{sized.proposal.units} of them")
    if pick is None or sized.proposal is not pick.proposal:
        said.append(sized.proposal.why.rstrip("."))
    said.append(f"fits; {_band(sized.loading_pct, regime)}")
    if pick is not None and sized.proposal is pick.proposal:
        ceiling_w, own_w = _ceiling_w(case, sized, regime), _ceiling_w(case, pick, regime)
        if ceiling_w is not None and own_w is not None and own_w != ceiling_w:
            said.append(f"may lose {floor(ceiling_w)} W at 35 % load against {floor(own_w)} W")
    if lost[0] is not None and lost[1] is not None and lost[0] != lost[1]:
        said.append(f"usually loses {lost[0].said()} against {lost[1].said().removesuffix(' a year')}")
    said.append(regime.availability(*_ordered(sized)))
    return "; ".join(said)


def _ordered(sized: Sized) -> tuple[int, float, str, str]:
    unit = sized.unit
    return unit.phases, unit.kva, unit.primary.text, unit.secondary.text


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
    return law(case, sized, regime, CLOSED).loss_ceiling_w
