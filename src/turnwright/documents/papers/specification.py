"""The specification and request for quotation: what is required, room for what is offered, how each is known."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from turnwright.documents.brief import Brief, PaperUnit, units_of
from turnwright.documents.parts import reference_rows
from turnwright.documents.parts.answer import drawing
from turnwright.documents.parts.facts import assumed_table, in_measure
from turnwright.documents.parts.findings import finding_list
from turnwright.documents.parts.frame import report
from turnwright.documents.parts.origins import Origin, Origins
from turnwright.documents.parts.questions import question_list
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
from turnwright.documents.words.figures import bare
from turnwright.documents.words.sides import bond_words, run_words
from turnwright.model.case import UNDER_THE_SKY
from turnwright.model.result import Pick
from turnwright.quantities import fixed

KIND = "Specification and request for quotation"
PICKED = Origin("", "picked by this answer")
ASKED = Origin("", "to be stated in the offer")
PRACTICE = Origin("common practice", "")
SIGN = ("Offered by", "Date and validity", "Price", "Time to delivery")


class Item(NamedTuple):
    """A line of the specification; value: what is required, as an offer can be held to it."""

    name: str
    required: str
    origin: Origin
    value: Any = None


def specification(brief: Brief) -> Report:
    """Return what is to be offered, one table for each kind of unit."""
    units = units_of(brief.result)
    return report(
        KIND,
        brief,
        section("What is asked for", *_intro(units)),
        *(section(f"{unit.mark} {unit.what}".strip(), _table(unit, brief)) for unit in units),
        section("Winding connection", *(drawing(unit, brief) for unit in units)),
        section("With the offer", _with_the_offer()),
        section("What rules and checks say of it", finding_list(brief.result.findings)),
        section("Still open: the offer may change with the answer", question_list(brief.result.questions)),
        section("Assumed", assumed_table(brief)),
        section("Signed", SignLines(SIGN)),
    )


def _intro(units: tuple[PaperUnit, ...]) -> Iterator[Part]:
    for unit in units:
        yield Paragraph(f"{unit.mark}: {phrases.unit_words(unit.blocks.pick)}.", "lead")
    yield Paragraph("Write what you offer beside each line; where it differs from what is required, say why.")


def _table(unit: PaperUnit, brief: Brief) -> Table | None:
    rows = tuple(
        cells(item.name, Cell(item.required, _mark(item.origin)), "", item.origin.words)
        for item in items_of(unit, brief)
    )
    columns = (
        Column("item", share=21),
        Column("required", share=35),
        Column("offered", share=20),
        Column("how known", share=24),
    )
    return table(f"{unit.mark}: required and offered", columns, rows, ruled=True)


def _mark(origin: Origin) -> str:
    """Return the word beside an assumed value; of others the last column says enough."""
    return origin.mark if origin.known == "assumed" else ""


def items_of(unit: PaperUnit, brief: Brief) -> tuple[Item, ...]:
    """Return the lines of the specification of one unit, those that ask for something."""
    lines = (
        _rating(unit, brief),
        _build(unit, brief),
        _law(unit, brief),
        _place(brief),
        _terminals(unit, brief),
        _nameplate(brief),
    )
    return tuple(item for some in lines for item in some if item.required)


def _rating(unit: PaperUnit, brief: Brief) -> Iterator[Item]:
    pick, origins = unit.blocks.pick, Origins(brief.result)
    alike = f", on supply lines {phrases.lines_words(pick.lines)}" if pick.lines and pick.units > 1 else ""
    yield Item("quantity", f"{pick.units}{alike}", PICKED, pick.units)
    yield Item("standard and listing", "dry-type, listed, to the product standard in force", PRACTICE)
    power, hertz = origins.of(f"{unit.path}pick.kva", "choices.kva"), origins.of("", "supply.frequency")
    yield Item("rated power", f"{bare(pick.kva)} kVA", power, pick.kva)
    yield Item("phases", str(pick.phases), PICKED, pick.phases)
    yield Item("frequency", f"{bare(pick.frequency_hz)} Hz", hertz, pick.frequency_hz)
    yield Item("primary", phrases.volts(pick.primary), PICKED, pick.primary)
    yield Item("secondary", phrases.system_words(pick.secondary), PICKED, pick.secondary)
    yield Item("connection", _connection(pick), PICKED, (pick.arrangement, pick.vector_group))
    yield Item("taps on the primary", ", ".join(pick.taps), PICKED, pick.taps)
    yield Item("tap to be set", pick.tap or "", PICKED, pick.tap)
    yield _impedance(unit, origins, brief)
    yield Item("K rating", "" if pick.k_rating is None else f"K-{bare(pick.k_rating)}", PICKED, pick.k_rating)


def _connection(pick: Pick) -> str:
    words = [pick.arrangement, pick.vector_group or ""]
    if pick.buck_boost is not None:
        high, low = (bare(volts) for volts in pick.buck_boost.winding_v)
        words.append(f"windings {high} V and {low} V, joined as an autotransformer on site")
    return ", ".join(word for word in words if word)


def _impedance(unit: PaperUnit, origins: Origins, brief: Brief) -> Item:
    pick = unit.blocks.pick
    if pick.impedance_pct is not None:
        asked = pick.impedance_pct
        return Item("impedance", f"{bare(asked)} %", origins.of("", "choices.impedance"), (asked, asked))
    band = reference_rows.impedance_band_pct(brief.traits.impedance_bands, pick.phases, pick.kva)
    if band is None:
        return Item("impedance", "state it; fault currents and drop follow from it", ASKED)
    low, high, origin = band
    text = f"within {bare(low)} to {bare(high)} %, state it; faults and drop were computed with these ends"
    return Item("impedance", text, origin, (low, high))


def _build(unit: PaperUnit, brief: Brief) -> Iterator[Item]:
    pick, origins = unit.blocks.pick, Origins(brief.result)
    if pick.rise_k is not None:
        yield Item(
            "average winding rise", f"{bare(pick.rise_k)} K", _chosen(origins, "choices.rise"), pick.rise_k
        )
        system = reference_rows.insulation_system_c(brief.traits.rise_classes, pick.rise_k)
        if pick.insulation_c is not None:
            yield Item("insulation system", f"{bare(pick.insulation_c)} °C", PICKED, pick.insulation_c)
        elif system is not None:
            yield Item("insulation system", f"{bare(system[0])} °C", system[1], system[0])
    metal = origins.fact("choices.winding")
    yield Item(
        "winding metal",
        str(metal["value"]) if metal else "aluminum or copper, state it",
        _chosen(origins, "choices.winding"),
    )
    shield = {True: f"yes, {brief.traits.words.grounded} at one end", False: "none", None: ""}[pick.shield]
    yield Item("electrostatic shield", shield, _chosen(origins, "choices.shield"))
    place = origins.fact("site.place")
    case = [pick.enclosure or ""]
    if place and str(place["value"]) in UNDER_THE_SKY:
        case.append(brief.traits.words.outdoor_case)
    yield Item("enclosure", ", ".join(word for word in case if word), PICKED, pick.enclosure)
    yield Item(
        "insulation level, finish", "state impulse level of both windings, case type and finish", ASKED
    )
    yield Item(
        "sound level",
        "" if pick.sound_limit_db is None else f"at most {bare(pick.sound_limit_db)} dB",
        PICKED,
        pick.sound_limit_db,
    )
    yield Item("availability", pick.availability or "", PICKED)


def _chosen(origins: Origins, key: str) -> Origin:
    return origins.of("", key) if origins.fact(key) else PICKED


def _law(unit: PaperUnit, brief: Brief) -> Iterator[Item]:
    law, origins, path = unit.blocks.efficiency, Origins(brief.result), unit.path
    if law.law_pct is not None:
        origin = origins.of(f"{path}efficiency.law_pct")
        yield Item(
            "efficiency by law",
            f"at least {bare(law.law_pct)} %, {law.law or ''}".rstrip(", "),
            origin,
            law.law_pct,
        )
    if law.loss_ceiling_w is not None:
        ceiling = f"at most {fixed(law.loss_ceiling_w, 0, 'down')} W at the load of the law's test"
        yield Item(
            "losses by law", ceiling, origins.of(f"{path}efficiency.loss_ceiling_w"), law.loss_ceiling_w
        )
    yield Item("losses", "state no-load loss, load loss and its temperature, heat at full load", ASKED)


def _place(brief: Brief) -> Iterator[Item]:
    origins = Origins(brief.result)
    for name, key in (
        ("ambient, average", "site.ambient_average"),
        ("ambient, peak", "site.ambient_peak"),
        ("ambient, lowest", "site.ambient_lowest"),
        ("altitude", "site.altitude"),
        ("place", "site.place"),
        ("conditions", "site.conditions"),
        ("classified place", "site.classified"),
        ("seismic category", "site.seismic"),
        ("design acceleration of g", "site.seismic_g"),
        ("has to work after an earthquake", "site.essential"),
        ("way in, width", "site.way_in_width"),
        ("way in, height", "site.way_in_height"),
        ("way in, mass", "site.way_in_mass"),
        ("floor carries", "site.floor_load"),
    ):
        fact = origins.fact(key)
        if fact is not None:
            shown = in_measure(key, str(fact["value"]), brief.measure)
            yield Item(name, shown, origins.of("", key), fact["value"])
    yield Item("seismic, mounting, way in", "state mass, dimensions, clearances, fixing", ASKED)


def _terminals(unit: PaperUnit, brief: Brief) -> Iterator[Item]:
    runs, wires, origins = unit.blocks.conductors, unit.blocks.grounding, Origins(brief.result)
    supply, load = run_words(runs.primary), run_words(runs.secondary)
    yield Item("supply terminals take", supply, origins.of(f"{unit.path}conductors.primary.ampacity_a"))
    yield Item("load terminals take", load, origins.of(f"{unit.path}conductors.secondary.ampacity_a"))
    yield Item(
        "neutral terminal takes",
        run_words(runs.neutral),
        origins.of(f"{unit.path}conductors.neutral.ampacity_a"),
    )
    bond = bond_words(wires, brief.traits.words)
    if bond:
        name = "system_bonding_jumper" if wires.system_bonding_jumper else "electrode_conductor"
        origin = origins.of(f"{unit.path}grounding.{name}")
        yield Item(brief.traits.words.bonding, f"neutral accessible, {bond}", origin)
    bar = reference_rows.requirement(brief.traits.requirements, "terminal_bar", brief.edition)
    if bar is not None:
        yield Item(brief.traits.words.ground_bar, *bar)


def _nameplate(brief: Brief) -> Iterator[Item]:
    shown = list(reference_rows.nameplate(brief.traits.requirements, brief.edition))
    if shown:
        yield Item("nameplate shows", "; ".join(text for text, _ in shown), shown[0][1])


def _with_the_offer() -> Table | None:
    rows = (
        cells("tests", "routine tests of the product standard, with a record for each unit", ""),
        cells("drawings", "dimensions, wiring and connection diagram, nameplate", ""),
        cells("certificates", "listing, statement on the efficiency law", ""),
        cells("manual", "installation, torque of the terminals, clearances, upkeep", ""),
        cells("warranty and spares", "state", ""),
        cells("delivery", "state time, lifting, packing", ""),
    )
    columns = (Column("paper or term", share=25), Column("asked for", share=50), Column("offered", share=25))
    return table("What comes with the offer, common practice", columns, rows, ruled=True)
