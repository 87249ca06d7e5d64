"""A unit on both its sides: systems, currents, devices, conductors, faults; and what belongs to neither."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from turnwright.cli.text import phrases
from turnwright.cli.text.layout import (
    SIDES_AT,
    Rounding,
    Side,
    amperes,
    bare,
    entry,
    fault_current,
    fixed,
    sides,
)
from turnwright.model.result import Blocks, ConductorRun, Protection


def _listed(texts: Iterable[str]) -> str:
    return ", ".join(text for text in texts if text)


def _size(value: float | None, after: str, before: str = "") -> str:
    return "" if value is None else f"{before}{bare(value)}{after}"


def _rounded(value: float | None, decimals: int, rounding: Rounding, after: str, before: str = "") -> str:
    return "" if value is None else f"{before}{fixed(value, decimals, rounding)}{after}"


def _device(rating: float | None, limit: float | None) -> str:
    if rating is None:
        return ""
    return f"{bare(rating)} A" + (f" (≤ {fixed(limit, 0, 'down')})" if limit is not None else "")


def _run(run: ConductorRun | None) -> str:
    if run is None:
        return ""
    metal = {"copper": "Cu", "aluminum": "Al"}.get(run.metal, run.metal)
    return f"{run.sets} × {run.size} {metal}" if run.sets > 1 else f"{run.size} {metal}"


def _several(protection: Protection) -> str:
    return " + ".join(f"{bare(value)} A" for value in protection.secondary_devices_a)


def _drop(run: ConductorRun | None) -> str:
    return "" if run is None else _rounded(run.drop_pct, 1, "up", " %")


def side_rows(blocks: Blocks, supply_system: str | None, regime: str) -> list[Side]:
    """Return the table of both sides of a unit."""
    pick, currents, protection, runs = blocks.pick, blocks.currents, blocks.protection, blocks.conductors
    rated = amperes((currents.primary_rated_a, currents.secondary_rated_a))
    load = amperes((currents.primary_load_a, currents.secondary_load_a), "up")
    alone = protection.secondary_a is None
    primary_max = protection.primary_only_max_a if alone else protection.primary_with_secondary_max_a
    secondary = _device(protection.secondary_a, protection.secondary_max_a)
    winding = phrases.volts(pick.primary) + (f", tap {pick.tap}" if pick.tap else "")
    group = f", {pick.vector_group}" if pick.vector_group else ""
    neutral = amperes((currents.neutral_load_a,), "up")[0] if currents.neutral_load_a else ""
    protective = "protective conductor" if regime == "iec" else "equipment ground"
    several = len(protection.secondary_devices_a) > 1
    least = fault_current(protection.interrupting_min_a)
    return [
        Side(
            "system",
            phrases.system_words(supply_system or pick.primary),
            phrases.system_words(pick.secondary),
        ),
        Side("winding", winding, f"{phrases.volts(pick.secondary)}{group}"),
        Side("rated current", rated[0], rated[1], True),
        Side("load current", load[0], load[1], True),
        Side("neutral current", "", neutral, True),
        Side("device", _device(protection.primary_a, primary_max), secondary),
        Side("devices", "", _several(protection) if several else ""),
        Side("conductors", _run(runs.primary), _run(runs.secondary)),
        Side("neutral", "", _run(runs.neutral)),
        Side(
            protective,
            blocks.grounding.equipment_conductor or "",
            blocks.grounding.load_equipment_conductor or "",
        ),
        Side("voltage drop", _drop(runs.primary), _drop(runs.secondary)),
        Side(
            "largest fault",
            fault_current(blocks.fault.primary_a),
            fault_current(blocks.fault.maximum_a),
            size=True,
        ),
        Side("interrupting", "", f"≥ {least}" if least else ""),
    ]


def _facts_below(blocks: Blocks) -> list[tuple[str, str]]:
    """Return what belongs to neither side: bonding, the unit itself, its volts, the efficiency law."""
    pick, grounding, voltage, law = blocks.pick, blocks.grounding, blocks.voltage, blocks.efficiency
    bonding = (
        ("supply-side jumper", grounding.bonding_jumper),
        ("system bonding jumper", grounding.system_bonding_jumper),
        ("electrode conductor", grounding.electrode_conductor),
    )
    unit = (
        _size(pick.frequency_hz, " Hz"),
        _size(pick.impedance_pct, " %", "impedance "),
        phrases.taps_words(pick.taps),
        _size(pick.sound_limit_db, " dB", "at most "),
        _rounded(pick.heat_w, 0, "up", " W", "heat "),
        _rounded(pick.mass_kg, 0, "up", " kg"),
        pick.availability or "",
    )
    volts = (
        _rounded(voltage.secondary_no_load_v, 1, "nearest", " V without load"),
        _rounded(voltage.secondary_full_load_v, 1, "down", " V at this load"),
        _rounded(voltage.regulation_pct, 1, "up", " %", "drop "),
        _rounded(voltage.start_dip_pct, 1, "up", " %", "dip at start "),
    )
    asked = (
        _rounded(law.at_35_pct, 2, "down", " % at 35 % load"),
        _size(law.law_pct, " %", "at least "),
        _rounded(law.loss_ceiling_w, 0, "down", " W of losses", "at most "),
        law.law or "",
    )
    return [
        ("bonding", _listed(f"{name} {size}" for name, size in bonding if size)),
        ("unit", _listed(unit)),
        ("voltage", _listed(volts)),
        ("efficiency law", _listed(asked)),
    ]


def unit_lines(blocks: Blocks, job: Mapping[str, Any]) -> list[str]:
    """Return the table of sides of a unit and, below it, what belongs to neither side."""
    lines = sides(side_rows(blocks, phrases.fact(job, "supply.system"), str(job.get("regime") or "")))
    for name, text in _facts_below(blocks):
        lines += entry(name, text, at=SIDES_AT) if text else []
    return lines
