"""Rules about special places and loads: sections 18, 22, 24, 32, 38, 40, 42, 44, 64, 68, 76, 78, 86; working space."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.regimes.ca.rules.numbers import limit
from turnwright.regimes.ca.rules.volts import VOLTS
from turnwright.regimes.common.rules.occasions import Occasions, condition, says, temporary
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
MARINA = (
    "the unit stands above water and waves, its case for weather and salt; what it feeds on the dock has ground "
    "fault protection, which an isolating transformer does not replace."
)
POOL = (
    "lights under water take a transformer made and marked for pools, its output not grounded; a general unit is none. "
    "Everything metal about the pool is bonded together."
)
FARM = (
    "where livestock stands floor and stanchions are bonded together, and the case keeps out dust, damp and ammonia, "
    "which attacks bare copper."
)
SHIP = (
    "aboard a ship this code does not hold: the federal rules for ships and the class society do, from the shore "
    "connection on. Which society, and is the system aboard grounded?"
)
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


MADE = Occasions(VOLTS)

RULES = (
    condition("snow", SNOW),
    condition("public", PUBLIC),
    Rule(
        id="above-ceiling",
        severity="caution",
        applies=lambda facts: facts.case.site.place == "ceiling",
        check=says(CEILING),
        trips={"site": {"place": "ceiling"}},
        clean={},
    ),
    Rule(id="working-space", severity="note", check=working_space),
    temporary("temporary-power", TEMPORARY),
    MADE.named("fire-pump", "fire pump", FIRE_PUMP, "fire pump", "well pump"),
    MADE.named("isolated-power", "isolated power", PATIENT_CARE, "operating room", "waiting room"),
    MADE.named("crane", "crane", CRANE, "bridge crane", "bridge lighting"),
    MADE.named("stage-and-film", "stage", STAGE, "stage dimmers", "two-stage pump"),
    MADE.named("marina", "marina", MARINA, "marina pedestals", "pedestals"),
    MADE.named("pool", "pool", POOL, "pool lights", "hall lights"),
    MADE.named("farm", "farm", FARM, "milking parlour", "mill"),
    MADE.named("ship", "ship", SHIP, "ferry galley", "galley"),
    MADE.of_kind("lift", "lift", LIFT),
    MADE.of_kind("charging", "charger", CHARGER),
    MADE.feeding_back(SOLAR),
    MADE.welding(),
)
