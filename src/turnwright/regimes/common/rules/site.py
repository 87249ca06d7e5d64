"""Rules about where the unit stands, by practice: heat into the room, a warm place, a roof."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from turnwright.quantities import figure
from turnwright.reference import load
from turnwright.regimes.common.build import build_of
from turnwright.regimes.common.rules.plain import outside, practice
from turnwright.regimes.rule import Check, Facts, Lacks, Rule, Said
from turnwright.thermal.heat import air_flow_cfm, air_flow_m3_s, heat_btu_per_h, opening_m2, outlet_m2
from turnwright.thermal.tables import constant

USUAL_RISE_K = 150.0
COOLER = (115, 80)
"""Rises of less heat on the same insulation. [K]"""


def _inside(facts: Facts) -> bool:
    return not outside(facts)


def heat_w(facts: Facts) -> float:
    """Return the losses at full load: those of the unit, else the high end of what is usual. [W]"""
    known_w = facts.blocks.pick.heat_w
    return build_of(facts.unit).loss_high_w * facts.proposal.units if known_w is None else known_w


def room_heat(metric: bool) -> Check:
    """Return the check that the room carries off the full-load losses without the unit getting hotter than rated."""

    def check(facts: Facts) -> Iterator[Said | Lacks]:
        lost_w, room = heat_w(facts), facts.case.site.room
        ventilated = room.ventilated if room is not None else None
        if ventilated is None:
            if lost_w >= practice("room_heat_watch_w"):
                yield Lacks(("site.room.ventilated",))
            return
        heat = f"{figure(lost_w, rounding='up')} W"
        if not metric:
            heat += f" ({figure(heat_btu_per_h(lost_w), rounding='up')} BTU/h)"
        air = _air_metric(lost_w) if metric else f"{_air_cfm(lost_w)} cfm"
        if not ventilated:
            message = (
                f"The room is not ventilated: up to {heat} at full load heat it. It needs about {air} of air "
                "through it, "
                "or cooling of that size."
            )
            yield Said(message=message, value=lost_w, unit="W")
            return
        message = (
            f"Up to {heat} at full load go into the room: see that about {air} pass through it."
            f"{_openings(lost_w, room.height_m if room else None)}"
        )
        yield Said(message=message, value=lost_w, unit="W", severity="note")

    return check


def _air_metric(lost_w: float) -> str:
    """Return the air that carries the heat off at the usual warming. [m³/h]"""
    return f"{figure(_air_m3_s(lost_w) * 3600, digits=2, rounding='up')} m³/h"


def _air_cfm(lost_w: float) -> str:
    """Return the air that carries the heat off at the usual warming. [cfm]"""
    return figure(air_flow_cfm(_air_m3_s(lost_w)), digits=2, rounding="up")


def _air_m3_s(lost_w: float) -> float:
    return air_flow_m3_s(
        lost_w, practice("air_rise_k"), practice("air_density"), practice("air_specific_heat")
    )


def _openings(lost_w: float, height_m: float | None) -> str:
    """Return the free areas of natural ventilation, where the height of the room is known."""
    if height_m is None or height_m <= 0:
        return ""
    inlet_m2 = opening_m2(lost_w, height_m / 2, practice("vent_area_factor_high"))
    outlet = figure(outlet_m2(inlet_m2, practice("vent_outlet_extra_pct")), digits=2, rounding="up")
    inlet = figure(inlet_m2, digits=2, rounding="up")
    return f" Without a fan: {inlet} m² free opening low, {outlet} m² high."


def warm_place(facts: Facts) -> Iterator[Said]:
    """Nameplates hold for 30 °C average and 40 °C peak around the unit."""
    average_c, peak_c = facts.case.site.ambient_average_c, facts.case.site.ambient_peak_c
    usual_average_c, usual_peak_c = practice("usual_ambient_average_c"), practice("usual_ambient_peak_c")
    if average_c <= usual_average_c and peak_c <= usual_peak_c:
        return
    over_peak = peak_c > usual_peak_c
    value, edge = (peak_c, usual_peak_c) if over_peak else (average_c, usual_average_c)
    yield Said(
        message=(
            f"{figure(value, rounding='up')} °C around the unit is over the usual {edge:g} °C: say so in the "
            f"order; a lower rise or a larger unit keeps its life.{_cooler(facts)}"
        ),
        value=value,
        limit=edge,
        unit="°C",
    )


def _cooler(facts: Facts) -> str:
    """What a unit of less rise on the same insulation would have to be rated, where an ordinary one is taken."""
    if facts.unit.rise_k != USUAL_RISE_K or facts.blocks.demand.basis != "heat":
        return ""
    wanted_kva = facts.blocks.demand.kva_required
    cooler = " or ".join(
        f"{figure(wanted_kva / (1 + practice(f'margin_{rise}_rise_pct') / 100), rounding='up')} kVA at {rise} K"
        for rise in COOLER
    )
    return f" Instead of {figure(wanted_kva, rounding='up')} kVA at {USUAL_RISE_K:g} K: {cooler} on 220 °C insulation."


@lru_cache(maxsize=64)
def air_strength(altitude_m: float) -> tuple[float, float]:
    """Return the strength of air at the next altitude of the table, and that altitude. [-], [m]

    Above the table its last row stands; less is left there.

    Example:
        >>> air_strength(2900.0)
        (0.8, 3000.0)
    """
    rows = load("altitude_ambient").newest().where(quantity="altitude_dielectric").rows
    ordered = sorted(rows, key=lambda row: row.number("at"))
    row = next((one for one in ordered if one.number("at") >= altitude_m), ordered[-1])
    return float(row.number("factor")), float(row.number("at"))


def thin_air(facts: Facts) -> Iterator[Said]:
    """Thin air insulates less, whatever the load is; up to 1 kV the usual clearances mostly bear it."""
    altitude_m = facts.case.site.altitude_m
    share, at_m = air_strength(altitude_m)
    if share >= 1.0:
        return
    below = "less than " if altitude_m > at_m else "about "
    yield Said(
        message=(
            f"At {figure(altitude_m)} m the air insulates {below}{share * 100:g} % of what it does up to 1000 m: name "
            "the height in the order, and have the maker confirm clearances and arresters; at these volts they "
            "mostly bear it. Less load does not help there."
        ),
        value=share,
        limit=1.0,
    )


def cold(facts: Facts) -> Iterator[Said]:
    """Dry types are made for a lowest ambient; colder, varnish and resin crack when the load comes."""
    lowest_c, made_for_c = facts.case.site.ambient_lowest_c, constant("lowest_ambient_c")
    if lowest_c is None or lowest_c >= made_for_c:
        return
    yield Said(
        message=(
            f"Down to {lowest_c:g} °C: dry types are made for {made_for_c:g} °C. Order it for the cold, keep it "
            "switched on or heat its case, and warm it before a load after it stood cold."
        ),
        value=lowest_c,
        limit=made_for_c,
        unit="degC",
    )


def roof(facts: Facts) -> Iterator[Said]:
    """Common practice: weight, wind, sun and the way up to a roof."""
    yield Said(
        message=(
            "On a roof: who checks the weight, wind and the way up for the crane and for upkeep? Sun on the "
            "case adds to the ambient; shade it or take a lower rise."
        )
    )


THIN_AIR = Rule(
    id="thin-air",
    severity="note",
    check=thin_air,
    trips={"site": {"altitude": "2500 m"}},
    clean={"site": {"altitude": "900 m"}},
)


COLD = Rule(
    id="cold",
    severity="caution",
    check=cold,
    trips={"site": {"ambient_lowest": "-40 degC"}},
    clean={"site": {"ambient_lowest": "-20 degC"}},
)
"""Where there are no climatic classes."""


def rules(metric: bool) -> tuple[Rule, ...]:
    """Return the rules with heat and air in metric units, or in those of the United States."""
    return (
        Rule(
            id="room-heat",
            severity="caution",
            applies=_inside,
            check=room_heat(metric),
            trips={"site": {"room": {"ventilated": False}}},
            clean={"site": {"place": "outdoor", "room": {"ventilated": False}}},
        ),
        Rule(
            id="warm-place",
            severity="caution",
            check=warm_place,
            trips={"site": {"ambient_peak": "50 degC"}},
            clean={"site": {"ambient_peak": "38 degC", "ambient_average": "25 degC"}},
        ),
        THIN_AIR,
        Rule(
            id="roof",
            severity="caution",
            applies=lambda facts: facts.case.site.place == "roof",
            check=roof,
            trips={"site": {"place": "roof"}},
            clean={},
        ),
    )


RULES = rules(metric=False)
