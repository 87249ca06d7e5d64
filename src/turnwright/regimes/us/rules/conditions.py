"""Rules about what the place is like: corrosive, damp, washed, salty, dusty, snow, hazardous, public, quiet."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.regimes.common.rules.around import in_condition
from turnwright.regimes.common.rules.looks import to_ground_v
from turnwright.regimes.common.rules.occasions import in_place
from turnwright.regimes.common.rules.plain import practice
from turnwright.regimes.common.rules.volts import Changes
from turnwright.regimes.rule import Check, Facts, Rule, Said
from turnwright.regimes.us.rules.numbers import limit

OPEN_ENCLOSURES = (None, "ventilated", "open")
"""Enclosures through which the air of the place reaches the windings."""


def _is(condition: str, facts: Facts) -> bool:
    return condition in facts.case.site.conditions


def _order(facts: Facts, wanted: str) -> str:
    """Return what to order, where the air of the place reaches the windings of the unit."""
    if facts.unit.enclosure in OPEN_ENCLOSURES:
        return f"order {wanted} instead of a ventilated one"
    return f"the {facts.unit.enclosure} unit is the right kind"


def corrosive(facts: Facts) -> Iterator[Said]:
    """Common practice: ammonia, sulphur and chlorine attack copper and brass; keep their air from the windings."""
    wanted = "a cast, encapsulated or totally enclosed unit"
    yield Said(
        message=(
            f"Corrosive air (ammonia and sulphur attack copper and brass): {_order(facts, wanted)}, aluminum "
            "windings where the maker agrees, tinned lugs, and a place outside the machine room."
        )
    )


def damp(facts: Facts) -> Iterator[Said]:
    """Common practice: damp air condenses on a cold unit; it is dried before it is switched on again."""
    yield Said(
        message=(
            f"Damp or wet place: {_order(facts, 'an encapsulated or drip-proof enclosure')}, on feet off the "
            "floor; after standing cold for a day it is dried out before it is switched on."
        )
    )


def washdown(facts: Facts) -> Iterator[Said]:
    """Common practice: hosed places need an enclosure against hose water, stainless where food is made."""
    yield Said(
        message=(
            f"Washed down with hoses: {_order(facts, 'an encapsulated unit in a hose-tight enclosure')} "
            "(type 4 or 4X), or put it outside the washed area."
        )
    )


def salt(facts: Facts) -> Iterator[Said]:
    """Common practice: salt air creeps over insulation and eats steel."""
    yield Said(
        message=(
            f"Salt air: {_order(facts, 'an encapsulated or cast unit')}, stainless or coated case and "
            "hardware, and a yearly look for white deposit and rust."
        )
    )


def dust(facts: Facts) -> Iterator[Said]:
    """Common practice: dust closes vents and holds damp; wood, grain and metal dust can burn."""
    yield Said(
        message=(
            f"Dust: {_order(facts, 'a totally enclosed unit')}, or clean it on a plan. Dust of wood, grain, "
            "coal or metal that can burn makes the place a classified one: ask who classified it."
        )
    )


def snow(facts: Facts) -> Iterator[Said]:
    """Field reports: snow drifts under rain shields into a ventilated case; the unit fails when it is switched on."""
    wanted = "a totally enclosed, encapsulated or cast unit"
    yield Said(
        message=(
            f"Drifting snow: {_order(facts, wanted)}; a rain-proof ventilated case lets it in. Keep the "
            "vents above the snow and the unit switched on."
        )
    )


def public(facts: Facts) -> Iterator[Said]:
    """110.27, 450.8: live parts of 50 V and more are guarded, vents too where people can put things in."""
    from_v = limit(facts.case.edition, "guard_from_v")
    supply = facts.case.supply
    volts = to_ground_v(supply.system, supply.grounding)
    yield Said(
        message=(
            f"Open to the public: live parts from {from_v:g} V guarded, a case that needs a tool, vents that "
            "nothing can be pushed through, protection from vehicles, and a sign with the voltage."
        ),
        value=volts,
        limit=from_v,
        unit="V",
    )


def quiet_place(facts: Facts) -> Iterator[Said]:
    """Sound near people: the limit of the class, flexible connections, no corners."""
    sound_db = facts.unit.sound_db
    if sound_db is None:
        return
    low, high = practice("site_sound_low_db"), practice("site_sound_high_db")
    where = "Quiet place" if _is("quiet", facts) else "Above a ceiling the hum is heard below"
    yield Said(
        message=(
            f"{where}: order an average sound level under the usual {sound_db:g} dB, flexible connections, "
            "the shipping bolts of the pads loosened as the maker says, no corner and no bare hall; on site it is "
            f"usually {low:g} to {high:g} dB louder than in the test."
        ),
        value=sound_db,
        unit="dB",
    )


def ground_fault_people(facts: Facts) -> Iterator[Said]:
    """210.8(B): receptacles up to 150 V to ground; a device before the transformer sees no fault behind it."""
    most_v = limit(facts.case.edition, "gfci_max_to_ground_v")
    output = facts.proposal.output
    if output.neutral_v is None or to_ground_v(output, None) > most_v:
        return
    yield Said(
        message=(
            "A ground-fault interrupter before the transformer does not protect people behind it: "
            f"receptacles on the {output.text} side (up to {most_v:g} V to ground) get their own."
        ),
        value=to_ground_v(output, None),
        limit=most_v,
        unit="V",
    )


def _wet(facts: Facts) -> bool:
    site = facts.case.site
    wet = site.temporary or site.place in ("outdoor", "roof")
    return facts.proposal.derived and (wet or bool({"damp", "washdown"} & set(site.conditions)))


def _loud(facts: Facts) -> bool:
    return _is("quiet", facts) or facts.case.site.place == "ceiling"


def _condition(name: str, check: Check, clean: Changes) -> Rule:
    """Return the rule of places of a condition, which is also its id."""
    return Rule(
        id=name,
        severity="caution",
        applies=in_place(name),
        check=check,
        trips=in_condition(name),
        clean=clean,
    )


RULES = (
    _condition("corrosive", corrosive, clean=in_condition("damp")),
    _condition("washdown", washdown, clean=in_condition("damp")),
    _condition("damp", damp, clean=in_condition("dust")),
    _condition("salt", salt, clean=in_condition("dust")),
    _condition("dust", dust, clean=in_condition("salt")),
    _condition("snow", snow, clean={"site": {"place": "outdoor"}}),
    _condition("public", public, clean=in_condition("quiet")),
    Rule(
        id="quiet-place",
        severity="caution",
        applies=_loud,
        check=quiet_place,
        trips=in_condition("quiet"),
        clean=in_condition("dust"),
    ),
    Rule(
        id="gfci-behind",
        severity="note",
        applies=_wet,
        check=ground_fault_people,
        trips=in_condition("damp"),
        clean={"site": {"conditions": ["damp"]}, "load": [{"system": "240 3ph", "kva": "20 kVA"}]},
    ),
)
