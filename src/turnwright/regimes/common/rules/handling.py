"""Rules about bringing the unit in, setting it down and holding it there: mass, way in, floor, earthquakes."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.regimes.common.build import (
    STANDARD_GRAVITY,
    Build,
    build_of,
    floor_pressure_kpa,
    spread_area_m2,
)
from turnwright.regimes.common.earthquake import force_share, importance, seismic_row
from turnwright.regimes.common.rules.plain import SAME, practice
from turnwright.regimes.rule import Facts, Lacks, Rule, Said

FREE_M = 0.05
"""Room beside and above a case that is moved through a door. [m]"""
EXEMPT = ("A", "B", "none")
ALL_BUT_ESSENTIAL = ("C", "low")
"""Where only what has to work after an earthquake is designed for it."""


def _each(facts: Facts) -> str:
    return " each" if facts.proposal.units > 1 else ""


def mass(facts: Facts) -> Iterator[Said]:
    """Common practice: floor, door and hoist are asked about before the order, by the usual mass and size."""
    build = build_of(facts.unit)
    if build.mass_high_kg <= practice("carried_by_one_kg"):
        return
    known = facts.unit.mass_kg is not None
    band = (
        f"{figure(build.mass_high_kg)} kg{_each(facts)}"
        if known
        else f"usually {figure(build.mass_low_kg, digits=2)} to "
        f"{figure(build.mass_high_kg, digits=2, rounding='up')} kg{_each(facts)}, up to "
        f"{_size(build)} m wide, deep and high; the maker's drawing decides"
    )
    yield Said(
        message=(
            f"Mass {band}. Do the floor, the doors and a hoist take it? Fix it to the building, by calculation where "
            "earthquakes are designed for, without locking pads that must float."
        ),
        value=build.mass_high_kg,
        unit="kg",
    )


def _size(build: Build) -> str:
    sides = (build.width_high_m, build.depth_high_m, build.height_high_m)
    return " × ".join(figure(side, digits=2, rounding="up") for side in sides)


def way_in(facts: Facts) -> Iterator[Said]:
    """Common practice: the shorter side and the height of the case pass the narrowest door, its mass the hoist."""
    build, site = build_of(facts.unit), facts.case.site
    for says, have, low, high, unit in (
        ("is {} wide", site.way_in_width_m, build.depth_low_m + FREE_M, build.depth_high_m + FREE_M, "m"),
        ("is {} high", site.way_in_height_m, build.height_low_m + FREE_M, build.height_high_m + FREE_M, "m"),
        ("carries {}", site.way_in_mass_kg, build.mass_low_kg, build.mass_high_kg, "kg"),
    ):
        if have is not None:
            yield _fits(says, have, low, high, unit)


SMALLER = (
    "Three single-phase units, or two smaller ones, are lighter; or bring it in before the walls are closed"
)


def _fits(says: str, have: float, low: float, high: float, unit: str) -> Said:
    given = f"{figure(have, rounding='down')} {unit}"
    has = f"The way in {says.format(given)}"
    most = figure(high, digits=2, rounding="up")
    if have < low * (1 - SAME):
        least = figure(low, digits=2)
        message = f"{has}: too little even for the least that such a unit takes, {least} {unit}. {SMALLER}."
        return Said(message=message, value=have, limit=low, unit=unit, severity="stop")
    if have < high * (1 - SAME):
        message = f"{has}; a large one takes {most} {unit}: hold the maker to it in the order. {SMALLER}."
        return Said(message=message, value=have, limit=high, unit=unit)
    message = f"{has}, enough for the {most} {unit} that such a unit takes at most."
    return Said(message=message, value=have, limit=high, unit=unit, severity="note")


def floor_load(facts: Facts) -> Iterator[Said]:
    """Common practice: weight over footprint against what the floor carries, and the area to spread it over."""
    build, allowed_kpa = build_of(facts.unit), facts.case.site.floor_load_kpa
    assert allowed_kpa is not None
    pressure_kpa = floor_pressure_kpa(build.mass_high_kg, build.least_footprint_m2)
    area_m2 = spread_area_m2(build.mass_high_kg, allowed_kpa)
    under = f"Under it up to {figure(pressure_kpa, rounding='up')} kPa ({figure(build.mass_high_kg, rounding='up')} kg)"
    if pressure_kpa <= allowed_kpa * (1 + SAME):
        yield Said(
            message=f"{under}; the floor carries {figure(allowed_kpa)} kPa.",
            value=pressure_kpa,
            limit=allowed_kpa,
            unit="kPa",
            severity="note",
        )
        return
    yield Said(
        message=(
            f"{under} against the {figure(allowed_kpa)} kPa that the floor carries: spread it over "
            f"{figure(area_m2, rounding='up')} m² by a plate or beams, or put it elsewhere; a structural engineer "
            "decides."
        ),
        value=pressure_kpa,
        limit=allowed_kpa,
        unit="kPa",
    )


def seismic(facts: Facts) -> Iterator[Said | Lacks]:
    """Earthquake force on equipment fixed to a building; what is exempt; what has to work afterwards."""
    site, regime = facts.case.site, facts.case.regime
    essential = site.essential is True
    if site.seismic is None and site.seismic_g is None:
        yield Lacks(("site.seismic",))
        return
    if _is_exempt(facts, essential):
        yield Said(
            message=(
                f"Seismic category {site.seismic}: equipment that need not work after an earthquake is exempt "
                "there if its raceways are flexible; it is fixed all the same, so that it cannot walk or topple."
            ),
            severity="note",
        )
        return
    works = (
        f"importance factor {importance(regime, essential):g}, and the maker certifies that it works after the shake"
        if essential
        else "importance factor 1; is it needed after an earthquake? Then 1.5"
    )
    if site.seismic_g is None:
        yield Lacks(("site.seismic_g",))
        yield Said(
            message=(
                f"Seismic {site.seismic}: anchors by calculation ({works}). Pads that must float get snubbers, "
                "raceways a flexible last length, and nothing hangs from it that can fall."
            ),
            value=importance(regime, essential),
        )
        return
    share = force_share(regime, site.seismic_g, essential)
    mass_kg = build_of(facts.unit).mass_high_kg
    force_kn = share * mass_kg * STANDARD_GRAVITY / 1000
    yield Said(
        message=(
            f"Earthquake: anchors for a horizontal force of {figure(share, rounding='up')} of its weight at the roof, "
            f"less below, up to {figure(force_kn, rounding='up')} kN ({works}). Pads that must float get snubbers, "
            "raceways a flexible last length."
        ),
        value=force_kn,
        unit="kN",
    )


def _is_exempt(facts: Facts, essential: bool) -> bool:
    """Return whether a building of this category leaves such equipment out: 13.1.4 in the United States."""
    site = facts.case.site
    if essential or site.seismic is None:
        return site.seismic in EXEMPT
    if site.seismic in (*EXEMPT, *ALL_BUT_ESSENTIAL):
        return True
    if facts.case.regime != "us":
        return False
    limit_kg = seismic_row("us", "exempt_mass_kg").number("value")
    return build_of(facts.unit).mass_high_kg <= limit_kg


def _asked(facts: Facts) -> bool:
    site = facts.case.site
    return site.seismic is not None or site.seismic_g is not None or site.essential is True


RULES = (
    Rule(
        id="mass",
        severity="note",
        check=mass,
        clean={"load": [{"system": "24 1ph", "kva": "0.04 kVA", "continuous": False}]},
    ),
    Rule(
        id="way-in",
        severity="caution",
        applies=lambda facts: any(
            each is not None
            for each in (
                facts.case.site.way_in_width_m,
                facts.case.site.way_in_height_m,
                facts.case.site.way_in_mass_kg,
            )
        ),
        check=way_in,
        trips={"site": {"way_in_width": "0.3 m", "way_in_mass": "150 kg"}},
        clean={},
    ),
    Rule(
        id="floor-load",
        severity="caution",
        applies=lambda facts: facts.case.site.floor_load_kpa is not None,
        check=floor_load,
        trips={"site": {"floor_load": "2.5 kPa"}},
        clean={},
    ),
    Rule(
        id="seismic",
        severity="caution",
        applies=_asked,
        check=seismic,
        trips={"site": {"seismic": "D", "seismic_g": 1.0, "essential": True}},
        clean={},
    ),
)
