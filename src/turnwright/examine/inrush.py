"""What happens at switch-on: the first peaks, how they fade, and whether the device before the unit holds."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from turnwright.circuit.inrush_banks import LINES
from turnwright.errors import InputError
from turnwright.examine.inrush_advice import findings_of, findings_of_unit
from turnwright.examine.inrush_against import generator, held
from turnwright.examine.inrush_cases import CYCLES, Peaks, ends_of_core
from turnwright.examine.inrush_fed import Fed, fed_of, fed_of_unit
from turnwright.examine.inrush_formulas import (
    coordination_a,
    device_multiple,
    largest_peak_a,
    let_through_a2s,
    saturated_ohm,
)
from turnwright.examine.inrush_pages import assumed_of, curves_of, grids_of, said_of
from turnwright.examine.records import Answer
from turnwright.examine.subject import Subject
from turnwright.examine.tables import study_row
from turnwright.model.job import Nameplate
from turnwright.model.result import Question
from turnwright.reference import EditionTable
from turnwright.regimes import regime_on
from turnwright.working import Ledger

if TYPE_CHECKING:
    from turnwright.examine.options import Options

SOLVED = "cores of two slopes, solved in time"
MOST_DEG = 360.0
NOT_FOLLOWED: dict[str, Any] = {
    "first_peak_a": None,
    "i2t_a2s": None,
    "cores": [],
    "closing_given": False,
    "together": 1,
    "reverse_fed": False,
    "hold_off": [],
    "own_source": None,
}
"""Answers of a unit without two separate windings."""


def study(subject: Subject, options: Options, work: Ledger) -> Answer:
    """Return the current at switching on, against the device before the unit.

    Raises:
        InputError: EXM-08, EXM-10, an angle, a flux or a number of units that cannot be.
    """
    _check(options)
    rated_a, device_a = subject.blocks.currents.primary_rated_a, subject.blocks.protection.primary_a
    fed = fed_of(subject, options)
    if fed is not None and options.reverse_fed:
        rated_a, device_a = fed.rated_a, None
    source_kva = subject.case.supply.source_kva if not options.reverse_fed else None
    answers, cases = _answers(subject.regime.practice, fed, rated_a, device_a, source_kva, options, work)
    return Answer(
        said=said_of(answers, fed, cases),
        answers=answers,
        grids=grids_of(answers, cases),
        series=curves_of(cases),
        findings=findings_of(subject, answers, fed),
        questions=_questions(subject),
        assumed=assumed_of(fed, options.residual),
    )


def study_unit(plate: Nameplate, options: Options, work: Ledger) -> Answer:
    """Return the current at switching on of a unit of a file, on an infinite supply of its rated volts.

    Raises:
        InputError: EXM-08, EXM-10, a nameplate without kVA or windings, an angle, a flux or a number that cannot be.
    """
    _check(options)
    regime = regime_on(plate.frequency[0].low if plate.frequency else None)
    fed = fed_of_unit(plate, regime, options)
    answers, cases = _answers(regime.practice, fed, fed.rated_a, None, None, options, work)
    return Answer(
        said=said_of(answers, fed, cases),
        answers=answers,
        grids=grids_of(answers, cases),
        series=curves_of(cases),
        findings=findings_of_unit(regime.practice, answers, fed),
        assumed=assumed_of(fed, options.residual),
    )


def _check(options: Options) -> None:
    if options.closing_angle is not None and not -MOST_DEG <= options.closing_angle <= MOST_DEG:
        what = f"{options.closing_angle:g} degrees is no angle of closing."
        raise InputError("EXM-10", "--closing-angle", what, "Write -360 to 360.")
    if options.residual is not None and not 0 <= options.residual <= 1:
        what = f"{options.residual:g} is no residual flux."
        raise InputError("EXM-10", "--residual", what, "Write 0 to 1, of the peak flux at rated volts.")


def _answers(
    practice: EditionTable,
    fed: Fed | None,
    rated_a: float,
    device_a: float | None,
    source_kva: float | None,
    options: Options,
    work: Ledger,
) -> tuple[dict[str, Any], tuple[Peaks, ...]]:
    points = _points(practice, rated_a, device_a, work)
    if fed is None:
        return {**points, **NOT_FOLLOWED}, ()
    left = study_row("core_residual_pu").number("value") if options.residual is None else options.residual
    residual_pu = float(left)
    cases = ends_of_core(fed, options.closing_angle, residual_pu)
    many = tuple(
        (fed.together * row["current_a"], row["time_s"])
        for row in sorted(points["points"][1:], key=lambda row: float(row["time_s"]))
    )
    return {
        **points,
        **_solved(fed, cases, residual_pu, work),
        "closing_given": options.closing_angle is not None,
        "together": fed.together,
        "reverse_fed": options.reverse_fed,
        "hold_off": held(fed, cases[0], residual_pu, options.hold_off, many, work),
        "own_source": None if source_kva is None else generator(fed, cases[0], source_kva, work),
    }, cases


def _points(practice: EditionTable, rated_a: float, device_a: float | None, work: Ledger) -> dict[str, Any]:
    """The points of the trade for coordination, and what they ask of the device."""
    rows: list[dict[str, Any]] = []
    for label, multiple_key, time_key in (
        ("low", "inrush_low_multiple", "inrush_time_s"),
        ("high", "inrush_high_multiple", "inrush_time_s"),
        ("half cycle", "inrush_half_cycle_multiple", "inrush_half_cycle_time_s"),
    ):
        name = f"answers.points[{len(rows)}]"
        multiple, time_s = (practice.row(key=key).number("value") for key in (multiple_key, time_key))
        current_a = work.calc(f"{name}.current_a", coordination_a, multiple=multiple, rated_a=rated_a)
        over = None
        if device_a is not None:
            over = work.calc(
                f"{name}.device_multiple", device_multiple, current_a=current_a, device_a=device_a
            )
        rows.append(
            {
                "point": label,
                "multiple": multiple,
                "time_s": time_s,
                "current_a": current_a,
                "device_multiple": over,
                "i2t_a2s": work.calc(f"{name}.i2t_a2s", let_through_a2s, current_a=current_a, time_s=time_s),
            }
        )
    return {"primary_rated_a": rated_a, "device_a": device_a, "points": rows}


def _by_hand(fed: Fed, residual_pu: float, work: Ledger) -> dict[str, float]:
    """The largest first peak of one core with no resistance in its way: the solved one lies below it."""
    lines = 2 if all(end in LINES for pair in fed.windings for end in pair) else 1
    saturated = work.calc(
        "closed.saturated_ohm",
        saturated_ohm,
        saturated_pu=fed.low_end_pu,
        leakage_pct=fed.unit.reactance_pct / 2,
        voltage_v=fed.rated_v,
        kva=fed.core_kva * fed.together,
        supply_ohm=lines * fed.supply.z_ohm.imag,
    )
    peak = work.calc(
        "closed.core_peak_a",
        largest_peak_a,
        voltage_v=fed.rated_v,
        residual_pu=residual_pu,
        knee_pu=study_row("core_knee_pu").number("value"),
        x_ohm=saturated,
    )
    return {"core_peak_a": peak}


def _solved(fed: Fed, cases: tuple[Peaks, ...], residual_pu: float, work: Ledger) -> dict[str, Any]:
    worst = cases[0]
    by_hand = _by_hand(fed, residual_pu, work)
    return {
        "first_peak_a": work.note(
            "answers.first_peak_a", worst.peaks_a[0], "A", f"{SOLVED}; worst line", "computed", **by_hand
        ),
        "i2t_a2s": work.note(
            "answers.i2t_a2s", worst.i2t_a2s, "A²s", f"{SOLVED}; over {CYCLES} cycles", "computed"
        ),
        "cores": [
            {
                "core": one.name,
                "outside_pct": one.outside_pct,
                "line": one.line,
                "closing_deg": one.closing_deg,
                "peaks_a": list(one.peaks_a),
                "half_life_cycles": one.half_life,
                "i2t_a2s": one.i2t_a2s,
            }
            for one in cases
        ],
    }


def _questions(subject: Subject) -> tuple[Question, ...]:
    if subject.case.supply.fault_current_a is not None:
        return ()
    return (
        Question(
            key="supply.fault_current",
            ask="What fault current can the supply deliver at its terminals?",
            assumed="infinite source",
            why="A weaker supply lowers the first peak.",
        ),
    )
