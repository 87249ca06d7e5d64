"""The tables and curves of a study of harmonics."""

from __future__ import annotations

from typing import Any

from turnwright.circuit import HarmonicSolution
from turnwright.examine.harmonic_loads import sample
from turnwright.examine.records import Grid, Series
from turnwright.examine.subject import Subject
from turnwright.examine.words import amps_column, grid, pct, ratio

SAMPLES = 96


def grids_of(answers: dict[str, Any]) -> tuple[Grid, ...]:
    """Return the tables: by order, by winding, what an ordinary unit may carry."""
    return _order_grid(answers), _winding_grid(answers), _allowed_grid(answers)


def _order_grid(answers: dict[str, Any]) -> Grid:
    rows = answers["orders"]
    columns = (
        [str(row["order"]) for row in rows],
        amps_column((row["load_a"] for row in rows), "up"),
        amps_column((row["supply_a"] for row in rows), "up"),
        [pct(row["passes_pct"]) for row in rows],
        amps_column((row["delta_a"] for row in rows), "up"),
        amps_column((row["neutral_a"] for row in rows), "up"),
        [pct(row["voltage_pct"], "up") for row in rows],
    )
    heads = ("order", "load", "supply", "passes", "in delta", "neutral", "voltage")
    return grid("by order, most loaded line", heads, zip(*columns, strict=True))


def _winding_grid(answers: dict[str, Any]) -> Grid:
    windings = answers["windings"]
    columns = (
        [f"{one['side']} {one['winding']}" for one in windings],
        amps_column((one["current_rms_a"] for one in windings), "up"),
        [pct(one["loading_pct"], "up") for one in windings],
        [ratio(one["k_factor"]) for one in windings],
    )
    return grid("windings", ("", "current", "loaded", "K factor"), zip(*columns, strict=True))


def _allowed_grid(answers: dict[str, Any]) -> Grid:
    rows = [
        (f"eddy loss {pct(100 * one['eddy_pu'])} of I²R", pct(100 * one["allowed_pu"], "down"))
        for one in answers["allowed"]
    ]
    return grid("what an ordinary unit may carry with this current", ("", "of rated current"), rows)


def series_of(
    subject: Subject,
    answers: dict[str, Any],
    load_a: dict[int, tuple[complex, ...]],
    solution: HarmonicSolution,
) -> tuple[Series, ...]:
    """Return the current by order, and over one cycle at the load and at the supply."""
    rows = answers["orders"]
    worst = max(range(len(load_a[1])), key=lambda line: abs(load_a[1][line]))
    at_load = {order: lines[worst] for order, lines in load_a.items()}
    branch = max(solution.by_order[1].sources, key=lambda name: abs(solution.by_order[1].currents_a[name]))
    at_supply = {order: one.currents_a[branch] for order, one in solution.by_order.items()}
    return (
        _bars("current by order at the load", rows, "load_a"),
        _bars("current by order at the supply", rows, "supply_a"),
        _wave("line current at the load", at_load),
        _wave("line current at the supply", at_supply),
    )


def _bars(name: str, rows: list[dict[str, Any]], key: str) -> Series:
    return Series(
        name=name,
        kind="bars",
        x_name="order",
        x_unit="",
        y_name="current",
        y_unit="A",
        x=tuple(str(row["order"]) for row in rows),
        y=tuple(float(row[key]) for row in rows),
    )


def _wave(name: str, phasors: dict[int, complex]) -> Series:
    angles = tuple(360.0 * k / SAMPLES for k in range(SAMPLES + 1))
    return Series(
        name=name,
        kind="line",
        x_name="angle",
        x_unit="deg",
        y_name="current",
        y_unit="A",
        x=angles,
        y=tuple(sample(phasors, angle) for angle in angles),
    )
