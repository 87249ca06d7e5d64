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

from turnwright.errors import InputError
from turnwright.examine import cost_pages as pages
from turnwright.examine.cost_curves import curves_of
from turnwright.examine.cost_units import candidates_of
from turnwright.examine.following import load_pu_of
from turnwright.examine.heat import Price, followed_pick, price_of
from turnwright.examine.records import Answer
from turnwright.examine.subject import Subject
from turnwright.model.case import Case
from turnwright.quantities import Quantity
from turnwright.selection.currents import full_load_kva
from turnwright.selection.owning import Candidate, Row, Terms, least_of, pair_of, row_of
from turnwright.thermal import cost
from turnwright.working import Ledger

if TYPE_CHECKING:
    from turnwright.examine.options import Options

SAME = 1e-9
STEPS = "answers."
YEAR_H = 8760.0
RANGES = {
    "hours": (0.0, 8784.0),
    "discount": (-50.0, 100.0),
    "years": (0.0, 100.0),
    "cooling_cop": (0.0, 30.0),
}
"""Option -> the ends between which it can be used, the lower one not included but for the discount."""


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
    pairs = [pair_of(rows[0], other, terms, work, STEPS) for other in rows[1:]]
    answers = _answers(terms, rows, pairs, work)
    return Answer(
        said=pages.said_of(answers, terms.currency),
        answers=answers,
        grids=pages.grids_of(answers, terms.currency),
        series=(
            *pages.series_of(answers, terms.currency),
            *curves_of(rows, terms.currency, *_horizon(options, subject.case)),
        ),
        findings=pages.findings_of(subject, candidates, rows),
        questions=pages.questions_of(answers, _listed(subject, options), terms.metered),
        assumed=pages.assumed_of(subject, terms.metered, terms.hours_known, answers),
    )


def _terms(subject: Subject, options: Options, candidates: Sequence[Candidate], work: Ledger) -> Terms:
    price = price_of(options.price_kwh, subject.case)
    demand = options.demand_price
    if demand is not None and demand.high is None:
        demand = None
    currency = _currency(candidates, price, demand)
    peak_kva, factor = _load(subject, options, work)
    hours = options.hours if options.hours is not None else subject.case.choices.hours_per_year
    worth_years = _worth_years(options, subject.case, work)
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
        worth_years=worth_years,
        cooling_cop=options.cooling_cop,
        currency=currency,
    )


def _currency(candidates: Sequence[Candidate], price: Price | None, demand: Quantity | None) -> str:
    """Return the one currency of all prices, "" without any.

    Raises:
        InputError: COST-01, there are several.
    """
    currencies = [each.currency for each in candidates if each.price is not None]
    currencies += [price.currency] if price is not None else []
    currencies += [demand.unit_written] if demand is not None else []
    if len(set(currencies)) > 1:
        what = f"prices in {' and '.join(dict.fromkeys(currencies))} stand together."
        raise InputError(
            "COST-01", "the prices", what, "Write all in one currency: prices are not converted."
        )
    return currencies[0] if currencies else ""


def _load(subject: Subject, options: Options, work: Ledger) -> tuple[float, float]:
    """Return the highest load [kVA], of the job or as metered, and the loss factor [-]."""
    proposal = subject.sized.proposal
    if options.load is None:
        job_kva = full_load_kva(proposal.phases)(
            current_a=subject.blocks.currents.secondary_load_a, voltage_v=proposal.output.line_v
        )
        return job_kva, 1.0
    unit = followed_pick(subject, options)
    load_pu = load_pu_of(options.load, unit)
    peak_pu, factor = max(load_pu), 1.0
    if peak_pu > 0:
        mean_square = math.fsum(k * k for k in load_pu) / len(load_pu)
        factor = work.calc(
            "answers.loss_factor", cost.loss_factor_of, mean_square=mean_square, peak_load_pu=peak_pu
        )
    return peak_pu * unit.rated_kva, factor


def _worth_years(options: Options, case: Case, work: Ledger) -> float | None:
    discount, years = _horizon(options, case)
    if discount is None or years is None:
        return None
    worth_years: float = work.calc(
        "answers.present_worth_years", cost.present_worth_years, interest_pct=discount, years=years
    )
    return worth_years


def _horizon(options: Options, case: Case) -> tuple[float | None, float | None]:
    """Return interest [%] and years, those given beside the job before those of the job; None: not known."""
    choices = case.choices
    return (
        choices.discount_pct if options.discount is None else options.discount,
        choices.years if options.years is None else options.years,
    )


def _listed(subject: Subject, options: Options) -> bool:
    return bool(options.stock or subject.case.offers)


def _row(unit: Candidate, usable: float, terms: Terms, work: Ledger) -> Row:
    fits = terms.load_kva / unit.kva <= usable * (1.0 + SAME)
    return row_of(unit, fits, terms, work, STEPS)


def _cooled(name: str, price: float, options: Options, work: Ledger) -> float:
    """Return a price with what carries the heat off, where the room is cooled."""
    if options.cooling_cop is None:
        return price
    found: float = work.calc(f"answers.{name}", cost.cooled_price, price=price, cop=options.cooling_cop)
    return found


def _answers(terms: Terms, rows: list[Row], pairs: list[Row], work: Ledger) -> dict[str, Any]:
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
        "cheapest": least_of(rows, "owning_cost"),
        "least_energy": least_of(rows, "energy_kwh_year"),
    }
