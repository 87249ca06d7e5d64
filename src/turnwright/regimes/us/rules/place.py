"""Rules about the place: ceiling, room, clearance, outdoors, disconnect, sound."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.reference import EditionTable, load
from turnwright.regimes.rule import Facts, Rule, Said


def numbers(facts: Facts) -> EditionTable:
    """Return the numbers of Article 450 in the edition of the case."""
    return load("nec_450_misc").at(facts.case.edition)


def ceiling_limit(facts: Facts) -> Iterator[Said]:
    """450.13(B): hollow spaces of buildings, not permanently closed in: up to 50 kVA."""
    if facts.case.site.place != "ceiling":
        return
    limit = numbers(facts).row(item="hollow_space_max_kva").number("value")
    if facts.unit.kva > limit:
        yield Said(
            message=(
                f"{facts.unit.kva:g} kVA may not go in the hollow space above a ceiling: {limit:g} kVA is the limit. "
                "A floor or wall place is better."
            ),
            value=facts.unit.kva,
            limit=limit,
            unit="kVA",
        )
    else:
        yield Said(
            message=(
                f"{facts.unit.kva:g} kVA above a ceiling: only ventilated, separated from combustible material, "
                "within reach and removable; a floor or wall place is better."
            ),
            value=facts.unit.kva,
            limit=limit,
            unit="kVA",
            severity="caution",
        )


def large_indoors(facts: Facts) -> Iterator[Said]:
    """450.21(B): over 112.5 kVA indoors in a room of fire-resistant construction, with exceptions."""
    limit = numbers(facts).row(item="indoor_threshold_kva").number("value")
    if _indoors(facts) and facts.unit.kva > limit:
        yield Said(
            message=(
                f"Over {limit:g} kVA indoors: which room? One of 1 h fire rating, unless the insulation system is of "
                "class 155 or higher and the unit is enclosed but for its vents or far from combustible material."
            ),
            value=facts.unit.kva,
            limit=limit,
            unit="kVA",
        )


def small_indoors(facts: Facts) -> Iterator[Said]:
    """450.21(A): up to 112.5 kVA indoors, a distance to combustible material or a barrier."""
    table = numbers(facts)
    limit = table.row(item="indoor_threshold_kva").number("value")
    if _indoors(facts) and facts.unit.kva <= limit:
        row = table.row(item="indoor_small_clearance")
        yield Said(
            message=(
                f"Keep {row.number('value'):g} {row.text('unit')} from combustible material, or a fire-resistant "
                "barrier, unless the unit is completely enclosed but for its vents; the maker's own distance holds "
                "where it is larger."
            ),
            value=facts.unit.kva,
            limit=limit,
            unit="kVA",
        )


def outdoors(facts: Facts) -> Iterator[Said]:
    """450.22: dry types outdoors in a weatherproof enclosure."""
    if facts.case.site.place in ("outdoor", "roof"):
        yield Said(
            message="Outdoors: a weatherproof enclosure; rain-proof does not keep out drifting snow or spray."
        )


def disconnect(facts: Facts) -> Iterator[Said]:
    """450.14: a disconnecting means in sight, or lockable with its place marked on the transformer."""
    yield Said(
        message="A disconnect in sight of the transformer, or lockable open with its place marked on the unit."
    )


def quiet_place(facts: Facts) -> Iterator[Said]:
    """Sound near people: the limit of the class, flexible connections, no corners."""
    if "quiet" not in facts.case.site.conditions or facts.unit.sound_db is None:
        return
    yield Said(
        message=(
            f"Quiet place: order an average sound level under the usual {facts.unit.sound_db:g} dB, isolation pads and "
            "flexible connections; on site it is usually 10 to 15 dB louder than in the test."
        ),
        value=facts.unit.sound_db,
        unit="dB",
    )


def _indoors(facts: Facts) -> bool:
    return facts.case.site.place in ("indoor", "shaft")


RULES = (
    Rule(
        id="ceiling",
        severity="stop",
        refuses=True,
        check=ceiling_limit,
        trips={"site": {"place": "ceiling"}, "choices": {"kva": "75 kVA"}},
        clean={"site": {"place": "indoor"}},
    ),
    Rule(
        id="large-indoors",
        severity="caution",
        check=large_indoors,
        trips={"load": [{"system": "208Y/120", "kva": "140 kVA"}]},
        clean={"load": [{"system": "208Y/120", "kva": "20 kVA"}]},
    ),
    Rule(
        id="clearance",
        severity="note",
        check=small_indoors,
        clean={"site": {"place": "outdoor"}},
    ),
    Rule(
        id="outdoors",
        severity="note",
        check=outdoors,
        trips={"site": {"place": "outdoor"}},
        clean={"site": {"place": "indoor"}},
    ),
    Rule(
        id="disconnect",
        severity="note",
        check=disconnect,
    ),
    Rule(
        id="quiet-place",
        severity="caution",
        check=quiet_place,
        trips={"site": {"conditions": ["quiet"]}},
        clean={"site": {"conditions": ["dust"]}},
    ),
)
