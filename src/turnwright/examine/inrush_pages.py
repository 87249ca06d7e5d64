"""What the page of a switching-on shows: sentences, tables, curves, and what stands in for what nobody knows."""

from __future__ import annotations

from typing import Any

from turnwright.examine.inrush_cases import CYCLES, Peaks
from turnwright.examine.inrush_fed import Fed
from turnwright.examine.records import Assumed, Grid, Series
from turnwright.examine.tables import study_row
from turnwright.examine.words import NOTHING, amps, grid, kva_words, pct
from turnwright.quantities import figure

Answers = dict[str, Any]


def said_of(answers: Answers, fed: Fed | None, cases: tuple[Peaks, ...]) -> tuple[str, ...]:
    """Return the answer in sentences."""
    high = answers["points"][1]
    first = (
        f"The device before the unit must hold {amps(high['current_a'], 'up')} for {high['time_s']:g} s: "
        f"{figure(high['multiple'])} times the rated current of {amps(answers['primary_rated_a'])}"
    )
    if high["device_multiple"] is not None:
        first += f", {figure(high['device_multiple'], rounding='up')} times its own {answers['device_a']:g} A"
    if fed is None or not cases:
        return (f"{first}.",)
    return (f"{first}.", _peaks_said(answers, fed, cases), *_held_said(answers), *_source_said(answers))


def _peaks_said(answers: Answers, fed: Fed, cases: tuple[Peaks, ...]) -> str:
    worst, mild = cases
    moment = (
        f"closed at {worst.closing_deg:g}°" if answers["closing_given"] else "in the worst moment of closing"
    )
    who = f"Of {fed.together} units closed together, the" if fed.together > 1 else "The"
    text = (
        f"{who} first peak is {amps(mild.peaks_a[0], 'up')} to {amps(worst.peaks_a[0], 'up')} {moment}, and "
        f"{amps(worst.peaks_a[-1], 'up')} at most after {CYCLES} cycles."
    )
    return text + (" Each unit takes its share." if fed.together > 1 else "")


def _held_said(answers: Answers) -> tuple[str, ...]:
    rows = answers["hold_off"]
    if not rows:
        return ()
    fails = [row for row in rows if not row["holds"]]
    if not fails:
        return ("The device holds at every point given.",)
    row = max(fails, key=lambda one: one["solved_a"] / one["holds_a"])
    return (
        f"The device may trip: at {row['time_s']:g} s it holds {amps(row['holds_a'], 'down')}, and "
        f"{amps(row['solved_a'], 'up')} may flow.",
    )


def _source_said(answers: Answers) -> tuple[str, ...]:
    own = answers["own_source"]
    if own is None:
        return ()
    return (
        f"In the first cycle that is {kva_words(own['first_cycle_kva'], 'up')}, "
        f"{pct(own['of_rating_pct'], 'up')} of the rating of the source, and its voltage falls by "
        f"{pct(own['voltage_dip_pct'], 'up')}.",
    )


def grids_of(answers: Answers, cases: tuple[Peaks, ...]) -> tuple[Grid, ...]:
    """Return the points of the trade, the points of a device, the peaks cycle by cycle."""
    found = (_point_grid(answers), _hold_grid(answers), _peak_grid(cases))
    return tuple(one for one in found if one.rows)


def _point_grid(answers: Answers) -> Grid:
    heads = ("", "times rated", "current", "for", "of the device", "I²t")
    rows = [
        (
            row["point"],
            figure(row["multiple"]),
            amps(row["current_a"], "up"),
            f"{row['time_s']:g} s",
            NOTHING if row["device_multiple"] is None else figure(row["device_multiple"], rounding="up"),
            f"{figure(row['i2t_a2s'], rounding='up')} A²s",
        )
        for row in answers["points"]
    ]
    return grid("usual points for coordination", heads, rows)


def _hold_grid(answers: Answers) -> Grid:
    heads = ("until", "device holds", "may flow", "by the usual points", "")
    rows = [
        (
            f"{row['time_s']:g} s",
            amps(row["holds_a"], "down"),
            amps(row["solved_a"], "up"),
            amps(row["trade_a"], "up"),
            "holds" if row["holds"] else "may trip",
        )
        for row in answers["hold_off"]
    ]
    return grid("the device before the unit, at the points given", heads, rows)


def _peak_grid(cases: tuple[Peaks, ...]) -> Grid:
    heads = ("cycle", *(one.name for one in cases))
    rows = [
        (str(number + 1), *(amps(one.peaks_a[number], "up") for one in cases)) for number in range(CYCLES)
    ]
    total = ("I²t", *(f"{figure(one.i2t_a2s, rounding='up')} A²s" for one in cases))
    return grid("peaks in the worst line, by what the core may be", heads, [*rows, total] if cases else [])


def curves_of(cases: tuple[Peaks, ...]) -> tuple[Series, ...]:
    """Return the current of the worst line in time."""
    return tuple(
        Series(
            name=f"line current at switching on, {one.name}",
            kind="line",
            x_name="time",
            x_unit="s",
            y_name="current",
            y_unit="A",
            x=one.times_s,
            y=one.current_a,
        )
        for one in cases
    )


def _core_words(fed: Fed) -> str:
    """Say how the legs stand to each other."""
    if fed.one_core:
        low, high = (float(pct or 0.0) / 100 for pct in fed.outside_pct)
        return f"three legs of one core, {low:g}-{high:g} per unit in zero sequence beside them"
    return "each core closed in itself, as in single-phase units" if len(fed.windings) > 1 else "one core"


def assumed_of(fed: Fed | None, residual_given: float | None) -> tuple[Assumed, ...]:
    """Return what stands in for the core that nobody measured."""
    if fed is None:
        return (
            Assumed(
                "points of the trade alone", "a unit without two separate windings is not followed in time"
            ),
        )
    high = float(study_row("core_saturated_high_pu").number("value"))
    knee, residual = study_row("core_knee_pu").number("value"), study_row("core_residual_pu").number("value")
    left = "" if residual_given is not None else f", residual {residual:g}"
    found = [
        Assumed(
            f"core: knee at {knee:g}{left} of the rated peak flux, reactance when saturated "
            f"{figure(fed.low_end_pu)}-{high:g} per unit",
            "no test sheet is given; ask the maker for the inrush of the unit",
        ),
        Assumed(
            "residual flux helps the first swing of every core", "the worst moment of the last switching off"
        ),
        Assumed(f"{_core_words(fed)}, unit without load, tap 0 %"),
    ]
    if fed.low_side:
        share = study_row("core_saturated_inner_share").number("value")
        why = "it lies nearer to the core, so less air helps it"
        found.append(Assumed(f"the low winding has {share:g} of that reactance at the low end", why))
    if not fed.supply.z_ohm:
        found.append(Assumed("infinite source", "a weaker one lowers the peaks"))
    return tuple(found)
