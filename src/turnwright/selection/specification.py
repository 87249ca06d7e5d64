"""What is ordered beside the size: enclosure by place, shield and K rating by kind of load, a sound level."""

from __future__ import annotations

from functools import lru_cache

from msgspec import Struct

from turnwright.demand import LoadPicture
from turnwright.model.case import Case, CaseLoad
from turnwright.reference import load
from turnwright.regimes import Regime
from turnwright.regimes.common.rules.classified import classified_row
from turnwright.regimes.common.rules.looks import occasions

ORDINARY_K = 1.0
"""Of a unit not built for harmonics."""
DIMMED = "dimmed lighting"
"""How the table calls lighting under phase-angle dimmers."""


class Enclosure(Struct, frozen=True):
    """An enclosure, and the one whose sound levels count for it."""

    name: str
    sound_as: str


VENTILATED = Enclosure("ventilated", "ventilated")


class SpecialKind(Struct, frozen=True):
    """What is specified for a kind of load: K rating where no spectrum is known, a shield or not."""

    k_unmeasured: float
    shield: bool


@lru_cache(maxsize=1)
def _places() -> tuple[tuple[str, float, Enclosure], ...]:
    """Condition, size above which it holds [kVA], enclosure; of a condition the larger sizes first."""
    rows = load("place_enclosures").newest().rows
    order = {str(row.text("condition")): number for number, row in reversed(list(enumerate(rows)))}
    found = [
        (
            str(row.text("condition")),
            float(row.number("kva_over")),
            Enclosure(str(row.text("enclosure")), str(row.text("sound_as"))),
        )
        for row in rows
    ]
    return tuple(sorted(found, key=lambda each: (order[each[0]], -each[1])))


@lru_cache(maxsize=1)
def special_kinds() -> dict[str, SpecialKind]:
    """Return what is specified by kind of load."""
    return {
        str(row.text("kind")): SpecialKind(float(row.number("k_unmeasured")), row.yes("shield"))
        for row in load("special_kinds").newest().rows
    }


@lru_cache(maxsize=1)
def _shares() -> tuple[tuple[float, float], ...]:
    """Largest share of nonlinear load of each K rating that a share is usually picked for, ascending. [%, -]"""
    rows = load("us_k_ratings").newest().rows
    found = [
        (float(most), float(row.number("k")))
        for row in rows
        if (most := row.optional("nonlinear_max_pct")) is not None
    ]
    return tuple(sorted(found))


def enclosure_of(case: Case, kva: float) -> Enclosure:
    """Return the enclosure of a unit of this size: the first row of the table that its place meets."""
    conditions = set(case.site.conditions)
    if case.site.classified is not None and classified_row(case.site.classified).text("allows") == "ordinary":
        conditions -= {"hazardous"}
    if not conditions:
        return VENTILATED
    for condition, over_kva, enclosure in _places():
        if condition in conditions and kva > over_kva:
            return enclosure
    return VENTILATED


def shield_of(case: Case) -> bool:
    """Return whether an electrostatic shield is specified: as told, else where a load is of a kind that gets one."""
    if case.choices.shield is not None:
        return case.choices.shield
    return any((kind := _special(load)) is not None and kind.shield for load in case.loads)


def k_unmeasured(case: Case, picture: LoadPicture) -> float:
    """Return the K rating specified for loads whose spectrum nobody knows; 1 where they are a small share.

    The usual pick for the share of the load that distorts, not above the one of the kinds that it consists of.
    """
    unknown = set(picture.unknown_spectrum)
    if not unknown:
        return ORDINARY_K
    running = {made.index: float(made.running_kva) for made in picture.loads}
    total = sum(running.values())
    if not total:
        return ORDINARY_K
    distorting = [one for one in case.loads if one.index in unknown or one.harmonics]
    share_pct = sum(running.get(one.index, 0.0) for one in distorting) / total * 100
    of_kinds = max(_k_of(one) for one in case.loads if one.index in unknown)
    usual = next((k for most, k in _shares() if share_pct <= most), of_kinds)
    return min(usual, of_kinds)


def _k_of(one: CaseLoad) -> float:
    found = _special(one)
    return found.k_unmeasured if found is not None else ORDINARY_K


def _special(one: CaseLoad) -> SpecialKind | None:
    """Return what is specified for a load; lighting under phase-angle dimmers is a kind of its own."""
    return special_kinds().get(DIMMED if _is_dimmed(one) else one.kind)


def _is_dimmed(one: CaseLoad) -> bool:
    return one.kind == "lighting" and (one.firing == "phase angle" or "dimming" in occasions(one.name))


def sound_limit_db(
    regime: Regime, phases: int, kva: float, k_rating: float, enclosure: Enclosure, quiet: bool
) -> float | None:
    """Return the average sound level to order: of its class, in a quiet place the lowest class of its size. [dB]"""
    own = regime.usual_unit(phases, kva, k_rating, enclosure.sound_as).sound_db
    if not quiet:
        return own
    ordinary = regime.usual_unit(phases, kva, ORDINARY_K).sound_db
    levels = [level for level in (own, ordinary) if level is not None]
    return min(levels, default=None)
