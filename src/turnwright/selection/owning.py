"""Units side by side by what they cost over the years: price, and losses at the prices of energy and demand."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from msgspec import Struct

from turnwright.model.case import CaseOffer
from turnwright.quantities import figure
from turnwright.regimes.common.build import Build, differences, usual_build
from turnwright.thermal import cost
from turnwright.working import Ledger

Row = dict[str, Any]
"""What is known of one unit, or of two, by name; None: not known."""


class Candidate(Struct, frozen=True, kw_only=True):
    """A unit with what is known of its losses and its price.

    no_load_loss_w, load_loss_w  None: not known [W]
    loss_band_w                  full-load loss by the trade, low and high end, where the losses are not known [W]
    ceiling_35_w                 most that the law lets it lose at the load of its test; None: no law says [W]
    law_share                    least load loss there over load loss at rated load; None: no law says
    price                        None: not known
    """

    name: str
    kva: float
    rise_k: float | None = None
    winding: str | None = None
    no_load_loss_w: float | None = None
    load_loss_w: float | None = None
    loss_band_w: tuple[float, float] | None = None
    ceiling_35_w: float | None = None
    law_share: float | None = None
    price: float | None = None
    currency: str = ""

    @property
    def known(self) -> bool:
        """Both losses are known."""
        return self.no_load_loss_w is not None and self.load_loss_w is not None


class Terms(Struct, frozen=True, kw_only=True):
    """How the load goes and what things cost; None: not known.

    load_kva      highest load [kVA]
    loss_factor   mean of the squared load over its highest square [-]
    price_kwh     of a kWh, what carries its heat off included
    demand_price  of a kW for a month, likewise
    worth_years   yearly sums a sum today is worth
    """

    load_kva: float
    loss_factor: float
    metered: bool
    hours: float
    hours_known: bool
    price_kwh: float | None
    demand_price: float
    demand_known: bool
    worth_years: float | None
    cooling_cop: float | None
    currency: str


def candidate_of_offer(offer: CaseOffer, phases: int, count: int) -> Candidate | None:
    """Return as many of an offered unit as a job takes, as one; None where its rating is not known."""
    if offer.kva is None:
        return None
    known = offer.no_load_loss_w is not None and offer.load_loss_w is not None
    built = differences(offer.enclosure, offer.winding, offer.k_rating, offer.rise_k)
    build = usual_build(phases, float(offer.kva), built)
    return Candidate(
        name=offer.name,
        kva=_times(offer.kva, count) or 0.0,
        rise_k=offer.rise_k,
        winding=offer.winding,
        no_load_loss_w=_times(offer.no_load_loss_w, count),
        load_loss_w=_times(offer.load_loss_w, count),
        loss_band_w=None if known else band_w(build, count),
        price=_times(offer.price, count),
        currency=offer.currency,
    )


def _times(value: float | None, count: int) -> float | None:
    """A value of several; of one it keeps where it comes from."""
    return value if value is None or count == 1 else value * count


def band_w(build: Build, count: int = 1) -> tuple[float, float]:
    """Return the full-load loss that is usual for units of a size and build, low and high end. [W]"""
    return build.loss_low_w * count, build.loss_high_w * count


def row_of(unit: Candidate, fits: bool, terms: Terms, work: Ledger, before: str) -> Row:
    """Return what is known of one unit: its losses, their energy and cost, its cost over the years.

    before : start of the names of the steps, "answers."
    """
    step = f"{before}units[{unit.name}]."
    k = terms.load_kva / unit.kva
    shape = {"peak_load_pu": k, "loss_factor": terms.loss_factor, "hours_per_year": terms.hours}
    row: Row = {
        "unit": unit.name,
        "kva": unit.kva,
        "rise_k": unit.rise_k,
        "winding": unit.winding,
        "fits": fits,
        "peak_load_pu": k,
        "no_load_loss_w": unit.no_load_loss_w,
        "load_loss_w": unit.load_loss_w,
        "full_load_loss_band_w": None if unit.loss_band_w is None else list(unit.loss_band_w),
        "law_ceiling_35_w": unit.ceiling_35_w,
        "price": unit.price,
        "energy_kwh_year": None,
        "energy_band_kwh_year": None,
        "cost_year": None,
        "b_per_w": None,
        "owning_cost": None,
        "owning_band": None,
    }
    if unit.no_load_loss_w is None or unit.load_loss_w is None:
        if unit.loss_band_w is not None:
            row["energy_band_kwh_year"] = _energy_band(unit, unit.loss_band_w, shape, step, work)
            row["owning_band"] = _owning_band(unit, row["energy_band_kwh_year"], terms, step, work)
        return row
    losses = {"no_load_loss_w": unit.no_load_loss_w, "load_loss_w": unit.load_loss_w}
    energy = work.calc(f"{step}energy_kwh_year", cost.yearly_energy_kwh, **losses, **shape)
    row["energy_kwh_year"] = energy
    if terms.price_kwh is None:
        return row
    yearly = cost.yearly_loss_cost(energy, terms.price_kwh)
    yearly += cost.yearly_demand_cost(**losses, peak_load_pu=k, demand_price_kw_month=terms.demand_price)
    says = "energy and demand of the losses at their prices"
    row["cost_year"] = work.note(
        f"{step}cost_year", yearly, f"{terms.currency}/a", says, "computed", energy_kwh=energy
    )
    if terms.worth_years is not None:
        row.update(_over_years(unit, k, terms, step, work, before))
    return row


def _over_years(unit: Candidate, k: float, terms: Terms, step: str, work: Ledger, before: str) -> Row:
    paid = {
        "price_kwh": terms.price_kwh,
        "hours_per_year": terms.hours,
        "present_worth_years": terms.worth_years,
    }
    paid["demand_price_kw_month"] = terms.demand_price
    a = work.calc(f"{before}a_per_w", cost.a_factor_per_w, **paid)
    b = work.calc(
        f"{step}b_per_w", cost.b_factor_per_w, **paid, peak_load_pu=k, loss_factor=terms.loss_factor
    )
    found: Row = {"b_per_w": b}
    if unit.price is not None:
        found["owning_cost"] = work.calc(
            f"{step}owning_cost",
            cost.owning_cost,
            price=unit.price,
            a_per_w=a,
            no_load_loss_w=unit.no_load_loss_w,
            b_per_w=b,
            load_loss_w=unit.load_loss_w,
        )
    return found


def _energy_band(
    unit: Candidate, band: tuple[float, float], shape: dict[str, float], step: str, work: Ledger
) -> list[float]:
    """Return both ends of the energy that a unit loses in a year of which only a band of losses is known."""
    low, high = band
    lawful = {"law_loss_w": unit.ceiling_35_w, "law_share": unit.law_share}
    bound = None not in lawful.values()
    most: Callable[..., float] = cost.most_lawful_energy_kwh if bound else cost.most_energy_kwh
    more = lawful if bound else {}
    return [
        work.calc(f"{step}energy_low_kwh_year", cost.least_energy_kwh, full_load_loss_w=low, **shape),
        work.calc(f"{step}energy_high_kwh_year", most, full_load_loss_w=high, **more, **shape),
    ]


def _owning_band(
    unit: Candidate, energy_kwh: list[float], terms: Terms, step: str, work: Ledger
) -> list[float] | None:
    """Return price and losses over the years of a unit of which only a band of losses is known, both ends."""
    worth, price_kwh = terms.worth_years, terms.price_kwh
    if unit.price is None or worth is None or price_kwh is None or terms.demand_known:
        return None
    paid = {"price": unit.price, "present_worth_years": worth, "price_kwh": price_kwh}
    return [
        work.calc(f"{step}owning_band[{end}]", cost.energy_owning_cost, energy_kwh=kwh, **paid)
        for end, kwh in enumerate(energy_kwh)
    ]


def pair_of(first: Row, other: Row, terms: Terms, work: Ledger, before: str) -> Row:
    """Return what it takes for a unit to pay against the first one."""
    step = f"{before}break_even[{other['unit']}]."
    saved = _less(first["energy_kwh_year"], other["energy_kwh_year"])
    saving = _less(first["cost_year"], other["cost_year"])
    extra = _less(other["price"], first["price"])
    worth, years = terms.worth_years, None
    pair: Row = {
        "unit": other["unit"],
        "against": first["unit"],
        "saved_kwh_year": saved,
        "saved_year": saving,
        "extra_price": extra,
        "break_even_extra_price": None,
        "break_even_kwh": None,
        "break_even_price_kwh": None,
        "payback_years": years,
    }
    if worth is not None and saving is not None:
        pair["break_even_extra_price"] = work.calc(
            f"{step}break_even_extra_price",
            cost.worth_of_saving,
            present_worth_years=worth,
            yearly_saving=saving,
        )
    elif worth is not None and saved is not None:
        pair["break_even_kwh"] = worth * saved
    if saving is not None and extra is not None and saving > 0 and extra > 0:
        pair["payback_years"] = work.calc(
            f"{step}payback_years", cost.payback_years, extra_price=extra, yearly_saving=saving
        )
    alone = not terms.demand_known and terms.cooling_cop is None
    if alone and worth and saved is not None and extra is not None and saved > 0 and extra > 0:
        pair["break_even_price_kwh"] = work.calc(
            f"{step}break_even_price_kwh",
            cost.break_even_price_kwh,
            extra_price=extra,
            present_worth_years=worth,
            saved_kwh=saved,
        )
    return pair


def _less(one: float | None, other: float | None) -> float | None:
    return None if one is None or other is None else one - other


def least_of(rows: Sequence[Row], key: str) -> str | None:
    """Return the unit with the least of something, of those that can carry the load; None where one is not known."""
    fitting = [row for row in rows if row["fits"]]
    if not fitting or any(row[key] is None for row in fitting):
        return None
    return str(min(fitting, key=lambda row: float(row[key]))["unit"])


def pays(pair: Row, currency: str) -> Iterator[str]:
    """Yield what a unit loses less than another and what it may cost more for that, where it is known."""
    name, first, saved = pair["unit"], pair["against"], pair["saved_kwh_year"]
    if saved is None:
        return
    if saved <= 0:
        yield f"{name} loses {-saved:,.0f} kWh a year more than {first}: only a lower price speaks for it."
        return
    told = f"{name} loses {saved:,.0f} kWh a year less than {first}"
    if pair["break_even_extra_price"] is not None:
        told += f" and pays up to {pair['break_even_extra_price']:,.0f} {currency} more"
    elif pair["break_even_kwh"] is not None:
        told += f" and pays up to the price of {pair['break_even_kwh']:,.0f} kWh more"
    if pair["payback_years"] is not None:
        told += f"; the {pair['extra_price']:,.0f} {currency} that it is dearer come back in "
        told += f"{figure(pair['payback_years'], digits=2, rounding='up')} years"
    if pair["break_even_price_kwh"] is not None:
        told += f"; it pays from {figure(pair['break_even_price_kwh'], rounding='up')} {currency} a kWh on"
    yield f"{told}."
