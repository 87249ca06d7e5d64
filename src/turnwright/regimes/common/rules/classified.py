"""Rules about hazardous (classified) places: what may stand in one, and that an ordinary unit belongs outside."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from turnwright.reference import Row, load
from turnwright.regimes.rule import Facts, Rule, Said

CLOSED = ("nonventilated", "encapsulated")
"""Enclosures without any opening."""
OUTSIDE = "Put it outside the classified place, with sealed raceways into it"


@lru_cache(maxsize=32)
def classified_row(place: str) -> Row:
    """Return what is asked in a classified place."""
    return load("classified_places").newest().row(place=place)


def _a_kind(facts: Facts) -> str:
    """The unit by its case, as a sentence names it."""
    enclosure = facts.unit.enclosure or "dry-type"
    return f"{'an' if enclosure[0] in 'aeiou' else 'a'} {enclosure} unit"


def hazardous(facts: Facts) -> Iterator[Said]:
    """A hazardous place of which nobody has told the class: no unit goes in before that is known."""
    if facts.case.site.classified is not None:
        return
    yield Said(
        message=(
            "Hazardous place, class not told: no ordinary ventilated unit may stand there. "
            f"{OUTSIDE}, or have the maker certify {_a_kind(facts)} for class, division and group or "
            "for the zone. Which are they, by whose drawing?"
        )
    )


def classified(facts: Facts) -> Iterator[Said]:
    """What the class and division, or the zone, lets stand there."""
    site = facts.case.site
    assert site.classified is not None
    row = classified_row(site.classified)
    allows, what = (
        row.text("allows"),
        f"{site.classified[:1].upper()}{site.classified[1:]}: {row.text('statement')}.",
    )
    if site.place == "vault" and row.yes("vault"):
        yield Said(
            message=f"{what} It stands in a vault: keep the vault sealed from the place.", severity="note"
        )
    elif allows == "ordinary":
        yield Said(message=f"{what} A place outside is better still.", severity="caution")
    elif allows == "closed" and facts.unit.enclosure in CLOSED:
        yield Said(
            message=f"{what} The {facts.unit.enclosure} unit meets that with dust-tight fittings; its case must not "
            "get hot enough to light a layer of dust.",
            severity="caution",
        )
    else:
        certified = ", or have one certified for it" if allows == "identified" else ""
        yield Said(message=f"{what} Uncertified, {_a_kind(facts)} is not that. {OUTSIDE}{certified}.")


RULES = (
    Rule(
        id="hazardous",
        severity="stop",
        applies=lambda facts: "hazardous" in facts.case.site.conditions,
        check=hazardous,
        trips={"site": {"conditions": ["hazardous"]}},
        clean={"site": {"conditions": ["dust"]}},
    ),
    Rule(
        id="classified",
        severity="stop",
        refuses=True,
        applies=lambda facts: facts.case.site.classified is not None,
        check=classified,
        trips={"site": {"classified": "zone 1"}},
        clean={"site": {"conditions": ["hazardous"]}},
    ),
)
