"""The answer about the cost of losses in sentences, tables, bars and findings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from turnwright.examine.records import Assumed, Grid, Series
from turnwright.examine.subject import Subject
from turnwright.examine.words import NOTHING, grid
from turnwright.model.result import Finding, Question
from turnwright.quantities import figure
from turnwright.reference import load
from turnwright.regimes.said import said
from turnwright.selection.owning import Candidate, pays
from turnwright.selection.yearly_loss import about

HARMONIC = 1.05
"""Above this loss factor of the current harmonics are told."""


def said_of(answers: dict[str, Any], currency: str) -> tuple[str, ...]:
    """Return the answer in sentences, the most important first."""
    sentences = [*_first(answers, currency), *_factors(answers, currency)]
    sentences += [line for pair in answers["break_even"] for line in pays(pair, currency)]
    return tuple(sentences)


def _first(answers: dict[str, Any], currency: str) -> Iterator[str]:
    rows = answers["units"]
    by_name = {row["unit"]: row for row in rows}
    cheapest, least = answers["cheapest"], answers["least_energy"]
    if cheapest is not None:
        row = by_name[cheapest]
        yield f"{cheapest} costs least over the years, losses included: {row['owning_cost']:,.0f} {currency}."
    if least is not None:
        row = by_name[least]
        price = "" if row["cost_year"] is None else f", {row['cost_year']:,.0f} {currency} a year"
        yield f"{least} loses {row['energy_kwh_year']:,.0f} kWh a year at this load{price}" + (
            _of_them(rows) if len(rows) > 1 else "."
        )
    for row in rows:
        if row["energy_band_kwh_year"] is not None:
            low, high = row["energy_band_kwh_year"]
            yield (
                f"The losses of {row['unit']} are not known; by what is usual they come to between "
                f"{about(low, upward=False)} and {about(high, upward=True)} kWh a year."
            )


def _of_them(rows: Sequence[dict[str, Any]]) -> str:
    return ", the least of them." if all(row["fits"] for row in rows) else ", the least of those that fit."


def _factors(answers: dict[str, Any], currency: str) -> Iterator[str]:
    if answers["a_per_w"] is None:
        return
    a = f"A watt without load costs {figure(answers['a_per_w'])} {currency} over the years (A)"
    if answers["b_per_w"] is None:
        yield f"{a}."
        return
    first = answers["units"][0]["unit"]
    yield f"{a}, a watt of load loss {figure(answers['b_per_w'])} {currency} in {first} (B)."


def grids_of(answers: dict[str, Any], currency: str) -> tuple[Grid, ...]:
    """Return the units side by side."""
    heads = ("", "rise", "metal", "load", "no load", "full load", "lost a year", "a year", "price", "in all")
    rows = [
        (
            row["unit"],
            NOTHING if row["rise_k"] is None else f"{figure(row['rise_k'])} K",
            row["winding"] or NOTHING,
            f"{figure(100 * row['peak_load_pu'])} %",
            _watts(row["no_load_loss_w"]),
            _full_load(row),
            _energy(row),
            _money(row["cost_year"]),
            _money(row["price"]),
            _money(row["owning_cost"]),
        )
        for row in answers["units"]
    ]
    empty = [i for i in range(1, len(heads)) if all(row[i] == NOTHING for row in rows)]
    keep = [i for i in range(len(heads)) if i not in empty]
    title = f"Losses and what they cost{f', in {currency}' if currency else ''}"
    return (grid(title, [heads[i] for i in keep], [[row[i] for i in keep] for row in rows]),)


def _watts(value: float | None) -> str:
    return NOTHING if value is None else f"{value:,.0f} W"


def _full_load(row: dict[str, Any]) -> str:
    """No-load loss and load loss together, or the band of what is usual."""
    if row["no_load_loss_w"] is not None and row["load_loss_w"] is not None:
        return _watts(row["no_load_loss_w"] + row["load_loss_w"])
    if row["full_load_loss_band_w"] is None:
        return NOTHING
    low, high = row["full_load_loss_band_w"]
    return f"{low:,.0f}–{high:,.0f} W"


def _energy(row: dict[str, Any]) -> str:
    if row["energy_kwh_year"] is not None:
        return f"{row['energy_kwh_year']:,.0f} kWh"
    if row["energy_band_kwh_year"] is None:
        return NOTHING
    low, high = row["energy_band_kwh_year"]
    return f"{about(low, upward=False)}–{about(high, upward=True)} kWh"


def _money(value: float | None) -> str:
    return NOTHING if value is None else f"{value:,.0f}"


def series_of(answers: dict[str, Any], currency: str) -> tuple[Series, ...]:
    """Return the yearly losses as bars, and the cost over the years, where they are known of every unit."""
    found = []
    for key, name, unit in (
        ("energy_kwh_year", "energy lost in a year", "kWh"),
        ("owning_cost", "price and losses over the years", currency),
    ):
        values = [row[key] for row in answers["units"]]
        if all(value is not None for value in values):
            found.append(
                Series(
                    name=name, kind="bars", x_name="unit", x_unit="", y_name=name, y_unit=unit,
                    x=tuple(row["unit"] for row in answers["units"]), y=tuple(float(v) for v in values),
                )
            )  # fmt: skip
    return tuple(found)


def findings_of(
    subject: Subject, candidates: Sequence[Candidate], rows: Sequence[dict[str, Any]]
) -> tuple[Finding, ...]:
    """Return what there is to say of the units beside their cost."""
    return (*_too_small(subject, rows), *_bands(candidates), *_ceilings(candidates))


def _too_small(subject: Subject, rows: Sequence[dict[str, Any]]) -> Iterator[Finding]:
    usable = subject.sized.derating
    for row in rows:
        if not row["fits"]:
            load = figure(100 * row["peak_load_pu"], rounding="up")
            message = f"{row['unit']} is too small: the load is {load} % of it."
            yield said("too-small", "caution", message, value=row["peak_load_pu"], limit=usable)


def _bands(candidates: Sequence[Candidate]) -> Iterator[Finding]:
    if all(each.loss_band_w is None for each in candidates):
        return
    source = load("unit_sizes").newest().rows[0].source
    bands = ", ".join(
        f"{each.name} {figure(each.loss_band_w[0], digits=2)} to {figure(each.loss_band_w[1], digits=2)} W"
        for each in candidates
        if each.loss_band_w is not None
    )
    message = (
        f"Losses at full load, as usual for size and build: {bands}. A band does not tell how a loss divides; from "
        "it nothing is concluded about which unit pays."
    )
    yield said("loss-band", "note", message, clause=source.cite(), known=source.known)


def _ceilings(candidates: Sequence[Candidate]) -> Iterator[Finding]:
    told = [f"{each.name} {each.ceiling_35_w:,.0f} W" for each in candidates if each.ceiling_35_w is not None]
    if told:
        message = f"The efficiency law lets them lose at most, at 35 % load: {', '.join(told)}."
        yield said("law-ceiling", "note", message)


def assumed_of(
    subject: Subject, metered: bool, hours_known: bool, answers: dict[str, Any]
) -> tuple[Assumed, ...]:
    """Return what stands in for what nobody gave."""
    found = []
    if not metered:
        what = "the load of the job at all hours, the upper end"
        found.append(Assumed(what, "no load was metered; --load takes one"))
    if not hours_known:
        found.append(Assumed("energized all year, 8760 h", "nobody said otherwise"))
    if any(row["load_loss_w"] is not None for row in answers["units"]):
        what = "load loss as stated, at its reference temperature"
        found.append(Assumed(what, "a cooler winding loses a little less"))
    if subject.sized.picture.k_factor > HARMONIC:
        what = "sinusoidal currents"
        found.append(
            Assumed(what, "the harmonics of the loads add to the load loss; 'examine harmonics' says how")
        )
    if answers["cooling_cop"] is None:
        found.append(Assumed("nothing is paid to carry the heat off", "no cooling was given"))
    if answers["price_kwh"] is not None and answers["demand_price_kw_month"] is None:
        found.append(Assumed("no price of demand", "none was given"))
    return tuple(found)


def questions_of(answers: dict[str, Any], listed: bool, metered: bool) -> tuple[Question, ...]:
    """Return what to ask next, what settles the most first."""
    asked = []
    rows = answers["units"]
    if any(row["energy_kwh_year"] is None for row in rows):
        asked.append(
            Question(
                key="no_load_loss, load_loss",
                ask="What are the no-load loss and the load loss of each unit that is offered?",
                why="Every quotation can state them; without them only what is usual can be told.",
            )
        )
    if answers["price_kwh"] is None:
        asked.append(
            Question(
                key="price_kwh", ask="What does a kWh cost?", why="Losses cost nothing until it is known."
            )
        )
    elif answers["present_worth_years"] is None:
        why = "They tell what money saved later is worth today, and with it the A and B of the losses."
        asked.append(
            Question(key="discount, years", ask="Over how many years, and at what interest?", why=why)
        )
    if listed and any(row["price"] is None for row in rows):
        why = "A lower loss is weighed against a higher price."
        asked.append(Question(key="price", ask="What does each unit cost?", why=why))
    if not metered:
        why = "Load loss goes with the square of the load: an even load is the upper end."
        asked.append(Question(key="load", ask="How does the load go through the year?", why=why))
    return tuple(asked)
