"""The answer to a job: the one call behind terminal, pages, papers and Python."""

from __future__ import annotations

from typing import Any

from turnwright.intake import case_of, job_as_understood
from turnwright.model.case import Case, NeedsInput
from turnwright.model.job import Job
from turnwright.model.result import Question, Result, Tool, WorkingLine
from turnwright.narrow.questions import questions_for
from turnwright.quantities import UNKNOWN
from turnwright.reference import digest
from turnwright.regimes import Regime, regime_of
from turnwright.selection import Decision, decide
from turnwright.selection.proposed import judge_proposed
from turnwright.version import __version__
from turnwright.working import CLOSED, Ledger, Step, step_of

DEFAULT_REGIME = "us"


def regime_for(job: Job) -> Regime:
    """Return the regime and edition a job asks for; the newest edition where it does not say.

    Raises InputError REG-01, REG-02 when it is not carried.
    """
    name = DEFAULT_REGIME if job.regime is None or job.regime is UNKNOWN else str(job.regime)
    edition = None if job.edition is None or job.edition is UNKNOWN else str(job.edition)
    where = f"{job.origin}, {'edition' if edition else 'regime'}"
    return regime_of(name, edition, where)


def select(job: Job, *, ledger_open: bool = True, ask: bool = True) -> Result:
    """Return the transformer that belongs between supply and loads of a job, defended, or why none does.

    job         : the facts as given
    ledger_open : record how each number came about
    ask         : look for the question to ask next, by running the engine on what it might be answered
    Raises InputError for facts that cannot be used; a missing fact is never an error.
    """
    regime = regime_for(job)
    case = case_of(job, regime.defaults)
    if isinstance(case, NeedsInput):
        return _needs_input(case)
    work = Ledger() if ledger_open else CLOSED
    decision = decide(case, regime, work)
    return _result(case, regime, decision, work, ask)


def _result(case: Case, regime: Regime, decision: Decision, work: Ledger, ask: bool) -> Result:
    blocks = decision.blocks
    kva = blocks.pick.kva if blocks else None
    questions = questions_for(case, regime) if blocks and ask else ()
    return Result(
        verdict="selected" if blocks else "refused",
        blocks=blocks,
        options=decision.options,
        findings=(*decision.findings, *judge_proposed(case, decision)),
        questions=questions,
        range_kva=(kva, kva) if kva is not None else None,
        instead=decision.instead,
        also=decision.also,
        working=working_lines(work),
        tool=tool(),
        job=job_as_understood(case),
    )


def _needs_input(case: NeedsInput) -> Result:
    return Result(
        verdict="needs-input",
        blocks=None,
        options=(),
        findings=(),
        questions=tuple(
            Question(
                key=missing.key,
                ask=missing.what,
                assumed=None,
                why="Without it no size can be given: it decides which units are possible at all.",
                moves={"possibilities": list(missing.possibilities)} if missing.possibilities else {},
            )
            for missing in case.missing
        ),
        range_kva=None,
        instead=(),
        also=(),
        working=(),
        tool=tool(),
        job=job_as_understood(case),
    )


def tool() -> Tool:
    """Return which tool and which tables answer."""
    return Tool(version=__version__, tables=digest())


def working_lines(work: Ledger) -> tuple[WorkingLine, ...]:
    """Return the steps of a ledger, each input with the name of the step it came from."""
    return tuple(_line(step) for step in work.steps.values())


def _line(step: Step) -> WorkingLine:
    inputs = {name: (value, step_of(value)) for name, value in step.inputs.items()}
    return WorkingLine(
        name=step.name,
        formula=step.formula,
        with_={name: _plain(value) for name, (value, _) in inputs.items()},
        from_={name: origin.name for name, (_, origin) in inputs.items() if origin is not None},
        value=_plain(step.value),
        unit=step.unit,
        source=step.source,
        known=step.known,
    )


def _plain(value: Any) -> Any:
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, int | float):
        return float(value)
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    return str(value)
