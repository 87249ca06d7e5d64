"""Short circuits of every type at the terminals of the secondary and at the end of its run, solved."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from msgspec import Struct

from turnwright.circuit import EARTH
from turnwright.circuit.studies.fault import Fault, Kind, fault
from turnwright.errors import InputError
from turnwright.examine.ends import Ends
from turnwright.examine.runs import Runs
from turnwright.examine.site import Nodes, Site, site_of, weak_supply_a
from turnwright.examine.subject import Subject
from turnwright.examine.words import LINES
from turnwright.model.unit import Impedance
from turnwright.selection.network import FED_FROM_NEUTRAL

TERMINALS, END = "secondary terminals", "end of the secondary run"
LARGEST, STATED, LEAST = "largest", "stated", "least"
LINE_GROUND, LINE_NEUTRAL, HALF = "line-ground", "line-neutral", "half winding"
ALL_LINES = "all lines"
ALIKE = 1e-6
UNLIMITED = "CIR-05"
"""Code of a circuit in which nothing limits a current."""


class Condition(Struct, frozen=True, kw_only=True):
    """What a set of faults is solved with.

    name      "largest", "stated" or "least"
    z         impedance of the unit
    fault_a   of the supply; None: an infinite source [A]
    runs      conductors counted
    factor    by which the voltage of the supply is raised or lowered
    motors_a  what running motors add [A]
    """

    name: str
    z: Impedance
    fault_a: float | None
    runs: Runs
    factor: float
    motors_a: float


class Found(Struct, frozen=True, kw_only=True):
    """One type of fault at one place: of the lines it may strike, those that give the most (or the least).

    lines  letters of the secondary lines
    """

    where: str
    condition: str
    kind: str
    lines: str
    fault: Fault


class Short(Struct, frozen=True):
    """A fault to solve: its name in the trade, how the solver calls it, where it is, where it returns."""

    kind: str
    solved_as: Kind
    nodes: Nodes
    lines: str
    earth: str = EARTH


def conditions_of(
    subject: Subject, ends: Ends, cold: Runs, warm: Runs, factors: tuple[float, float], motors_a: float
) -> tuple[Condition, ...]:
    """Return the largest, the stated where there is one, and the least.

    The largest leaves the primary conductors out and takes the others cold; the least counts all of them warm, at a
    weak supply.
    """
    supply_a = subject.case.supply.fault_current_a
    kept = Runs(secondary_ohm=cold.secondary_ohm, neutral_ohm=cold.neutral_ohm, earth_ohm=cold.earth_ohm)
    most, least = factors
    found = [Condition(name=LARGEST, z=ends.low, fault_a=supply_a, runs=kept, factor=most, motors_a=motors_a)]
    if ends.stated is not None:
        found.append(
            Condition(name=STATED, z=ends.stated, fault_a=supply_a, runs=kept, factor=most, motors_a=0.0)
        )
    weak_a = weak_supply_a(subject)
    found.append(Condition(name=LEAST, z=ends.high, fault_a=weak_a, runs=warm, factor=least, motors_a=0.0))
    return tuple(found)


def solved(subject: Subject, condition: Condition) -> tuple[Found, ...]:
    """Return the faults of every type at the terminals, and at the end of the run where one is counted."""
    near = site_of(subject, condition.z, condition.fault_a, Runs(primary_ohm=condition.runs.primary_ohm))
    far = site_of(subject, condition.z, condition.fault_a, condition.runs)
    three_phase, halves = subject.three_phase, subject.sized.proposal.derived
    # where the unit hangs on the neutral of the supply its second line is ground already
    own = FED_FROM_NEUTRAL not in subject.sized.proposal.lines
    found = list(
        _at(
            near,
            TERMINALS,
            shorts(near.secondary, near.bus_earth if own else None, None, three_phase, halves),
            condition,
        )
    )
    if far.has_run:
        these = shorts(far.bus, far.bus_earth if own else None, far.bus_neutral, three_phase, halves)
        found += _at(far, END, these, condition)
    return tuple(found)


def shorts(
    lines: Nodes, earth: str | None, neutral: str | None, three_phase: bool, halves: bool
) -> dict[str, list[Short]]:
    """Return the faults that can happen, by type.

    earth    node of the grounding conductor; None: nothing to fault to
    neutral  node of the neutral where it is another conductor than that; None: it is not
    halves   a single-phase winding is grounded in its middle: a fault to ground is one of half of it
    """
    letters = dict(zip(lines, LINES, strict=False))
    found: dict[str, list[Short]] = {}
    if len(lines) == len(LINES):
        all_lines = "three-phase" if three_phase else ALL_LINES
        found[all_lines] = [Short(all_lines, "three-phase", lines, "".join(LINES))]
    pairs = list(combinations(lines, 2))
    found["line-line"] = [_short("line-line", "line-line", pair, letters) for pair in pairs]
    to_earth = HALF if halves and not three_phase and neutral is None else LINE_GROUND
    if earth is not None:
        found[to_earth] = [_short(to_earth, "line-ground", (line,), letters, earth) for line in lines]
        if three_phase:
            kind = "line-line-ground"
            found[kind] = [_short(kind, "line-line-ground", pair, letters, earth) for pair in pairs]
    if neutral is not None and neutral != earth:
        kind = LINE_NEUTRAL if three_phase else HALF
        found[kind] = [_short(kind, "line-ground", (line,), letters, neutral) for line in lines]
    return found


def _short(kind: str, solved_as: Kind, nodes: Nodes, letters: dict[str, str], earth: str = EARTH) -> Short:
    return Short(kind, solved_as, nodes, "".join(letters[node] for node in nodes), earth)


def _at(site: Site, where: str, these: dict[str, list[Short]], condition: Condition) -> Iterator[Found]:
    """Yield the most telling fault of each type at one place."""
    sign = -1.0 if condition.name == LEAST else 1.0
    for kind, alike in these.items():
        struck = _struck(site, alike, condition)
        if not struck:
            continue
        most = max(sign * one.current_a for one in struck)
        # of lines that are struck alike the first, whatever the last digit says
        first = next(k for k, one in enumerate(struck) if sign * one.current_a >= most - ALIKE * abs(most))
        yield Found(
            where=where, condition=condition.name, kind=kind, lines=alike[first].lines, fault=struck[first]
        )


def _struck(site: Site, alike: list[Short], condition: Condition) -> list[Fault]:
    """The faults of one type; none where nothing but an infinite source limits one of them."""
    try:
        return [_solve(site, short, condition) for short in alike]
    except InputError as refused:
        if refused.code != UNLIMITED or condition.fault_a is not None:
            raise
        return []


def unlimited(found: tuple[Found, ...]) -> tuple[str, ...]:
    """Return the types of fault that only the supply limits, where its fault current is not known."""
    there = {(one.where, one.kind) for one in found if one.condition == LARGEST}
    kinds = [one.kind for one in found if one.condition == LEAST and (one.where, one.kind) not in there]
    return tuple(dict.fromkeys(kinds))


def _solve(site: Site, short: Short, condition: Condition) -> Fault:
    return fault(
        site.network,
        short.solved_as,
        short.nodes,
        earth=short.earth,
        voltage_factor=condition.factor,
        motor_contribution_a=condition.motors_a,
    )
