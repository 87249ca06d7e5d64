"""The drawing of a unit: its windings between the terminals, the one bond, the phasors; and the same in words."""

from __future__ import annotations

from turnwright.circuit.connections import Place
from turnwright.documents.drawing import phasors, shapes, svg, wiring
from turnwright.documents.drawing.connection_of import Joined, connection_of
from turnwright.documents.drawing.shapes import Drawing, Shape
from turnwright.documents.report import Figure
from turnwright.documents.words import phrases
from turnwright.documents.words.sides import bond_words
from turnwright.model.result import Blocks, Grounding, Pick
from turnwright.regimes import Words, traits_of

WIDTH = 700.0
FIGURE_WIDTH = 84
PHASORS_X = 605.0
SUPPLY_PHASORS_Y, TURN_Y, LOAD_PHASORS_Y = 62.0, 124.0, 184.0
PHASORS_END, ROW_END = 240.0, 136.0
"""Where sketches under each other end, and where sketches beside each other do."""
BESIDE = 48.0
SERIES_RADIUS = 44.0
HEADING_Y = 10.0
LINE = 13.0


def unit_drawing(blocks: Blocks, mark: str, supply_system: str | None, regime: str) -> Figure | None:
    """Return the drawing of a unit, or None where its windings cannot be told from the result.

    Args:
        blocks: the answer.
        mark: name of the unit on paper, T1.
        supply_system: voltage system of the supply as the job gives it.
        regime: whose terminal marks the unit bears.
    """
    joined = connection_of(blocks.pick, regime)
    if joined is None:
        return None
    drawn = winding_drawing(joined, blocks, supply_system, regime)
    caption = f"{mark}: {_caption(joined, blocks.pick, traits_of(regime).words)}"
    return Figure(svg=svg.written(drawn), alt=drawn.title, caption=caption, width=FIGURE_WIDTH)


def winding_drawing(joined: Joined, blocks: Blocks, supply_system: str | None, regime: str) -> Drawing:
    """Return windings, terminals, bond and phasors of a unit as a drawing that can be written in any form."""
    pick = blocks.pick
    traits = traits_of(regime)
    marks = wiring.Marks(traits.iec_signs, bool(pick.shield), pick.tap)
    wired = wiring.draw(joined, marks)
    bond, bottom = _grounding(joined, wired, blocks.grounding, traits.words)
    pictures = [*wired.elements, *_headings(pick, wired, supply_system), *bond, *_phasors(joined, pick)]
    height = max(bottom, PHASORS_END if _upright(joined) else ROW_END)
    return Drawing(WIDTH, height, tuple(pictures), in_words(joined, blocks, traits.words))


def _headings(pick: Pick, wired: wiring.Wired, supply_system: str | None) -> list[Shape]:
    supply = phrases.system_words(supply_system or pick.primary)
    lefts = [x for (side, _), x in wired.rails.items() if side == "left"]
    rights = [x for (side, _), x in wired.rails.items() if side == "right"]
    found: list[Shape] = [
        shapes.words(min(lefts) - 12, HEADING_Y, f"supply side, {supply}", "start", bold=True)
    ]
    if rights:
        load = f"load side, {phrases.system_words(pick.secondary)}"
        found.append(
            shapes.words(max(min(rights), min(lefts) + 230) - 12, HEADING_Y, load, "start", bold=True)
        )
    return found


def _grounding(
    joined: Joined, wired: wiring.Wired, grounding: Grounding, words: Words
) -> tuple[list[Shape], float]:
    """Draw the ground bar of the case, the conductors on it, and the one bond where there is one."""
    y, left = wired.bottom + 28.0, wired.left
    elements: list[Shape] = [
        shapes.line(left, y, wired.right, y, 2.2, layer="GROUNDING"),
        shapes.words(left, y - 5, f"{words.ground_bar} of the case"),
        shapes.ground(left + 8, y),
    ]
    jumper = grounding.system_bonding_jumper
    if (jumper or grounding.electrode_conductor) and joined.load_neutral:
        x = wired.rails["right", joined.load_neutral]
        elements += [
            shapes.line(x, wiring.RAIL_TOP + 3, x, y, 2.2, layer="GROUNDING"),
            shapes.dot(x, y, 3.4, "GROUNDING"),
        ]
        elements.append(shapes.words(x + 9, y - 16, "the one bond:"))
        elements.append(shapes.words(x + 9, y - 4, f"{words.bond} {jumper or ''}".rstrip()))
    wires = (
        (f"to the electrode: {words.electrode}", grounding.electrode_conductor),
        (f"from the supply: {words.equipment}", grounding.equipment_conductor),
        ("to the first disconnect: supply-side bonding jumper", grounding.bonding_jumper),
    )
    texts = [f"{what} {size}" for what, size in wires if size]
    elements += [shapes.words(left + 24, y + LINE + LINE * at, text) for at, text in enumerate(texts)]
    return elements, y + LINE * max(len(texts), 1) + 6


def _phasors(joined: Joined, pick: Pick) -> list[Shape]:
    volts = phrases.system_of(pick.primary)
    if volts is None:
        return []
    at = phasors.potentials(joined, volts.line_v)
    places = joined.connection.places
    if wiring.in_series(joined):
        return phasors.sketch(places, at, PHASORS_X, SUPPLY_PHASORS_Y + 8, radius=SERIES_RADIUS)
    left, right = wiring.nodes_by_side(joined)
    supply = [place for place in places if place.dot in left]
    load = [place for place in places if place.dot in right]
    upright = _upright(joined)
    beside, load_y = (0.0, LOAD_PHASORS_Y) if upright else (BESIDE, SUPPLY_PHASORS_Y)
    elements = phasors.sketch(supply, at, PHASORS_X - beside, SUPPLY_PHASORS_Y)
    elements += phasors.sketch(load, at, PHASORS_X + beside, load_y)
    turned = joined.connection.displacement_deg
    if turned is not None and load:
        elements.append(shapes.words(PHASORS_X, TURN_Y, _turned(turned), "middle"))
    return elements


def _upright(joined: Joined) -> bool:
    """Tell whether the sketches stand under each other: those of three phases, where there are two."""
    return joined.three_phase and bool(joined.load) and not wiring.in_series(joined)


def _turned(degrees: float) -> str:
    """Say by how much the low-voltage side lags the high-voltage one, as the vector group has it."""
    if degrees == 0:
        return "both sides in phase"
    lag = degrees if degrees <= 180 else degrees - 360
    return f"low voltage {'lags' if lag > 0 else 'leads'} by {abs(lag):g}°"


def _caption(joined: Joined, pick: Pick, words: Words) -> str:
    group = f", {pick.vector_group}" if pick.vector_group else ""
    several = ""
    if pick.units > 1 and pick.lines:
        several = f"; each of the {pick.units} units alike, on supply lines {phrases.lines_words(pick.lines)}"
    taps = f"; {_tapped(joined)} winding on tap {pick.tap}" if pick.tap else ""
    shield = (
        f"; electrostatic shield between the windings, {words.grounded} at one end" if pick.shield else ""
    )
    return f"{joined.connection.kind}{group}{taps}{shield}{several}. A dot on a crossing is a joint."


def _tapped(joined: Joined) -> str:
    return "supply-side" if joined.load else "line"


def _ends(place: Place) -> str:
    return f"{_end(place.dot)} to {_end(place.other)}"


def _end(node: str) -> str:
    return "a joint inside" if "." in node else node


def in_words(joined: Joined, blocks: Blocks, words: Words) -> str:
    """Return what the drawing shows, for those who do not see it."""
    cores: dict[str, list[str]] = {}
    for place in joined.connection.places:
        cores.setdefault(place.core, []).append(_ends(place))
    windings = "; ".join(f"core {at}: {', '.join(ends)}" for at, ends in enumerate(cores.values(), start=1))
    kind = joined.connection.kind[:1].upper() + joined.connection.kind[1:]
    parts = [f"{kind} connection, each winding from its dotted end: {windings}."]
    parts.append(f"Supply on {', '.join(joined.supply)}")
    if joined.load:
        parts[-1] += f", load on {', '.join(joined.load)}"
    parts[-1] += f", neutral {joined.load_neutral}." if joined.load_neutral else "."
    bond = bond_words(blocks.grounding, words)
    if bond and joined.load_neutral:
        parts.append(f"From {joined.load_neutral} to the {words.ground_bar}: {bond}.")
    return " ".join(parts)
