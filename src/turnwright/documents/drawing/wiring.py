"""A connection drawn as it is wired: a rail for each terminal, windings between the rails, dots where they join.

Supply on the left, load on the right. Windings of one core stand beside each other with the core between them;
where a winding is in series with a line, they stand under each other in one column.
"""

from __future__ import annotations

from typing import NamedTuple

from turnwright.circuit.connections import Place
from turnwright.documents.drawing import shapes
from turnwright.documents.drawing.connection_of import Joined
from turnwright.documents.drawing.shapes import Shape, Side

LEFT_AT, RAIL_STEP, RAIL_TOP = 30.0, 36.0, 34.0
FIRST_ROW, ROW, COIL = 50.0, 44.0, 34.0
GAP = 44.0
"""Free width between the last rail and the first winding."""
CORE = 44.0
"""Width from the left windings to the right ones."""
NODE = "NODE"
"""Tag of the node that a terminal or a joint belongs to."""
SHIELD_BESIDE, TAP_SIZE = 6.0, 8.5


class Marks(NamedTuple):
    """What a unit has besides its windings: one line for a core as in IEC, a shield, the tap it is on."""

    iec: bool = False
    shield: bool = False
    tap: str | None = None


class Wired(NamedTuple):
    """A drawing in the making: its elements, where rails stand, how far it reaches."""

    elements: list[Shape]
    rails: dict[tuple[Side, str], float]
    left: float
    right: float
    bottom: float


class _Row(NamedTuple):
    """One winding: where its column is, its ends, on which side its wires leave."""

    place: Place
    x: float
    top: float
    bottom: float
    bulge: Side


def draw(joined: Joined, marks: Marks = Marks()) -> Wired:  # noqa: B008  (immutable)
    """Return the windings and rails of a connection."""
    left, right = nodes_by_side(joined)
    coil_x = LEFT_AT + RAIL_STEP * max(len(left) - 1, 0) + GAP
    rows = _stacked(joined, coil_x) if in_series(joined) else _beside(joined, coil_x, left)
    last_x = max(row.x for row in rows)
    rails: dict[tuple[Side, str], float] = {
        ("left", node): LEFT_AT + RAIL_STEP * at for at, node in enumerate(left)
    }
    rails |= {("right", node): last_x + GAP + RAIL_STEP * at for at, node in enumerate(right)}
    wired = _wired(rows, rails, left, right)
    return wired._replace(elements=[*wired.elements, *_iron(rows, marks), *_taps(rows, left, marks.tap)])


def nodes_by_side(joined: Joined) -> tuple[list[str], list[str]]:
    """Return the nodes of the supply side and of the load side, terminals first, then joints inside."""
    left = [*joined.supply, *([joined.supply_neutral] if joined.supply_neutral else [])]
    right = [*joined.load, *([joined.load_neutral] if joined.load_neutral else [])]
    inner = _inside(joined, left, right)
    left += [node for node in inner if inner[node] == "left"]
    right += [node for node in inner if inner[node] == "right"]
    return list(dict.fromkeys(left)), list(dict.fromkeys(right))


def in_series(joined: Joined) -> bool:
    """Tell whether a winding lies between the two sides, as in an autotransformer."""
    left, right = nodes_by_side(joined)
    return any(_crosses(place, left, right) for place in joined.connection.places)


def _inside(joined: Joined, left: list[str], right: list[str]) -> dict[str, Side]:
    """Return nodes that are no terminal, with the side whose windings meet there."""
    found: dict[str, Side] = {}
    for place in joined.connection.places:
        for node, other in ((place.dot, place.other), (place.other, place.dot)):
            if node not in left and node not in right:
                found.setdefault(node, "right" if other in right or found.get(other) == "right" else "left")
    return found


def _crosses(place: Place, left: list[str], right: list[str]) -> bool:
    """Tell whether a winding lies between the two sides."""
    ends = (place.dot, place.other)
    return not (all(end in left for end in ends) or all(end in right for end in ends))


def _cores(joined: Joined) -> list[list[Place]]:
    cores: dict[str, list[Place]] = {}
    for place in joined.connection.places:
        cores.setdefault(place.core, []).append(place)
    return list(cores.values())


def _stacked(joined: Joined, x: float) -> list[_Row]:
    rows, y = [], FIRST_ROW
    for core in _cores(joined):
        for place in core:
            rows.append(_Row(place, x, y, y + COIL, "right"))
            y += ROW
        y += 4
    return rows


def _beside(joined: Joined, x: float, left: list[str]) -> list[_Row]:
    rows, y = [], FIRST_ROW
    for core in _cores(joined):
        on_left = [place for place in core if place.dot in left]
        on_right = [place for place in core if place.dot not in left]
        height = ROW * max(len(on_left), len(on_right)) - (ROW - COIL)
        for column, places in ((x, on_left), (x + CORE, on_right)):
            bulge: Side = "right" if column == x else "left"
            part = height / max(len(places), 1)
            room = part if len(places) == 1 else part - (ROW - COIL) / 2
            rows += [
                _Row(place, column, y + part * at, y + part * at + room, bulge)
                for at, place in enumerate(places)
            ]
        y += height + (ROW - COIL)
    return rows


def _wired(
    rows: list[_Row], rails: dict[tuple[Side, str], float], left: list[str], right: list[str]
) -> Wired:
    elements: list[Shape] = []
    reach: dict[tuple[Side, str], list[float]] = {rail: [] for rail in rails}
    bottom = max(row.bottom for row in rows)
    for row in rows:
        elements.append(shapes.coil(row.x, row.top, row.bottom, row.bulge, _facts(row.place)))
        beside = row.x + (-6 if row.bulge == "right" else 6)
        elements.append(shapes.dot(beside, row.top + 5, 1.7, "WINDINGS"))
        for node, y in ((row.place.dot, row.top), (row.place.other, row.bottom)):
            side = _side_of(node, row, left, right)
            elements += [shapes.line(row.x, y, rails[side, node], y), _joint(node, rails[side, node], y)]
            reach[side, node].append(y)
    through = [node for node in left if node in right]
    for at, node in enumerate(through):
        y = bottom + 12 + 8 * at
        x1, x2 = rails["left", node], rails["right", node]
        elements += [shapes.line(x1, y, x2, y), _joint(node, x1, y), _joint(node, x2, y)]
        reach["left", node].append(y)
        reach["right", node].append(y)
    for (side, node), x in rails.items():
        elements += _rail(node, x, reach[side, node])
    ends = max(bottom, *(y for ys in reach.values() for y in ys))
    return Wired(elements, rails, min(rails.values()), max(rails.values()), ends)


def _side_of(node: str, row: _Row, left: list[str], right: list[str]) -> Side:
    if node in left and node in right:
        return "right" if row.bulge == "left" else "left"
    return "left" if node in left else "right"


def _joint(node: str, x: float, y: float) -> Shape:
    return shapes.dot(x, y, data=((NODE, node),))


def _facts(place: Place) -> shapes.Data:
    return (
        ("CORE", place.core),
        ("DOT", place.dot),
        ("OTHER", place.other),
        ("VOLTS", f"{place.rated_v:.9g}"),
    )


def _rail(node: str, x: float, joints: list[float]) -> list[Shape]:
    """Draw the rail of a node over its joints: up to its terminal, where it has one."""
    if "." in node:
        return [shapes.line(x, min(joints), x, max(joints))]
    rail = [shapes.line(x, RAIL_TOP + 3, x, max(joints))] if joints else []
    return [
        *rail,
        shapes.ring(x, RAIL_TOP, data=((NODE, node),)),
        shapes.words(x, RAIL_TOP - 7, node, "middle"),
    ]


def _iron(rows: list[_Row], marks: Marks) -> list[Shape]:
    """Draw the core between, or beside, the windings it links: two lines, or one in IEC, and the shield dashed."""
    cores: dict[str, list[_Row]] = {}
    for row in rows:
        cores.setdefault(row.place.core, []).append(row)
    found: list[Shape] = []
    for of_core in cores.values():
        columns = {row.x for row in of_core}
        x = sum(columns) / 2 if len(columns) == 2 else min(columns) + 12
        top, bottom = min(row.top for row in of_core) + 3, max(row.bottom for row in of_core) - 3
        apart = (0.0,) if marks.iec else (-1.5, 1.5)
        found += [shapes.line(x + by, top, x + by, bottom, layer="CORES") for by in apart]
        if marks.shield and len(columns) == 2:
            at = x + SHIELD_BESIDE
            found.append(shapes.line(at, top, at, bottom, dash="4 3", layer="CORES"))
    return found


def _taps(rows: list[_Row], left: list[str], tap: str | None) -> list[Shape]:
    """Mark the tap on the windings of the supply side, and write it once."""
    if tap is None:
        return []
    found: list[Shape] = []
    for row in rows:
        if row.place.dot not in left or row.place.other not in left:
            continue
        middle, away = (row.top + row.bottom) / 2, -1 if row.bulge == "right" else 1
        if not found:
            anchor: shapes.Anchor = "end" if away < 0 else "start"
            found.append(shapes.words(row.x + away * 11, middle + 3, tap, anchor, TAP_SIZE))
        found.append(shapes.line(row.x, middle, row.x + away * 8, middle, layer="WINDINGS"))
    return found
