"""The sentences, tables, curves and questions of a study of motor starts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from turnwright.examine.ends import assumed_impedance, impedance_question
from turnwright.examine.motor_cases import DIRECT, METHODS, Motor, Started, dip_site, start
from turnwright.examine.motor_frame import Frame
from turnwright.examine.records import Assumed, Grid, Series
from turnwright.examine.runs import NOT_COUNTED
from turnwright.examine.words import NOTHING, grid, kva_words, pct
from turnwright.model.result import Question
from turnwright.quantities import figure

CURVE_POINTS = 40
WORDS = {"low": "low end", "stated": "stated", "high": "high end"}


def grids_of(motor: Motor, starts: Mapping[str, Started], answers: dict[str, Any]) -> tuple[Grid, ...]:
    """Return the tables: by way of starting, by impedance, the largest motor."""
    return _method_grid(motor, starts, answers), _impedance_grid(answers), room_grid(answers)


def said_of(motor: Motor, own: Started, answers: dict[str, Any], limit_pct: float) -> tuple[str, ...]:
    """Return the answer in sentences: the dip of the hardest start, the smallest unit for it."""
    if own.collapsed:
        first = f"Started {_way(motor.method)}, {motor.label} pulls the bus down so far that nothing else goes on."
    else:
        verdict = "within" if own.dip_pct <= limit_pct else "above"
        first = (
            f"Started {_way(motor.method)}, {motor.label} dips its bus by {pct(own.dip_pct, 'up')}, {verdict} the "
            f"{pct(limit_pct)} allowed, and the supply by {pct(own.supply_dip_pct, 'up')}; "
            f"{pct(own.left_pct, 'down')} of rated voltage are left."
        )
    smallest = answers["smallest_unit_kva"][motor.method]
    second = (
        f"No usual size keeps the dip within {pct(limit_pct)} this way."
        if smallest is None
        else f"The smallest unit that keeps it within {pct(limit_pct)}: {kva_words(smallest)}."
    )
    return first, second


def _way(method: str) -> str:
    return {
        "star delta": "in star delta",
        "part winding": "on part of its winding",
        "soft starter": "by a soft starter",
        "drive": "on a drive",
    }.get(method, method)


def _method_grid(motor: Motor, starts: Mapping[str, Started], answers: dict[str, Any]) -> Grid:
    heads = ("started", "draws", "dip at bus", "at supply", "left", "smallest unit")
    rows = []
    for method in METHODS:
        found, smallest = starts[method], answers["smallest_unit_kva"][method]
        mark = " *" if method == motor.method else ""
        rows.append(
            (
                f"{method}{mark}",
                kva_words(found.kva, "up"),
                pct(found.dip_pct, "up"),
                pct(found.supply_dip_pct, "up"),
                pct(found.left_pct, "down"),
                NOTHING if smallest is None else kva_words(smallest),
            )
        )
    return grid(f"{motor.label}, by its way of starting (* as the job says)", heads, rows)


def _impedance_grid(answers: dict[str, Any]) -> Grid:
    rows = [
        (WORDS[one["impedance"]], pct(one["impedance_pct"]), pct(one["dip_pct"], "up"))
        for one in answers["impedances"]
    ]
    return grid("alone at the terminals, by impedance", ("", "impedance", "dip"), rows)


def room_grid(room: dict[str, Any]) -> Grid:
    """Return the table of the largest motor by way of starting."""
    found = room["largest_motor"]
    heads = ("", *(f"dip {pct(row['dip_pct'])}" for row in found))
    rows = [("may draw at its start", *(kva_words(row["start_kva"], "down") for row in found))]
    for number, method in enumerate(METHODS):
        rows.append((method, *(_motor_words(row["methods"][number]) for row in found)))
    return grid("largest motor on this unit, alone at its terminals", heads, rows)


def _motor_words(one: dict[str, Any]) -> str:
    """The largest motor by its horsepower where a table has it, else by its full load."""
    if one["hp"] is None:
        return kva_words(one["full_load_kva"], "down")
    return f"{'at least ' if one['beyond_table'] else ''}{figure(one['hp'])} hp"


def curve_of(frame: Frame, motor: Motor) -> Series:
    """Dip over what a motor draws, alone at the terminals, up to twice the hardest start."""
    site = dip_site(frame.subject, frame.usual, NOT_COUNTED)
    most = 2 * max(motor.kva.values())
    kva = tuple(most * k / CURVE_POINTS for k in range(1, CURVE_POINTS + 1))
    dips = tuple(start(frame.subject, site, motor, one, frame.power_factor).dip_pct for one in kva)
    return Series(
        name="dip by what a motor draws at its start",
        kind="line",
        x_name="start",
        x_unit="kVA",
        y_name="dip",
        y_unit="%",
        x=(0.0, *kva),
        y=(0.0, *dips),
    )


def bars_of(starts: Mapping[str, Started]) -> Series:
    """Return the dips by way of starting."""
    return Series(
        name="dip at the bus by way of starting",
        kind="bars",
        x_name="started",
        x_unit="",
        y_name="dip",
        y_unit="%",
        x=tuple(starts),
        y=tuple(one.dip_pct for one in starts.values()),
    )


def questions_of(frame: Frame, motor: Motor, answers: dict[str, Any]) -> tuple[Question, ...]:
    """Return what to ask: code letter, way of starting, supply, impedance."""
    load, asked = frame.subject.case.loads[motor.load], []
    dips = [float(one["dip_pct"]) for one in answers["methods"]]
    if load.locked_rotor_code is None and load.start_multiple is None and load.start_current_a is None:
        asked.append(
            Question(
                key=f"load[{motor.load}].locked_rotor_code",
                ask=f"Which code letter does the nameplate of {motor.label} carry?",
                assumed=f"{frame.subject.practice('motor_locked_rotor_multiple'):g} times full-load current",
                why="It says what the motor draws at standstill.",
            )
        )
    if load.start is None:
        asked.append(
            Question(
                key=f"load[{motor.load}].start",
                ask=f"How is {motor.label} started?",
                assumed=DIRECT,
                why="The way of starting decides what it draws.",
                moves={"dip_pct": [min(dips), max(dips)]},
            )
        )
    if frame.subject.case.supply.fault_current_low_a is None:
        asked.append(
            Question(
                key="supply.fault_current",
                ask="What fault current can the supply deliver at its terminals?",
                assumed="a weak supply",
                why="A stiffer supply dips less.",
            )
        )
    spread = [float(one["dip_pct"]) for one in answers["impedances"]]
    return (*asked, *impedance_question(frame.ends, {"start_dip_pct": [min(spread), max(spread)]}))


def assumed_of(frame: Frame, motor: Motor | None, limit_words: str) -> tuple[Assumed, ...]:
    """Return what stands in for facts nobody gave."""
    subject = frame.subject
    found = [assumed_impedance(frame.ends), Assumed(limit_words)]
    if frame.power_factor is None:
        found.append(
            Assumed("locked rotor in line with the impedance of the bus", "the angle of the largest dip")
        )
    if subject.case.supply.fault_current_low_a is None:
        weak = subject.practice("weak_source_multiple")
        found.append(
            Assumed(f"a supply of {weak:g} times the rating of the unit", "no fault current is given")
        )
    if motor is not None:
        found.append(Assumed("loads that run keep their current in the dip"))
        found.append(Assumed("usual shares and multiples for ways of starting that are not stated"))
    return tuple(found)
