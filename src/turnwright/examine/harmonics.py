"""What harmonics do: which orders pass to the supply, what a delta keeps, the neutral, the voltage, the heat."""

from __future__ import annotations

from math import acos, degrees
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from turnwright.circuit.studies.harmonics import HarmonicFlow, harmonic_flow
from turnwright.examine.harmonic_advice import allowed, findings_of
from turnwright.examine.harmonic_loads import Drawn, drawn_by, fundamental_loads, injections
from turnwright.examine.harmonic_pages import grids_of, series_of
from turnwright.examine.records import Answer, Assumed
from turnwright.examine.runs import CARRYING, runs_of
from turnwright.examine.site import NEUTRAL_BRANCH, Site, drawn_a, rated_windings_a, site_of, weak_supply_a
from turnwright.examine.subject import Subject
from turnwright.examine.words import amps, listed, pct
from turnwright.model.result import Question
from turnwright.quantities import figure
from turnwright.working import Ledger

if TYPE_CHECKING:
    from turnwright.examine.options import Options

SOLVED = "solved circuit: harmonic currents of the loads at their angles"


class Flow(Struct, frozen=True):
    """The solved orders, and what the loads draw of each at the bus: order -> line -> current."""

    site: Site
    flow: HarmonicFlow
    load_a: dict[int, tuple[complex, ...]]


def study(subject: Subject, options: Options, work: Ledger) -> Answer:
    """Return what the harmonic currents of the loads do; without any, what there is to ask."""
    drawn = drawn_by(subject, work)
    if not any(one.percent for one in drawn):
        return _nothing_stated(subject)
    found = solved(subject, drawn, work)
    answers = _answers(subject, found, work)
    return Answer(
        said=_said(subject, answers),
        answers=answers,
        grids=grids_of(answers),
        series=series_of(subject, answers, found.load_a, found.flow.solution),
        findings=findings_of(subject, answers, work),
        questions=_unknown(subject),
        assumed=_assumed(subject),
    )


def _nothing_stated(subject: Subject) -> Answer:
    """Loads that distort and state nothing leave the question open; others answer it."""
    unknown = _unknown(subject)
    if unknown:
        return Answer(
            said=("The loads distort the current, and the job does not say by how much.",),
            answers={},
            questions=unknown,
            verdict="needs-input",
        )
    return Answer(
        said=("No load of this job states harmonics, and none is of a kind that makes them.",),
        answers={"k_factor": 1.0, "orders": []},
    )


def _unknown(subject: Subject) -> tuple[Question, ...]:
    return tuple(
        Question(
            key=f"load[{index}].harmonics",
            ask=f"What harmonic currents does {subject.case.loads[index].label} draw, in percent by order?",
            assumed=None,
            why="Such loads distort the current; a spectrum by name does where nothing was measured.",
        )
        for index in subject.sized.picture.unknown_spectrum
    )


def solved(subject: Subject, drawn: tuple[Drawn, ...], work: Ledger) -> Flow:
    """Return the circuit solved at every order the loads draw."""
    z = subject.sized.unit.for_drop
    lag_deg = degrees(acos(min(z.resistance_pct / z.magnitude_pct, 1.0)))
    devices = max(len(subject.blocks.protection.secondary_devices_a), 1)
    runs = runs_of(subject, work, devices=float(devices), sides=CARRYING)
    site = site_of(subject, z, weak_supply_a(subject), runs)
    first = fundamental_loads(subject, site, drawn, lag_deg)
    above = injections(subject, site, drawn)
    flow = harmonic_flow(
        site.network.with_(loads=first, injections=above),
        delta=delta_branches(site),
        neutral=NEUTRAL_BRANCH if site.bus_neutral is not None else None,
    )
    names = {one.name for one in first} | {one.name for one in above}
    by_order = flow.solution.by_order
    return Flow(site, flow, {order: drawn_a(site, one, names) for order, one in by_order.items()})


def delta_branches(site: Site) -> tuple[str, ...]:
    """Return the windings of one delta of the unit, in order around it; none where there is no delta."""
    words = site.connection.kind.split("-")
    for side, word in zip(("primary", "secondary"), words, strict=False):
        if word == "delta":
            places = [place for place in site.connection.places if place.side == side]
            return tuple(f"{place.core}.w{place.winding}" for place in places)
    return ()


def _answers(subject: Subject, found: Flow, work: Ledger) -> dict[str, Any]:
    flow, site, blocks = found.flow, found.site, subject.blocks
    neutral = site.bus_neutral
    pairs = (
        [(node, neutral) for node in site.bus]
        if neutral is not None
        else [(site.bus[k], site.bus[(k + 1) % len(site.bus)]) for k in range(len(site.bus))]
    )
    thd = [flow.solution.voltage_thd_pct(a, b) for a, b in pairs]
    supply_thd = max(flow.supply_thd_pct.values(), default=0.0)
    first = {order: max(map(abs, lines)) for order, lines in found.load_a.items()}
    rms = sum(size**2 for size in first.values()) ** 0.5
    load_thd = 100 * (sum(size**2 for order, size in first.items() if order != 1) ** 0.5) / first[1]
    windings = _windings(site, flow)
    note = work.note
    return {
        "orders": _orders(subject, found, pairs),
        "load_rms_a": note("answers.load_rms_a", rms, "A", f"{SOLVED}, most loaded line", "computed"),
        "load_thd_pct": load_thd,
        "supply_thd_pct": note("answers.supply_thd_pct", supply_thd, "%", SOLVED, "computed"),
        "voltage_thd_pct": note(
            "answers.voltage_thd_pct", max(thd), "%", f"{SOLVED}, worst voltage at the load", "computed"
        ),
        "neutral_rms_a": (
            None
            if flow.neutral_rms_a is None
            else note("answers.neutral_rms_a", flow.neutral_rms_a, "A", f"{SOLVED}, all orders", "computed")
        ),
        "neutral_cautious_a": blocks.currents.neutral_load_a,
        "line_design_a": blocks.currents.secondary_load_a,
        "windings": windings,
        "k_factor": blocks.demand.k_factor,
        "k_at_load": blocks.demand.k_at_load,
        "k_rating": subject.sized.unit.k_rating,
        **allowed(subject, windings, work),
    }


def _windings(site: Site, flow: HarmonicFlow) -> list[dict[str, Any]]:
    rated = rated_windings_a(site)
    return [
        {
            "winding": f"{place.dot}-{place.other}",
            "side": place.side,
            "current_rms_a": flow.current_rms_a[f"{place.core}.w{place.winding}"],
            "loading_pct": 100
            * flow.current_rms_a[f"{place.core}.w{place.winding}"]
            / rated[f"{place.core}.w{place.winding}"],
            "k_factor": flow.k_factor[f"{place.core}.w{place.winding}"],
        }
        for place in site.connection.places
    ]


def _orders(subject: Subject, found: Flow, pairs: list[tuple[str, str]]) -> list[dict[str, Any]]:
    proposal = subject.sized.proposal
    ratio = float(proposal.secondary.line_v) / float(proposal.primary.line_v)
    by_order = found.flow.solution.by_order
    whole = [abs(by_order[1].voltage_v(a, b)) for a, b in pairs]
    rows = []
    for row in found.flow.orders:
        load_a = max(map(abs, found.load_a[row.order]))
        solution = by_order[row.order]
        voltage = max(
            100 * abs(solution.voltage_v(a, b)) / size for (a, b), size in zip(pairs, whole, strict=True)
        )
        rows.append(
            {
                "order": row.order,
                "load_a": load_a,
                "supply_a": row.supply_a,
                "passes_pct": 100 * row.supply_a / (load_a * ratio) if load_a > 0 else None,
                "delta_a": row.delta_a,
                "neutral_a": row.neutral_a,
                "voltage_pct": voltage,
            }
        )
    return rows


def _said(subject: Subject, answers: dict[str, Any]) -> tuple[str, ...]:
    orders = [row for row in answers["orders"] if row["order"] != 1 and row["load_a"] > 0]
    kept = [row["order"] for row in orders if row["passes_pct"] is not None and row["passes_pct"] < 1]
    first = (
        f"The loads distort their current by {pct(answers['load_thd_pct'], 'up')}, the supply sees "
        f"{pct(answers['supply_thd_pct'], 'up')}, and the voltage at the load is distorted by "
        f"{pct(answers['voltage_thd_pct'], 'up')}."
    )
    second = (
        f"The delta keeps the {listed(_ordinal(order) for order in kept)} to itself."
        if kept and orders[0]["delta_a"] is not None
        else ""
    )
    third = (
        f"The neutral carries {amps(answers['neutral_rms_a'], 'up')} beside {amps(answers['load_rms_a'], 'up')} in "
        "the most loaded line."
        if answers["neutral_rms_a"] is not None
        else ""
    )
    fourth = (
        f"K factor {figure(answers['k_factor'])}, {figure(answers['k_at_load'])} at this load; an ordinary unit may "
        f"carry {pct(100 * answers['allowed_current_pu'], 'down')} of its rated current with it."
    )
    return tuple(text for text in (first, second, third, fourth) if text)


def _ordinal(order: int) -> str:
    tail = "th" if order % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(order % 10, "th")
    return f"{order}{tail}"


def _assumed(subject: Subject) -> tuple[Assumed, ...]:
    found = [
        Assumed(
            "all loads distort in step", "harmonics of different loads partly cancel; none is counted on"
        ),
        Assumed("the high end of the impedance", "it distorts the voltage most"),
        Assumed("resistance the same at every order, linear loads open to harmonics"),
        Assumed("three-phase loads without a neutral draw no order divisible by three"),
    ]
    if subject.case.supply.fault_current_low_a is None:
        weak = subject.practice("weak_source_multiple")
        found.append(
            Assumed(f"a supply of {weak:g} times the rating of the unit", "no fault current is given")
        )
    if subject.case.choices.p_ecr is None:
        found.append(Assumed("winding eddy loss at the high end of what is usual", "no test sheet is given"))
    return tuple(found)
