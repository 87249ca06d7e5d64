"""The sentences, tables and questions of a study of faults."""

from __future__ import annotations

from math import isfinite

from turnwright.examine.ends import Ends, assumed_impedance, impedance_question
from turnwright.examine.fault_cases import LARGEST, LEAST, TERMINALS, Found, unlimited
from turnwright.examine.interrupting import Duty
from turnwright.examine.records import Assumed, Grid, Series
from turnwright.examine.subject import Subject
from turnwright.examine.words import LINES, amps, amps_column, grid, listed, pct, ratio
from turnwright.model.result import Question

SUPPLY_QUESTION = Question(
    key="supply.fault_current",
    ask="What fault current can the supply deliver at its terminals?",
    assumed="infinite source",
    why="Without it the device before the unit cannot be rated.",
)


def at(found: tuple[Found, ...], where: str, condition: str, kind: str | None = None) -> list[Found]:
    """Return the faults at a place in a condition, of one type or of all."""
    return [
        one for one in found if (one.where, one.condition) == (where, condition) and kind in (None, one.kind)
    ]


def said_of(
    subject: Subject, worst: Found, found: tuple[Found, ...], duties: tuple[Duty, ...]
) -> tuple[str, ...]:
    """Return the answer in sentences: the worst fault, what devices must interrupt, the weakest fault."""
    supply_a = subject.case.supply.fault_current_a
    source = "an infinite source" if supply_a is None else f"a supply of {amps(supply_a, 'up')}"
    open_kinds = unlimited(found)
    if open_kinds:
        first = (
            f"{listed(open_kinds).capitalize()} faults are limited by the supply alone, and that is not known; others "
            f"come to at most {amps(worst.fault.total_a, 'up')} ({worst.kind}, {worst.where})."
        )
    else:
        first = _worst_words(worst, source)
    rated = [one for one in duties if one.needed_a is not None]
    parts = [f"{amps(one.needed_a, 'up')} {one.short}" for one in rated]
    second = f"Devices must interrupt at least {', '.join(parts)}." if parts else ""
    least = min((one for one in found if one.condition == LEAST), key=lambda one: one.fault.current_a)
    third = (
        f"The weakest fault, {least.kind} at the {least.where}, may draw only "
        f"{amps(least.fault.current_a, 'down')}."
    )
    return tuple(text for text in (first, second, third) if text)


def _worst_words(worst: Found, source: str) -> str:
    return (
        f"At most {amps(worst.fault.total_a, 'up')} flow at a short circuit after the unit "
        f"({worst.kind}, {worst.where}), with {source}."
    )


def grids_of(subject: Subject, found: tuple[Found, ...], duties: tuple[Duty, ...]) -> tuple[Grid, ...]:
    """Return the tables: by place and type, in the lines of the supply, by device."""
    places = dict.fromkeys(one.where for one in found)
    heads = ("", "fault", "X/R", "must interrupt")
    columns = (
        [one.where for one in duties],
        amps_column((one.fault_a for one in duties), "up"),
        [ratio(one.x_over_r) for one in duties],
        amps_column((one.needed_a for one in duties), "up"),
    )
    devices = grid("devices", heads, zip(*columns, strict=True))
    return (*(_place_grid(found, where) for where in places), _supply_grid(found), devices)


def _place_grid(found: tuple[Found, ...], where: str) -> Grid:
    largest = at(found, where, LARGEST)
    least = [at(found, where, LEAST, one.kind)[0].fault for one in largest]
    heads = ("", "largest", "with motors", "X/R", "first peak", "least")
    columns = (
        [one.kind for one in largest],
        amps_column((one.fault.current_a for one in largest), "up"),
        amps_column((one.fault.total_a for one in largest), "up"),
        [ratio(one.fault.x_over_r) for one in largest],
        amps_column((one.fault.peak_a for one in largest), "up"),
        amps_column((one.current_a for one in least), "down"),
    )
    return grid(f"at the {where}", heads, zip(*columns, strict=True))


def _supply_grid(found: tuple[Found, ...]) -> Grid:
    """What the lines of the supply carry meanwhile."""
    faults = at(found, TERMINALS, LARGEST)
    lines = [list(one.fault.supply_lines_a.values()) for one in faults]
    shares = [
        100 * max(supply) / one.fault.current_a if one.fault.current_a else 0.0
        for one, supply in zip(faults, lines, strict=True)
    ]
    cells = [amps_column(column, "up") for column in zip(*lines, strict=True)]
    columns = ([f"{one.kind} {one.lines}" for one in faults], *cells, [pct(share) for share in shares])
    heads = ("fault after the unit", *LINES[: len(cells)], "of the fault")
    return grid("in the lines of the supply meanwhile", heads, zip(*columns, strict=True))


def bars_of(largest: list[Found]) -> Series:
    """Return the largest faults by type and place."""
    return Series(
        name="largest fault current by type",
        kind="bars",
        x_name="type",
        x_unit="",
        y_name="current",
        y_unit="A",
        x=tuple(f"{one.kind}, {one.where}" for one in largest),
        y=tuple(one.fault.total_a for one in largest),
    )


def questions_of(subject: Subject, ends: Ends, moves: dict[str, list[float]]) -> tuple[Question, ...]:
    """Return what to ask: the supply, the run, the impedance."""
    asked = []
    if subject.case.supply.fault_current_a is None:
        asked.append(SUPPLY_QUESTION)
    if subject.case.circuit.secondary_length_m is None:
        asked.append(
            Question(
                key="circuit.secondary_length",
                ask="How long are the conductors from the unit to the first panel?",
                assumed="not counted",
                why="They lower the fault current at the panel, and the least current its device must trip on.",
            )
        )
    return (*asked, *impedance_question(ends, moves))


def assumed_of(
    subject: Subject, ends: Ends, factors: tuple[float, float], motors_a: float
) -> tuple[Assumed, ...]:
    """Return what stands in for facts nobody gave."""
    supply = subject.case.supply
    known = supply.fault_current_a is not None and isfinite(supply.fault_current_a)
    weak = f"{subject.practice('weak_source_multiple'):g} times the rating of the unit"
    found = [
        assumed_impedance(ends),
        Assumed("zero-sequence impedance of the supply as its positive one", "of no weight behind a delta"),
        Assumed("bolted fault", "an arc lowers the current"),
        Assumed("primary conductors left out of the largest fault", "they would lower it"),
        Assumed("conductors at 20 °C for the largest fault, at 75 °C for the least"),
    ]
    if not known:
        found.append(Assumed("infinite source for the largest fault", "no fault current is given"))
        found.append(Assumed(f"a supply of {weak} for the least", "no fault current is given"))
    if motors_a:
        multiple = subject.practice("motor_fault_multiple")
        found.append(Assumed(f"running motors add {multiple:g} times their current, in line"))
    if factors[0] != 1.0:
        found.append(
            Assumed(
                f"voltage factor {factors[0]:g} on the supply, no correction of the unit's impedance",
                "its low tolerance stands for that",
            )
        )
    return tuple(found)
