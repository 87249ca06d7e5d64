"""A unit on both its sides: systems, currents, devices, conductors, faults; and what belongs to neither."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from turnwright.documents.words import phrases
from turnwright.documents.words.figures import amperes, bare, fault_current
from turnwright.model.result import Blocks, ConductorRun, Grounding, Protection
from turnwright.quantities import figure, fixed
from turnwright.quantities.figures import Rounding
from turnwright.regimes import Words, traits_of


class Side(NamedTuple):
    """A row of the table of two sides. Sizes of a column stand under each other when `size` is true."""

    name: str
    supply: str
    load: str
    size: bool = False


def listed(texts: Iterable[str]) -> str:
    """Return the texts that are there, with commas between them."""
    return ", ".join(text for text in texts if text)


def sized(value: float | None, after: str, before: str = "") -> str:
    """Return a number as it is, with what stands around it; nothing for None."""
    return "" if value is None else f"{before}{bare(value)}{after}"


def rounded(value: float | None, decimals: int, rounding: Rounding, after: str, before: str = "") -> str:
    """Return a rounded number with what stands around it; nothing for None."""
    return "" if value is None else f"{before}{fixed(value, decimals, rounding)}{after}"


def device_words(rating_a: float | None, limit_a: float | None) -> str:
    """Return a device with the largest the code permits.

    Example:
        >>> device_words(450.0, 800.0), device_words(450.0, None), device_words(None, 800.0)
        ('450 A (≤ 800)', '450 A', '')
    """
    if rating_a is None:
        return ""
    return f"{bare(rating_a)} A" + (f" (≤ {fixed(limit_a, 0, 'down')})" if limit_a is not None else "")


def run_words(run: ConductorRun | None) -> str:
    """Return the conductors of a run: sets, size, metal."""
    if run is None:
        return ""
    metal = {"copper": "Cu", "aluminum": "Al"}.get(run.metal, run.metal)
    return f"{run.sets} × {run.size} {metal}" if run.sets > 1 else f"{run.size} {metal}"


def _several(protection: Protection) -> str:
    return " + ".join(f"{bare(value)} A" for value in protection.secondary_devices_a)


def _drop(run: ConductorRun | None) -> str:
    return "" if run is None else rounded(run.drop_pct, 1, "up", " %")


def side_rows(blocks: Blocks, supply_system: str | None, regime: str) -> list[Side]:
    """Return the table of both sides of a unit, rows without content included."""
    pick, currents, protection, runs = blocks.pick, blocks.currents, blocks.protection, blocks.conductors
    rated = amperes((currents.primary_rated_a, currents.secondary_rated_a))
    load = amperes((currents.primary_load_a, currents.secondary_load_a), "up")
    winding = phrases.volts(pick.primary) + (f", tap {pick.tap}" if pick.tap else "")
    group = f", {pick.vector_group}" if pick.vector_group else ""
    neutral = amperes((currents.neutral_load_a,), "up")[0] if currents.neutral_load_a else ""
    several = len(protection.secondary_devices_a) > 1
    wire = blocks.grounding
    systems = (phrases.system_words(supply_system or pick.primary), phrases.system_words(pick.secondary))
    devices = (
        device_words(protection.primary_a, protection.primary_limit_a),
        device_words(protection.secondary_a, protection.secondary_max_a),
    )
    least = fault_current(protection.interrupting_min_a)
    faults = (fault_current(blocks.fault.primary_a), fault_current(blocks.fault.maximum_a))
    return [
        Side("system", *systems),
        Side("winding", winding, f"{phrases.volts(pick.secondary)}{group}"),
        Side("rated current", rated[0], rated[1], True),
        Side("load current", load[0], load[1], True),
        Side("neutral current", "", neutral, True),
        Side("device", *devices),
        Side("devices", "", _several(protection) if several else ""),
        Side("conductors", run_words(runs.primary), run_words(runs.secondary)),
        Side("neutral", "", run_words(runs.neutral)),
        Side(
            traits_of(regime).words.equipment,
            wire.equipment_conductor or "",
            wire.load_equipment_conductor or "",
        ),
        Side("voltage drop", _drop(runs.primary), _drop(runs.secondary)),
        Side("largest fault", *faults, size=True),
        Side("interrupting", f"≥ {faults[0]}" if faults[0] else "", f"≥ {least}" if least else ""),
    ]


def facts_below(blocks: Blocks, regime: str) -> list[tuple[str, str]]:
    """Return what belongs to neither side: bonding, the unit itself, its volts, the efficiency law."""
    pick, grounding, voltage, law = blocks.pick, blocks.grounding, blocks.voltage, blocks.efficiency
    words = traits_of(regime).words
    bonding = (
        ("supply-side jumper", grounding.bonding_jumper),
        ("system bonding jumper", grounding.system_bonding_jumper),
        (words.electrode, grounding.electrode_conductor),
    )
    unit = (
        sized(pick.frequency_hz, " Hz"),
        "" if pick.impedance_pct is None else f"impedance {figure(pick.impedance_pct, digits=4)} %",
        phrases.taps_words(pick.taps),
        sized(pick.sound_limit_db, " dB", "at most "),
        rounded(pick.heat_w, 0, "up", " W", "heat "),
        rounded(pick.mass_kg, 0, "up", " kg", "plan for "),
        pick.availability or "",
    )
    volts = (
        rounded(voltage.secondary_no_load_v, 1, "nearest", " V without load"),
        rounded(voltage.secondary_full_load_v, 1, "down", " V at this load"),
        rounded(voltage.regulation_pct, 1, "up", " %", "drop "),
        rounded(voltage.start_dip_pct, 1, "up", " %", "dip at start "),
    )
    asked = (
        rounded(law.at_35_pct, 2, "down", " % at 35 % load"),
        sized(law.law_pct, " %", "at least "),
        rounded(law.loss_ceiling_w, 0, "down", " W of losses", "at most "),
        law.law or "",
    )
    return [
        (words.bonding, listed(f"{name} {size}" for name, size in bonding if size)),
        ("unit", listed(unit)),
        ("voltage", listed(volts)),
        ("efficiency law", listed(asked)),
    ]


def bond_words(grounding: Grounding, words: Words) -> str:
    """Return how the neutral point of the new system is bonded, "" where it is not.

    Example:
        >>> from turnwright.regimes import traits_of
        >>> earthed = Grounding(equipment_conductor=None, bonding_jumper=None, system_bonding_jumper=None,
        ...                     load_equipment_conductor=None, electrode_conductor="16 mm²")
        >>> bond_words(earthed, traits_of("iec").words)
        'neutral point earthed once'
    """
    if grounding.system_bonding_jumper:
        return f"one bond of the neutral, jumper {grounding.system_bonding_jumper}"
    return f"neutral point {words.grounded} once" if grounding.electrode_conductor else ""


def supply_of(job: Mapping[str, Any]) -> str | None:
    """Return the voltage system of the supply as a job gives it."""
    return phrases.fact(job, "supply.system")
