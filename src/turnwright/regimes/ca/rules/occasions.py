"""Rules about special places and loads: sections 18, 24, 32, 38, 40, 42, 44, 64, 76 and 86; cold, working space."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from turnwright.regimes.ca.rules.numbers import limit
from turnwright.regimes.common.rules.occasions import asks, by_kind, by_name, in_place, says, welder
from turnwright.regimes.rule import Facts, Rule, Said

FIRE_PUMP = (
    "it has a supply of its own, its devices carry the locked-rotor current for ever, nothing may trip it by ground "
    "fault, and its conductors have 125 % of its current. Plan it by the fire pump rules, with the authority."
)
PATIENT_CARE = (
    "patient care areas with isolated power have a certified isolated system: no grounded point, short runs, a line "
    "isolation monitor, by CSA Z32. Which rooms are risk areas? The hospital says."
)
CRANE = "conductors go by the time rating of the motors and the largest motion; the runway has a disconnect of its own."
LIFT = "the machine room is for its own equipment; does the drive give power back? Its demand factors go by the number."
STAGE = "dimmers make the neutral of a three-phase feeder current-carrying; portable units are certified for the use."
CHARGER = (
    "charging is a continuous load at 100 % demand, unless an energy management system holds it to less; each charger "
    "has a branch circuit of its own."
)
SOLAR = (
    "a disconnect for the source, a mark at the consumer's service, and a source that the supply authority has agreed "
    "to."
)
TEMPORARY = (
    "Temporary power: receptacles of 15 and 20 A at 125 V that people use get ground fault interrupters, the unit is "
    "guarded from rain and traffic, and it is taken away when the work is done."
)
SNOW = (
    "Drifting snow enters a ventilated case under its rain shields: order a totally enclosed, encapsulated or cast "
    "unit, its openings above the snow."
)
PUBLIC = (
    "Open to the public: a case that opens with a tool only, vents that nothing can be pushed through, a warning "
    "sign."
)
CEILING = "Above a ceiling: within reach and removable, its disconnect where it can be reached; its hum is heard below."


def working_space(facts: Facts) -> Iterator[Said]:
    """2-308: a metre of working space with secure footing about equipment that is worked on."""
    metres = limit(facts.case.edition, "working_space_m")
    yield Said(
        message=f"Working space of {metres:g} m with secure footing where the unit and its devices are worked on.",
        value=metres,
        unit="m",
    )


def _named(name: str) -> dict[str, Any]:
    return {"load": [{"name": name, "system": "208Y/120", "kva": "20 kVA"}]}


def _kind(kind: str, **more: Any) -> dict[str, Any]:
    return {"load": [{"name": "one", "system": "208 3ph", "kva": "20 kVA", "kind": kind, **more}]}


def _condition(name: str) -> dict[str, Any]:
    return {"site": {"conditions": [name]}}


QUIET = _condition("quiet")

RULES = (
    Rule(
        id="snow",
        severity="caution",
        applies=in_place("snow"),
        check=says(SNOW),
        trips=_condition("snow"),
        clean=QUIET,
    ),
    Rule(
        id="public",
        severity="caution",
        applies=in_place("public"),
        check=says(PUBLIC),
        trips=_condition("public"),
        clean=QUIET,
    ),
    Rule(
        id="above-ceiling",
        severity="caution",
        applies=lambda facts: facts.case.site.place == "ceiling",
        check=says(CEILING),
        trips={"site": {"place": "ceiling"}},
        clean={},
    ),
    Rule(id="working-space", severity="note", check=working_space),
    Rule(
        id="temporary-power",
        severity="caution",
        applies=lambda facts: facts.case.site.temporary,
        check=says(TEMPORARY),
        trips={"site": {"temporary": True}},
        clean={},
    ),
    Rule(
        id="fire-pump",
        severity="caution",
        check=asks(by_name("fire pump"), FIRE_PUMP),
        trips=_named("fire pump"),
        clean=_named("well pump"),
    ),
    Rule(
        id="isolated-power",
        severity="caution",
        check=asks(by_name("isolated power"), PATIENT_CARE),
        trips=_named("operating room"),
        clean=_named("waiting room"),
    ),
    Rule(
        id="crane",
        severity="caution",
        check=asks(by_name("crane"), CRANE),
        trips=_named("bridge crane"),
        clean=_named("bridge lighting"),
    ),
    Rule(
        id="stage-and-film",
        severity="caution",
        check=asks(by_name("stage"), STAGE),
        trips=_named("stage dimmers"),
        clean=_named("two-stage pump"),
    ),
    Rule(
        id="lift",
        severity="caution",
        check=asks(by_kind("lift"), LIFT),
        trips=_kind("lift"),
        clean=_kind("general"),
    ),
    Rule(
        id="charging",
        severity="caution",
        check=asks(by_kind("charger"), CHARGER),
        trips=_kind("charger"),
        clean=_kind("general"),
    ),
    Rule(
        id="source-on-the-load-side",
        severity="caution",
        check=asks(lambda facts: tuple(one for one in facts.case.loads if one.feeds_back), SOLAR),
        trips=_kind("inverter", feeds_back=True),
        clean=_kind("general"),
    ),
    Rule(
        id="welder-conductors",
        severity="note",
        applies=lambda facts: "welder" in facts.kinds,
        check=welder,
        trips=_kind("welder", duty={"on": "20 %"}),
        clean=_kind("general"),
    ),
)
