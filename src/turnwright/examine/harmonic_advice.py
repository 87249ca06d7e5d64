"""What harmonics mean: the current a unit may carry, its K rating, the neutral, the voltage."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from turnwright.examine.flow_formulas import cable_rating_a, per_unit
from turnwright.examine.subject import Subject
from turnwright.examine.tables import study_row
from turnwright.examine.words import amps, by_row, pct
from turnwright.model.result import Finding
from turnwright.quantities import figure
from turnwright.reference import Row, load
from turnwright.regimes.said import said
from turnwright.thermal.harmonic_loss import local_eddy_pu, permitted_current_pu
from turnwright.working import Ledger

WITHIN = 1 + 1e-9
FULL_PCT = 100.0
INNER_SHARE = 0.5
"""Share of the inner winding in the I²R of both, where no test sheet says it."""


def allowed(subject: Subject, windings: list[dict[str, Any]], work: Ledger) -> dict[str, Any]:
    """Return the rms current an ordinary unit may carry with this spectrum, of rated, by its eddy loss.

    The spectrum is that of all loads together, or of the winding that is worst off where that is richer.
    """
    constants = load("dry_type_constants").newest()
    given = subject.case.choices.p_ecr
    high = given if given is not None else constants.row(key="p_ecr_high_pct").number("value") / 100
    worst = max(windings, key=lambda one: one["loading_pct"] ** 2 * (1 + one["k_factor"] * high))
    factor = subject.blocks.demand.k_factor or 1.0
    if worst["k_factor"] > factor:
        says = f"solved circuit: spectrum of the winding {worst['winding']}"
        factor = work.note("answers.winding_k_factor", worst["k_factor"], "", says, "computed")
    ends = [given] if given is not None else [_usual_eddy_pu(end, work) for end in ("low", "high")]
    rows = []
    for number, eddy_pu in enumerate(ends):
        pu = work.calc(
            f"answers.allowed[{number}].allowed_pu", permitted_current_pu, loss_factor=factor, eddy_pu=eddy_pu
        )
        rows.append({"eddy_pu": float(eddy_pu), "allowed_pu": pu})
    local = work.calc(
        "answers.local_eddy_pu",
        local_eddy_pu,
        eddy_pu=ends[-1],
        peak_factor=constants.row(key="eddy_peak_factor").number("value"),
        inner_share=INNER_SHARE,
    )
    densest = work.calc(
        "answers.allowed_current_local_pu", permitted_current_pu, loss_factor=factor, eddy_pu=local
    )
    return {
        "allowed": rows,
        "allowed_current_pu": min(row["allowed_pu"] for row in rows),
        "allowed_current_local_pu": densest,
        "worst_winding": worst["winding"],
        "worst_winding_pct": worst["loading_pct"],
    }


def _usual_eddy_pu(end: str, work: Ledger) -> float:
    row = load("dry_type_constants").newest().row(key=f"p_ecr_{end}_pct")
    found: float = work.calc(f"unit.eddy_{end}_pu", per_unit, percent=row.number("value"))
    return found


def findings_of(subject: Subject, answers: dict[str, Any], work: Ledger) -> tuple[Finding, ...]:
    """Return what there is to say, most severe first."""
    return (
        *_heat(subject, answers),
        *_voltage(answers),
        *_neutral(subject, answers),
        *_cable(subject, answers, work),
        *_densest(subject, answers),
    )


def _load_pu(subject: Subject, answers: dict[str, Any]) -> float:
    """The load over the rated current: by the answer to the job, or of the winding that is worst off."""
    currents = subject.blocks.currents
    by_line = float(currents.secondary_load_a / currents.secondary_rated_a)
    return max(by_line, float(answers["worst_winding_pct"]) / FULL_PCT)


def _heat(subject: Subject, answers: dict[str, Any]) -> Iterator[Finding]:
    """The load against what the unit may carry, or its K rating against K at the load."""
    rating, at_load = answers["k_rating"] or 1.0, answers["k_at_load"]
    if rating > 1.0:
        if at_load > rating * WITHIN:
            yield said(
                "k-rating",
                "stop",
                f"K is {figure(at_load, rounding='up')} at this load; the unit is rated K-{rating:g}.",
                clause="UL 1561",
                known="memory",
                value=at_load,
                limit=rating,
            )
        return
    load_pu, may_pu = _load_pu(subject, answers), answers["allowed_current_pu"]
    if load_pu <= may_pu * WITHIN:
        return
    ratings = [float(row.number("k")) for row in load("us_k_ratings").newest().rows]
    fitting = min((k for k in ratings if k >= at_load), default=None)
    advice = (
        f"a K-{fitting:g} unit, or a larger one" if fitting is not None and fitting > 1 else "a larger unit"
    )
    yield said(
        "harmonic-heat",
        "caution",
        f"The load is {pct(100 * load_pu, 'up')} of the rated current; with this spectrum an ordinary unit may "
        f"carry {pct(100 * may_pu, 'down')}: take {advice}.",
        clause="IEEE C57.110",
        known="memory",
        value=100 * load_pu,
        limit=100 * may_pu,
        unit="%",
    )


def _voltage(answers: dict[str, Any]) -> Iterator[Finding]:
    total, single = study_row("voltage_thd_max_pct"), study_row("voltage_order_max_pct")
    thd = answers["voltage_thd_pct"]
    worst = max((row for row in answers["orders"] if row["order"] != 1), key=lambda row: row["voltage_pct"])
    if thd > total.number("value"):
        yield by_row(
            "voltage-distortion",
            "caution",
            f"The voltage at the load is distorted by {pct(thd, 'up')}; {total.number('value'):g} % is the limit where "
            "others share the voltage.",
            total,
            value=thd,
            limit=float(total.number("value")),
            unit="%",
        )
    if worst["voltage_pct"] > single.number("value"):
        yield by_row(
            "voltage-order",
            "caution",
            f"Order {worst['order']} alone makes {pct(worst['voltage_pct'], 'up')} of the voltage; "
            f"{single.number('value'):g} % is the limit.",
            single,
            value=worst["voltage_pct"],
            limit=float(single.number("value")),
            unit="%",
        )


def _neutral(subject: Subject, answers: dict[str, Any]) -> Iterator[Finding]:
    neutral = answers["neutral_rms_a"]
    run = subject.blocks.conductors.neutral
    if neutral is None:
        return
    if run is not None and neutral > run.ampacity_a * WITHIN:
        yield said(
            "neutral-overloaded",
            "stop",
            f"The neutral carries {amps(neutral, 'up')}; its conductors are good for {amps(run.ampacity_a, 'down')}.",
            value=neutral,
            limit=run.ampacity_a,
            unit="A",
        )
        return
    line = answers["load_rms_a"]
    if neutral > line:
        yield said(
            "neutral-above-line",
            "note",
            f"The neutral carries more than the lines: {amps(neutral, 'up')} beside {amps(line, 'up')}.",
            value=neutral,
            limit=line,
            unit="A",
        )


def _cable(subject: Subject, answers: dict[str, Any], work: Ledger) -> Iterator[Finding]:
    """The rating of a four-core cable by the third harmonic; only where the regime counts that way."""
    factors = subject.regime.traits.third_harmonic
    if factors is None or answers["neutral_rms_a"] is None:
        return
    first = next(row["load_a"] for row in answers["orders"] if row["order"] == 1)
    third = next((row["load_a"] for row in answers["orders"] if row["order"] == 3), 0.0)
    share = 100 * third / first
    row = harmonic_row(share, factors)
    chosen = answers["neutral_rms_a"] if row.text("sized_by") == "neutral" else answers["load_rms_a"]
    rating = work.calc("answers.cable_rating_a", cable_rating_a, chosen_a=chosen, factor=row.number("factor"))
    answers["cable_rating_a"] = rating
    yield by_row(
        "cable-third-harmonic",
        "note",
        f"With {pct(share)} third harmonic a four-core cable must be good for {amps(rating, 'up')}.",
        row,
        value=rating,
        unit="A",
    )


def harmonic_row(third_pct: float, factors: str) -> Row:
    """Return the row of a table of reduction factors for a share of the third harmonic.

    Example:
        >>> [float(harmonic_row(third, "iec_third_harmonic").number("factor")) for third in (10.0, 20.0, 40.0, 50.0)]
        [1.0, 0.86, 0.86, 1.0]
    """
    rows = load(factors).newest().rows
    for row in rows:
        through = row.optional("content_through_pct")
        if through is None or third_pct <= through:
            return row
    return rows[-1]


def _densest(subject: Subject, answers: dict[str, Any]) -> Iterator[Finding]:
    """Where the eddy loss is densest a unit bears less."""
    local = answers["allowed_current_local_pu"]
    if (answers["k_rating"] or 1.0) > 1.0 or _load_pu(subject, answers) <= local * WITHIN:
        return
    yield said(
        "densest-eddies",
        "note",
        f"Where eddy loss is densest an ordinary unit may bear only {pct(100 * local, 'down')} of its rated current "
        "with this spectrum: ask the maker for a test sheet.",
        clause="IEEE C57.110",
        known="memory",
        value=100 * local,
        unit="%",
    )
