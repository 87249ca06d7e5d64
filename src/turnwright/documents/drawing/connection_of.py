"""The coils and nodes of a unit that was picked, with the terminal marks of its regime.

North American units have H marks at the higher voltage and X at the lower (IEEE C57.12.70), others 1U, 1V, 1W
and 2U, 2V, 2W (IEC 60616).
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from turnwright.circuit import connections
from turnwright.circuit.connections import Connection
from turnwright.errors import InputError
from turnwright.model.result import Pick
from turnwright.quantities import VoltageSystem, parse_system
from turnwright.regimes import traits_of

Terminals = tuple[str, ...]
_ANY_PCT = 1.0  # impedances have no place in a drawing
_ANY_HALF_RATIO = 1.2
_H, _X = ("H1", "H2", "H3"), ("X1", "X2", "X3")
COMMON = "H0 X0"


class Joined(Struct, frozen=True, kw_only=True):
    """A connection with what each side is joined to.

    supply, load                  line terminals of both sides
    supply_neutral, load_neutral  the neutral terminal, None where a side has none
    three_phase                   the supply is three-phase
    """

    connection: Connection
    supply: Terminals
    load: Terminals
    supply_neutral: str | None
    load_neutral: str | None
    three_phase: bool


def connection_of(pick: Pick, regime: str) -> Joined | None:
    """Return how the windings of a pick are joined, or None where that cannot be told from it.

    Args:
        pick: the unit.
        regime: whose terminal marks it bears.
    """
    primary, secondary = _system(pick.primary), _system(pick.secondary)
    build = _BUILDERS.get(pick.arrangement)
    if primary is None or secondary is None or build is None:
        return None
    try:
        found = build(pick, primary, secondary)
    except InputError:  # a vector group or voltages that no such connection has
        return None
    return _marked_iec(found) if found and traits_of(regime).terminal_marks == "IEC 60616" else found


def _marked_iec(joined: Joined) -> Joined:
    """Return the same connection with the terminal marks of IEC."""
    nodes = [node for place in joined.connection.places for node in (place.dot, place.other)]
    words = {word for node in nodes for word in node.split(" ")}
    three = {side for side in ("H", "X") if f"{side}3" in words and f"{side}4" not in words}
    marks = {node: " ".join(_iec_mark(word, word[:1] in three) for word in node.split(" ")) for node in nodes}
    made = joined.connection
    renamed = replace(
        made,
        terminals={side: tuple(marks[node] for node in ends) for side, ends in made.terminals.items()},
        neutrals={side: marks[node] for side, node in made.neutrals.items()},
        places=tuple(replace(place, dot=marks[place.dot], other=marks[place.other]) for place in made.places),
        cores=tuple(
            replace(
                core,
                windings=tuple(
                    replace(winding, dot=marks[winding.dot], other=marks[winding.other])
                    for winding in core.windings
                ),
            )
            for core in made.cores
        ),
    )
    return replace(
        joined,
        connection=renamed,
        supply=tuple(marks[node] for node in joined.supply),
        load=tuple(marks[node] for node in joined.load),
        supply_neutral=marks.get(joined.supply_neutral or ""),
        load_neutral=marks.get(joined.load_neutral or ""),
    )


def _iec_mark(mark: str, three_phase: bool) -> str:
    """Return the mark of IEC for one of North America; other names stay.

    Example:
        >>> _iec_mark("H1", True), _iec_mark("X0", True), _iec_mark("X2", False), _iec_mark("T1.Z1", True)
        ('1U', '2N', '2.2', 'T1.Z1')
    """
    side = {"H": "1", "X": "2"}.get(mark[:1])
    if side is None or len(mark) != 2:
        return mark
    return side + ("NUVW"[int(mark[1])] if three_phase else f".{mark[1]}")


def _system(text: str) -> VoltageSystem | None:
    try:
        found = parse_system(text, where="pick")
    except InputError:
        return None
    return found if isinstance(found, VoltageSystem) else None


def _joined(made: Connection, supply_is_high: bool, three_phase: bool = True) -> Joined:
    supply, load = ("primary", "secondary") if supply_is_high else ("secondary", "primary")
    return Joined(
        connection=made,
        supply=made.terminals[supply],
        load=made.terminals.get(load, ()),
        supply_neutral=_brought_out(made, supply),
        load_neutral=_brought_out(made, load),
        three_phase=three_phase,
    )


def _brought_out(made: Connection, side: str) -> str | None:
    """Return the neutral terminal of a side; a star point that stays inside the case is none."""
    node = made.neutrals.get(side)
    return None if node is None or "." in node else node


def _separate(pick: Pick, primary: VoltageSystem, secondary: VoltageSystem) -> Joined | None:
    down = primary.line_v >= secondary.line_v
    high_v, low_v = max(primary.line_v, secondary.line_v), min(primary.line_v, secondary.line_v)
    if pick.phases == 3 or pick.arrangement == "bank":
        if pick.vector_group is None:
            return None
        made = connections.three_phase("T1", pick.vector_group, pick.kva, high_v, low_v, _ANY_PCT, _ANY_PCT)
        return _joined(made, down)
    from_marks, to_marks = ("H", "X") if down else ("X", "H")
    from_ends = (f"{from_marks}1", f"{from_marks}2")
    if secondary.wires == 3:
        made = connections.single_phase_three_wire(
            "T1", pick.kva, primary.line_v, secondary.line_v, _ANY_PCT, _ANY_PCT, _ANY_HALF_RATIO,
            primary=from_ends, secondary=(f"{to_marks}1", f"{to_marks}2 {to_marks}3", f"{to_marks}4"),
        )  # fmt: skip
    else:
        made = connections.single_phase(
            "T1", pick.kva, primary.line_v, secondary.line_v, _ANY_PCT, _ANY_PCT,
            primary=from_ends, secondary=(f"{to_marks}1", f"{to_marks}2"),
        )  # fmt: skip
    return _joined(made, True, three_phase=False)


def _autotransformer(pick: Pick, primary: VoltageSystem, secondary: VoltageSystem) -> Joined | None:
    down = primary.line_v >= secondary.line_v
    high_v, low_v = max(primary.line_v, secondary.line_v), min(primary.line_v, secondary.line_v)
    if pick.phases == 3:
        made = connections.autotransformer_wye(
            "T1", pick.kva, high_v, low_v, _ANY_PCT, _ANY_PCT, neutral=COMMON
        )
        return _joined(made, down)
    made = connections.autotransformer("T1", pick.kva, high_v, low_v, _ANY_PCT, _ANY_PCT, common=COMMON)
    return _joined(made, down, three_phase=False)


def _buck_boost(pick: Pick, primary: VoltageSystem, secondary: VoltageSystem) -> Joined | None:
    if pick.buck_boost is None:
        return None
    up = pick.buck_boost.output_v >= primary.line_v
    direction: connections.autotransformers.Direction = "boost" if up else "buck"
    facts = (pick.kva, pick.buck_boost.winding_v, _ANY_PCT, _ANY_PCT, direction)
    if primary.phases != 3:
        made = connections.buck_boost("T1", *facts, line_in="in", line_out="out", common="common")
        return _joined(made, True, three_phase=False)
    lines_in, lines_out = ("in A", "in B", "in C"), ("out A", "out B", "out C")
    if pick.units == 3:
        made = connections.buck_boost_wye("T1", *facts, primary=lines_in, secondary=lines_out, neutral="N")
    else:
        through = (lines_out[0], lines_in[1], lines_out[2])
        made = connections.buck_boost_open_delta("T1", *facts, primary=lines_in, secondary=through)
    return _joined(made, True)


def _open_delta(pick: Pick, primary: VoltageSystem, secondary: VoltageSystem) -> Joined | None:
    down = primary.line_v >= secondary.line_v
    made = connections.open_delta(
        "T1", pick.kva, primary.line_v, secondary.line_v, _ANY_PCT, _ANY_PCT,
        primary=_H if down else _X, secondary=_X if down else _H,
    )  # fmt: skip
    return _joined(made, True)


def _high_leg(pick: Pick, primary: VoltageSystem, secondary: VoltageSystem) -> Joined | None:
    both = (_ANY_PCT, _ANY_PCT)
    made = connections.high_leg_delta(
        "T1", pick.kva, pick.kva, primary.line_v, secondary.line_v, both, both, _ANY_HALF_RATIO,
        closed=pick.units != 2,
    )  # fmt: skip
    return _joined(made, True)


def _zigzag(pick: Pick, primary: VoltageSystem, secondary: VoltageSystem) -> Joined | None:
    return _joined(connections.zigzag_earthing("T1", pick.kva, primary.line_v, _ANY_PCT, _ANY_PCT), True)


def _scott(pick: Pick, primary: VoltageSystem, secondary: VoltageSystem) -> Joined | None:
    both = (_ANY_PCT, _ANY_PCT)
    made = connections.scott(
        "T1", pick.kva, primary.line_v, secondary.line_v, both, both, _ANY_PCT,
        secondary=("X1", "X3"), returns=("X2", "X4"),
    )  # fmt: skip
    return _joined(made, True)


_BUILDERS = {
    "isolation": _separate,
    "bank": _separate,
    "autotransformer": _autotransformer,
    "buck-boost": _buck_boost,
    "open delta": _open_delta,
    "high leg": _high_leg,
    "zig-zag": _zigzag,
    "scott": _scott,
}
