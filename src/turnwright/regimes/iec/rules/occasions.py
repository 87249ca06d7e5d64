"""Rules about special places and loads: IEC 60364 part 7, IEC 60204, IEC 60092, IEC 60079."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.regimes.common.rules.looks import named
from turnwright.regimes.common.rules.occasions import Occasions, condition, temporary
from turnwright.regimes.common.rules.plain import labels, start
from turnwright.regimes.iec.numbers import limit
from turnwright.regimes.iec.rules.volts import VOLTS
from turnwright.regimes.rule import Facts, Rule, Said

SITE = (
    "Site supply: sockets up to 32 A behind 30 mA residual-current devices, or SELV, or one separated circuit each; "
    "where it is the custom 110 V between lines with the middle earthed. Unit to IEC 61558-2-23, IP44, guarded "
    "from traffic, taken away when the work is done."
)
FARM = (
    "residual-current devices for every circuit (30 mA sockets to 32 A, 100 mA larger ones, 300 mA the rest), bonding "
    "of floors and iron where livestock stands, IP44, and out of reach of animals and of ammonia."
)
MARINA = (
    "each berth has a residual-current device of its own; an isolating transformer keeps galvanic current from the "
    "hull: the protective conductor of the shore ends at its case and is not joined to the hull's."
)
SHIP = (
    "ships are planned for 45 °C, mostly as IT with an insulation monitor on each new system, drops up to 6 %, units "
    "approved by the class. Which society, and is the neutral earthed aboard?"
)
NARROW = (
    "in a narrow conducting place hand lamps and tools have SELV, or a separated circuit for each piece; the unit "
    "stays outside."
)
POOL = "zone 0 and 1 take SELV of 12 V ac at most, the unit stands outside zones 0 to 2."
CRANE = (
    "which duty class and start class does the hoist have? It counts its largest motion and part of the next; does "
    "the drive give power back when it brakes?"
)
CHARGER = (
    "each connecting point has a circuit and a residual-current device of its own, type B or type A with detection of "
    "6 mA dc; a simultaneity below 1 only where a load management holds it."
)
SOLAR = (
    "the source has an isolator on its ac side, and a residual-current device of type B unless the inverter makes no "
    "dc; the network operator's rules of interface protection hold."
)
PUBLIC = "Open to the public: a case that opens with a key or tool only, IP3X or more, protection against blows (IK)."


def medical(facts: Facts) -> Iterator[Said]:
    """710: a medical IT system: unit to IEC 61558-2-15, monitor of insulation, load and temperature, no "
    "overload trip."""
    rooms = named(facts, "isolated power")
    if not rooms:
        return
    low_kva, high_kva, most_v = (
        limit(key) for key in ("medical_min_kva", "medical_max_kva", "medical_max_v")
    )
    kva, alarm = facts.unit.kva, limit("medical_alarm_kohm")
    outside = not low_kva <= kva <= high_kva or facts.proposal.output.line_v > most_v
    size = (
        f" {kva:g} kVA and {facts.proposal.output.text} are outside its {low_kva:g} to {high_kva:g} kVA and "
        f"{most_v:g} V:"
        " several units."
        if outside
        else ""
    )
    yield Said(
        message=(
            f"{start(labels(rooms))}: a medical IT system: unit to IEC 61558-2-15 ({low_kva:g} to {high_kva:g} "
            "kVA), no "
            f"earthed point, a monitor of insulation (alarm at {figure(alarm)} kΩ), of load and temperature. Devices "
            f"before and after it for short circuit only: overload is alarmed, not tripped.{size}"
        ),
        value=kva,
        limit=high_kva,
        unit="kVA",
    )


MADE = Occasions(VOLTS)

RULES = (
    condition("public", PUBLIC),
    temporary("site-supply", SITE),
    Rule(
        id="medical",
        severity="caution",
        check=medical,
        trips={"load": [{"name": "operating theatre", "system": "230 1ph", "kva": "5 kVA"}]},
        clean={"load": [{"name": "waiting room", "system": "230 1ph", "kva": "5 kVA"}]},
    ),
    MADE.named("farm", "farm", FARM, "milking parlour", "mill"),
    MADE.named("marina", "marina", MARINA, "pontoon boxes", "boxes"),
    MADE.named("ship", "ship", SHIP, "ferry galley", "galley"),
    MADE.named("narrow-place", "narrow", NARROW, "boiler inspection lamps", "boiler room"),
    MADE.named("pool", "pool", POOL, "pool lights", "hall lights"),
    MADE.named("crane", "crane", CRANE, "bridge crane", "bridge lights"),
    MADE.of_kind("charging", "charger", CHARGER),
    MADE.feeding_back(SOLAR),
    MADE.welding(),
)
