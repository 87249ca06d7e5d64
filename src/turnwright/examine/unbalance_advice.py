"""What unbalance means: for motors, for the supply, for the winding that carries most."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from turnwright.examine.flow_formulas import interpolated_factor
from turnwright.examine.subject import Subject
from turnwright.examine.words import by_row, pct
from turnwright.model.result import Finding
from turnwright.quantities import figure
from turnwright.reference import load
from turnwright.regimes.said import said
from turnwright.working import Ledger

FULL_PCT = 100.0
LITTLE_PCT = 0.05
"""Unbalance that nobody measures."""


def derating_factor(unbalance_pct: float, work: Ledger) -> float | None:
    """Return the share of its rated power a motor may carry; None above the curve: it must not run. [-]"""
    rows = load("motor_unbalance_derating").newest().rows
    points = [(row.number("unbalance_pct"), row.number("factor")) for row in rows]
    if unbalance_pct > points[-1][0]:
        return None
    before = (0.0, 1.0)
    for point in points:
        if unbalance_pct <= point[0]:
            factor: float = work.calc(
                "answers.derating_factor",
                interpolated_factor,
                unbalance_pct=unbalance_pct,
                below_pct=before[0],
                below_factor=before[1],
                above_pct=point[0],
                above_factor=point[1],
            )
            return factor
        before = point
    return None


def motors_of(subject: Subject, factor: float | None) -> list[dict[str, Any]]:
    """Return the three-phase motors of the job with the share of their power that is left."""
    picture = subject.sized.picture
    return [
        {
            "load": demand.index,
            "label": subject.case.loads[position].label,
            "motor_kva": demand.motor_kva,
            "usable_kva": None if factor is None else float(demand.motor_kva * factor),
        }
        for position, demand in enumerate(picture.loads)
        if demand.motor_kva is not None and demand.place == "three-phase"
    ]


def findings_of(subject: Subject, answers: dict[str, Any]) -> tuple[Finding, ...]:
    """Return what there is to say, most severe first."""
    return (
        *_windings(answers),
        *_motors(subject, answers),
        *_supply(answers),
        *_neutral(subject, answers),
        *_two_lines(subject, answers),
    )


def _windings(answers: dict[str, Any]) -> Iterator[Finding]:
    worst = answers["worst_winding_pct"]
    if worst <= FULL_PCT:
        return
    yield said(
        "winding-overloaded",
        "stop",
        f"The winding {answers['worst_winding']} carries {pct(worst, 'up')} of its rated current.",
        value=worst,
        limit=FULL_PCT,
        unit="%",
    )


def _motors(subject: Subject, answers: dict[str, Any]) -> Iterator[Finding]:
    nema, motors = answers["nema_pct"], answers["motors"]
    limits = load("equipment_limits").newest()
    usual, most = limits.row(key="motor_unbalance_max_pct"), limits.row(key="motor_unbalance_stop_pct")
    if nema is None or not motors or nema <= usual.number("value"):
        return
    names = ", ".join(one["label"] for one in motors)
    if answers["derating_factor"] is None:
        message = f"{pct(nema, 'up')} voltage unbalance at {names}: above {most.number('value'):g} % no motor may run."
        yield by_row(
            "motor-unbalance", "stop", message, most, value=nema, limit=float(most.number("value")), unit="%"
        )
        return
    times = [limits.row(key=f"current_unbalance_{end}_multiple").number("value") for end in ("low", "high")]
    yield by_row(
        "motor-unbalance",
        "caution",
        f"{pct(nema, 'up')} voltage unbalance at {names}: it may carry "
        f"{figure(100 * answers['derating_factor'], rounding='down')} % of its power; its currents will be unequal "
        f"by {figure(nema * times[0])}-{figure(nema * times[1])} %.",
        usual,
        value=nema,
        limit=float(usual.number("value")),
        unit="%",
    )


def _supply(answers: dict[str, Any]) -> Iterator[Finding]:
    nema = answers["supply_nema_pct"]
    row = load("equipment_limits").newest().row(key="supply_unbalance_max_pct")
    if nema is None or nema <= row.number("value"):
        return
    yield by_row(
        "supply-unbalance",
        "caution",
        f"This load alone unbalances the voltages of the supply by {pct(nema, 'up')}.",
        row,
        value=nema,
        limit=float(row.number("value")),
        unit="%",
    )


def _neutral(subject: Subject, answers: dict[str, Any]) -> Iterator[Finding]:
    harmonic = subject.sized.picture.neutral_harmonic_a
    if answers["neutral_a"] is None or not harmonic:
        return
    yield said(
        "neutral-harmonics",
        "note",
        f"Harmonics add {figure(harmonic, rounding='up')} A to the neutral: "
        f"{figure(answers['neutral_cautious_a'], rounding='up')} A in all, as the answer counts it.",
        value=harmonic,
        unit="A",
    )


def _two_lines(subject: Subject, answers: dict[str, Any]) -> Iterator[Finding]:
    """A single-phase unit on a three-phase supply loads two of its lines."""
    lines = answers["supply_lines_a"]
    if subject.three_phase or len(lines) < 3:
        return
    supply = answers["supply_nema_pct"] or 0.0
    tail = f" and unbalances its voltages by {pct(supply, 'up')}" if supply > LITTLE_PCT else ""
    yield said(
        "two-lines-of-three",
        "note",
        f"The unit loads two lines of the supply alone{tail}.",
        value=supply,
        unit="%",
    )
