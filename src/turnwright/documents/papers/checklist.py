"""The checklist for installation and commissioning, with the values of this job and room for the results."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from turnwright.documents.brief import Brief, PaperUnit, units_of
from turnwright.documents.drawing.connection_of import connection_of
from turnwright.documents.parts.facts import assumed_table
from turnwright.documents.parts.findings import finding_list
from turnwright.documents.parts.frame import report
from turnwright.documents.parts.origins import UNSURE, Origins
from turnwright.documents.parts.questions import question_list
from turnwright.documents.parts.reference_rows import origin_of, table_at
from turnwright.documents.report import (
    Cell,
    Column,
    Paragraph,
    Part,
    Report,
    SignLines,
    Table,
    cells,
    section,
    table,
)
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import amperes, bare, fault_current
from turnwright.documents.words.sides import bond_words, device_words, run_words
from turnwright.quantities import fixed
from turnwright.regimes import Words

KIND = "Installation and commissioning checklist"
NO_CHECKS = "No list of commissioning checks is carried for this regime; use the one of the standard that holds there."
SIGN = ("Installed by", "Tested by", "Instruments and calibration dates", "Date, temperature, humidity")
Row = tuple[Cell, ...]


def checklist(brief: Brief) -> Report:
    """Return the checks of a job: as designed against as installed, then the tests with their limits."""
    units = units_of(brief.result)
    return report(
        KIND,
        brief,
        *(section(f"{unit.mark} before energizing: as designed", _designed(unit, brief)) for unit in units),
        *(section(f"{unit.mark} tests", *_tests(unit, brief)) for unit in units),
        section("To be seen to on site", finding_list(brief.result.findings)),
        section("Open questions", question_list(brief.result.questions)),
        section("Assumed", assumed_table(brief)),
        section("Signed", SignLines(SIGN)),
    )


def _designed(unit: PaperUnit, brief: Brief) -> Table | None:
    origins = Origins(brief.result)
    rows = tuple(
        cells(name, value, origins.of(f"{unit.path}{path}").words, "", "")
        for name, value, path in _as_designed(unit, brief.traits.words)
        if value
    )
    columns = (
        Column("item", share=24),
        Column("as designed", share=28),
        Column("from", share=22),
        Column("as installed", share=16),
        Column("initials", share=10),
    )
    return table(f"{unit.mark}: as designed and as installed", columns, rows, ruled=True)


def _as_designed(unit: PaperUnit, words: Words) -> Iterator[tuple[str, str, str]]:
    """Yield item, value, and the path of the value in the result."""
    blocks = unit.blocks
    pick, devices, runs, wires = blocks.pick, blocks.protection, blocks.conductors, blocks.grounding
    yield (
        "unit",
        f"{bare(pick.kva)} kVA, {phrases.volts(pick.primary)} to {phrases.volts(pick.secondary)}",
        "pick.kva",
    )
    yield "tap", pick.tap or "", "pick.tap"
    yield "primary device", device_words(devices.primary_a, devices.primary_limit_a), "protection.primary_a"
    several = " + ".join(f"{bare(one)} A" for one in devices.secondary_devices_a)
    yield (
        "secondary device",
        device_words(devices.secondary_a, devices.secondary_max_a),
        "protection.secondary_a",
    )
    if len(devices.secondary_devices_a) > 1:
        yield "secondary devices", several, "protection.secondary_a"
    for side, value, path in (
        ("supply", blocks.fault.primary_a, "fault.primary_a"),
        ("load", devices.interrupting_min_a, "protection.interrupting_min_a"),
    ):
        least = fault_current(value)
        yield f"interrupting rating, {side} side", f"at least {least}" if least else "", path
    yield "supply conductors", run_words(runs.primary), "conductors.primary.ampacity_a"
    yield "load conductors", run_words(runs.secondary), "conductors.secondary.ampacity_a"
    yield "neutral", run_words(runs.neutral), "conductors.neutral.ampacity_a"
    for name, field in (
        (words.equipment, "equipment_conductor"),
        ("bonding jumper", "bonding_jumper"),
        ("system bonding jumper", "system_bonding_jumper"),
        (f"{words.equipment} of the load side", "load_equipment_conductor"),
    ):
        yield name, getattr(wires, field) or "", f"grounding.{field}"
    yield words.electrode, wires.electrode_conductor or "", "grounding.electrode_conductor"


def _tests(unit: PaperUnit, brief: Brief) -> Iterator[Part]:
    checks = brief.traits.checks
    if checks is None:
        yield Paragraph(NO_CHECKS)
        return
    rows = []
    for row in table_at(checks, "").rows:
        check, limit = str(row.text("check")), row.optional_text("limit")
        here = next((value(unit, brief) for start, value in EXPECTED if check.startswith(start)), "")
        mark = UNSURE.get(origin_of(row).known, "")
        rows.append(
            cells(
                check,
                row.optional_text("method") or "",
                Cell(str(limit) if limit else "", mark if limit else ""),
                here,
                "",
            )
        )
    columns = (
        Column("check", share=25),
        Column("how", share=18),
        Column("limit", share=24),
        Column("expected here", share=19),
        Column("result, initials", share=14),
    )
    found = table(f"{unit.mark}: tests with their limits", columns, tuple(rows), ruled=True)
    if found is not None:
        yield found


def _nameplate(unit: PaperUnit, brief: Brief) -> str:
    pick = unit.blocks.pick
    parts = (
        f"{bare(pick.kva)} kVA",
        phrases.volts(pick.primary),
        phrases.volts(pick.secondary),
        pick.vector_group or "",
        f"tap {pick.tap}" if pick.tap else "",
    )
    return ", ".join(part for part in parts if part)


def _bonds(unit: PaperUnit, brief: Brief) -> str:
    wires, words = unit.blocks.grounding, brief.traits.words
    bond = bond_words(wires, words)
    if not bond:
        return "no bond of a neutral is part of this answer"
    return f"{bond}; {words.electrode} {wires.electrode_conductor or 'as found'}"


def _ratio(unit: PaperUnit, brief: Brief) -> str:
    """Return the volts of the windings that are tested against each other, on the middle tap."""
    joined = connection_of(unit.blocks.pick, brief.regime)
    if joined is None:
        return ""
    by_core: dict[str, list[str]] = {}
    for place in joined.connection.places:
        by_core.setdefault(place.core, []).append(
            f"{fixed(place.rated_v, 1).removesuffix('.0')} V {place.dot}–{place.other}"
        )
    first = next(iter(by_core.values()))
    return " : ".join(text for text in first if "." not in text.partition("–")[2]) + " and alike"


def _volts(unit: PaperUnit, brief: Brief) -> str:
    volts = unit.blocks.voltage
    found = []
    if volts.secondary_no_load_v is not None:
        found.append(f"{fixed(volts.secondary_no_load_v, 1)} V between lines without load")
    if volts.secondary_full_load_v is not None:
        found.append(f"{fixed(volts.secondary_full_load_v, 1, 'down')} V at the load of this job")
    return ", ".join(found)


def _currents(unit: PaperUnit, brief: Brief) -> str:
    found = unit.blocks.currents
    load, rated = amperes((found.secondary_load_a,), "up")[0], amperes((found.secondary_rated_a,), "down")[0]
    return f"{load} expected, {rated} rated, load side"


def _vector_group(unit: PaperUnit, brief: Brief) -> str:
    return unit.blocks.pick.vector_group or ""


EXPECTED: tuple[tuple[str, Callable[[PaperUnit, Brief], str]], ...] = (
    ("nameplate", _nameplate),
    ("grounding", _bonds),
    ("earthing", _bonds),
    ("turns ratio", _ratio),
    ("polarity", _vector_group),
    ("voltage", _volts),
    ("current", _currents),
)
"""Beginning of a check -> what this job expects there."""
