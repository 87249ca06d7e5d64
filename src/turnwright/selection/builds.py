"""The pick with another rise or another metal: what that usually saves, and what it may cost more for it."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from turnwright.model.case import Case
from turnwright.model.result import Finding, Option
from turnwright.model.unit import Unit
from turnwright.regimes import Regime
from turnwright.regimes.common.build import build_source, loss_ratio, usual_rises_k
from turnwright.selection.derating import USUAL_RISE_K, derating_of
from turnwright.selection.screen import Sized, judged
from turnwright.selection.yearly_loss import (
    Band,
    LossFrame,
    YearlyLoss,
    about,
    currency_of,
    frame_of_build,
    loss_frame,
    loss_of,
)
from turnwright.thermal.cost import (
    a_factor_per_w,
    b_factor_per_w,
    least_saved_kwh,
    most_saved_kwh,
    present_worth_years,
    worth_of_saving,
    yearly_loss_cost,
)
from turnwright.working import CLOSED, Ledger

ORDINARY_METAL, OTHER_METAL = "aluminum", "copper"


class Compared(Struct, frozen=True, eq=False):
    """The pick as it is compared with others: what is known of its losses, and what these come to."""

    sized: Sized
    frame: LossFrame
    lost: YearlyLoss


def other_builds(
    case: Case, pick: Sized, regime: Regime, work: Ledger, first: int = 0
) -> tuple[tuple[Option, ...], tuple[Finding, ...]]:
    """Return the pick with each other usual rise and with the other metal, and what there is to say of them.

    Nothing where no usual losses are known: of windings that are not separate, of a rise that no table has.

    first : number of the first among the options, for the names of the steps
    """
    frame = loss_frame(case, pick, regime)
    if frame is None:
        return (), ()
    own = Compared(pick, frame, loss_of(frame, case.choices.price_kwh, CLOSED, ""))
    worth = worth_years(case, work)
    options = tuple(
        _option(case, own, other, words, worth, regime, work, f"options[{number}]")
        for number, (words, other) in enumerate(_others(pick.unit, regime), first)
    )
    return options, (*_says_builds(pick, regime), *_factors(case, own, worth, work))


def worth_years(case: Case, work: Ledger) -> float | None:
    """Return how many yearly sums a sum today is worth; None where years or interest are not known. [-]"""
    years, discount = case.choices.years, case.choices.discount_pct
    if years is None or discount is None:
        return None
    found: float = work.calc(
        "cost.present_worth_years", present_worth_years, interest_pct=discount, years=years
    )
    return found


def _others(unit: Unit, regime: Regime) -> Iterator[tuple[str, Unit]]:
    known = (USUAL_RISE_K, *usual_rises_k())
    if regime.usual_rise_k == USUAL_RISE_K and unit.rise_k in known:
        for rise_k in known:
            if rise_k != unit.rise_k:
                yield f"{rise_k:g} K rise", replace(unit, rise_k=rise_k)
    metal = ORDINARY_METAL if unit.winding == OTHER_METAL else OTHER_METAL
    yield f"{metal} windings", replace(unit, winding=metal)


def _option(
    case: Case,
    own: Compared,
    unit: Unit,
    words: str,
    worth: float | None,
    regime: Regime,
    work: Ledger,
    step: str,
) -> Option:
    other = _rebuilt(case, own.sized, unit, regime)
    frame = frame_of_build(own.frame, other, regime)
    price = case.choices.price_kwh
    lost = loss_of(frame, price, work, step)
    saved = _saved(own, other, frame, work, step)
    extra = None if worth is None or price is None else _worth(saved, worth, price, work, step)
    return Option(
        arrangement=other.proposal.arrangement,
        kva=float(unit.kva),
        status="fits" if other.fits else "too small",
        loading_pct=float(other.loading_pct),
        why=_why(other, lost, own.lost, saved, extra),
        loss_kwh_year=lost.kwh,
        loss_cost_year=lost.cost,
        build=words,
        saved_kwh_year=saved,
        worth_extra=extra,
        currency=lost.currency or None,
    )


def _rebuilt(case: Case, pick: Sized, unit: Unit, regime: Regime) -> Sized:
    """The pick built otherwise: only what the site leaves of its rating can change what it may carry."""
    share = pick.derating
    if unit.rise_k != pick.unit.rise_k:
        share = derating_of(case.site, CLOSED, unit.rise_k, unit.insulation_c)
    if share == pick.derating:
        return replace(pick, unit=unit)
    return judged(case, pick.proposal, pick.picture, unit, share, regime)


def _saved(own: Compared, other: Sized, frame: LossFrame, work: Ledger, step: str) -> Band:
    """Return both ends of what another build loses less in a year: no more is known than the ratio and the law."""
    ratio_low, ratio_high = loss_ratio(own.sized.unit, other.unit)
    given = {"low_w": own.frame.full_w[0], "high_w": own.frame.full_w[1], **own.frame.shape}
    least = {"ratio_high": ratio_high, **_lawful(frame), **given}
    most = {"ratio_low": ratio_low, **_lawful(own.frame), **given}
    return (
        work.calc(f"{step}.saved_kwh_year[0]", least_saved_kwh, **least),
        work.calc(f"{step}.saved_kwh_year[1]", most_saved_kwh, **most),
    )


def _lawful(frame: LossFrame) -> dict[str, float]:
    if frame.law_w is None or frame.law_share is None:
        return {}
    return {"law_loss_w": frame.law_w, "law_share": frame.law_share}


def _worth(saved: Band, worth: float, price: float, work: Ledger, step: str) -> Band:
    least, most = (
        work.calc(
            f"{step}.worth_extra[{i}]",
            worth_of_saving,
            present_worth_years=worth,
            yearly_saving=yearly_loss_cost(kwh, price),
        )
        for i, kwh in enumerate(saved)
    )
    return least, most


def _why(other: Sized, lost: YearlyLoss, own: YearlyLoss, saved: Band, extra: Band | None) -> str:
    said = ["fits" if other.fits else f"too small for {other.governing.kva:.1f} kVA ({other.governing.why})"]
    said.append(f"usually loses {lost.said()} against {own.said().removesuffix(' a year')}")
    said.append(saved_words(saved, extra, lost.currency))
    return "; ".join(said)


def saved_words(saved: Band, extra: Band | None, currency: str) -> str:
    """Return what is saved, and what that is worth, in a few words; each end away from the other.

    Example:
        >>> saved_words((-1210.0, 3480.0), None, "")
        'saves 3,500 kWh a year at most and may lose 1,300 kWh more'
        >>> saved_words((210.0, 3480.0), (258.0, 4281.0), "USD")
        'saves 210 to 3,500 kWh a year, worth 250 to 4,300 USD more to buy'
    """
    least, most = saved
    if most <= 0:
        return f"saves nothing and may lose {about(-least, upward=True)} kWh a year more"
    up_to = about(most, upward=True)
    if least < 0:
        worth = (
            "" if extra is None else f", worth {about(extra[1], upward=True)} {currency} more to buy at most,"
        )
        more = about(-least, upward=True)
        return f"saves {up_to} kWh a year at most{worth} and may lose {more} kWh more"
    worth = ""
    if extra is not None:
        ends = f"{about(extra[0], upward=False)} to {about(extra[1], upward=True)}"
        worth = f", worth {ends} {currency} more to buy"
    return f"saves {about(least, upward=False)} to {up_to} kWh a year{worth}"


def _says_builds(pick: Sized, regime: Regime) -> Iterator[Finding]:
    """Yield how what other builds save is known."""
    for _, other in _others(pick.unit, regime):
        source = build_source(pick.unit, other)
        message = (
            "What another rise or metal saves is between two ends: how much it usually loses at full load over what "
            "the pick loses, and any division of each loss between iron and windings that the efficiency law lets "
            "be. The no-load loss and the load loss of an offer settle it."
        )
        yield Finding(
            code="other-builds", severity="note", message=message, clause=source.cite(), known=source.known
        )
        return


def _factors(case: Case, own: Compared, worth: float | None, work: Ledger) -> Iterator[Finding]:
    """Yield what a watt of each loss costs over the years, for whoever asks for offers."""
    price = case.choices.price_kwh
    if worth is None or price is None:
        return
    hours = own.frame.shape["hours_per_year"]
    paid = {"price_kwh": price, "hours_per_year": hours, "present_worth_years": worth}
    a = work.calc("cost.a_per_w", a_factor_per_w, **paid)
    shape = {"peak_load_pu": own.frame.shape["peak_load_pu"], "loss_factor": own.frame.shape["loss_factor"]}
    b = work.calc("cost.b_per_w", b_factor_per_w, **paid, **shape)
    currency = currency_of(price)
    years, discount = case.choices.years, case.choices.discount_pct
    message = (
        f"Over {years:g} years at {discount:g} % a watt of no-load loss costs {a:.2f} {currency} (A), a watt of load "
        f"loss {b:.2f} {currency} at this load at all hours (B), demand charge and cooling not counted: give them "
        "to whoever offers."
    )
    yield Finding(code="loss-factors", severity="note", message=message, known="computed", value=float(a))
