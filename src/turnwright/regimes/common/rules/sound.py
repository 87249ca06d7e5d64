"""Rules about how loud it gets: several units together, the level in their room, the level outdoors."""

from __future__ import annotations

from collections.abc import Iterator
from math import log10

from turnwright.quantities import figure
from turnwright.regimes.common.build import Build, build_of
from turnwright.regimes.common.rules.plain import outside, practice
from turnwright.regimes.rule import Facts, Rule, Said
from turnwright.thermal.sound import combined_dba, outdoor_dba, room_dba, sound_power_dba

OUTDOOR_M = 10.0
"""Distance that the level outdoors is told for. [m]"""
QUIETER = "Twice the absorption takes 3 dB off; pads and flexible connections keep it out of the structure"


def sound_together(facts: Facts) -> Iterator[Said]:
    """Sound powers add; in a room they build up until its walls take in as much as the units give."""
    level_db, units = facts.unit.sound_db, int(facts.proposal.units)
    if level_db is None:
        yield _of_any_level(facts, units)
        return
    together_db = combined_dba([level_db] * units)
    parts = [f"{units} units of {level_db:g} dB are {figure(together_db)} dB together"] if units > 1 else []
    power_db = sound_power_dba(together_db, _walls_m2(build_of(facts.unit)), 0.0)
    surface_m2 = _room_surface_m2(facts)
    value = together_db
    if surface_m2 is not None:
        share = practice("room_absorption_bare_pct") / 100
        value = room_dba(power_db, surface_m2 * share)
        parts.append(
            f"in this room with bare walls about {figure(value)} dB away from the unit (sound power "
            f"{figure(power_db)} dB, {share * 100:g} % of {figure(surface_m2)} m² absorbs it)"
        )
    elif outside(facts):
        value = outdoor_dba(power_db, OUTDOOR_M)
        parts.append(
            f"in the open about {figure(value)} dB at {OUTDOOR_M:g} m (sound power {figure(power_db)} dB), 6 dB less "
            "at twice the distance"
        )
    if parts:
        yield Said(message=f"Sound: {'; '.join(parts)}. {QUIETER}.", value=value, unit="dB")


def _of_any_level(facts: Facts, units: int) -> Said:
    """What the sound power that the maker states becomes at this place, where no level is usual."""
    together_db = 10.0 * log10(units)
    surface_m2 = _room_surface_m2(facts)
    several = f"; {units} units together give {figure(together_db)} dB more" if units > 1 else ""
    if surface_m2 is not None:
        share = practice("room_absorption_bare_pct") / 100
        value, where = (
            room_dba(together_db, surface_m2 * share),
            f"in this room with bare walls ({share * 100:g} % of {figure(surface_m2)} m² absorbs it)",
        )
    else:
        value = outdoor_dba(together_db, OUTDOOR_M)
        where = f"at {OUTDOOR_M:g} m in the open, 6 dB less at twice the distance"
    sign = "over" if value >= 0 else "under"
    return Said(
        message=(
            "Sound: no standard or table here says how loud such a unit is. Have the maker state its sound power"
            f"{several}: the level is then about {figure(abs(value))} dB {sign} that {where}. {QUIETER}."
        ),
        value=value,
        unit="dB",
    )


def _room_surface_m2(facts: Facts) -> float | None:
    room = facts.case.site.room
    if room is None or room.length_m is None or room.width_m is None or room.height_m is None:
        return None
    length, width, height = float(room.length_m), float(room.width_m), float(room.height_m)
    return 2 * (length * width + length * height + width * height)


def _walls_m2(build: Build) -> float:
    """The four walls of the largest case of its size."""
    return 2 * (build.width_high_m + build.depth_high_m) * build.height_high_m


def _people_near(facts: Facts) -> bool:
    return "quiet" in facts.case.site.conditions or facts.case.site.place == "ceiling"


ROOM = {"length": "4 m", "width": "3 m", "height": "3 m", "ventilated": True}

RULES = (
    Rule(
        id="sound-together",
        severity="note",
        applies=_people_near,
        check=sound_together,
        trips={"site": {"conditions": ["quiet"], "room": ROOM}},
        clean={"site": {"conditions": ["dust"], "room": ROOM}},
    ),
)
