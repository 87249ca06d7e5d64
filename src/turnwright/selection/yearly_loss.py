"""What a unit that nobody has measured yet would lose in a year, by what is usual, and what that would cost."""

from __future__ import annotations

from math import ceil, floor, log10

from msgspec import Struct
from msgspec.structs import replace

from turnwright.model.case import Case
from turnwright.regimes import Regime
from turnwright.regimes.common.build import build_of
from turnwright.selection.screen import Sized
from turnwright.selection.sizing import law
from turnwright.thermal.cost import (
    least_energy_kwh,
    most_energy_kwh,
    most_lawful_energy_kwh,
    yearly_loss_cost,
)
from turnwright.thermal.losses import resistance_factor
from turnwright.thermal.nameplate import USUAL_RISE_K
from turnwright.thermal.tables import constant
from turnwright.working import CLOSED, Ledger, step_of

YEAR_H = 8760.0
COOLEST_TEST_C = 20.0
"""Nothing is tested cooler; the cooler a winding, the less of its loss the law sees."""

Band = tuple[float, float]


class YearlyLoss(Struct, frozen=True):
    """Both ends of the energy lost in a year [kWh], of its cost (None: no price is known), the currency."""

    kwh: Band
    cost: Band | None
    currency: str

    def said(self) -> str:
        """Return both in a few words.

        Example:
            >>> YearlyLoss((2602.0, 11825.0), (312.3, 1419.1), "USD").said()
            '2,600 to 12,000 kWh (310 to 1,500 USD) a year'
        """
        money = "" if self.cost is None else f" ({_ends(self.cost)} {self.currency})"
        return f"{_ends(self.kwh)} kWh{money} a year"


class LossFrame(Struct, frozen=True):
    """What is known of the losses of one size before anybody has measured it, and how it is loaded.

    full_w     both ends of the full-load loss that is usual [W]
    law_w      most that the law lets it lose at the load of its test; None: no law says [W]
    law_share  least load loss there over load loss at rated load; None: no law says [-]
    shape      highest load, loss factor and hours, as the formulas of energy take them
    """

    full_w: Band
    law_w: float | None
    law_share: float | None
    shape: dict[str, float]


def loss_frame(case: Case, sized: Sized, regime: Regime) -> LossFrame | None:
    """Return what is known of the losses of one size at its load with growth; None where nothing is usual.

    The bands of the trade hold for units of separate windings.
    """
    proposal, unit = sized.proposal, sized.unit
    if not proposal.derived or proposal.shunt or proposal.winding_v is not None:
        return None
    build = build_of(unit)
    hours = case.choices.hours_per_year
    shape = {
        "peak_load_pu": float(sized.loading_pct) * sized.derating / 100.0,
        "loss_factor": 1.0,
        "hours_per_year": YEAR_H if hours is None else hours,
    }
    full_w = (build.loss_low_w * proposal.units, build.loss_high_w * proposal.units)
    ceiling_w, test_pct = law(case, sized, regime, CLOSED).loss_ceiling_w, regime.traits.law_load_pct
    if ceiling_w is None or test_pct is None:
        return LossFrame(full_w, None, None, shape)
    return LossFrame(full_w, ceiling_w * proposal.units, _law_share(test_pct, unit.rise_k), shape)


def frame_of_build(frame: LossFrame, other: Sized, regime: Regime) -> LossFrame:
    """Return the frame of a unit of the same size and load that is built in another way: the law is the same."""
    build, units, test_pct = build_of(other.unit), other.proposal.units, regime.traits.law_load_pct
    share = None if frame.law_w is None or test_pct is None else _law_share(test_pct, other.unit.rise_k)
    full_w = (build.loss_low_w * units, build.loss_high_w * units)
    return replace(frame, full_w=full_w, law_share=share)


def yearly_loss(case: Case, sized: Sized, regime: Regime, work: Ledger, step: str) -> YearlyLoss | None:
    """Return what one size loses in a year at its load with growth, at all hours; None where nothing is usual.

    Where an efficiency law says how much a unit may lose, the upper end is what band and law together leave possible.

    step : start of the names of the steps
    """
    frame = loss_frame(case, sized, regime)
    return None if frame is None else loss_of(frame, case.choices.price_kwh, work, step)


def loss_of(frame: LossFrame, price_kwh: float | None, work: Ledger, step: str) -> YearlyLoss:
    """Return what is lost in a year within a frame, in money where the price of a kWh is known."""
    low, high = frame.full_w
    least = work.calc(f"{step}.loss_kwh_year[0]", least_energy_kwh, full_load_loss_w=low, **frame.shape)
    if frame.law_w is None:
        most = work.calc(f"{step}.loss_kwh_year[1]", most_energy_kwh, full_load_loss_w=high, **frame.shape)
    else:
        lawful = {"law_loss_w": frame.law_w, "law_share": frame.law_share}
        most = work.calc(
            f"{step}.loss_kwh_year[1]", most_lawful_energy_kwh, full_load_loss_w=high, **lawful, **frame.shape
        )
    if price_kwh is None:
        return YearlyLoss((least, most), None, "")
    ends = [
        work.calc(f"{step}.loss_cost_year[{i}]", yearly_loss_cost, energy_kwh=kwh, price_kwh=price_kwh)
        for i, kwh in enumerate((least, most))
    ]
    return YearlyLoss((least, most), (ends[0], ends[1]), currency_of(price_kwh))


def _law_share(test_pct: float, rise_k: float | None) -> float:
    """Return the least load loss at the test of the law over that at rated load, however cool the test is. [-]"""
    hot = (USUAL_RISE_K if rise_k is None else float(rise_k)) + constant("reference_temperature_adder_k")
    return (test_pct / 100.0) ** 2 * resistance_factor(hot, COOLEST_TEST_C, constant("resistance_zero_al_c"))


def currency_of(price_kwh: float) -> str:
    """Return the currency of a price of a kWh that knows where it comes from; "" where it does not."""
    given = step_of(price_kwh)
    return "" if given is None else given.unit.removesuffix("/kWh")


def about(value: float, upward: bool) -> str:
    """Return a size with two figures, away from the other end: the end of a band tells no more.

    Example:
        >>> about(2602.7, upward=False), about(11825.9, upward=True)
        ('2,600', '12,000')
    """
    scale = 10.0 ** max(0, floor(log10(value)) - 1) if value > 0 else 1.0
    return f"{(ceil if upward else floor)(value / scale) * scale:,.0f}"


def _ends(band: Band) -> str:
    return f"{about(band[0], upward=False)} to {about(band[1], upward=True)}"
