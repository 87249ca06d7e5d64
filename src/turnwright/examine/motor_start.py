"""Will the motor start: the dip by every way of starting, the largest motor, the smallest unit."""

from __future__ import annotations

from collections.abc import Mapping
from math import acos, degrees
from typing import TYPE_CHECKING, Any

from turnwright.circuit.studies.motor_start import largest_motor_kva
from turnwright.errors import InputError
from turnwright.examine.ends import ends_of, impedance_question
from turnwright.examine.motor_advice import Limit, findings_of, limit_of
from turnwright.examine.motor_cases import (
    DIRECT,
    METHODS,
    Motor,
    Started,
    bus_impedance,
    dip_site,
    in_line,
    motors_of,
    nodes_of,
    start,
)
from turnwright.examine.motor_formulas import largest_start_kva, short_circuit_kva, start_dip_pct, torque_pct
from turnwright.examine.motor_frame import Frame, alone, running
from turnwright.examine.motor_pages import (
    assumed_of,
    bars_of,
    curve_of,
    grids_of,
    questions_of,
    room_grid,
    said_of,
)
from turnwright.examine.motor_sizes import largest_by_method, smallest_units
from turnwright.examine.records import Answer
from turnwright.examine.runs import CARRYING, NOT_COUNTED, runs_of
from turnwright.examine.site import Site
from turnwright.examine.subject import Subject
from turnwright.examine.tables import study_row
from turnwright.examine.words import kva_words, pct
from turnwright.selection.starting import SHARES
from turnwright.working import Ledger

if TYPE_CHECKING:
    from turnwright.examine.options import Options


def study(subject: Subject, options: Options, work: Ledger) -> Answer:
    """Return how far a bus dips when each motor starts, and what could start on this unit.

    Raises:
        InputError: EXM-05, a power factor that cannot be.
    """
    if options.power_factor is not None and not 0 < options.power_factor <= 1:
        fix = "Write a number above 0, at most 1."
        raise InputError(
            "EXM-05", "--power-factor", f"{options.power_factor:g} is no power factor of a motor.", fix
        )
    frame = Frame(
        subject=subject,
        ends=ends_of(subject),
        usual=subject.sized.unit.for_drop,
        runs=runs_of(subject, work, sides=CARRYING),
        power_factor=options.power_factor,
    )
    motors = motors_of(subject, work)
    limits = limit_of(subject, motors)
    room = _room(frame, limits, work)
    if not motors:
        return _without_motor(frame, room, limits)
    motor = motors[0]
    starts = {method: running(frame, motor, method) for method in METHODS}
    answers = {
        **_answers(frame, motors, starts, work),
        **room,
        "smallest_unit_kva": smallest_units(subject, motor, frame.power_factor, limits.pct),
    }
    return Answer(
        said=said_of(motor, starts[motor.method], answers, limits.pct),
        answers=answers,
        grids=grids_of(motor, starts, answers),
        series=(curve_of(frame, motor), bars_of(starts)),
        findings=findings_of(subject, motor, starts, limits, answers),
        questions=questions_of(frame, motor, answers),
        assumed=assumed_of(frame, motor, limits.words),
    )


def _answers(
    frame: Frame, motors: tuple[Motor, ...], starts: Mapping[str, Started], work: Ledger
) -> dict[str, Any]:
    motor = motors[0]
    by_itself = alone(frame, motor, frame.usual)
    usual_factor = study_row("start_power_factor").number("value")
    site = dip_site(frame.subject, frame.usual, NOT_COUNTED)
    gentle = start(frame.subject, site, motor, motor.kva[motor.method], float(usual_factor))
    by_hand = _by_hand(frame, motor, site, work)
    own = starts[motor.method]
    ends = {"low": frame.ends.low, "stated": frame.ends.stated, "high": frame.ends.high}
    return {
        "load": motor.load,
        "label": motor.label,
        "method": motor.method,
        "start_kva": motor.kva[motor.method],
        "start_dip_pct": work.note(
            "answers.start_dip_pct",
            by_itself.dip_pct,
            "%",
            "solved circuit: locked rotor at the terminals of the unit, alone",
            "computed",
            **by_hand,
        ),
        "start_dip_at_usual_angle_pct": work.note(
            "answers.start_dip_at_usual_angle_pct",
            gentle.dip_pct,
            "%",
            "the same at the usual power factor of a motor at standstill",
            "computed",
            power_factor=usual_factor,
        ),
        "dip_pct": _noted("dip_pct", own.dip_pct, "at the bus, the other loads running", work),
        "supply_dip_pct": _noted("supply_dip_pct", own.supply_dip_pct, "at the supply", work),
        "voltage_left_pct": _noted("voltage_left_pct", own.left_pct, "left at the bus, of rated", work),
        "power_factor": own.power_factor,
        "impedances": [
            {"impedance": name, "impedance_pct": z.magnitude_pct, "dip_pct": alone(frame, motor, z).dip_pct}
            for name, z in ends.items()
            if z is not None
        ],
        "methods": [_method(frame, motor, method, starts[method], work) for method in METHODS],
        "motors": [_motor(frame, one) for one in motors],
    }


def _motor(frame: Frame, one: Motor) -> dict[str, Any]:
    return {
        "load": one.load,
        "label": one.label,
        "method": one.method,
        "start_kva": one.kva[one.method],
        "dip_pct": running(frame, one, one.method).dip_pct,
    }


def _noted(name: str, value: float, what: str, work: Ledger) -> float:
    noted: float = work.note(f"answers.{name}", value, "%", f"solved circuit: {what}", "computed")
    return noted


def _by_hand(frame: Frame, motor: Motor, site: Site, work: Ledger) -> dict[str, float]:
    """The same dip by the voltage divider; none where three phases do not fall alike."""
    nodes, rated_v = nodes_of(frame.subject, site, motor)
    if len(nodes) == 3 and not frame.subject.balanced:
        return {}
    z = bus_impedance(site, nodes)
    factor = in_line(z) if frame.power_factor is None else frame.power_factor
    angle_deg = degrees(acos(in_line(z))) - degrees(acos(factor))
    kva = work.calc(
        "closed.short_circuit_kva",
        short_circuit_kva,
        voltage_v=rated_v,
        z_ohm=work.note(
            "closed.bus_z_ohm", abs(z), "ohm", "solved circuit: impedance of the bus", "computed"
        ),
    )
    dip = work.calc(
        "closed.dip_pct",
        start_dip_pct,
        start_kva=motor.kva[motor.method],
        short_circuit_kva=kva,
        angle_deg=angle_deg,
    )
    return {"by_hand_pct": dip}


def _method(frame: Frame, motor: Motor, method: str, found: Started, work: Ledger) -> dict[str, Any]:
    torque = None
    if method in (DIRECT, "star delta"):
        share = frame.subject.practice(SHARES[method]) if method in SHARES else 100.0
        torque = work.calc(
            f"start[{method}].torque_pct", torque_pct, voltage_pct=found.left_pct, share_pct=share
        )
    return {
        "method": method,
        "start_kva": motor.kva[method],
        "current_a": found.current_a,
        "dip_pct": found.dip_pct,
        "terminal_dip_pct": found.terminal_dip_pct,
        "supply_dip_pct": found.supply_dip_pct,
        "voltage_left_pct": found.left_pct,
        "torque_pct": torque,
        "collapsed": found.collapsed,
    }


def _room(frame: Frame, limits: Limit, work: Ledger) -> dict[str, Any]:
    """The largest start this unit bears at the dips of the trade, alone at its terminals."""
    subject = frame.subject
    site = dip_site(subject, frame.usual, NOT_COUNTED)
    nodes = site.bus if subject.three_phase else site.bus[:2]
    z = bus_impedance(site, nodes)
    factor = in_line(z) if frame.power_factor is None else frame.power_factor
    line_v = subject.sized.proposal.output.line_v
    power = work.calc("closed.unit_short_circuit_kva", short_circuit_kva, voltage_v=line_v, z_ohm=abs(z))
    angle_deg = degrees(acos(in_line(z))) - degrees(acos(factor))
    rows: list[dict[str, Any]] = []
    for key in ("dip_shared_pct", "dip_dedicated_pct"):
        limit = subject.practice(key)
        by_hand = _largest_by_hand(subject, limit, power, angle_deg, work)
        kva = largest_motor_kva(site.network, nodes, factor, float(line_v), float(limit))
        noted = work.note(
            f"answers.largest_motor[{len(rows)}].start_kva",
            kva,
            "kVA",
            "solved circuit: largest locked rotor within the dip",
            "computed",
            **by_hand,
        )
        rows.append({"dip_pct": limit, "start_kva": noted, **largest_by_method(subject, noted)})
    return {"largest_motor": rows}


def _largest_by_hand(
    subject: Subject, limit_pct: float, power_kva: float, angle_deg: float, work: Ledger
) -> dict[str, float]:
    """The same by the voltage divider; none where three phases do not fall alike."""
    if not subject.balanced:
        return {}
    kva = work.calc(
        f"closed.largest_start_{limit_pct:g}_kva",
        largest_start_kva,
        dip_pct=limit_pct,
        short_circuit_kva=power_kva,
        angle_deg=angle_deg,
    )
    return {"by_hand_kva": kva}


def _without_motor(frame: Frame, room: dict[str, Any], limits: Limit) -> Answer:
    largest = room["largest_motor"][0]
    return Answer(
        said=(
            "No load of this job is a motor.",
            f"A motor that draws {kva_words(largest['start_kva'], 'down')} at its start would dip the bus by "
            f"{pct(largest['dip_pct'])}.",
        ),
        answers={"motors": [], **room},
        grids=(room_grid(room),),
        findings=findings_of(frame.subject, None, {}, limits, {}),
        questions=impedance_question(frame.ends, {}),
        assumed=assumed_of(frame, None, limits.words),
    )
