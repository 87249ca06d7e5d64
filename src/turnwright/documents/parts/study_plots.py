"""Plots of what is computed beyond the answer: regulation, the size over growth, and the curves of studies."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import NamedTuple

from turnwright.circuit.studies.regulation import regulation_pct
from turnwright.documents.brief import Brief
from turnwright.documents.drawing import plot
from turnwright.documents.drawing.series import figures_of
from turnwright.documents.report import Figure
from turnwright.documents.words.figures import bare
from turnwright.documents.words.phrases import key_words
from turnwright.errors import InputError
from turnwright.examine import Options, Study, examine
from turnwright.examine.ends import ends_of
from turnwright.examine.subject import Subject, subject_of
from turnwright.intake import case_of
from turnwright.model.case import NeedsInput
from turnwright.narrow import at, thresholds
from turnwright.narrow.open_facts import open_facts
from turnwright.narrow.put import in_written_unit
from turnwright.narrow.thresholds import Turn
from turnwright.quantities import Quantity
from turnwright.regimes import Regime

MOST_RANGES = 3
POWER_FACTORS = (1.0, 0.9, 0.8)
MOST_LOAD_PCT, STEPS = 125.0, 25
GROWTH, MOST_GROWTH_PCT = "choices.growth", 100.0
STUDIES = (
    ("harmonics", "Harmonics"),
    ("motor-start", "Motor starts"),
    ("inrush", "Switching on"),
    ("cost", "Losses and what they cost"),
)
"""Questions whose curves are shown, and the heading they stand under."""


def study_of(question: str, brief: Brief) -> Study | None:
    """Return a study of the job, or None where it cannot be made.

    Raises:
        InputError: what was given for it beside the job cannot be used.
    """
    try:
        return examine(question, brief.job, _options(question, brief))
    except InputError:  # an arrangement or a job that this question is not asked of
        if question == "cost" and (brief.stock, brief.discount, brief.years) != (None, None, None):
            raise  # somebody asked for it
        return None


def _options(question: str, brief: Brief) -> Options | None:
    if question == "inrush":
        return Options(hold_off=brief.hold_off)
    if question == "cost":
        return Options(
            stock=brief.stock.units if brief.stock else (), discount=brief.discount, years=brief.years
        )
    return None


def study_figures(study: Study | None) -> Sequence[Figure]:
    """Return the curves of a study."""
    return () if study is None else figures_of(study.series)


def regulation(brief: Brief, regime: Regime) -> Figure | None:
    """Return by how much the voltage of the unit falls with its load, at three power factors."""
    subject = _subject(brief, regime)
    if subject is None or not subject.balanced:
        return None
    high = ends_of(subject).high
    curves = []
    for power_factor, dash in zip(POWER_FACTORS, plot.DASHES, strict=False):
        points = tuple(
            (
                percent,
                regulation_pct(
                    load_pu=percent / 100,
                    resistance_pct=high.resistance_pct,
                    reactance_pct=high.reactance_pct,
                    power_factor=power_factor,
                ),
            )
            for percent in (MOST_LOAD_PCT * k / STEPS for k in range(STEPS + 1))
        )
        named = "power factor 1" if power_factor == 1 else f"power factor {power_factor:g}, lagging"
        curves.append(plot.Curve(points, named, dash))
    ys = [y for curve in curves for _, y in curve.points]
    x, y = plot.Axis(0.0, MOST_LOAD_PCT, "load of the unit", "%"), plot.around(ys, "fall of the voltage", "%")
    loading = subject.blocks.demand.loading_pct
    limits = [plot.Limit(loading, f"this load {bare(float(f'{loading:.3g}'))} %")]
    shown = plot.Plot(x, y, curves, [one for one in limits if one.at <= MOST_LOAD_PCT])
    stated = (
        "as stated, with its tolerance"
        if ends_of(subject).stated is not None
        else "the high end of what is usual"
    )
    return plot.figure(shown, f"Regulation; impedance {bare(float(f'{high.magnitude_pct:.3g}'))} %, {stated}")


def _subject(brief: Brief, regime: Regime) -> Subject | None:
    case = case_of(brief.job, regime.defaults)
    if isinstance(case, NeedsInput):
        return None
    try:
        return subject_of(case, regime, brief.result)
    except InputError:
        return None


def size_over_growth(brief: Brief) -> Figure | None:
    """Return the size that is picked as the load grows, with the growths at which it changes."""
    along = _Along(GROWTH, (0.0, MOST_GROWTH_PCT), "growth of the load", "%", float)
    return _size_over(brief, along, "Size picked over growth")


def size_over_ranges(brief: Brief, regime: Regime) -> Iterator[Figure]:
    """Yield the size that is picked over each fact that is given as a range, the others as they stand."""
    case = case_of(brief.job, regime.defaults)
    facts = open_facts(brief.job, None if isinstance(case, NeedsInput) else case, regime)
    for fact in [one for one in facts if one.how == "half-known" and one.key != GROWTH][:MOST_RANGES]:
        given = at(brief.job, fact.key)
        if not isinstance(given, Quantity) or given.low is None or given.high is None:
            continue
        name = key_words(fact.key)
        along = _Along(
            fact.key, (given.low, given.high), name, given.unit_written, partial(in_written_unit, given)
        )
        found = _size_over(brief, along, f"Size picked over {name}, given as {given.text}")
        if found is not None:
            yield found


class _Along(NamedTuple):
    """A fact that is varied: its key, the ends in the unit used inside, and how its values are shown."""

    key: str
    ends: tuple[float, float]
    name: str
    unit: str
    shown: Callable[[float], float]


def _size_over(brief: Brief, along: _Along, caption: str) -> Figure | None:
    """Return the size that is picked over a fact, with the values at which it changes."""
    try:
        turns = thresholds(brief.job, along.key, along.ends)
    except InputError:
        return None
    steps = _steps(turns, brief, *along.ends)
    if not steps:
        return None
    points: list[tuple[float, float]] = []
    for low, high, kva in steps:
        points += [(along.shown(low), kva), (along.shown(high), kva)]
    x = plot.Axis(along.shown(along.ends[0]), along.shown(along.ends[1]), along.name, along.unit)
    y = plot.around([kva for _, _, kva in steps], "size picked", "kVA")
    limits = [
        plot.Limit(along.shown(turn.last), f"to {turn.text}: {turn.below.words}, then {turn.above.words}")
        for turn in turns
    ]
    label = f"{bare(steps[-1][2])} kVA" if not turns else ""
    return plot.figure(plot.Plot(x, y, (plot.Curve(tuple(points), label, "", 1.8),), limits), caption)


def _steps(turns: Sequence[Turn], brief: Brief, low: float, most: float) -> list[tuple[float, float, float]]:
    """Value from, to, and the size between."""
    if not turns:
        pick = brief.result.pick
        return [] if pick is None else [(low, most, pick.kva)]
    found = []
    for turn in turns:
        if turn.below.kva is not None:
            found.append((low, turn.last, turn.below.kva))
        low = turn.first
    last = turns[-1].above.kva
    return [*found, (low, most, last)] if last is not None else found
