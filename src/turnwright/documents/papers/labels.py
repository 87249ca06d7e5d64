"""Labels to be cut out: what feeds what, volts, fault current, how the system is grounded, colors."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.documents.brief import Brief, PaperUnit, units_of
from turnwright.documents.parts.facts import assumed_table
from turnwright.documents.parts.findings import finding_list
from turnwright.documents.parts.frame import report
from turnwright.documents.parts.loads import facts_by_load
from turnwright.documents.parts.origins import Origin, Origins
from turnwright.documents.parts.questions import question_list
from turnwright.documents.parts.reference_rows import colors, requirement
from turnwright.documents.report import Cell, Label, LabelSheet, Paragraph, Report, on_new_page, section
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import bare, fault_current
from turnwright.documents.words.sides import supply_of
from turnwright.model.result import Pick
from turnwright.regimes import Words

KIND = "Labels"
INTRO = (
    "Cut along the frames. Empty lines are filled in on site; under each label stands where it goes and why."
)


def labels(brief: Brief) -> Report:
    """Return the labels of a job, then what they rest on."""
    found = tuple(label for unit in units_of(brief.result) for label in _labels(unit, brief))
    return report(
        KIND,
        brief,
        section("", Paragraph(INTRO, "small"), LabelSheet(found)),
        *on_new_page(
            section("Findings behind the labels", finding_list(brief.result.findings)),
            section("Open questions", question_list(brief.result.questions)),
            section("Assumed", assumed_table(brief)),
        ),
    )


def _labels(unit: PaperUnit, brief: Brief) -> Iterator[Label]:
    yield _on_the_unit(unit, brief)
    yield _on_the_first_disconnect(unit, brief)
    yield from _system_grounding(unit, brief.traits.words)
    yield from _colors(unit, brief)
    yield from _two_sources(unit, brief)
    yield from _no_storage(unit, brief)


def _on_the_unit(unit: PaperUnit, brief: Brief) -> Label:
    pick = unit.blocks.pick
    supply = phrases.system_words(supply_of(brief.result.job) or pick.primary)
    lines = (
        ("fed from", Cell()),
        ("feeds", Cell()),
        ("supply", Cell(supply)),
        ("load side", Cell(phrases.system_words(pick.secondary))),
        ("power", Cell(f"{bare(pick.kva)} kVA")),
        ("disconnect at", Cell()),
    )
    return Label(f"Transformer {unit.mark}", lines, _why("On the transformer", "disconnect", brief))


def _why(place: str, item: str, brief: Brief) -> str:
    """Say where a label goes, and the requirement behind it where one is carried."""
    found = requirement(brief.traits.requirements, item, brief.edition)
    return f"{place}: {found[0]} ({found[1].words})." if found else f"{place}."


def _on_the_first_disconnect(unit: PaperUnit, brief: Brief) -> Label:
    pick, fault = unit.blocks.pick, unit.blocks.fault
    origin = Origins(brief.result).of(f"{unit.path}fault.maximum_a")
    source = Origins(brief.result).of("", "supply.fault_current")
    basis = "from an infinite source" if source.known == "assumed" else "from the source as given"
    lines = (
        ("system", Cell(phrases.system_words(pick.secondary))),
        ("fed from", Cell(f"{unit.mark}, {bare(pick.kva)} kVA")),
        ("fault current", Cell(fault_current(fault.maximum_a), origin.mark)),
        ("computed on", Cell(brief.date)),
    )
    place = f"On the first disconnect of the load side. Largest fault at the transformer terminals, {basis}."
    return Label("Available fault current", lines, place)


def _system_grounding(unit: PaperUnit, words: Words) -> Iterator[Label]:
    pick, wires = unit.blocks.pick, unit.blocks.grounding
    system = phrases.system_of(pick.secondary)
    if system is None:
        return
    if system.high_leg:
        lines: tuple[tuple[str, Cell], ...] = (("system", Cell(phrases.system_words(pick.secondary))),)
        place = (
            f"On the {words.board} of the load side: the third line has a higher voltage to "
            + words.ground
            + "."
        )
        yield Label("Caution: high leg", lines, place)
    elif system.grounding == "corner":
        yield Label(f"One phase is {words.grounded}", _volts(pick), f"On the {words.board} of the load side.")
    elif wires.system_bonding_jumper or wires.electrode_conductor:
        yield Label(
            f"{words.grounded.capitalize()} system",
            (*_volts(pick), ("bonded once at", Cell())),
            f"On the {words.board} of the load side.",
        )
    elif not system.has_neutral and pick.arrangement == "isolation":
        lines = (*_volts(pick), (f"{words.ground} fault detection at", Cell()))
        place = f"On the {words.board} of the load side, where the system stays {words.ungrounded}; else strike it out."
        yield Label(f"Caution: {words.ungrounded} system", lines, place)


def _volts(pick: Pick) -> tuple[tuple[str, Cell], ...]:
    return (("system", Cell(phrases.system_words(pick.secondary))),)


def _colors(unit: PaperUnit, brief: Brief) -> Iterator[Label]:
    supply = supply_of(brief.result.job) or ""
    lines, origins = [], []
    for text in (supply, unit.blocks.pick.secondary):
        found = colors(brief.traits.colors, text, brief.edition, brief.traits.words.lines)
        if found is not None:
            lines.append((phrases.volts(text), Cell(found[0])))
            origins.append(found[1])
    if lines:
        sources = "; ".join(dict.fromkeys(origin.words for origin in origins))
        yield Label(
            "Conductor colors",
            tuple(lines),
            f"At each {brief.traits.words.board} with both systems ({sources}).",
        )


def _two_sources(unit: PaperUnit, brief: Brief) -> Iterator[Label]:
    feeding = [
        phrases.load_label(index, str(facts["name"]["value"]) if "name" in facts else None)
        for index, facts in sorted(facts_by_load(brief.result).items())
        if "feeds_back" in facts and facts["feeds_back"]["value"] == "yes"
    ]
    if feeding:
        lines = (("second source", Cell(", ".join(feeding))), ("disconnect at", Cell()))
        yield Label("Caution: fed from both sides", lines, f"On {unit.mark} and on both its disconnects.")


def _no_storage(unit: PaperUnit, brief: Brief) -> Iterator[Label]:
    found = requirement(brief.traits.requirements, "top_surface_mark", brief.edition)
    if found is not None and unit.blocks.pick.enclosure:
        origin: Origin = found[1]
        yield Label(
            "Keep this top free", (), f"On a horizontal top that can be reached: {found[0]} ({origin.words})."
        )
