"""What is said of a fleet: the answer in sentences, its rows as texts, and what they come to together."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from turnwright.fleet.records import FleetReport, FleetRow
from turnwright.quantities import figure

NOTHING = "–"
LEAST_PCT = 0.001
"""Life used below this is only told to be below it."""
LEFT_OUT = "left-out"
"""Code of the findings that tell what could not be used."""


class FleetColumn(NamedTuple):
    """A column of the ranked table: its head, and the text of a row; `may_lack` where nothing may be known."""

    head: str
    text: Callable[[FleetRow], str]
    may_lack: bool = False


def answer(report: FleetReport) -> tuple[str, str]:
    """Return the answer in two sentences: the worst unit; how many were followed, without a full stop."""
    worst = report.worst[0]
    number = "1 unit" if report.units == 1 else f"{report.units:,} units"
    return (
        f"{worst.unit} aged most: {_life(worst.life_used_pct)} of its normal life in "
        f"{figure(worst.hours, digits=4)} h, hottest spot {figure(worst.hot_spot_max_c, rounding='up')} °C.",
        f"{number} followed over {report.steps:,} steps",
    )


def columns(rows: Sequence[FleetRow], currency: str) -> tuple[FleetColumn, ...]:
    """Return the columns of the ranked table; what is known of no row has none."""
    every = (
        FleetColumn("life used", lambda row: _life(row.life_used_pct)),
        FleetColumn("hottest spot", lambda row: f"{figure(row.hot_spot_max_c, rounding='up')} °C"),
        FleetColumn("highest load", lambda row: figure(row.peak_pu, rounding="up")),
        FleetColumn("overload", lambda row: f"{figure(row.overload_h, digits=4, rounding='up')} h"),
        FleetColumn("lost", lambda row: _whole(row.energy_loss_kwh, " kWh"), True),
        FleetColumn(currency or "cost", lambda row: _whole(row.cost_loss), True),
    )
    return tuple(one for one in every if not one.may_lack or any(one.text(row) != NOTHING for row in rows))


def _life(pct: float) -> str:
    return f"{figure(pct, rounding='up')} %" if pct >= LEAST_PCT else f"under {LEAST_PCT:g} %"


def _whole(value: float | None, unit: str = "") -> str:
    return NOTHING if value is None else f"{value:,.0f}{unit}"


def together(rows: Sequence[FleetRow], currency: str) -> tuple[tuple[str, str], ...]:
    """Return what the units come to together: how many age or are loaded too much, energy and cost of all."""
    fast = sum(row.life_used_h > row.hours for row in rows)
    over = sum(row.overload_h > 0 for row in rows)
    found = [
        ("age faster than normal", f"{fast:,} of {len(rows):,}"),
        ("were above rated load", f"{over:,} of {len(rows):,}"),
    ]
    for name, values, unit in (
        ("lost", [row.energy_loss_kwh for row in rows], "kWh"),
        ("cost of it", [row.cost_loss for row in rows], currency),
    ):
        known = [value for value in values if value is not None]
        if known:
            some = (
                "" if len(known) == len(rows) else f", of {len(known):,} units; of the others it is not known"
            )
            found.append((name, f"{math.fsum(known):,.0f} {unit}{some}".replace(" ,", ",")))
    return tuple(found)
