"""Rules about special occupancies: fire pumps 695, isolated power 517.160, 60/120 V 647, stages 520, sites 590.

Farms 547, docks 555, pools 680; ships, which the code leaves out.
"""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.quantities import figure
from turnwright.regimes.common.rules.looks import named
from turnwright.regimes.common.rules.occasions import Occasions
from turnwright.regimes.common.rules.plain import labels, start
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.regimes.us.rules.looks import is_volts
from turnwright.regimes.us.rules.numbers import SAME, limit
from turnwright.regimes.us.rules.volts import VOLTS

MARINA = (
    "the unit is made for the place, the bottom of its case above the electrical datum plane; outlets for boats have "
    "ground-fault protection of 30 mA each, the rest of the dock 100 mA; an isolating transformer is no substitute."
)
POOL = (
    "lights under water take a transformer listed for pools, with a grounded metal barrier between its windings and an "
    "output that is not grounded; a general unit is none. Everything metal about the pool is bonded together."
)
FARM = (
    "where livestock stands its floor is an equipotential plane, bonded to the grounding of the building; the case "
    "keeps out dust and damp, ammonia attacks bare copper, and equipment grounding conductors there are copper."
)
SHIP = (
    "aboard a ship this code does not hold: 46 CFR 110 to 113 and the class society do, from the shore connection on. "
    "Which society, and is the system aboard grounded?"
)
MADE = Occasions(VOLTS)


def fire_pump_size(facts: Facts) -> Iterator[Said]:
    """695.5(A): at least 125 % of fire pump and jockey pump motors together, and all of the rest."""
    pumps = named(facts, "fire pump")
    if not pumps:
        return
    share = limit(facts.case.edition, "fire_pump_pct")
    indices = {one.index for one in pumps}
    motors = sum(made.running_kva for made in facts.picture.loads if made.index in indices)
    others = sum(made.running_kva for made in facts.picture.loads if made.index not in indices)
    least_kva = motors * share / 100 + others
    total_kva = facts.unit.kva * facts.proposal.units
    if total_kva < least_kva * (1 - SAME):
        yield Said(
            message=(
                f"For {labels(pumps)} {total_kva:g} kVA is too small: {share:g} % of the motors and the rest "
                f"are {figure(least_kva, rounding='up')} kVA."
            ),
            value=total_kva,
            limit=least_kva,
            unit="kVA",
        )


def fire_pump_devices(facts: Facts) -> Iterator[Said]:
    """695.5(B), (C): no device after the transformer; the one before carries the locked-rotor current for ever."""
    pumps = named(facts, "fire pump")
    if not pumps:
        return
    device_a = facts.blocks.protection.secondary_a
    after = (
        f"the {device_a:g} A device after the transformer is not allowed"
        if device_a
        else "no device after it"
    )
    only = len(pumps) == len(facts.case.loads)
    other = "" if only else " Other loads on it only if the pump is never at risk by them."
    yield Said(
        message=(
            f"{start(labels(pumps))}: {after}; the one before it must carry the locked-rotor currents of all "
            f"its motors and the rest for ever. Plan it by the fire pump article.{other}"
        ),
        value=device_a,
        unit="A" if device_a else None,
        severity="stop" if device_a else "caution",
    )


def isolated_power(facts: Facts) -> Iterator[Said]:
    """517.160: a listed isolated power system with its own transformer, monitor and colors."""
    rooms = named(facts, "isolated power")
    if not rooms:
        return
    edition = facts.case.edition
    advised_kva, alarm_ma = (
        limit(edition, "isolated_power_advised_max_kva"),
        limit(edition, "isolated_power_alarm_ma"),
    )
    yield Said(
        message=(
            f"{start(labels(rooms))}: not a general unit but a listed isolated power system: ungrounded, up "
            f"to {advised_kva:g} kVA advised, monitor alarm at {alarm_ma:g} mA, conductors orange, brown and "
            "yellow with a stripe. Who decides whether the room is a wet procedure location?"
        ),
        value=facts.unit.kva,
        limit=advised_kva,
        unit="kVA",
    )


def sensitive_power(facts: Facts) -> Iterator[Said]:
    """647.4(D): 60/120 V for sensitive electronics: 1.5 % drop in a branch, 2.5 % altogether."""
    output = facts.proposal.output
    if output.neutral_v is None or not is_volts(output.neutral_v, 60):
        return
    edition = facts.case.edition
    branch_pct, total_pct = (
        limit(edition, "drop_sensitive_branch_pct"),
        limit(edition, "drop_sensitive_total_pct"),
    )
    run = facts.blocks.conductors.secondary
    drop_pct = run.drop_pct if run is not None else None
    too_much = drop_pct is not None and drop_pct > total_pct
    yield Said(
        message=(
            "60/120 V is for sensitive electronics only, in commercial or industrial places with qualified "
            f"persons: at most {branch_pct:g} % drop in a branch and {total_pct:g} % altogether, common-trip "
            "breakers, marked receptacles."
        ),
        value=drop_pct,
        limit=total_pct,
        unit="%",
        severity="stop" if too_much else "caution",
    )


def stage_and_film(facts: Facts) -> Iterator[Said]:
    """520.27(B), 520.53, 530: dimmers make the neutral current-carrying; portable units are listed for it."""
    shows = named(facts, "stage")
    if shows:
        yield Said(
            message=(
                f"{start(labels(shows))}: phase-control dimmers make the neutral of a three-phase feeder "
                "current-carrying (take a larger one or one for each phase); portable transformers and boxes "
                "are listed for the use."
            )
        )


def temporary_power(facts: Facts) -> Iterator[Said]:
    """590.3, 590.6: taken away when the work is done; receptacles for people with ground-fault interrupters."""
    yield Said(
        message=(
            "Temporary power: 125 V receptacles of 15 to 30 A that people use get ground-fault interrupters, "
            "guard the unit from rain and traffic, and take it away when the work is done."
        )
    )


PUMP = {"name": "fire pump", "system": "208 3ph", "hp": "15 hp"}

RULES = (
    Rule(
        id="fire-pump-size",
        severity="stop",
        refuses=True,
        check=fire_pump_size,
        trips={
            "load": [{"name": "fire pump", "system": "208 3ph", "kva": "14.5 kVA"}],
            "choices": {"kva": "15 kVA"},
        },
        clean={
            "load": [{"name": "fire pump", "system": "208 3ph", "kva": "10 kVA"}],
            "choices": {"kva": "15 kVA"},
        },
    ),
    Rule(
        id="fire-pump-devices",
        severity="stop",
        check=fire_pump_devices,
        trips={"load": [PUMP]},
        clean={"load": [{**PUMP, "name": "well pump"}]},
    ),
    Rule(
        id="isolated-power",
        severity="caution",
        check=isolated_power,
        trips={"load": [{"name": "operating room", "system": "120 1ph", "kva": "5 kVA"}]},
        clean={"load": [{"name": "waiting room", "system": "120 1ph", "kva": "5 kVA"}]},
    ),
    Rule(
        id="sensitive-power",
        severity="caution",
        check=sensitive_power,
        trips={"load": [{"name": "studio racks", "system": "60/120 1ph", "kva": "5 kVA"}]},
        clean={"load": [{"name": "racks", "system": "120/240 1ph", "kva": "5 kVA"}]},
    ),
    Rule(
        id="stage-and-film",
        severity="caution",
        check=stage_and_film,
        trips={"load": [{"name": "stage dimmers", "system": "208Y/120", "kva": "20 kVA"}]},
        clean={"load": [{"name": "two-stage pump", "system": "208Y/120", "kva": "20 kVA"}]},
    ),
    MADE.named("marina", "marina", MARINA, "marina pedestals", "pedestals"),
    MADE.named("pool", "pool", POOL, "pool lights", "hall lights"),
    MADE.named("farm", "farm", FARM, "milking parlour", "mill"),
    MADE.named("ship", "ship", SHIP, "ferry galley", "galley"),
    Rule(
        id="temporary-power",
        severity="caution",
        applies=lambda facts: facts.case.site.temporary,
        check=temporary_power,
        trips={"site": {"temporary": True}},
        clean={},
    ),
)
