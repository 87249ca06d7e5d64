"""The one-line diagram: supply, device, conductors, transformer, conductors, device, loads, from top to bottom."""

from __future__ import annotations

from collections.abc import Sequence

from turnwright.documents.brief import Brief, PaperUnit
from turnwright.documents.drawing import svg
from turnwright.documents.parts.loads import facts_by_load, label_of
from turnwright.documents.parts.origins import Origins
from turnwright.documents.report import Figure
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import bare, fault_current
from turnwright.documents.words.sides import (
    device_words,
    listed,
    primary_limit_a,
    rounded,
    run_words,
    supply_of,
)
from turnwright.model.result import Blocks, ConductorRun

WIDTH, LINE_X, TEXT_X = 700.0, 110.0, 190.0
BUS, RADIUS, STEP, LINE = 52.0, 20.0, 14.0, 13.5
LOADS_SHOWN = 8
SIGNS = {"wye": "Y", "delta": "Δ"}


def one_line(unit: PaperUnit, brief: Brief) -> Figure:
    """Return the one-line diagram of a unit."""
    blocks = unit.blocks
    parts = (
        ("bus", _supply(brief, blocks)),
        ("device", _device(blocks, primary=True)),
        (
            "run",
            _run(
                blocks.conductors.primary,
                blocks.grounding.equipment_conductor,
                brief,
                "circuit.primary_length",
            ),
        ),
        ("unit", _unit(unit)),
        ("run", _run(blocks.conductors.secondary, None, brief, "circuit.secondary_length", _after(blocks))),
        ("device", _device(blocks, primary=False)),
        ("end", _loads(blocks, brief)),
    )
    elements, y = [], 18.0
    for kind, texts in parts:
        if texts:
            drawn, y = _part(kind, texts, y, blocks)
            elements += drawn
    said = "; ".join(", ".join(texts) for _, texts in parts if texts)
    text = f"One-line diagram of {unit.mark}, from the supply down: {said}."
    return Figure(svg.drawing(WIDTH, y + 6, elements, text), text, f"{unit.mark}: one line", width=90)


def _part(kind: str, texts: Sequence[str], y: float, blocks: Blocks) -> tuple[list[str], float]:
    """Draw one part at the top of what is left, with its texts beside it; return where the next begins."""
    height = (
        max(len(texts) * LINE, {"bus": 6.0, "device": 20.0, "run": 30.0, "unit": 64.0, "end": 6.0}[kind])
        + STEP
    )
    drawn = {"bus": _bus, "device": _switch, "run": _wire, "unit": _circles, "end": _end}[kind](
        y, height, blocks
    )
    written = [
        svg.words(TEXT_X, y + 4 + LINE * at, text, bold=at == 0 and kind == "unit")
        for at, text in enumerate(texts)
    ]
    return [*drawn, *written], y + height


def _bus(y: float, height: float, blocks: Blocks) -> list[str]:
    return [svg.line(LINE_X - BUS, y, LINE_X + BUS, y, 3.0), svg.line(LINE_X, y, LINE_X, y + height)]


def _end(y: float, height: float, blocks: Blocks) -> list[str]:
    return [svg.line(LINE_X - BUS, y, LINE_X + BUS, y, 3.0)]


def _switch(y: float, height: float, blocks: Blocks) -> list[str]:
    fused = blocks.protection.kind == "fuse"
    half = (5.0, 10.0) if fused else (8.0, 8.0)
    inside = (
        [svg.line(LINE_X, y - 10, LINE_X, y + 10)] if fused else [svg.words(LINE_X, y + 3.5, "×", "middle")]
    )
    return [
        svg.line(LINE_X, y + half[1], LINE_X, y + height),
        svg.box(LINE_X - half[0], y - half[1], 2 * half[0], 2 * half[1]),
        *inside,
    ]


def _wire(y: float, height: float, blocks: Blocks) -> list[str]:
    return [
        svg.line(LINE_X, y - 10, LINE_X, y + height - 8),
        svg.line(LINE_X - 6, y + 4, LINE_X + 6, y - 4),
    ]


def _circles(y: float, height: float, blocks: Blocks) -> list[str]:
    upper, lower = y + RADIUS - 8, y + 2.4 * RADIUS - 8
    found = [
        svg.line(LINE_X, y - 12, LINE_X, upper - RADIUS),
        svg.outline(LINE_X, upper, RADIUS),
        svg.outline(LINE_X, lower, RADIUS),
        svg.words(LINE_X, upper + 1, _sign(blocks.pick.primary), "middle"),
        svg.words(LINE_X, lower + 7, _sign(blocks.pick.secondary), "middle"),
        svg.line(LINE_X, lower + RADIUS, LINE_X, y + height + 2),
    ]
    if blocks.grounding.system_bonding_jumper:
        found += [svg.line(LINE_X - RADIUS, lower, LINE_X - 46, lower), *svg.ground(LINE_X - 46, lower)]
    return found


def _sign(text: str) -> str:
    system = phrases.system_of(text)
    return "" if system is None else SIGNS.get(system.connection, "1" if system.phases == 1 else "")


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
        words = device_words(devices.primary_a, primary_limit_a(devices))
        return [f"{devices.kind} {words}"] if words else []
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
            f"equipment conductor {ground}" if ground else "",
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


def _unit(unit: PaperUnit) -> list[str]:
    blocks = unit.blocks
    pick, wires = blocks.pick, blocks.grounding
    bond = (
        f"one bond of the neutral, jumper {wires.system_bonding_jumper}"
        if wires.system_bonding_jumper
        else "",
        f"electrode conductor {wires.electrode_conductor}" if wires.electrode_conductor else "",
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


def _loads(blocks: Blocks, brief: Brief) -> list[str]:
    loads = [label_of(index, facts) for index, facts in sorted(facts_by_load(brief.result).items())]
    more = [f"and {len(loads) - LOADS_SHOWN} more"] if len(loads) > LOADS_SHOWN else []
    shown = [text if len(text) <= 70 else f"{text[:70]}…" for text in loads[:LOADS_SHOWN]]
    demand = f"{phrases.kva(blocks.demand.kva)}, with growth {phrases.kva(blocks.demand.kva_with_growth)}"
    return [f"load side {phrases.system_words(blocks.pick.secondary)}: {demand}", *shown, *more]
