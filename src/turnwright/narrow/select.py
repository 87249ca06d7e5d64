"""The answer to a job: the one call behind terminal, pages, papers and Python."""

from __future__ import annotations

from msgspec.structs import replace

from turnwright.intake import case_of, job_as_understood
from turnwright.model.case import Case, NeedsInput
from turnwright.model.job import Job
from turnwright.model.lines import working_lines
from turnwright.model.result import Result, Tool
from turnwright.narrow.open_facts import open_facts
from turnwright.narrow.outcome import OPEN_PLACES, Engine, outcome_of
from turnwright.narrow.questions import questions_of, range_of, search
from turnwright.quantities import UNKNOWN
from turnwright.reference import digest
from turnwright.regimes import DEFAULT, Regime, regime_of
from turnwright.selection import Decision, decide
from turnwright.selection.costs import Costs, costs_of, not_compared
from turnwright.selection.proposed import judge_proposed
from turnwright.version import __version__
from turnwright.working import CLOSED, Ledger

MOST_ASKED_LOADS = 400  # a longer list is answered as it stands: every question costs some engine runs


def regime_for(job: Job) -> Regime:
    """Return the regime and edition a job asks for; the newest edition where it does not say.

    Raises InputError REG-01, REG-02 when it is not carried.
    """
    name = DEFAULT if job.regime is None or job.regime is UNKNOWN else str(job.regime)
    edition = None if job.edition is None or job.edition is UNKNOWN else str(job.edition)
    where = f"{job.origin}, {'edition' if edition else 'regime'}"
    return regime_of(name, edition, where)


def select(job: Job, *, ledger_open: bool = True, ask: bool = True) -> Result:
    """Return the transformer that belongs between supply and loads of a job, defended, or why none does.

    job         : the facts as given
    ledger_open : record how each number came about; without it other builds of the pick are compared only where
                  the job has prices
    ask         : look for the question to ask next, by running the engine on what it might be answered; without it
                  the range covers what is written as half-known or unknown
    Raises InputError for facts that cannot be used; a missing fact is never an error.
    """
    regime = regime_for(job)
    case = case_of(job, regime.defaults)
    if isinstance(case, NeedsInput):
        return _needs_input(job, case, regime)
    work = Ledger() if ledger_open else CLOSED
    decision = decide(case, regime, work)
    answered = _result(case, decision, regime, work)
    return _narrowed(answered, job, case, regime, decision, ask and len(case.loads) <= MOST_ASKED_LOADS)


def _result(case: Case, decision: Decision, regime: Regime, work: Ledger) -> Result:
    blocks, costs = decision.blocks, _costs(case, decision, regime, work)
    return Result(
        verdict="selected" if blocks else "refused",
        blocks=blocks,
        options=(*decision.options, *costs.options),
        findings=(*costs.order, *decision.findings, *judge_proposed(case, decision), *costs.findings),
        questions=costs.questions,
        range_kva=(blocks.pick.kva, blocks.pick.kva) if blocks else None,
        instead=decision.instead,
        also=decision.also,
        working=working_lines(work),
        tool=tool(),
        job=job_as_understood(case),
    )


def _costs(case: Case, decision: Decision, regime: Regime, work: Ledger) -> Costs:
    """Return what the pick costs beside other builds and the offers; offers are not left out in silence."""
    if decision.blocks is None or decision.picked is None:
        return Costs(order=(not_compared("there is no pick"),)) if case.offers else Costs()
    own, sized = decision.picked.case, decision.picked.sized
    if not work.is_open and own.choices.price_kwh is None and not case.offers:
        return Costs()
    if case.offers and any(other.blocks for other in decision.also):
        found = costs_of(replace(own, offers=()), sized, decision.blocks, regime, work, len(decision.options))
        return replace(found, order=(not_compared("the job takes several units"),))
    return costs_of(own, sized, decision.blocks, regime, work, len(decision.options))


def _narrowed(
    answered: Result, job: Job, case: Case, regime: Regime, decision: Decision, ask: bool
) -> Result:
    """Return the answer with its range and its questions."""
    facts = open_facts(job, case if ask and decision.blocks else None, regime)
    engine, now = Engine(regime), outcome_of(decision)
    if facts:
        engine.trust_screening(case, now)
    found = search(job, facts, now, engine)
    questions = questions_of(job, case, found, now, engine, decision.blocks) if ask else ()
    questions = (*questions, *answered.questions) if ask else ()
    return replace(answered, questions=questions, range_kva=range_of(found.allowed))


def _needs_input(job: Job, case: NeedsInput, regime: Regime) -> Result:
    from turnwright.narrow.missing import missing_questions  # most jobs are whole

    engine = Engine(regime)
    engine.screening = job.site.place in (None, UNKNOWN, *OPEN_PLACES)
    range_kva, questions = missing_questions(job, case, engine)
    return Result(
        verdict="needs-input",
        blocks=None,
        options=(),
        findings=(),
        questions=questions,
        range_kva=range_kva,
        instead=(),
        also=(),
        working=(),
        tool=tool(),
        job=job_as_understood(case),
    )


def tool() -> Tool:
    """Return which tool and which tables answer."""
    return Tool(version=__version__, tables=digest())
