"""Where loads can stand on a secondary, and what each place draws through windings, lines and neutral.

Angles are of one frame: phase A to neutral at 0°, sequence A-B-C. A *spot* is a place on the lines: "A" (line
A to neutral), "AB" (line to line), "A+B" (three-wire: half on A, half on B), "ABC" (three-phase). A *share* is
the kVA in a winding, or the part of kVA over volts in a line or the neutral, for one kVA at the spot.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from msgspec import Struct

from turnwright.demand.records import Place
from turnwright.errors import InputError
from turnwright.model.case import CaseLoad
from turnwright.quantities import VoltageSystem
from turnwright.working import Number, Step


class Part(Struct, frozen=True):
    """A phasor by magnitude and angle: what one kVA at a spot brings to a winding, a line or the neutral."""

    share: float
    turn_deg: float


class Spot(Struct, frozen=True):
    """What a spot draws. `to_neutral`: its lines are counted at the voltage to neutral, not between lines.

    Order h of a current turns h times as far in the neutral.
    """

    windings: dict[str, Part]
    lines: dict[str, Part]
    neutral: tuple[Part, ...]
    to_neutral: bool


class Layout(Struct, frozen=True):
    """One way of winding a secondary.

    phases    names of what `phase_kva` lists, each with the windings (or halves) it is the larger of
    own_deg   angle of the voltage of each winding
    lines     line conductors
    even      the spot whose load is even on all windings
    places    spots open to each kind of load
    cyclic    turning all loads by one line leaves the windings as they were, in another order
    worst_factor  worst phase in kVA = this times the most loaded of `phases`
    """

    name: str
    three_phase: bool
    phases: Mapping[str, tuple[str, ...]]
    own_deg: dict[str, float]
    lines: tuple[str, ...]
    even: str
    spots: dict[str, Spot]
    places: dict[Place, tuple[str, ...]]
    cyclic: bool
    worst_factor: float


_LINE_DEG = {"A": 0.0, "B": -120.0, "C": 120.0}
_PAIR_DEG = {"AB": 30.0, "BC": -90.0, "CA": 150.0}
_PAIRS = tuple(_PAIR_DEG)


_SHARES = {1 / 3: "1/3", 1 / math.sqrt(3.0): "1/√3", 0.5: "1/2", 2 / 3: "2/3", 1.0: "1", 5 / 3: "5/3"}


def _known(name: str, value: float, unit: str) -> Number:
    source = "geometry of windings and lines, phase sequence A-B-C"
    return Number(value, Step(name, value, unit, source=source, known="computed"))


_SHARE = {value: _known(f"geometry.share[{text}]", value, "") for value, text in _SHARES.items()}
_TURN = {turn: _known(f"geometry.turn[{turn} deg]", float(turn), "deg") for turn in range(-120, 360, 30)}


def _parts(parts: dict[str, tuple[float, float]]) -> dict[str, Part]:
    return {key: Part(_SHARE[share], _TURN[int(turn)]) for key, (share, turn) in parts.items()}


def _spot(
    windings: dict[str, tuple[float, float]],
    lines: dict[str, tuple[float, float]],
    neutral: dict[str, tuple[float, float]] | None = None,
) -> Spot:
    return Spot(_parts(windings), _parts(lines), tuple(_parts(neutral or {}).values()), neutral is not None)


def _on_lines(pair: str) -> dict[str, tuple[float, float]]:
    """Line currents of a load between two lines: out through the first, back through the second."""
    return {pair[0]: (1.0, _PAIR_DEG[pair]), pair[1]: (1.0, _PAIR_DEG[pair] + 180.0)}


def _even_lines() -> dict[str, tuple[float, float]]:
    """Line currents of a three-phase load, over its kVA at the voltage between lines."""
    return {line: (1 / math.sqrt(3.0), turn) for line, turn in _LINE_DEG.items()}


def _wye() -> Layout:
    even = {line: (1 / 3, turn) for line, turn in _LINE_DEG.items()}
    spots = {"ABC": _spot(even, _even_lines())}
    for line, turn in _LINE_DEG.items():
        own = {line: (1.0, turn)}
        spots[line] = _spot(own, own, own)
    for pair in _PAIRS:
        across = _on_lines(pair)
        windings = {line: (1 / math.sqrt(3.0), turn) for line, (_, turn) in across.items()}
        spots[pair] = _spot(windings, across)
        halves = {line: (0.5, _LINE_DEG[line]) for line in pair}
        spots[f"{pair[0]}+{pair[1]}"] = _spot(halves, halves, halves)
    places: dict[Place, tuple[str, ...]] = {
        "three-phase": ("ABC",),
        "line to neutral": ("A", "B", "C"),
        "line to line": _PAIRS,
        "three-wire": ("A+B", "B+C", "C+A"),
    }
    phases = {line: (line,) for line in _LINE_DEG}
    return Layout("wye", True, phases, _LINE_DEG, tuple("ABC"), "ABC", spots, places, True, 1.0)


def _in_loop(pair: str, windings: dict[str, str]) -> dict[str, tuple[float, float]]:
    """Windings of a closed delta of equal impedances, one side loaded: 2/3 on it, 1/3 back on the others."""
    turn = _PAIR_DEG[pair]
    return {name: (2 / 3, turn) if side == pair else (1 / 3, turn + 180.0) for name, side in windings.items()}


def _delta() -> Layout:
    sides = {pair: pair for pair in _PAIRS}
    even = {pair: (1 / 3, turn) for pair, turn in _PAIR_DEG.items()}
    spots = {"ABC": _spot(even, _even_lines())}
    for pair in _PAIRS:
        spots[pair] = _spot(_in_loop(pair, sides), _on_lines(pair))
    places: dict[Place, tuple[str, ...]] = {"three-phase": ("ABC",), "line to line": _PAIRS}
    phases = {pair: (pair,) for pair in _PAIRS}
    return Layout("delta", True, phases, _PAIR_DEG, tuple("ABC"), "ABC", spots, places, True, 1.0)


def _high_leg() -> Layout:
    """A closed delta whose side CA has its middle brought out; B is the high leg.

    A load from C to the middle: the half at C carries 5/6 of its current, the other half and the two other
    windings 1/6 back: halves of half the impedance in one loop with two whole windings. Halves count double, on
    the volts of the whole side.
    """
    sides = {"AB": "AB", "BC": "BC", "CA half C": "CA", "CA half A": "CA"}
    even = {name: (1 / 3, _PAIR_DEG[side]) for name, side in sides.items()}
    spots = {"ABC": _spot(even, _even_lines())}
    for pair in _PAIRS:
        spots[pair] = _spot(_in_loop(pair, sides), _on_lines(pair))
    for line, turn in (("A", -30.0), ("C", 150.0)):
        windings = dict.fromkeys(sides, (1 / 3, -30.0)) | {f"CA half {line}": (5 / 3, 150.0)}
        spots[line] = _spot(windings, {line: (1.0, turn)}, {line: (1.0, turn)})
    places: dict[Place, tuple[str, ...]] = {
        "three-phase": ("ABC",),
        "line to neutral": ("A", "C"),
        "line to line": _PAIRS,
        "three-wire": ("CA",),
    }
    phases = {"AB": ("AB",), "BC": ("BC",), "CA": ("CA half C", "CA half A")}
    own = {name: _PAIR_DEG[side] for name, side in sides.items()}
    return Layout("high leg", True, phases, own, tuple("ABC"), "ABC", spots, places, False, 1.0)


def _three_wire() -> Layout:
    """Two legs of one winding with its middle brought out; a leg counts as half the winding."""
    ends = {"A": (1.0, 0.0), "B": (1.0, 180.0)}
    spots = {"AB": _spot({"A": (0.5, 0.0), "B": (0.5, 0.0)}, ends)}
    for leg, end in ends.items():
        spots[leg] = _spot({leg: (1.0, 0.0)}, {leg: end}, {leg: end})
    places: dict[Place, tuple[str, ...]] = {
        "line to neutral": ("A", "B"),
        "line to line": ("AB",),
        "three-wire": ("AB",),
    }
    phases = {"A": ("A",), "B": ("B",)}
    return Layout(
        "three-wire", False, phases, {"A": 0.0, "B": 0.0}, ("A", "B"), "AB", spots, places, True, 2.0
    )


def _two_wire() -> Layout:
    spots = {"AB": _spot({"AB": (1.0, 0.0)}, {"A": (1.0, 0.0)})}
    places: dict[Place, tuple[str, ...]] = {"line to line": ("AB",)}
    phases = {"AB": ("AB",)}
    return Layout("two-wire", False, phases, {"AB": 0.0}, ("A",), "AB", spots, places, True, 1.0)


WYE, DELTA, HIGH_LEG, THREE_WIRE, TWO_WIRE = _wye(), _delta(), _high_leg(), _three_wire(), _two_wire()


def layouts_of(secondary: VoltageSystem) -> tuple[Layout, ...]:
    """Return how a secondary may be wound: one layout, or wye and delta where its text does not say.

    Raises: InputError DEM-05 when its phases are not known.

    Example:
        >>> from turnwright.quantities import parse_system
        >>> [layout.name for layout in layouts_of(parse_system("240/120 delta", where="choices.secondary"))]
        ['high leg']
    """
    if secondary.phases is None:
        fix = f'Write "{secondary.text} 3ph" or "{secondary.text} 1ph".'
        raise InputError(
            "DEM-05", "secondary", f"'{secondary.text}' does not say how many phases it has.", fix
        )
    if secondary.phases == 1:
        return (THREE_WIRE,) if secondary.neutral_v is not None else (TWO_WIRE,)
    if secondary.high_leg:
        return (HIGH_LEG,)
    if secondary.connection == "unknown":
        return (WYE, DELTA)
    return (WYE,) if secondary.connection == "wye" else (DELTA,)


def place_of(load: CaseLoad, secondary: VoltageSystem) -> Place:
    """Return what kind of place on the secondary a load takes.

    A two-wire load goes where its fixed lines say, else where the volts of the secondary are nearest its own.

    Raises: InputError DEM-02 for a three-phase load on a single-phase secondary, DEM-05 when the load does not
    say its phases.
    """
    where = f"load[{load.index}].system"
    if load.system.phases == 3:
        if secondary.phases == 1:
            what = f"{load.label} needs three phases, '{secondary.text}' has one."
            raise InputError("DEM-02", where, what, "Choose a three-phase secondary, or leave the load out.")
        return "three-phase"
    if load.system.phases is None:
        fix = f'Write "{load.system.text} 3ph" or "{load.system.text} 1ph".'
        raise InputError("DEM-05", where, f"'{load.system.text}' does not say how many phases it has.", fix)
    neutral_v = secondary.neutral_v
    if neutral_v is None:
        return "line to line"
    if load.system.wires == 3:
        return "three-wire"
    if load.lines is not None:
        return "line to neutral" if len(load.lines) == 1 else "line to line"
    if load.neutral and secondary.phases == 3:
        return "line to neutral"
    ratio = load.system.line_v / math.sqrt(neutral_v * secondary.line_v)
    return "line to neutral" if ratio < 1.0 else "line to line"


def spots_of(index: int, place: Place, lines: str | None, layout: Layout, secondary: str) -> tuple[str, ...]:
    """Return the spots that are open to a load: one where its lines are fixed.

    Raises: InputError DEM-03 when the secondary does not have those lines.
    """
    open_spots = layout.places.get(place, ())
    if place == "three-phase" or lines is None or layout is TWO_WIRE:
        if open_spots:
            return open_spots
        what = f"a load {place} has no place on '{secondary}'."
        raise InputError(
            "DEM-03", f"load[{index}].system", what, "Choose a secondary with the voltage it needs."
        )
    for spot in open_spots:
        if spot.replace("+", "") == lines:
            return (spot,)
    known = ", ".join(spot.replace("+", "") for spot in open_spots)
    fix = f"Write one of {known}, or leave the lines free." if known else "Leave the lines free."
    raise InputError(
        "DEM-03", f"load[{index}].lines", f"'{secondary}' has no place '{lines}' for this load.", fix
    )
