"""Rules about the place: ceiling, room, clearance, outdoors, roof, shaft, vault: 450.13, 450.21, 450.22."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.regimes.common.rules.plain import outside
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.numbers import limit, place_limit, place_row


def ceiling_limit(facts: Facts) -> Iterator[Said]:
    """450.13(B): hollow spaces of buildings, not permanently closed in: up to 50 kVA."""
    most_kva = place_limit(facts.case.edition, "hollow_space_max_kva")
    kva = facts.unit.kva
    if kva > most_kva:
        yield Said(
            message=(
                f"{kva:g} kVA may not go in the hollow space above a ceiling: {most_kva:g} kVA is the limit. "
                "A floor or wall place is better, for its hum and its heat too."
            ),
            value=kva,
            limit=most_kva,
            unit="kVA",
        )
    else:
        yield Said(
            message=(
                f"{kva:g} kVA above a ceiling: only ventilated, separated from combustible material, "
                "within reach and removable; a floor or wall place is better."
            ),
            value=kva,
            limit=most_kva,
            unit="kVA",
            severity="caution",
        )


def ceiling_opening(facts: Facts) -> Iterator[Said]:
    """110.26(A)(4): equipment above a lay-in ceiling has an opening to reach it."""
    opening_in = place_limit(facts.case.edition, "ceiling_opening")
    yield Said(
        message=(
            f"What has to be worked on live above the ceiling needs an opening of {opening_in:g} by "
            f"{opening_in:g} in and working space in front; put the disconnect where it can be reached."
        ),
        value=opening_in,
        unit="in",
    )


def return_air(facts: Facts) -> Iterator[Said]:
    """300.22(C)(3): in a space that moves the building's air only equipment in a metal enclosure, fit for its heat."""
    yield Said(
        message=(
            "Does the space above the ceiling return the building's air? Then only in a metal enclosure, fit "
            "for the temperature there; never inside a duct. The mechanical code has a word in it too."
        )
    )


def large_indoors(facts: Facts) -> Iterator[Said]:
    """450.21(B): over 112.5 kVA indoors in a room of fire-resistant construction, with exceptions."""
    edition, kva = facts.case.edition, facts.unit.kva
    most_kva = place_limit(edition, "indoor_threshold_kva")
    if kva > most_kva:
        hours = place_limit(edition, "indoor_large_room")
        insulation_c = place_limit(edition, "indoor_large_exc1_class")
        across_ft = place_limit(edition, "indoor_large_exc1_horizontal")
        above_ft = place_limit(edition, "indoor_large_exc1_vertical")
        yield Said(
            message=(
                f"Over {most_kva:g} kVA indoors: which room? One of {hours:g} h fire rating, unless the "
                f"insulation system is of class {insulation_c:g} or higher and the unit is enclosed but for "
                f"its vents, or {across_ft:g} ft across and {above_ft:g} ft above from combustible material."
            ),
            value=kva,
            limit=most_kva,
            unit="kVA",
        )


def small_indoors(facts: Facts) -> Iterator[Said]:
    """450.21(A): up to 112.5 kVA indoors, a distance to combustible material or a barrier."""
    edition, kva = facts.case.edition, facts.unit.kva
    most_kva = place_limit(edition, "indoor_threshold_kva")
    if kva <= most_kva:
        row = place_row(edition, "indoor_small_clearance")
        yield Said(
            message=(
                f"Keep {row.number('value'):g} {row.text('unit')} from combustible material, or a "
                "fire-resistant barrier, unless the unit is completely enclosed but for its vents; the "
                "maker's own distance holds where it is larger."
            ),
            value=kva,
            limit=most_kva,
            unit="kVA",
        )


def outdoors(facts: Facts) -> Iterator[Said]:
    """450.22: dry types outdoors in a weatherproof enclosure."""
    yield Said(
        message=(
            "Outdoors: a weatherproof enclosure. Rain-proof does not keep out drifting snow or spray; bring "
            "raceways in below live parts or with fittings for wet places."
        )
    )


def outdoor_distance(facts: Facts) -> Iterator[Said]:
    """450.22: over 112.5 kVA at least 12 in from combustible parts of buildings, with an exception."""
    edition, kva = facts.case.edition, facts.unit.kva
    most_kva = place_limit(edition, "outdoor_threshold_kva")
    if kva > most_kva:
        row = place_row(edition, "outdoor_large_clearance")
        yield Said(
            message=(
                f"Over {most_kva:g} kVA outdoors: {row.number('value'):g} {row.text('unit')} from "
                "combustible parts of buildings, unless of class 155 or higher and enclosed but for its "
                "vents."
            ),
            value=kva,
            limit=most_kva,
            unit="kVA",
        )


def rooftop_raceway(facts: Facts) -> Iterator[Said]:
    """310.15(B)(2): 33 K are added to the ambient of raceways close to a roof in the sun, not for XHHW-2."""
    edition = facts.case.edition
    adder_k, apart_in = limit(edition, "rooftop_adder_k"), limit(edition, "rooftop_distance_in")
    if facts.case.circuit.insulation.upper() == "XHHW-2":
        return
    yield Said(
        message=(
            f"Raceways closer than {apart_in:g} in to the roof in the sun: {adder_k:g} K more ambient for "
            "the conductors, which the sizes here do not count. Raise the raceways, or use XHHW-2."
        ),
        value=adder_k,
        unit="K",
    )


def shaft(facts: Facts) -> Iterator[Said]:
    """450.13(B), 620.37: a shaft is a hollow space; a hoistway is for the elevator alone."""
    most_kva = place_limit(facts.case.edition, "hollow_space_max_kva")
    size = f"{figure(facts.unit.kva)} kVA"
    over = (
        f"{size} is over the {most_kva:g} kVA of hollow spaces: only behind a door, readily accessible"
        if facts.unit.kva > most_kva
        else f"{size} only ventilated, within reach and removable"
    )
    yield Said(
        message=f"In a shaft: {over}, and the shaft's fire rating kept. In an elevator hoistway nothing but its own.",
        value=facts.unit.kva,
        limit=most_kva,
        unit="kVA",
    )


def vault(facts: Facts) -> Iterator[Said]:
    """450.21(C), 450.41 to 450.48: a vault is asked for above 35 kV only; a vault there has its own rules."""
    vault_v = place_limit(facts.case.edition, "indoor_vault_voltage")
    yield Said(
        message=(
            f"A dry-type unit needs a vault above {vault_v / 1000:g} kV only. In one all the same: no "
            "foreign pipes or ducts, door, sill, drain and ventilation of the vault stay as they are."
        ),
        value=facts.case.supply.system.line_v,
        limit=vault_v,
        unit="V",
    )


ABOVE_CEILING = {"site": {"place": "ceiling"}}
ROOF = {"site": {"place": "roof"}}


def _above_ceiling(facts: Facts) -> bool:
    return facts.case.site.place == "ceiling"


def _in_a_room(facts: Facts) -> bool:
    return facts.case.site.place in ("indoor", "shaft", "vault")


def _on_roof(facts: Facts) -> bool:
    return facts.case.site.place == "roof"


RULES = (
    Rule(
        id="ceiling",
        severity="stop",
        refuses=True,
        applies=_above_ceiling,
        check=ceiling_limit,
        trips={"site": {"place": "ceiling"}, "choices": {"kva": "75 kVA"}},
        clean={"site": {"place": "indoor"}},
    ),
    Rule(
        id="return-air",
        severity="caution",
        applies=_above_ceiling,
        check=return_air,
        trips=ABOVE_CEILING,
        clean={},
    ),
    Rule(
        id="ceiling-opening",
        severity="note",
        applies=_above_ceiling,
        check=ceiling_opening,
        trips=ABOVE_CEILING,
        clean={},
    ),
    Rule(
        id="large-indoors",
        severity="caution",
        applies=_in_a_room,
        check=large_indoors,
        trips={"load": [{"system": "208Y/120", "kva": "140 kVA"}]},
        clean={"load": [{"system": "208Y/120", "kva": "20 kVA"}]},
    ),
    Rule(
        id="shaft",
        severity="caution",
        applies=lambda facts: facts.case.site.place == "shaft",
        check=shaft,
        trips={"site": {"place": "shaft"}},
        clean={},
    ),
    Rule(
        id="vault",
        severity="note",
        applies=lambda facts: facts.case.site.place == "vault",
        check=vault,
        trips={"site": {"place": "vault"}},
        clean={},
    ),
    Rule(
        id="rooftop-raceway",
        severity="caution",
        applies=_on_roof,
        check=rooftop_raceway,
        trips={**ROOF, "circuit": {"insulation": "PVC"}},
        clean=ROOF,
    ),
    Rule(
        id="outdoors",
        severity="note",
        applies=outside,
        check=outdoors,
        trips={"site": {"place": "outdoor"}},
        clean={"site": {"place": "indoor"}},
    ),
    Rule(
        id="outdoor-distance",
        severity="caution",
        applies=outside,
        check=outdoor_distance,
        trips={"site": {"place": "outdoor"}, "load": [{"system": "208Y/120", "kva": "140 kVA"}]},
        clean={"site": {"place": "outdoor"}},
    ),
    Rule(
        id="clearance",
        severity="note",
        applies=_in_a_room,
        check=small_indoors,
        trips={},
        clean={"site": {"place": "outdoor"}},
    ),
)
