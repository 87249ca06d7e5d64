"""What the losses of units cost over the years, and what it takes for the dearer one to pay. Nothing is invented.

===========  =====================================================
code         what is wrong
===========  =====================================================
``COST-01``  prices are in different currencies
``COST-02``  a number cannot be used
``COST-03``  a unit of the list has no rated power
===========  =====================================================
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.examine import cost_pages as pages
from turnwright.examine.cost_curves import curves_of
from turnwright.examine.cost_units import Candidate, candidates_of
from turnwright.examine.following import load_pu_of
from turnwright.examine.heat import followed_pick, price_of
from turnwright.examine.records import Answer
from turnwright.examine.subject import Subject
from turnwright.selection.currents import full_load_kva
from turnwright.thermal import cost
from turnwright.working import Ledger

if TYPE_CHECKING:
    from turnwright.examine.options import Options

SAME = 1e-9
YEAR_H = 8760.0
RANGES = {
    "hours": (0.0, 8784.0),
    "discount": (-50.0, 100.0),
    "years": (0.0, 100.0),
    "cooling_cop": (0.0, 30.0),
}
"""Option -> the ends between which it can be used, the lower one not included but for the discount."""


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


def study(subject: Subject, options: Options, work: Ledger) -> Answer:
    """Return what the losses of units cost at the load of a job.

    Raises:
        InputError: COST-01 to COST-03; YEAR-05, YEAR-08 for a metered load.
    """
    for name, (low, high) in RANGES.items():
        given = getattr(options, name)
        below = given is not None and (given < low or (given == low and name != "discount"))
        if given is not None and (below or not given <= high):
            word = name.replace("_", "-")
            fix = f"Write it above {low:g} and up to {high:g}."
            raise InputError("COST-02", f"--{word}", f"{given:g} cannot be used.", fix)
    candidates = candidates_of(subject, options.stock)
    terms = _terms(subject, options, candidates, work)
    rows = [_row(each, subject.sized.derating, terms, work) for each in candidates]
    pairs = [_pair(rows[0], other, terms, work) for other in rows[1:]]
    answers = _answers(terms, rows, pairs, work)
    return Answer(
        said=pages.said_of(answers, terms.currency),
        answers=answers,
        grids=pages.grids_of(answers, terms.currency),
        series=(
            *pages.series_of(answers, terms.currency),
            *curves_of(rows, terms.currency, options.discount, options.years),
        ),
        findings=pages.findings_of(subject, candidates, rows),
        questions=pages.questions_of(answers, bool(options.stock), terms.metered),
        assumed=pages.assumed_of(subject, terms.metered, terms.hours_known, answers),
    )


def _terms(subject: Subject, options: Options, candidates: Sequence[Candidate], work: Ledger) -> Terms:
    case, currents, proposal = subject.case, subject.blocks.currents, subject.sized.proposal
    price = price_of(options.price_kwh, case)
    demand = (
        options.demand_price
        if options.demand_price is not None and options.demand_price.high is not None
        else None
    )
    currencies = [each.currency for each in candidates if each.price is not None]
    currencies += [price.currency] if price is not None else []
    currencies += [demand.unit_written] if demand is not None else []
    if len(set(currencies)) > 1:
        what = f"prices in {' and '.join(dict.fromkeys(currencies))} stand together."
        raise InputError(
            "COST-01", "the prices", what, "Write all in one currency: prices are not converted."
        )
    peak_kva = full_load_kva(proposal.phases)(
        current_a=currents.secondary_load_a, voltage_v=proposal.output.line_v
    )
    factor = 1.0
    if options.load is not None:
        unit = followed_pick(subject, options)
        load = load_pu_of(options.load, unit)
        peak = max(load)
        peak_kva = peak * unit.rated_kva
        mean_square = math.fsum(k * k for k in load) / len(load)
        if peak > 0:
            factor = work.calc(
                "answers.loss_factor", cost.loss_factor_of, mean_square=mean_square, peak_load_pu=peak
            )
    hours = options.hours if options.hours is not None else case.choices.hours_per_year
    worth = None
    if options.discount is not None and options.years is not None:
        worth = work.calc(
            "answers.present_worth_years",
            cost.present_worth_years,
            interest_pct=options.discount,
            years=options.years,
        )
    return Terms(
        load_kva=work.note(
            "answers.load_kva", peak_kva, "kVA", "highest load of the job or of the metered load", "computed"
        ),
        loss_factor=factor,
        metered=options.load is not None,
        hours=YEAR_H if hours is None else hours,
        hours_known=hours is not None,
        price_kwh=None if price is None else _cooled("price_kwh", price.value, options, work),
        demand_price=0.0 if demand is None else _cooled("demand_price", demand.high or 0.0, options, work),
        demand_known=demand is not None,
        worth_years=worth,
        cooling_cop=options.cooling_cop,
        currency=currencies[0] if currencies else "",
    )


def _cooled(name: str, price: float, options: Options, work: Ledger) -> float:
    """Return a price with what carries the heat off, where the room is cooled."""
    if options.cooling_cop is None:
        return price
    found: float = work.calc(f"answers.{name}", cost.cooled_price, price=price, cop=options.cooling_cop)
    return found


def _row(unit: Candidate, usable: float, terms: Terms, work: Ledger) -> dict[str, Any]:
    """Return what is known of one unit: its losses, their energy and cost, its cost over the years."""
    step = f"answers.units[{unit.name}]."
    k = terms.load_kva / unit.kva
    shape = {"peak_load_pu": k, "loss_factor": terms.loss_factor, "hours_per_year": terms.hours}
    row: dict[str, Any] = {
        "unit": unit.name,
        "kva": unit.kva,
        "rise_k": unit.rise_k,
        "winding": unit.winding,
        "fits": k <= usable * (1.0 + SAME),
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
    }
    if unit.no_load_loss_w is None or unit.load_loss_w is None:
        if unit.loss_band_w is not None:
            low, high = unit.loss_band_w
            row["energy_band_kwh_year"] = [
                work.calc(f"{step}energy_low_kwh_year", cost.least_energy_kwh, full_load_loss_w=low, **shape),
                work.calc(
                    f"{step}energy_high_kwh_year", cost.most_energy_kwh, full_load_loss_w=high, **shape
                ),
            ]
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
        row.update(_over_years(unit, k, terms, step, work))
    return row


def _over_years(unit: Candidate, k: float, terms: Terms, step: str, work: Ledger) -> dict[str, Any]:
    paid = {
        "price_kwh": terms.price_kwh,
        "hours_per_year": terms.hours,
        "present_worth_years": terms.worth_years,
    }
    paid["demand_price_kw_month"] = terms.demand_price
    a = work.calc("answers.a_per_w", cost.a_factor_per_w, **paid)
    b = work.calc(
        f"{step}b_per_w", cost.b_factor_per_w, **paid, peak_load_pu=k, loss_factor=terms.loss_factor
    )
    found: dict[str, Any] = {"b_per_w": b}
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


def _pair(first: dict[str, Any], other: dict[str, Any], terms: Terms, work: Ledger) -> dict[str, Any]:
    """Return what it takes for a unit to pay against the first one."""
    step = f"answers.break_even[{other['unit']}]."
    saved = _less(first["energy_kwh_year"], other["energy_kwh_year"])
    saving = _less(first["cost_year"], other["cost_year"])
    extra = _less(other["price"], first["price"])
    worth, years = terms.worth_years, None
    pair: dict[str, Any] = {
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


def _answers(
    terms: Terms, rows: list[dict[str, Any]], pairs: list[dict[str, Any]], work: Ledger
) -> dict[str, Any]:
    a = work.steps.get("answers.a_per_w")
    return {
        "load_kva": terms.load_kva,
        "loss_factor": terms.loss_factor,
        "hours_per_year": terms.hours,
        "price_kwh": terms.price_kwh,
        "demand_price_kw_month": terms.demand_price if terms.demand_known else None,
        "currency": terms.currency or None,
        "cooling_cop": terms.cooling_cop,
        "present_worth_years": terms.worth_years,
        "a_per_w": None if a is None else a.value,
        "b_per_w": rows[0]["b_per_w"],
        "units": rows,
        "break_even": pairs,
        "cheapest": _least(rows, "owning_cost"),
        "least_energy": _least(rows, "energy_kwh_year"),
    }


def _least(rows: list[dict[str, Any]], key: str) -> str | None:
    """Return the unit with the least of something, of those that can carry the load; None where one is not known."""
    fitting = [row for row in rows if row["fits"]]
    if not fitting or any(row[key] is None for row in fitting):
        return None
    return str(min(fitting, key=lambda row: float(row[key]))["unit"])
