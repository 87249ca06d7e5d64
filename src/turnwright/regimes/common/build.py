"""How heavy, how large and how warm a unit of a size and build usually is, before any maker has drawn it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache, lru_cache
from math import prod

from msgspec import Struct
from msgspec.structs import replace

from turnwright.model.unit import Unit
from turnwright.reference import Row, Source, load, over_through
from turnwright.working import Number, formula

MM_PER_M = 1000.0
HARMONIC_K = 9.0
"""K rating from which windings are built for harmonics in earnest."""


class Build(Struct, frozen=True, kw_only=True):
    """The usual band of one unit: mass [kg], outer sizes of the case [m], losses at full load [W]."""

    mass_low_kg: float
    mass_high_kg: float
    width_high_m: float
    depth_low_m: float
    depth_high_m: float
    height_low_m: float
    height_high_m: float
    loss_low_w: float
    loss_high_w: float
    source: Source

    @property
    def least_footprint_m2(self) -> float:
        """The smallest area that the heaviest such unit may stand on."""
        return self.depth_low_m * self.depth_low_m


def build_of(unit: Unit) -> Build:
    """Return the usual band of a unit, its own mass where that is known."""
    found = usual_build(unit.phases, unit.kva, _differences(unit))
    if unit.mass_kg is None:
        return found
    return replace(found, mass_low_kg=float(unit.mass_kg), mass_high_kg=float(unit.mass_kg))


def heavy_parts(unit: Unit) -> dict[str, Number]:
    """Return what the heavy end of the usual mass of a unit is made of: that of its size, and a factor by build."""
    factors = {str(row.text("build")): row.number("mass_high") for row in _factors(_differences(unit))}
    named = {"".join(c if c.isalnum() else "_" for c in build): factor for build, factor in factors.items()}
    return {"usual_kg": _size_row(unit.phases, unit.kva).number("mass_high_kg"), **named}


@formula("m_usual · f_1 · f_2 · …", "kg", "heavy end of the usual band by size and build", "memory")
def heavy_end_kg(usual_kg: float, **factors: float) -> float:
    """Return the heavy end of the usual mass of a unit, to plan its floor, way in and hoist by. [kg]

    usual_kg : heavy end for an ordinary unit of its size [kg]
    factors  : by enclosure, windings, K rating and rise, where they are not the ordinary ones [-]
    Source: bands of the trade by size and build; the maker's drawing decides

    Example:
        >>> heavy_end_kg(usual_kg=400.0, nonventilated=2.0)
        800.0
    """
    return usual_kg * prod(factors.values())


@lru_cache(maxsize=512)
def usual_build(phases: int, kva: float, differences: tuple[str | None, ...] = ()) -> Build:
    """Return the usual band of an ordinary unit of a size, times what is different about this one.

    differences : rows of the table of builds; what it does not have changes nothing
    """
    row = _size_row(phases, kva)
    low = high = size = loss_low = loss_high = 1.0
    for factor in _factors(differences):
        low *= factor.number("mass_low")
        high *= factor.number("mass_high")
        size *= factor.number("size_high")
        loss_low *= factor.number("loss_low")
        loss_high *= factor.number("loss_high")
    return Build(
        mass_low_kg=float(row.number("mass_low_kg") * low),
        mass_high_kg=float(row.number("mass_high_kg") * high),
        width_high_m=float(row.number("width_high_mm") * size / MM_PER_M),
        depth_low_m=float(row.number("depth_low_mm") / MM_PER_M),
        depth_high_m=float(row.number("depth_high_mm") * size / MM_PER_M),
        height_low_m=float(row.number("height_low_mm") / MM_PER_M),
        height_high_m=float(row.number("height_high_mm") * size / MM_PER_M),
        loss_low_w=float(kva * 1000 * row.number("loss_low_pct") * loss_low / 100),
        loss_high_w=float(kva * 1000 * row.number("loss_high_pct") * loss_high / 100),
        source=row.source,
    )


def differences(
    enclosure: str | None = None,
    winding: str | None = None,
    k_rating: float | None = None,
    rise_k: float | None = None,
) -> tuple[str | None, ...]:
    """Return the rows of the table of builds that may hold for a unit; None: as in an ordinary one.

    Example:
        >>> differences("cast", "copper", rise_k=80.0)
        ('cast', 'copper windings', None, 'rise 80 K')
    """
    return (enclosure, _windings(winding), _harmonic(k_rating), _rise(rise_k))


def _differences(unit: Unit) -> tuple[str | None, ...]:
    return differences(unit.enclosure, unit.winding, unit.k_rating, unit.rise_k)


def loss_ratio(unit: Unit, other: Unit) -> tuple[float, float]:
    """Return the full-load loss of another build of a unit over that of the unit, both ends. [-]

    What is alike in both cancels.
    """
    return _loss_ratio(*_changed(unit, other))


@cache
def _loss_ratio(gone: tuple[str | None, ...], new: tuple[str | None, ...]) -> tuple[float, float]:
    low = high = 1.0
    for factor in _factors(new):
        low, high = low * factor.number("loss_low"), high * factor.number("loss_high")
    for factor in _factors(gone):
        low, high = low / factor.number("loss_high"), high / factor.number("loss_low")
    return float(low), float(high)


def _changed(unit: Unit, other: Unit) -> tuple[tuple[str | None, ...], tuple[str | None, ...]]:
    """What only the one has of the differences from an ordinary unit, and what only the other."""
    own, another = _differences(unit), _differences(other)
    gone = tuple(each for each in own if each not in another)
    return gone, tuple(each for each in another if each not in own)


@cache
def usual_rises_k() -> tuple[float, ...]:
    """Return the rises whose usual losses are known beside those of an ordinary unit, largest first. [K]"""
    names = [str(row.text("build")) for row in load("build_factors").newest().rows]
    rises = [float(name.split()[1]) for name in names if name.startswith("rise ")]
    return tuple(sorted(rises, reverse=True))


def build_source(unit: Unit, other: Unit) -> Source:
    """Return where the ratio of the losses of two builds comes from; of one that is ordinary, of the other."""
    return _source((*_changed(unit, other)[1], *_changed(unit, other)[0]))


@cache
def _source(names: tuple[str | None, ...]) -> Source:
    return next(row.source for row in _factors(names))


def _size_row(phases: int, kva: float) -> Row:
    """The row of a size; a unit larger than any of the table is like its largest, for want of a better one."""
    rows = load("unit_sizes").newest().where(phases=phases)
    largest = max(row.number("kva_through") for row in rows.rows)
    return over_through(rows, "kva_over", "kva_through", min(kva, largest))


def _factors(differences: tuple[str | None, ...]) -> Iterator[Row]:
    table = load("build_factors").newest()
    names = {str(row.text("build")) for row in table.rows}
    yield from (table.row(build=name) for name in differences if name in names)


def _windings(metal: str | None) -> str | None:
    return None if metal is None else f"{metal} windings"


def _harmonic(k_rating: float | None) -> str | None:
    return f"K rating {HARMONIC_K:g} and more" if k_rating is not None and k_rating >= HARMONIC_K else None


def _rise(rise_k: float | None) -> str | None:
    return None if rise_k is None else f"rise {rise_k:g} K"


@formula("m · g / A", "kPa")
def floor_pressure_kpa(mass_kg: float, footprint_m2: float) -> float:
    """Return the pressure of a unit on the floor under it. [kPa]

    mass_kg      : mass [kg]
    footprint_m2 : area it stands on [m²]
    Source: weight over area, g = 9.80665 m/s²

    Example:
        >>> round(floor_pressure_kpa(mass_kg=400.0, footprint_m2=0.5), 2)
        7.85
    """
    return mass_kg * STANDARD_GRAVITY / footprint_m2 / 1000


@formula("m · g / p", "m²")
def spread_area_m2(mass_kg: float, floor_load_kpa: float) -> float:
    """Return the area that a unit has to be spread over so that a floor carries it. [m²]

    mass_kg        : mass [kg]
    floor_load_kpa : what the floor carries [kPa]
    Source: weight over pressure, g = 9.80665 m/s²

    Example:
        >>> round(spread_area_m2(mass_kg=400.0, floor_load_kpa=5.0), 3)
        0.785
    """
    return mass_kg * STANDARD_GRAVITY / 1000 / floor_load_kpa


STANDARD_GRAVITY = 9.80665
"""CIPM 1901, exact. [m/s²]"""
