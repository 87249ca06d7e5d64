"""Where a lower rise is worth asking for: a place that derates, a hall at full load, a closed room."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from turnwright.model.case import Case
from turnwright.model.result import Finding
from turnwright.regimes import Regime
from turnwright.selection.derating import LOWER_RISES_K, USUAL_RISE_K
from turnwright.selection.screen import Sized, rating_below, size_up, with_lower_rise
from turnwright.selection.yearly_loss import YearlyLoss, yearly_loss
from turnwright.working import CLOSED

ALL_DAY = ("computing",)
"""Kinds of load that run at one load day and night."""


def rise_remarks(case: Case, sized: Sized, regime: Regime) -> Iterator[Finding]:
    """Yield what a lower rise would change, where height, warmth, losses or the room give a reason to ask for it."""
    free = case.choices.rise_k is None and case.choices.kva is None and sized.unit.rise_k == USUAL_RISE_K
    if not free or not sized.proposal.derived or sized.proposal.winding_v is not None:
        return
    yield from _smaller(case, sized, regime)
    yield from _fewer_losses(case, sized, regime)


def _smaller(case: Case, sized: Sized, regime: Regime) -> Iterator[Finding]:
    """A smaller preferred rating does where the rise leaves room for height and warmth."""
    smaller = rating_below(sized, regime)
    if smaller is None or sized.derating >= 1.0:
        return
    below = size_up(case, sized.proposal, sized.picture, smaller, sized.derating, regime)
    cooler = with_lower_rise(case, below, regime)
    if cooler is None or below.fits:
        return
    yield Finding(
        code="low-rise-instead",
        severity="note",
        message=(
            f"{smaller:g} kVA of {cooler.unit.rise_k:g} K rise on {cooler.unit.insulation_c:g} °C insulation would do "
            f"too, loaded to {cooler.loading_pct:.0f} %: the place takes of its spare heat first. It loses less under "
            f"load and more without; compare its price with that of the ordinary {sized.unit.kva:g} kVA. "
            f'To have it, write kva = "{smaller:g} kVA" in the choices.'
        ),
        known="common practice",
        value=float(smaller),
        limit=float(sized.unit.kva),
        unit="kVA",
    )


def _fewer_losses(case: Case, sized: Sized, regime: Regime) -> Iterator[Finding]:
    """What lower rises lose in a year beside the ordinary one, at a high load that never stops or in a closed room."""
    watch_pct = float(regime.practice.row(key="loading_high_pct").number("value"))
    all_day = sized.loading_pct > watch_pct and any(
        one.continuous and one.kind in ALL_DAY for one in case.loads
    )
    closed = case.site.room is not None and case.site.room.ventilated is False
    if not all_day and not closed:
        return
    rises = (USUAL_RISE_K, *LOWER_RISES_K)
    known = [(rise_k, lost) for rise_k in rises if (lost := _lost(case, sized, rise_k, regime)) is not None]
    if len(known) <= 1:
        return
    usual, low = known[0][1], known[-1][1]
    each = "; ".join(f"{lost.said()} at {rise_k:g} K rise" for rise_k, lost in known)
    why = f"At {sized.loading_pct:.0f} % day and night" if all_day else "In a room without ventilation"
    yield Finding(
        code="low-rise-losses",
        severity="note",
        message=(
            f"{why} losses weigh: usually {each}. What is lost is cooled out of the room once more. At a low load the "
            'larger core of a low rise loses more than it saves. Write rise = "115 K" or "80 K" in the choices where '
            "that pays."
        ),
        known="memory",
        value=float(low.kwh[1]),
        limit=float(usual.kwh[1]),
        unit="kWh",
    )


def _lost(case: Case, sized: Sized, rise_k: float, regime: Regime) -> YearlyLoss | None:
    built = replace(sized, unit=replace(sized.unit, rise_k=rise_k))
    return yearly_loss(case, built, regime, CLOSED, "")
