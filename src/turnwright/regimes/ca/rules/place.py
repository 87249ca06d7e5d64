"""Rules about the place: 26-240, 26-246, 26-248, 26-004, 26-010 (numbers of 2021), sections 2 and 18."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.regimes.ca.rules.numbers import limit
from turnwright.regimes.common.rules import around, plain
from turnwright.regimes.rule import Facts, Rule, Said

OUTDOORS = "Outdoors: a case that keeps rain and drifting snow out, bonded to ground, or a fence around it."
"""26-010."""
DUST = (
    "Dust: a totally enclosed non-ventilated or an encapsulated unit, or vents that are cleaned on a plan. Wood, "
    "grain and fibre dust burns and may make this a hazardous location: ask who classified it."
)
"""Section 18; dust blocks vents in any case."""
WET = (
    "choose the case by the place (type 3R against rain, 4 or 4X against hoses and corrosion), encapsulated windings "
    "where air of the place would reach them."
)
"""2-400, Table 65."""


def clearance(facts: Facts) -> Iterator[Said]:
    """26-246(1), (2): air around a ventilated dry type, more beside what burns."""
    around, combustible = (
        limit(facts.case.edition, key) for key in ("clearance_mm", "clearance_combustible_mm")
    )
    yield Said(
        message=(
            f"Keep {around:g} mm of air around a ventilated unit, {combustible:g} mm to combustible material; the "
            "maker's own distance holds where it is larger."
        ),
        value=combustible,
        unit="mm",
    )


def no_falling_water(facts: Facts) -> Iterator[Said]:
    """26-246(4), (5): nothing wet above it, no flood below it."""
    yield Said(
        message=(
            "Nothing that may drip or be sprayed above a unit that is not sealed, and no place below grade "
            "that can "
            "be flooded."
        )
    )


def top_entry(facts: Facts) -> Iterator[Said]:
    """26-240(3): the top is for cables only where the maker says so."""
    yield Said(
        message="Cables enter the case from the side or below; from above only where it is marked for it."
    )


def combustible_floor(facts: Facts) -> Iterator[Said]:
    """26-004: a steel plate over a floor that burns, where the unit is open below and marked so."""
    thick, beyond = (limit(facts.case.edition, key) for key in ("steel_plate_mm", "steel_plate_beyond_mm"))
    yield Said(
        message=(
            "Over a combustible floor a unit open at the bottom, if so marked, stands on a steel plate of "
            f"{thick:g} mm "
            f"that reaches {beyond:g} mm beyond its edges."
        ),
        value=thick,
        unit="mm",
    )


def disconnect(facts: Facts) -> Iterator[Said]:
    """26-248: a disconnect in the primary circuit of each transformer."""
    yield Said(message="A disconnect in the primary circuit, in sight or lockable.")


def _indoors(facts: Facts) -> bool:
    return not plain.outside(facts)


RULES = (
    Rule(id="clearance", severity="note", check=clearance),
    Rule(id="no-falling-water", severity="note", check=no_falling_water),
    Rule(id="top-entry", severity="note", check=top_entry),
    Rule(
        id="combustible-floor",
        severity="note",
        applies=_indoors,
        check=combustible_floor,
        clean={"site": {"place": "outdoor"}},
    ),
    around.outdoors(OUTDOORS),
    Rule(id="disconnect", severity="note", check=disconnect),
    around.dust(DUST),
    around.wet_place(WET),
    around.quiet_place(),
)
