"""What if it faults: every type of short circuit through the connection, and what devices must interrupt."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec.structs import replace

from turnwright.circuit.studies.fault import motor_contribution_a
from turnwright.errors import InputError
from turnwright.examine.ends import Ends, ends_of
from turnwright.examine.fault_advice import findings_of
from turnwright.examine.fault_cases import (
    ALL_LINES,
    LARGEST,
    LEAST,
    STATED,
    TERMINALS,
    Condition,
    Found,
    conditions_of,
    solved,
    unlimited,
)
from turnwright.examine.fault_pages import (
    SUPPLY_QUESTION,
    assumed_of,
    at,
    bars_of,
    grids_of,
    questions_of,
    said_of,
)
from turnwright.examine.fault_working import closed_forms, waveform
from turnwright.examine.interrupting import Duty, duties_of
from turnwright.examine.records import Answer
from turnwright.examine.runs import AFTER, runs_of
from turnwright.examine.subject import Subject
from turnwright.selection.currents import full_load
from turnwright.working import Ledger

if TYPE_CHECKING:
    from turnwright.examine.options import Options

LARGEST_FACTOR = 2.0


def study(subject: Subject, options: Options, work: Ledger) -> Answer:
    """Return the short circuits of a unit: at its secondary terminals, at the end of the run, before it.

    Raises:
        InputError: EXM-05, a voltage factor that cannot be.
    """
    ends = ends_of(subject)
    factors = factors_of(subject, options.voltage_factor)
    motors_a = _motors_a(subject, work)
    cold, warm = runs_of(subject, work, cold=True, sides=AFTER), runs_of(subject, work)
    conditions = conditions_of(subject, ends, cold, warm, factors, motors_a)
    found = tuple(one for condition in conditions for one in solved(subject, condition))
    if _between(subject, found) in unlimited(found):
        return _only_the_supply()
    largest = [one for one in found if one.condition == LARGEST]
    worst = max(largest, key=lambda one: one.fault.total_a)
    duties = duties_of(subject, found, motors_a, factors[0], work)
    by_hand = closed_forms(subject, ends, factors[0], work)
    answers = _answers(subject, found, worst, duties, motors_a, factors, by_hand, work)
    return Answer(
        said=said_of(subject, worst, found, duties),
        answers=answers,
        grids=grids_of(subject, found, duties),
        series=(waveform(subject, worst), bars_of(largest)),
        findings=findings_of(subject, found, duties, answers, work),
        questions=questions_of(subject, ends, _moves(subject, ends, conditions[0], worst)),
        assumed=assumed_of(subject, ends, factors, motors_a),
    )


def _only_the_supply() -> Answer:
    """A unit beside the line limits nothing: the faults of the lines are those of the supply."""
    return Answer(
        said=("The unit stands beside the line: only the supply limits its faults, and that is not known.",),
        answers={},
        questions=(SUPPLY_QUESTION,),
        verdict="needs-input",
    )


def factors_of(subject: Subject, given: float | None) -> tuple[float, float]:
    """Return the voltage factors for the largest and for the least fault: 1 but where the regime has others. [-]

    Raises:
        InputError: EXM-05, a factor that cannot be.
    """
    least = subject.regime.least_voltage_factor
    if given is None:
        return subject.regime.voltage_factor, least
    if not 0 < given <= LARGEST_FACTOR:
        fix = "Write a factor such as 1.05."
        raise InputError("EXM-05", "--voltage-factor", f"{given:g} is no factor of a voltage.", fix)
    return given, least


def _motors_a(subject: Subject, work: Ledger) -> float:
    """What running motors add at the secondary. [A]"""
    proposal, picture = subject.sized.proposal, subject.sized.picture
    motors_a = work.calc(
        "motors.full_load_a",
        full_load(proposal.phases),
        kva=picture.motors_kva,
        voltage_v=proposal.secondary.line_v,
    )
    added: float = work.calc(
        "answers.motor_contribution_a",
        motor_contribution_a,
        motor_full_load_a=motors_a,
        multiple=subject.practice("motor_fault_multiple"),
    )
    return added


def _answers(
    subject: Subject,
    found: tuple[Found, ...],
    worst: Found,
    duties: tuple[Duty, ...],
    motors_a: float,
    factors: tuple[float, float],
    by_hand: dict[str, float],
    work: Ledger,
) -> dict[str, Any]:
    usual = STATED if at(found, TERMINALS, STATED) else LARGEST
    between = _between(subject, found)
    open_kinds = unlimited(found)
    lines = at(found, TERMINALS, usual, between)[0]
    ground = [one for one in at(found, TERMINALS, usual) if one.kind in ("line-ground", "half winding")]
    least = min((one for one in found if one.condition == LEAST), key=lambda one: one.fault.current_a)
    return {
        "secondary_a": _noted("secondary_a", lines.fault.current_a, between, work, by_hand.get(between)),
        "line_ground_a": (
            _noted(
                "line_ground_a", ground[0].fault.current_a, ground[0].kind, work, by_hand.get(ground[0].kind)
            )
            if ground
            else None
        ),
        "x_over_r": lines.fault.x_over_r,
        **_maximum(worst, work, known=not open_kinds),
        "limited_by_supply_alone": list(open_kinds),
        "least_a": _noted("least_a", least.fault.current_a, f"{least.kind}, no motors", work),
        "least_kind": least.kind,
        "least_where": least.where,
        "motor_contribution_a": motors_a,
        "supply_a": subject.case.supply.fault_current_a,
        "voltage_factor": factors[0],
        "voltage_factor_least": factors[1],
        "faults": [_listed(one) for one in found],
        "interrupting": [_duty(one) for one in duties],
    }


def _between(subject: Subject, found: tuple[Found, ...]) -> str:
    """The type of fault that is between all lines."""
    if subject.three_phase:
        return "three-phase"
    return ALL_LINES if at(found, TERMINALS, LEAST, ALL_LINES) else "line-line"


def _maximum(worst: Found, work: Ledger, *, known: bool) -> dict[str, Any]:
    """The worst fault after the unit; not known where one of them is limited by an unknown supply alone."""
    keys = ("maximum_a", "maximum_kind", "maximum_where", "maximum_x_over_r", "maximum_peak_a")
    if not known:
        return dict.fromkeys(keys)
    peak_a = work.note(
        "answers.maximum_peak_a",
        worst.fault.peak_a,
        "A",
        "largest value of the first half cycle, closing at voltage zero",
        "computed",
    )
    found = _noted("maximum_a", worst.fault.total_a, f"{worst.kind}, with motors", work)
    return dict(zip(keys, (found, worst.kind, worst.where, worst.fault.x_over_r, peak_a), strict=True))


def _noted(name: str, current_a: float, what: str, work: Ledger, by_hand_a: float | None = None) -> float:
    """Record a solved current, with the same by hand beside it where there is a formula."""
    given = {} if by_hand_a is None else {"by_hand_a": by_hand_a}
    says = f"solved circuit: bolted fault, {what}"
    noted: float = work.note(f"answers.{name}", current_a, "A", says, "computed", **given)
    return noted


def _listed(one: Found) -> dict[str, Any]:
    fault = one.fault
    return {
        "where": one.where,
        "condition": one.condition,
        "kind": one.kind,
        "lines": one.lines,
        "current_a": fault.current_a,
        "total_a": fault.total_a,
        "earth_a": fault.earth_a,
        "x_over_r": fault.x_over_r,
        "peak_a": fault.peak_a,
        "supply_lines_a": list(fault.supply_lines_a.values()),
        "windings_a": dict(fault.windings_a),
    }


def _duty(one: Duty) -> dict[str, Any]:
    return {
        "where": one.where,
        "fault_a": one.fault_a,
        "x_over_r": one.x_over_r,
        "needed_a": one.needed_a,
        "device": one.device,
        "test_x_over_r": one.test_x_over_r,
    }


def _moves(subject: Subject, ends: Ends, largest: Condition, worst: Found) -> dict[str, list[float]]:
    """Between what the largest fault lies while the impedance is not known."""
    if ends.stated is not None:
        return {}
    other = solved(subject, replace(largest, z=ends.high))
    return {"maximum_a": [max(one.fault.total_a for one in other), worst.fault.total_a]}
