"""The one-line diagram: supply, device, conductors, transformer, conductors, device, loads, from top to bottom."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from textwrap import wrap
from typing import Literal

from turnwright.arrangements.zigzag import NAME as ZIGZAG
from turnwright.documents.brief import Brief, PaperUnit
from turnwright.documents.drawing import shapes, signs, svg
from turnwright.documents.drawing.shapes import Drawing, Shape
from turnwright.documents.parts.loads import facts_by_load, label_of
from turnwright.documents.parts.origins import Origins
from turnwright.documents.report import Figure
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import bare, fault_current
from turnwright.documents.words.sides import (
    bond_words,
    device_words,
    listed,
    rounded,
    run_words,
    supply_of,
)
from turnwright.model.result import Blocks, ConductorRun
from turnwright.regimes import Words

WIDTH, LINE_X, TEXT_X = 700.0, 110.0, 190.0
BUS, STEP, LINE = 52.0, 14.0, 13.5
COLUMNS, BOLD_COLUMNS = 92, 80
"""Characters of a line of text that surely fit beside the line."""
LOADS_SHOWN = 8
Kind = Literal["bus", "device", "run", "unit", "end"]
Parts = tuple[tuple[Kind, list[str]], ...]


def one_line(unit: PaperUnit, brief: Brief) -> Figure:
    """Return the one-line diagram of a unit."""
    drawn = one_line_drawing(unit, brief)
    return Figure(svg.written(drawn), drawn.title, f"{unit.mark}: one line", width=90)


def one_line_drawing(unit: PaperUnit, brief: Brief) -> Drawing:
    """Return the one-line diagram of a unit as a drawing that can be written in any form."""
    blocks = unit.blocks
    parts = _beside(unit, brief) if blocks.pick.arrangement == ZIGZAG else _in_the_line(unit, brief)
    elements: list[Shape] = []
    y = 18.0
    for kind, texts in parts:
        if texts:
            drawn, y = _part(kind, texts, y, blocks, brief.traits.iec_signs)
            elements += drawn
    said = "; ".join(", ".join(texts) for _, texts in parts if texts)
    title = f"One-line diagram of {unit.mark}, from the supply down: {said}."
    return Drawing(WIDTH, y + 6, tuple(elements), title)


def _in_the_line(unit: PaperUnit, brief: Brief) -> Parts:
    """What the current passes on its way from the supply to the loads."""
    blocks = unit.blocks
    runs = blocks.conductors
    return (
        ("bus", _supply(brief, blocks)),
        ("device", _device(blocks, primary=True)),
        ("run", _to_unit(blocks, brief)),
        ("unit", _unit(unit, brief.traits.words)),
        ("run", _run(runs.secondary, None, brief, "circuit.secondary_length", _after(blocks))),
        ("device", _device(blocks, primary=False)),
        ("end", _loads(unit, brief)),
    )


def _beside(unit: PaperUnit, brief: Brief) -> Parts:
    """What stands beside the line: the loads hang on the line itself, the unit on a branch without a device."""
    blocks = unit.blocks
    neutral = run_words(blocks.conductors.neutral)
    branch = [*_to_unit(blocks, brief), *([f"neutral {neutral}"] if neutral else [])]
    return (
        ("bus", [*_supply(brief, blocks), *_loads(unit, brief)]),
        ("run", branch),
        ("unit", _unit(unit, brief.traits.words)),
    )


def _to_unit(blocks: Blocks, brief: Brief) -> list[str]:
    ground = blocks.grounding.equipment_conductor
    return _run(blocks.conductors.primary, ground, brief, "circuit.primary_length")


def _part(kind: Kind, texts: Sequence[str], y: float, blocks: Blocks, iec: bool) -> tuple[list[Shape], float]:
    """Draw one part at the top of what is left, with its texts beside it; return where the next begins."""
    lines = [
        (part, at == 0 and kind == "unit")
        for at, text in enumerate(texts)
        for part in wrap(text, BOLD_COLUMNS if at == 0 and kind == "unit" else COLUMNS)
    ]
    height = max(len(lines) * LINE, LEAST[kind]) + STEP
    drawn = _DRAWN[kind](y, height, blocks, iec)
    first = y + 4 + (signs.REACH if kind == "device" else 0.0)
    written = [
        shapes.words(TEXT_X, first + LINE * at, text, bold=bold) for at, (text, bold) in enumerate(lines)
    ]
    return [*drawn, *written], y + height


def _bus(y: float, height: float, blocks: Blocks, iec: bool) -> list[Shape]:
    return [shapes.line(LINE_X - BUS, y, LINE_X + BUS, y, 3.0), shapes.line(LINE_X, y, LINE_X, y + height)]


def _end(y: float, height: float, blocks: Blocks, iec: bool) -> list[Shape]:
    return [shapes.line(LINE_X - BUS, y, LINE_X + BUS, y, 3.0)]


def _switch(y: float, height: float, blocks: Blocks, iec: bool) -> list[Shape]:
    middle = y + signs.REACH
    return [
        signs.device(blocks.protection.kind == "fuse", iec, LINE_X, middle),
        shapes.line(LINE_X, middle + signs.REACH, LINE_X, y + height),
    ]


def _wire(y: float, height: float, blocks: Blocks, iec: bool) -> list[Shape]:
    return [
        shapes.line(LINE_X, y, LINE_X, y + height),
        shapes.line(LINE_X - 6, y + 14, LINE_X + 6, y + 6),
    ]


def _transformer(y: float, height: float, blocks: Blocks, iec: bool) -> list[Shape]:
    middle = y + signs.UNIT_REACH
    above, below = (_connection(text) for text in (blocks.pick.primary, blocks.pick.secondary))
    found: list[Shape] = [
        signs.transformer(above, below, iec, LINE_X, middle),
    ]
    if blocks.pick.arrangement != ZIGZAG:
        found.append(shapes.line(LINE_X, middle + signs.UNIT_REACH, LINE_X, y + height))
    if blocks.grounding.system_bonding_jumper or blocks.grounding.electrode_conductor:
        at, edge = middle + 14, LINE_X - (signs.RADIUS if iec else 21.0)
        found += [
            shapes.line(edge, at, LINE_X - 46, at, layer="GROUNDING"),
            shapes.ground(LINE_X - 46, at),
        ]
    return found


def _connection(text: str) -> str:
    system = phrases.system_of(text)
    if system is None:
        return ""
    return "single" if system.phases == 1 else system.connection


LEAST: dict[Kind, float] = {"bus": 6.0, "device": 24.0, "run": 24.0, "unit": 64.0, "end": 6.0}
"""Least height of each part, besides the step to the next."""
_DRAWN: dict[Kind, Callable[[float, float, Blocks, bool], list[Shape]]] = {
    "bus": _bus,
    "device": _switch,
    "run": _wire,
    "unit": _transformer,
    "end": _end,
}


def _supply(brief: Brief, blocks: Blocks) -> list[str]:
    origins = Origins(brief.result)
    panel = origins.fact("supply.panel_rating")
    current = fault_current(blocks.fault.primary_a)
    ratio = origins.fact("supply.x_over_r")
    known = (
        f", X/R {ratio['value']} {ratio['known'] if ratio['known'] == 'assumed' else ''}".rstrip()
        if ratio
        else ""
    )
    return [
        f"supply {phrases.system_words(supply_of(brief.result.job) or blocks.pick.primary)}",
        listed(
            (
                f"panel {panel['value']}" if panel else "",
                f"fault current {current}{known}" if current else "fault current not known",
            )
        ),
    ]


def _device(blocks: Blocks, primary: bool) -> list[str]:
    devices = blocks.protection
    if primary:
        words = device_words(devices.primary_a, devices.primary_limit_a)
        least = fault_current(blocks.fault.primary_a)
        return (
            [f"{devices.kind} {words}{f', interrupting at least {least}' if least else ''}"] if words else []
        )
    several = " + ".join(f"{bare(one)} A" for one in devices.secondary_devices_a)
    words = device_words(devices.secondary_a, devices.secondary_max_a)
    least = fault_current(devices.interrupting_min_a)
    together = f", together of {several}" if len(devices.secondary_devices_a) > 1 else ""
    return (
        [f"{devices.kind} {words}{together}{f', interrupting at least {least}' if least else ''}"]
        if words
        else []
    )


def _run(
    run: ConductorRun | None, ground: str | None, brief: Brief, length_key: str, more: Sequence[str] = ()
) -> list[str]:
    if run is None:
        return []
    length = Origins(brief.result).fact(length_key)
    first = listed(
        (run_words(run), run.raceway or "", str(length["value"]) if length else "length not given")
    )
    second = listed(
        (
            rounded(run.ampacity_a, 0, "down", " A", "ampacity "),
            rounded(run.drop_pct, 1, "up", " %", "drop "),
            f"{brief.traits.words.equipment} {ground}" if ground else "",
        )
    )
    return [text for text in (first, second, *more) if text]


def _after(blocks: Blocks) -> list[str]:
    """Return what runs with the conductors of the load side."""
    runs, wires = blocks.conductors, blocks.grounding
    return [
        listed(
            (
                f"neutral {run_words(runs.neutral)}" if runs.neutral else "",
                f"supply-side bonding jumper {wires.bonding_jumper}" if wires.bonding_jumper else "",
            )
        )
    ]


def _unit(unit: PaperUnit, words: Words) -> list[str]:
    blocks = unit.blocks
    pick, wires = blocks.pick, blocks.grounding
    bond = (
        bond_words(wires, words),
        f"{words.electrode} {wires.electrode_conductor}" if wires.electrode_conductor else "",
    )
    fault = fault_current(blocks.fault.maximum_a)
    texts = [
        f"{unit.mark}: {phrases.unit_words(pick)}",
        listed(
            (
                pick.vector_group or "",
                f"impedance {bare(pick.impedance_pct)} %" if pick.impedance_pct else "",
                f"tap {pick.tap}" if pick.tap else "",
            )
        ),
        listed(bond),
        f"largest fault at the terminals {fault}" if fault else "",
    ]
    return [text for text in texts if text]


def _loads(unit: PaperUnit, brief: Brief) -> list[str]:
    blocks, facts_of = unit.blocks, sorted(facts_by_load(brief.result).items())
    loads = [label_of(index, facts) for index, facts in facts_of if unit.carries(index)]
    more = [f"and {len(loads) - LOADS_SHOWN} more"] if len(loads) > LOADS_SHOWN else []
    shown = [text if len(text) <= 70 else f"{text[:70]}…" for text in loads[:LOADS_SHOWN]]
    demand = f"{phrases.kva(blocks.demand.kva)}, with growth {phrases.kva(blocks.demand.kva_with_growth)}"
    return [f"load side {phrases.system_words(blocks.pick.secondary)}: {demand}", *shown, *more]
