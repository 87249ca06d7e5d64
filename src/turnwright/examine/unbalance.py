"""How unbalanced: lines, neutral, windings and voltages with the single-phase loads where they stand."""

from __future__ import annotations

from math import acos, degrees
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from turnwright.circuit import CurrentLoad, Solution, solve
from turnwright.circuit.studies.unbalance import voltage_unbalance_iec_pct, voltage_unbalance_nema_pct
from turnwright.examine.flow_formulas import winding_loading_pct
from turnwright.examine.records import Answer, Assumed, Grid, Series
from turnwright.examine.runs import CARRYING, runs_of
from turnwright.examine.site import (
    NEUTRAL_BRANCH,
    Nodes,
    Site,
    at_bus,
    drawn_a,
    rated_windings_a,
    site_of,
    weak_supply_a,
)
from turnwright.examine.subject import Subject
from turnwright.examine.unbalance_advice import derating_factor, findings_of, motors_of
from turnwright.examine.words import LINES, NOTHING, amps, amps_column, grid, pct, volts
from turnwright.model.result import Question
from turnwright.selection.network import load_elements
from turnwright.working import Ledger

if TYPE_CHECKING:
    from turnwright.examine.options import Options

SOLVED = "solved circuit: loads where they stand"


class Loaded(Struct, frozen=True):
    """The loaded circuit: with rms values for currents and heat, with what runs at once for voltages."""

    site: Site
    heat: Solution
    drop: Solution
    names: frozenset[str]


def study(subject: Subject, options: Options, work: Ledger) -> Answer:
    """Return currents, voltages and their unbalance with the loads of a job where they stand."""
    loaded = solved(subject, work)
    answers = _answers(subject, loaded, work)
    return Answer(
        said=_said(subject, answers),
        answers=answers,
        grids=_grids(subject, answers),
        series=_series(answers),
        findings=findings_of(subject, answers),
        questions=_questions(subject),
        assumed=_assumed(subject),
    )


def solved(subject: Subject, work: Ledger) -> Loaded:
    """Return the circuit with its loads."""
    z = subject.sized.unit.for_drop
    lag_deg = degrees(acos(min(z.resistance_pct / z.magnitude_pct, 1.0)))
    devices = max(len(subject.blocks.protection.secondary_devices_a), 1)
    site = site_of(
        subject, z, weak_supply_a(subject), runs_of(subject, work, devices=float(devices), sides=CARRYING)
    )

    def at(on_value: bool) -> tuple[CurrentLoad, ...]:
        sized = subject.sized
        return at_bus(site, load_elements(subject.case, sized.proposal, sized.picture, lag_deg, on_value))

    loads = at(False)
    heat = solve(site.network.with_(loads=loads))
    cyclic = any(load.duty_on_pct is not None for load in subject.case.loads)
    drop = solve(site.network.with_(loads=at(True))) if cyclic else heat
    return Loaded(site, heat, drop, frozenset(load.name for load in loads))


def _answers(subject: Subject, loaded: Loaded, work: Ledger) -> dict[str, Any]:
    site, heat, drop = loaded.site, loaded.heat, loaded.drop
    windings = _windings(site, heat, work)
    # of windings loaded alike the first, whatever the last digit says
    worst = max(windings, key=lambda one: round(one["loading_pct"], 6))
    nema, iec = _voltage_unbalance("", drop, site.bus if subject.three_phase else (), work)
    supply_nema, supply_iec = _voltage_unbalance("supply_", drop, site.supply, work)
    factor = None if nema is None else derating_factor(float(nema), work)
    return {
        "lines": list(LINES[: len(site.bus)]),
        "supply_lines_a": [abs(heat.current_a(branch)) for branch in site.supply_branches],
        "secondary_lines_a": [abs(one) for one in drawn_a(site, heat, loaded.names)],
        "neutral_a": _neutral(site, heat, work),
        "neutral_cautious_a": subject.blocks.currents.neutral_load_a,
        "line_voltages_v": _between(drop, site.bus),
        "neutral_voltages_v": (
            None
            if site.bus_neutral is None
            else [abs(drop.voltage_v(node, site.bus_neutral)) for node in site.bus]
        ),
        "supply_voltages_v": _between(drop, site.supply),
        "nema_pct": nema,
        "iec_pct": iec,
        "supply_nema_pct": supply_nema,
        "supply_iec_pct": supply_iec,
        "windings": windings,
        "worst_winding": worst["winding"],
        "worst_winding_pct": worst["loading_pct"],
        "derating_factor": factor,
        "motors": motors_of(subject, factor),
    }


def _between(solution: Solution, nodes: Nodes) -> list[float]:
    """Voltages AB, BC, CA of three lines; AB of two. [V]"""
    pairs = [(0, 1), (1, 2), (2, 0)] if len(nodes) == 3 else [(0, 1)]
    return [abs(solution.voltage_v(nodes[a], nodes[b])) for a, b in pairs]


def _voltage_unbalance(
    label: str, solution: Solution, nodes: Nodes, work: Ledger
) -> tuple[float | None, float | None]:
    """The unbalance of three line voltages by both definitions; None where there are not three. [%]"""
    if len(nodes) != 3:
        return None, None
    sizes = _between(solution, nodes)
    names = ("v12", "v23", "v31")
    noted = {
        name: work.note(f"answers.{label}line_voltages_v[{k}]", size, "V", SOLVED, "computed")
        for k, (name, size) in enumerate(zip(names, sizes, strict=True))
    }
    nema = work.calc(f"answers.{label}nema_pct", voltage_unbalance_nema_pct, **noted)
    phasors = [solution.voltage_v(nodes[a], nodes[b]) for a, b in ((0, 1), (1, 2), (2, 0))]
    says = f"{SOLVED}; negative over positive sequence of the line voltages"
    iec = work.note(f"answers.{label}iec_pct", voltage_unbalance_iec_pct(*phasors), "%", says, "computed")
    return nema, iec


def _neutral(site: Site, solution: Solution, work: Ledger) -> float | None:
    if site.bus_neutral is None:
        return None
    current = abs(solution.current_a(NEUTRAL_BRANCH))
    noted: float = work.note("answers.neutral_a", current, "A", f"{SOLVED}, fundamental", "computed")
    return noted


def _windings(site: Site, solution: Solution, work: Ledger) -> list[dict[str, Any]]:
    rated = rated_windings_a(site)
    found = []
    for number, place in enumerate(site.connection.places):
        name = f"{place.core}.w{place.winding}"
        current_a = work.note(
            f"answers.windings[{number}].current_a", abs(solution.current_a(name)), "A", SOLVED, "computed"
        )
        loading = work.calc(
            f"answers.windings[{number}].loading_pct",
            winding_loading_pct,
            current_a=current_a,
            rated_a=rated[name],
        )
        found.append(
            {
                "winding": f"{place.dot}-{place.other}",
                "side": place.side,
                "current_a": current_a,
                "rated_a": rated[name],
                "loading_pct": loading,
            }
        )
    return found


def _said(subject: Subject, answers: dict[str, Any]) -> tuple[str, ...]:
    currents = answers["secondary_lines_a"]
    first = f"The lines after the unit carry {_spread(currents)}"
    if answers["neutral_a"] is not None:
        first += f", the neutral {amps(answers['neutral_a'], 'up')}"
    second = (
        f"The most loaded winding ({answers['worst_winding']}) carries "
        f"{pct(answers['worst_winding_pct'], 'up')} of its rated current."
    )
    if answers["nema_pct"] is None:
        return f"{first}.", second
    third = (
        f"The voltages at the load are unbalanced by {pct(answers['nema_pct'], 'up')} (largest deviation from the "
        f"mean), {pct(answers['iec_pct'], 'up')} (negative sequence)."
    )
    return f"{first}.", third, second


def _spread(currents: list[float]) -> str:
    low, high = min(currents), max(currents)
    if high - low <= 1e-6 * high:
        return f"{amps(high, 'up')} each"
    return f"{amps(low, 'up')} to {amps(high, 'up')}"


def _grids(subject: Subject, answers: dict[str, Any]) -> tuple[Grid, ...]:
    supply, after = answers["supply_lines_a"], answers["secondary_lines_a"]
    width = max(len(supply), len(after))
    heads = ("", *LINES[:width])
    rows = [
        ("supply lines", *_padded(amps_column(supply, "up"), width)),
        ("lines after the unit", *_padded(amps_column(after, "up"), width)),
    ]
    if answers["neutral_voltages_v"] is not None:
        cells = [volts(one) for one in answers["neutral_voltages_v"]]
        rows.append(("line to neutral at the load", *_padded(cells, width)))
    pairs = ("AB", "BC", "CA")
    between = [
        (label, *(volts(one) for one in answers[key]))
        for label, key in (("at the supply", "supply_voltages_v"), ("at the load", "line_voltages_v"))
    ]
    most = max(len(row) for row in between)
    lines = grid(
        "voltages between lines", ("", *pairs[: most - 1]), (_padded(list(row), most) for row in between)
    )
    return grid("lines", heads, rows), lines, _winding_grid(answers)


def _padded(cells: list[str], width: int) -> list[str]:
    return [*cells, *[NOTHING] * (width - len(cells))]


def _winding_grid(answers: dict[str, Any]) -> Grid:
    windings = answers["windings"]
    columns = (
        [f"{one['side']} {one['winding']}" for one in windings],
        amps_column((one["current_a"] for one in windings), "up"),
        amps_column((one["rated_a"] for one in windings), "down"),
        [pct(one["loading_pct"], "up") for one in windings],
    )
    return grid("windings", ("", "current", "rated", "loaded"), zip(*columns, strict=True))


def _series(answers: dict[str, Any]) -> tuple[Series, ...]:
    windings = answers["windings"]
    return (
        _bars(
            "current of the lines after the unit",
            answers["lines"],
            answers["secondary_lines_a"],
            "current",
            "A",
        ),
        _bars(
            "loading of the windings",
            [f"{one['side']} {one['winding']}" for one in windings],
            [one["loading_pct"] for one in windings],
            "loading",
            "%",
        ),
    )


def _bars(name: str, x: list[str], y: list[float], y_name: str, unit: str) -> Series:
    return Series(
        name=name, kind="bars", x_name="", x_unit="", y_name=y_name, y_unit=unit, x=tuple(x), y=tuple(y)
    )


def _questions(subject: Subject) -> tuple[Question, ...]:
    asked = []
    free = [load for load in subject.case.loads if load.system.phases == 1 and load.lines is None]
    for load in free[:1]:
        asked.append(
            Question(
                key=f"load[{load.index}].lines",
                ask=f"On which lines is {load.label} connected?",
                assumed="spread evenly",
                why="The spread decides what each line and winding carries.",
            )
        )
    if subject.case.supply.fault_current_low_a is None:
        asked.append(
            Question(
                key="supply.fault_current",
                ask="What fault current can the supply deliver at its terminals?",
                assumed="a weak supply",
                why="A stiffer supply is less unbalanced by the same load.",
            )
        )
    return tuple(asked)


def _assumed(subject: Subject) -> tuple[Assumed, ...]:
    found = [
        Assumed("loads that may stand on any line are spread evenly", "the order to the electrician"),
        Assumed("the high end of the impedance", "it makes the voltages most unequal"),
        Assumed("loads draw constant currents of the fundamental", "their harmonics add to the neutral"),
    ]
    unknown = [load for load in subject.case.loads if load.power_factor is None]
    if unknown:
        found.append(Assumed("loads of unknown angle at the one that drops most"))
    if subject.case.supply.fault_current_low_a is None:
        weak = subject.practice("weak_source_multiple")
        found.append(
            Assumed(f"a supply of {weak:g} times the rating of the unit", "no fault current is given")
        )
    if any(load.duty_on_pct is not None for load in subject.case.loads):
        found.append(Assumed("cyclic loads: rms for currents, all on at once for voltages"))
    return tuple(found)
