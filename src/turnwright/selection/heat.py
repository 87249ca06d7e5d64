"""The heat of a unit that is not bought yet: its model, and what the load of a job makes of it."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.intake import unit_from_mapping
from turnwright.model.case import Case
from turnwright.model.result import Finding
from turnwright.quantities import figure
from turnwright.regimes import Regime
from turnwright.selection.screen import Sized
from turnwright.thermal.nameplate import Basis, RatedHeat, heat_of
from turnwright.thermal.overload import permitted_load
from turnwright.thermal.profile import steady

OVERLOAD_H = 1.0


def basis_of(case: Case, regime: Regime) -> Basis:
    """Return by which rules a unit of a case is followed, where nobody chooses others."""
    return Basis(
        standard=regime.traits.heat,
        metal=case.choices.winding,
        altitude_m=case.site.altitude_m,
        altitude_rule=case.site.altitude_rule,
    )


def heat_of_size(case: Case, sized: Sized, basis: Basis) -> RatedHeat:
    """Return one size of a proposal, ready to be followed; what nobody knows yet stands in on the warm side."""
    unit, eddy = sized.unit, case.choices.p_ecr
    plate = {
        "kva": f"{float(unit.kva)!r} kVA",
        "rise": None if unit.rise_k is None else f"{float(unit.rise_k)!r} K",
        "k_rating": None if unit.k_rating is None else f"{float(unit.k_rating)!r}",
        "p_ecr": None if eddy is None else f"{float(eddy)!r}",
        "insulation": None if unit.insulation_c is None else f"{float(unit.insulation_c)!r} degC",
    }
    given = unit_from_mapping({key: value for key, value in plate.items() if value is not None}, "pick")
    return heat_of(given, "the pick", "pick", basis)


def heat_remarks(case: Case, sized: Sized, regime: Regime) -> Iterator[Finding]:
    """Yield what the load of a job does to the hottest spot of its unit, and what it may carry for an hour after."""
    if sized.proposal.shunt or sized.unit.rise_k is None:
        return
    heat = heat_of_size(case, sized, basis_of(case, regime))
    model, site = heat.model, case.site
    load_pu = float(sized.loading_pct) * sized.derating / 100.0
    rise = steady(model, load_pu, max(1.0, float(sized.picture.k_factor))).rise_k
    hot = site.ambient_average_c + rise
    rate = model.law.rate(hot)
    more = permitted_load(model, OVERLOAD_H, load_pu, site.ambient_peak_c)
    after = "no overload is permitted"
    if more is not None and more.load_pu > 1.0:
        most = figure(100.0 * more.load_pu, digits=3, rounding="down")
        after = f"{most} % of its rating is permitted for an hour"
    yield Finding(
        code="loading-heat",
        severity="note",
        message=(
            f"By heat: at this load the hottest spot comes to about {figure(hot, digits=3, rounding='up')} °C on an "
            f"average day, where {figure(model.law.rated_hot_spot_c)} °C is normal; life goes at "
            f"{_share(rate)} of the normal rate; after it {after}, at the peak ambient. "
            "The maker's loading limits come first."
        ),
        clause="IEC 60076-12",
        known="memory",
        value=float(hot),
        limit=float(model.law.rated_hot_spot_c),
        unit="degC",
    )


def _share(rate: float) -> str:
    return "less than 0.01" if rate < 0.01 else figure(rate, digits=2, rounding="up")
