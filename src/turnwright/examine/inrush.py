"""What happens at switch-on: the first peaks, how they fade, and whether the device before the unit holds."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from turnwright.errors import InputError
from turnwright.examine.inrush_advice import findings_of, findings_of_unit
from turnwright.examine.inrush_against import Points, generator, held
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
from turnwright.examine.parallel_units import impedances_of
from turnwright.examine.records import Answer
from turnwright.examine.subject import Subject
from turnwright.examine.tables import study_row
from turnwright.model.job import Nameplate
from turnwright.model.result import Question
from turnwright.reference import EditionTable
from turnwright.regimes import regime_of
from turnwright.working import Ledger

if TYPE_CHECKING:
    from turnwright.examine.options import Options

SOLVED = "three cores of two slopes, solved in time"
HALF_CYCLE_POINT = 2


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
    fifty = plate.frequency and plate.frequency[0].low == FIFTY_HZ
    regime = regime_of("iec" if fifty else "us", None)
    fed = fed_of_unit(plate, impedances_of(plate, regime)[0], options)
    answers, cases = _answers(regime.practice, fed, fed.rated_a, None, None, options, work)
    return Answer(
        said=said_of(answers, fed, cases),
        answers=answers,
        grids=grids_of(answers, cases),
        series=curves_of(cases),
        findings=findings_of_unit(regime.practice, answers, fed),
        assumed=assumed_of(fed, options.residual),
    )
