"""Rules about reaching, cooling, marking the unit: 450.9, 450.11, 450.13, 450.14, 110.26, 110.14(D), 210.5(C)."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from turnwright.quantities import figure
from turnwright.reference import load, over_through
from turnwright.regimes.common.rules.looks import to_ground_v
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.looks import indoors, is_volts
from turnwright.regimes.us.rules.numbers import METRES_PER_FOOT, SAME, limit, place_limit


def vents(facts: Facts) -> Iterator[Said]:
    """450.9: ventilating openings are not blocked; the clearance marked on the unit is kept."""
    yield Said(
        message=(
            "Keep the clearance marked on the unit: no vent side tight to a wall, nothing stored in front of "
            "the vents."
        )
    )


def top_surface(facts: Facts) -> Iterator[Said]:
    """450.9 (2020 on): a horizontal top that can be reached is marked against storage."""
    yield Said(message="A flat top within reach is marked against storing things on it.")


INCHES_PER_FOOT = 12


@lru_cache(maxsize=64)
def depths_ft(edition: str, ground_v: float) -> tuple[float, float, float]:
    """Return the depth of working space: nothing opposite, grounded wall, live parts opposite. [ft]

    Source: NEC Table 110.26(A)(1)

    Example:
        >>> depths_ft("2023", 277.0)
        (3.0, 3.5, 4.0)
    """
    table = load("nec_110_26").at(edition)
    rows = (
        over_through(table.where(condition=c), "ground_over_v", "ground_through_v", ground_v)
        for c in (1, 2, 3)
    )
    first, second, third = (float(row.number("depth_ft")) for row in rows)
    return first, second, third


def _sides(facts: Facts, depth_ft: float, width_ft: float) -> list[tuple[float, float, str]]:
    """Return the sides of the room with what the working space needs of them, whichever way it lies."""
    room = facts.case.site.room
    if room is None or room.length_m is None or room.width_m is None:
        return []
    longer_m, shorter_m = max(room.length_m, room.width_m), min(room.length_m, room.width_m)
    return [(longer_m, depth_ft, "long"), (shorter_m, min(width_ft, depth_ft), "wide")]


def _height_m(facts: Facts) -> float | None:
    room = facts.case.site.room
    return None if room is None else room.height_m


def working_space(facts: Facts) -> Iterator[Said]:
    """110.26(A): depth by voltage to ground and what is opposite, 30 in wide, 6.5 ft high."""
    edition, supply, output = facts.case.edition, facts.case.supply, facts.proposal.output
    volts = max(to_ground_v(supply.system, supply.grounding), to_ground_v(output, output.grounding))
    free_ft, wall_ft, live_ft = depths_ft(edition, volts)
    width_in, height_ft = place_limit(edition, "working_width"), place_limit(edition, "working_height")
    for have_m, least_ft, what in (
        *_sides(facts, free_ft, width_in / INCHES_PER_FOOT),
        (_height_m(facts), height_ft, "high"),
    ):
        if have_m is not None and have_m < least_ft * METRES_PER_FOOT * (1 - SAME):
            have_ft = have_m / METRES_PER_FOOT
            yield Said(
                message=(
                    f"The room is {figure(have_ft, rounding='down')} ft {what}: less than the "
                    f"{least_ft:g} ft of working space, without the unit."
                ),
                value=have_ft,
                limit=least_ft,
                unit="ft",
                severity="stop",
            )
            return
    yield Said(
        message=(
            f"Working space where unit or devices are worked on live: {free_ft:g} ft deep, {wall_ft:g} ft "
            f"before a grounded wall, {live_ft:g} ft before live parts; {width_in:g} in wide, {height_ft:g} "
            "ft high."
        ),
        value=wall_ft,
        unit="ft",
    )


def accessible(facts: Facts) -> Iterator[Said]:
    """450.13: readily accessible to qualified persons, or in the open on a wall, column or structure."""
    yield Said(
        message=(
            "Readily accessible to qualified persons; in the open on a wall, column or structure it need not "
            "be. Plan the way in and out for its weight."
        )
    )


def disconnect(facts: Facts) -> Iterator[Said]:
    """450.14: a disconnecting means in sight, or lockable with its place marked on the transformer."""
    largest_va = limit(facts.case.edition, "class_2_max_va")
    if facts.unit.kva * 1000 <= largest_va:
        return
    yield Said(
        message="A disconnect in sight of the transformer, or lockable open with its place marked on the unit."
    )


def nameplate(facts: Facts) -> Iterator[Said]:
    """450.11(A): what the nameplate states; the impedance from 25 kVA."""
    from_kva = place_limit(facts.case.edition, "impedance_marking_threshold")
    if facts.unit.kva < from_kva:
        return
    yield Said(
        message=(
            f"The nameplate states maker, kVA, Hz, volts of both sides, impedance (from {from_kva:g} kVA), "
            "clearances and class of the insulation system: compare it with the order."
        ),
        value=facts.unit.kva,
        limit=from_kva,
        unit="kVA",
    )


def identify_systems(facts: Facts) -> Iterator[Said]:
    """210.5(C), 215.12(C): where a building has more than one system, conductors are identified by system."""
    supply, output = facts.case.supply.system, facts.proposal.output
    if not is_volts(supply.line_v, output.line_v):
        yield Said(
            message=(
                f"Mark the {output.text} system at its panel and identify its conductors apart from those of "
                f"the {supply.text} system; equipment from elsewhere may use other colors."
            )
        )


def torque_tool(facts: Facts) -> Iterator[Said]:
    """110.14(D), 2017: where a torque is stated, a calibrated torque tool."""
    yield Said(message=f"{_lugs(facts)} tightened with a calibrated torque tool to the value stated.")


def torque_means(facts: Facts) -> Iterator[Said]:
    """110.14(D), from 2020: torque as stated, by an approved means."""
    yield Said(message=f"{_lugs(facts)} tightened to the torque stated, by an approved means.")


def _lugs(facts: Facts) -> str:
    aluminum = facts.case.circuit.conductor == "aluminum"
    return "Lugs of the maker's kit" + (", marked AL for aluminum conductors," if aluminum else "")


def _bolted(facts: Facts) -> bool:
    """Large or aluminum terminations are those that burn."""
    run = facts.blocks.conductors.secondary
    return facts.case.circuit.conductor == "aluminum" or (run is not None and run.sets > 1)


ALUMINUM = {"circuit": {"conductor": "aluminum"}}
TINY = {"load": [{"system": "24 1ph", "kva": "0.04 kVA", "continuous": False}]}
BY_THE_WALL = {"site": {"room": {"length": "3 m", "width": "0.7 m", "height": "3 m", "ventilated": True}}}

RULES = (
    Rule(
        id="working-space",
        severity="note",
        applies=indoors,
        check=working_space,
        trips=BY_THE_WALL,
        clean={"site": {"place": "outdoor"}},
    ),
    Rule(
        id="disconnect",
        severity="note",
        check=disconnect,
        trips={},
        clean=TINY,
    ),
    Rule(
        id="identify-systems",
        severity="note",
        applies=lambda facts: facts.proposal.derived,
        check=identify_systems,
        trips={},
        clean={"load": [{"system": "480 3ph", "kva": "20 kVA"}]},
    ),
    Rule(
        id="vents",
        severity="note",
        applies=lambda facts: indoors(facts) and facts.unit.enclosure in (None, "ventilated", "open"),
        check=vents,
        trips={},
        clean={"site": {"place": "outdoor"}},
    ),
    Rule(
        id="top-surface",
        severity="note",
        applies=lambda facts: facts.case.site.place in ("indoor", "vault"),
        check=top_surface,
        trips={"edition": "2020"},
        clean={"edition": "2017"},
    ),
    Rule(
        id="accessible",
        severity="note",
        applies=lambda facts: facts.case.site.place != "ceiling",
        check=accessible,
        trips={},
        clean={"site": {"place": "ceiling"}},
    ),
    Rule(
        id="nameplate",
        severity="note",
        check=nameplate,
        trips={},
        clean={"load": [{"system": "208Y/120", "kva": "10 kVA"}]},
    ),
    Rule(
        id="torque-tool",
        severity="note",
        applies=_bolted,
        check=torque_tool,
        trips={**ALUMINUM, "edition": "2017"},
        clean={"edition": "2017"},
    ),
    Rule(
        id="torque-means",
        severity="note",
        applies=_bolted,
        check=torque_means,
        trips=ALUMINUM,
        clean={},
    ),
)
