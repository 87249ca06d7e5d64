"""The units that are offered for a job, side by side by what they cost over the years, with the reason of the order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from turnwright.model.case import Case, CaseOffer
from turnwright.model.result import Finding, Option, Question, Status
from turnwright.model.unit import Unit
from turnwright.regimes import Regime
from turnwright.selection.builds import worth_years
from turnwright.selection.candidate import candidate
from turnwright.selection.derating import derating_of
from turnwright.selection.owning import (
    Candidate,
    Row,
    Terms,
    candidate_of_offer,
    least_of,
    pair_of,
    pays,
    row_of,
)
from turnwright.selection.screen import Sized, judged
from turnwright.selection.yearly_loss import YEAR_H, about, currency_of, loss_frame
from turnwright.working import CLOSED, Ledger

STEPS = "cost."
NO_SIZE = "its rated kVA is not told"


class Looked(Struct, frozen=True):
    """An offer with what speaks against it, and its cost where its rating is known."""

    offer: CaseOffer
    status: Status
    why: str
    loading_pct: float | None
    unit: Candidate | None


def offered(
    case: Case, pick: Sized, load_kva: float, regime: Regime, work: Ledger
) -> tuple[tuple[Option, ...], tuple[Finding, ...], tuple[Question, ...]]:
    """Return each offer as an option, what there is to say of their order, and what would settle it.

    An offer counts in the order where its size carries the job at its own rise and its volts and K rating are those
    of the pick; everything else about it is for `vet`.

    load_kva : of the job with growth [kVA]
    """
    looked = [_looked(case, pick, offer, regime) for offer in case.offers]
    terms = _terms(case, load_kva, work)
    rows = {
        each.offer.name: row_of(each.unit, each.status == "fits", terms, work, STEPS)
        for each in looked
        if each.unit is not None
    }
    fitting = sorted((row for row in rows.values() if row["fits"]), key=_by_price)
    pairs = {row["unit"]: pair_of(fitting[0], row, terms, work, STEPS) for row in fitting[1:]}
    cheapest = least_of(fitting, "owning_cost")
    options = tuple(
        _option(pick, each, rows.get(each.offer.name), pairs.get(each.offer.name), terms, cheapest)
        for each in looked
    )
    return options, tuple(_findings(case, fitting, cheapest, terms)), tuple(_questions(case, fitting))


def _by_price(row: Row) -> float:
    return float("inf") if row["price"] is None else float(row["price"])


def _terms(case: Case, load_kva: float, work: Ledger) -> Terms:
    choices = case.choices
    currency = next((offer.currency for offer in case.offers if offer.price is not None), "")
    return Terms(
        load_kva=load_kva,
        loss_factor=1.0,
        metered=False,
        hours=YEAR_H if choices.hours_per_year is None else choices.hours_per_year,
        hours_known=choices.hours_per_year is not None,
        price_kwh=choices.price_kwh,
        demand_price=0.0,
        demand_known=False,
        worth_years=worth_years(case, work),
        cooling_cop=None,
        currency=currency or ("" if choices.price_kwh is None else currency_of(choices.price_kwh)),
    )


def _looked(case: Case, pick: Sized, offer: CaseOffer, regime: Regime) -> Looked:
    """Judge an offer by volts, K rating and size."""
    unit = candidate_of_offer(offer, pick.proposal.unit_phases, pick.proposal.units)
    against = next(_against(pick.unit, offer), None)
    if unit is None or offer.kva is None:
        return Looked(offer, "not possible", NO_SIZE, None, None)
    if against is not None:
        return Looked(offer, "not possible", against, None, unit)
    rise_k = pick.unit.rise_k if offer.rise_k is None else float(offer.rise_k)
    built = candidate(pick.proposal, float(offer.kva), case, regime, pick.unit.k_rating or 1.0)
    built = replace(built, rise_k=rise_k, winding=offer.winding, enclosure=offer.enclosure or built.enclosure)
    share = derating_of(case.site, CLOSED, rise_k)
    sized = judged(case, pick.proposal, pick.picture, built, share, regime)
    frame = loss_frame(case, sized, regime)
    if frame is not None:
        unit = replace(unit, ceiling_35_w=frame.law_w, law_share=frame.law_share)
    if sized.fits:
        return Looked(offer, "fits", "fits", float(sized.loading_pct), unit)
    need = sized.governing
    why = f"{offer.kva:g} kVA is too small for {need.kva:.1f} kVA ({need.why})"
    return Looked(offer, "too small", why, float(sized.loading_pct), unit)


def _against(unit: Unit, offer: CaseOffer) -> Iterator[str]:
    for side, wanted, given in (
        ("supply", unit.primary, offer.primary),
        ("load", unit.secondary, offer.secondary),
    ):
        if given is not None and given.text != wanted.text:
            yield (
                f"{given.text} on the {side} side, where the pick has {wanted.text}: 'vet --offer' tells whether it "
                "can serve"
            )
    if unit.k_rating and offer.k_rating is not None and offer.k_rating < unit.k_rating:
        yield f"K-{offer.k_rating:g}, where K-{unit.k_rating:g} is asked for"


def _option(
    pick: Sized, each: Looked, row: Row | None, pair: Row | None, terms: Terms, cheapest: str | None
) -> Option:
    known = None if row is None else row["energy_kwh_year"]
    band = None if row is None else row["energy_band_kwh_year"]
    energy = band if known is None else (known, known)
    cost = None if row is None or row["cost_year"] is None else (row["cost_year"], row["cost_year"])
    owning = None if row is None else row["owning_band"]
    if row is not None and row["owning_cost"] is not None:
        owning = (row["owning_cost"], row["owning_cost"])
    price = each.offer.price if row is None else row["price"]
    said = [each.why, *_money_words(row, terms, cheapest)] if row is not None and row["fits"] else [each.why]
    said += [line.rstrip(".") for line in pays(pair, terms.currency)] if pair is not None else []
    return Option(
        arrangement=pick.proposal.arrangement,
        kva=None if each.offer.kva is None else float(each.offer.kva),
        status=each.status,
        loading_pct=each.loading_pct,
        why="; ".join(said),
        loss_kwh_year=None if energy is None else (energy[0], energy[1]),
        loss_cost_year=cost,
        offer=each.offer.name,
        build=_built(each.offer),
        price=price,
        owning_cost=None if owning is None else (owning[0], owning[1]),
        currency=terms.currency or None,
    )


def _built(offer: CaseOffer) -> str | None:
    said = [] if offer.rise_k is None else [f"{offer.rise_k:g} K rise"]
    said += [] if offer.winding is None else [f"{offer.winding} windings"]
    return ", ".join(said) or None


def _money_words(row: Row, terms: Terms, cheapest: str | None) -> Iterator[str]:
    """Yield price, losses and what both come to."""
    if row["price"] is not None:
        yield f"costs {row['price']:,.0f} {terms.currency}"
    if row["energy_kwh_year"] is not None:
        money = "" if row["cost_year"] is None else f" ({row['cost_year']:,.0f} {terms.currency})"
        yield f"loses {row['energy_kwh_year']:,.0f} kWh{money} a year"
    elif row["energy_band_kwh_year"] is not None:
        low, high = row["energy_band_kwh_year"]
        yield f"its losses are not told, usual are {about(low, upward=False)} to {about(high, upward=True)} kWh a year"
    if row["owning_cost"] is not None:
        least = ", the least of those that fit" if row["unit"] == cheapest else ""
        yield f"{row['owning_cost']:,.0f} {terms.currency} over the years, losses included{least}"
    elif row["owning_band"] is not None:
        low, high = row["owning_band"]
        ends = f"{about(low, upward=False)} to {about(high, upward=True)}"
        yield f"{ends} {terms.currency} over the years by usual losses"


def _findings(case: Case, fitting: Sequence[Row], cheapest: str | None, terms: Terms) -> Iterator[Finding]:
    choices, money = case.choices, terms.currency
    by_cost = sorted(
        (row for row in fitting if row["owning_cost"] is not None), key=lambda r: float(r["owning_cost"])
    )
    if cheapest is not None:
        best, rest = by_cost[0], by_cost[1:]
        losses = best["owning_cost"] - best["price"]
        message = (
            f"Of the offers that fit {cheapest} costs least over {choices.years:g} years at "
            f"{choices.discount_pct:g} %: {best['owning_cost']:,.0f} {money}, of which {losses:,.0f} are losses"
        )
        message += "".join(
            f"; {row['unit']} {row['owning_cost']:,.0f} {money}, {_apart(row, best, money)}" for row in rest
        )
        yield Finding(
            code="offers-by-cost", severity="note", known="computed", value=float(best["owning_cost"]),
            message=f"{message}. The load of the job at all hours is counted, demand charge and cooling are not.",
        )  # fmt: skip
    elif fitting:
        yield Finding(
            code="offers-by-cost", severity="note", known="computed",
            message=f"Which offer costs least cannot be told: {'; '.join(_lacking(case, fitting))}.",
        )  # fmt: skip
    else:
        message = "No offer fits by size, volts and K rating; their cost is not compared."
        yield Finding(code="offers-by-cost", severity="caution", message=message, known="computed")


def _apart(row: Row, best: Row, money: str) -> str:
    """What sets a unit apart from the one that costs least: its price, and its losses."""
    price, losses = (
        row["price"] - best["price"],
        row["owning_cost"] - row["price"] - best["owning_cost"] + best["price"],
    )
    words = [f"{abs(price):,.0f} {money} {'dearer' if price > 0 else 'cheaper'} to buy"] if price else []
    words += [f"{abs(losses):,.0f} {'more' if losses > 0 else 'less'} in losses"] if round(losses) else []
    return " and ".join(words) or "as dear"


TOLD = (("no_load_loss_w", "no-load loss"), ("load_loss_w", "load loss"), ("price", "price"))


def _lacking(case: Case, fitting: Sequence[Row]) -> Iterator[str]:
    """Yield what keeps the offers from being put in order."""
    choices = case.choices
    for row in fitting:
        names = [what for key, what in TOLD if row[key] is None]
        if names:
            yield f"{row['unit']} does not tell its {' and '.join(names)}"
    if choices.price_kwh is None:
        yield "the price of a kWh is not known"
    if choices.years is None or choices.discount_pct is None:
        yield "years and interest to count with are not known"


def _questions(case: Case, fitting: Sequence[Row]) -> Iterator[Question]:
    choices = case.choices
    why = "The offers are put in order by price and losses over the years together."
    if not fitting:
        return
    for key, ask, given in (
        ("choices.price_kwh", "What does a kWh cost?", choices.price_kwh),
        ("choices.years", "Over how many years are the losses to be counted?", choices.years),
        ("choices.discount", "At what yearly interest?", choices.discount_pct),
    ):
        if given is None:
            yield Question(key=key, ask=ask, why=why)
    lacking = [row for row in fitting if row["energy_kwh_year"] is None or row["price"] is None]
    for row in lacking:
        index = next(i for i, offer in enumerate(case.offers) if offer.name == row["unit"])
        name = "price" if row["energy_kwh_year"] is not None else "no_load_loss"
        what = (
            "What does it cost"
            if name == "price"
            else "What are its no-load loss and its load loss at rated load"
        )
        yield Question(
            key=f"offer[{index}].{name}", ask=f"{row['unit']}: {what[0].lower()}{what[1:]}?", why=why
        )
