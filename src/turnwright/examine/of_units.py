"""One question asked of a unit that exists, without a job around it."""

from __future__ import annotations

from collections.abc import Sequence

from turnwright.errors import InputError
from turnwright.examine.framed import framed
from turnwright.examine.options import Options, refuse_options
from turnwright.examine.records import Answer, Study
from turnwright.examine.registry import QUESTIONS, find_question
from turnwright.model.job import Nameplate
from turnwright.model.result import Tool
from turnwright.reference import digest
from turnwright.version import __version__
from turnwright.working import Ledger


def examine_unit(question: str, units: Sequence[Nameplate], options: Options | None = None) -> Study:
    """Return one question of a unit answered in depth.

    question  a name of `QUESTIONS` that can be asked of a unit
    units     the unit of a file; several are refused

    Raises:
        UnknownKey: EXM-01, no such question.
        InputError: EXM-07, a question that is not asked of a unit, or several units; otherwise as the question.
    """
    asked, given = find_question(question), options or Options()
    if not asked.units:
        names = ", ".join(each.name for each in QUESTIONS if each.units)
        fix = f"Give a job file; of a unit can be asked: {names}."
        raise InputError("EXM-07", question, "is not asked of a unit.", fix)
    refuse_options(asked, given)
    if len(units) != 1:
        what = f"this file holds {len(units)} units, and each has its own load."
        raise InputError("EXM-07", question, what, "Keep one [unit], or follow many with 'turnwright fleet'.")
    work = Ledger()
    answer: Answer = asked.module.study_unit(units[0], given, work)
    kva = units[0].kva
    title = units[0].unit or (f"A unit of {kva.text}" if kva is not None else "A unit")
    return framed(asked, answer, work, {"title": title}, Tool(version=__version__, tables=digest()))
