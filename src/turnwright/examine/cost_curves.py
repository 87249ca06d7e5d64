"""Losses, efficiency and money of units as curves, of those whose losses are known; nothing is drawn from a band."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from turnwright.examine.records import Series
from turnwright.thermal.cost import present_worth_years
from turnwright.thermal.efficiency import efficiency_pct
from turnwright.thermal.losses import total_loss_w

LOADS_PCT = tuple(float(pct) for pct in (5, 10, 15, 20, 25, 30, 35, 40, 45, *range(50, 126, 5)))
"""Loads at which a unit is shown; at none there is no efficiency."""
STEPS = 24
Row = dict[str, Any]


def curves_of(
    rows: Sequence[Row], currency: str, discount_pct: float | None, years: float | None
) -> tuple[Series, ...]:
    """Return efficiency and losses over load, and what is spent over the years, unit by unit.

    rows  the units as the answer has them: kva, no_load_loss_w, load_loss_w, price, cost_year; None: not known
    """
    known = [row for row in rows if row["no_load_loss_w"] is not None and row["load_loss_w"] is not None]
    return (
        *(
            _over_load(row, "efficiency at power factor 1", "efficiency", "%", _efficiency_pct)
            for row in known
        ),
        *(_over_load(row, "losses", "losses", "W", _loss_w) for row in known),
        *_spent(rows, currency, discount_pct, years),
    )


def _over_load(row: Row, what: str, y_name: str, unit: str, value: Any) -> Series:
    return Series(
        name=f"{row['unit']}: {what}", kind="line", x_name="load of the unit", x_unit="%", y_name=y_name, y_unit=unit,
        x=LOADS_PCT, y=tuple(value(row, pct / 100) for pct in LOADS_PCT),
    )  # fmt: skip


def _loss_w(row: Row, load_pu: float) -> float:
    return float(
        total_loss_w(no_load_loss_w=row["no_load_loss_w"], load_loss_w=row["load_loss_w"], load_pu=load_pu)
    )


def _efficiency_pct(row: Row, load_pu: float) -> float:
    return float(efficiency_pct(output_w=1000.0 * row["kva"] * load_pu, loss_w=_loss_w(row, load_pu)))


def _spent(
    rows: Sequence[Row], currency: str, discount_pct: float | None, years: float | None
) -> Sequence[Series]:
    """Return price and losses so far, in the money of today, of the units whose price and yearly cost are known."""
    if discount_pct is None or years is None:
        return ()
    ends = tuple(years * k / STEPS for k in range(STEPS + 1))
    worth = (0.0, *(float(present_worth_years(interest_pct=discount_pct, years=end)) for end in ends[1:]))
    return tuple(
        Series(
            name=f"{row['unit']}: price and losses", kind="line", x_name="time", x_unit="a",
            y_name="spent so far, in today's money", y_unit=currency, x=ends,
            y=tuple(row["price"] + row["cost_year"] * one for one in worth),
        )
        for row in rows
        if row["price"] is not None and row["cost_year"] is not None
    )  # fmt: skip
