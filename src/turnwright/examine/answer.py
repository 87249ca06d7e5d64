"""One question asked of one job: find the unit, study it, frame the answer."""

from __future__ import annotations

from msgspec.structs import replace

from turnwright.errors import InputError
from turnwright.examine.framed import framed
from turnwright.examine.options import Options, refuse_options
from turnwright.examine.records import Answer, Assumed, Study
from turnwright.examine.registry import Asked, find_question
from turnwright.examine.subject import subject_of
from turnwright.intake import case_of
from turnwright.model.case import NeedsInput
from turnwright.model.job import Job
from turnwright.model.result import Result
from turnwright.narrow import regime_for, select
from turnwright.working import Ledger


def examine(question: str, job: Job, options: Options | None = None) -> Study:
    """Return one question of a job answered in depth.

    question  a name of `QUESTIONS` that takes a job
    options   what goes with the question

    Raises:
        UnknownKey: EXM-01, no such question.
        InputError: EXM-02 to EXM-05, a question, option or unit that cannot be used; otherwise as `select`.

    Example:
        >>> from turnwright.intake import read_job
        >>> text = 'supply.system = "480Y/277"\\n[[load]]\\nsystem = "208Y/120"\\nkva = "22 kVA"'
        >>> study = examine("unbalance", read_job(text))
        >>> study.verdict, round(study.answers["nema_pct"], 9)
        ('answered', 0.0)
    """
    asked, given = find_question(question), options or Options()
    if asked.takes != "job":
        raise InputError("EXM-03", question, "is not asked of a job.", "Give a file of circuits.")
    refuse_options(asked, given)
    regime = regime_for(job)
    case = case_of(job, regime.defaults)
    result = select(job, ledger_open=False, ask=False)
    if isinstance(case, NeedsInput):
        return _without_pick(asked, result)
    work = Ledger()
    answer: Answer
    if given.unit:
        answer = asked.module.study_units(case, regime, given, work)
        return framed(asked, answer, work, result.job, result.tool)
    subject = subject_of(case, regime, result)
    if subject is None:
        return _without_pick(asked, result)
    answer = asked.module.study(subject, given, work)
    pick = subject.blocks.pick
    study = framed(asked, _of_several(answer, result), work, result.job, result.tool, pick)
    return study if result.verdict == "selected" else _refused(study, result)


def _of_several(answer: Answer, result: Result) -> Answer:
    """Say it where the job has more units than the one that is examined."""
    pieces = result.pick.lines is not None and result.pick.units > 1 if result.pick else False
    if not pieces and not any(one.blocks for one in result.also):
        return answer
    what = (
        "one of several equal units is examined"
        if pieces
        else "the first of several transformers is examined"
    )
    return replace(
        answer, assumed=(*answer.assumed, Assumed(what, "the others stand in the answer to the job"))
    )


def _refused(study: Study, result: Result) -> Study:
    """The study of a size that is insisted on and does not do the job."""
    stops = tuple(finding for finding in result.findings if finding.severity == "stop")
    return replace(
        study,
        verdict="refused",
        said=("This size is insisted on and does not do the job. What it does all the same:", *study.said),
        findings=(*stops, *study.findings),
        instead=result.instead,
    )


def _without_pick(asked: Asked, result: Result) -> Study:
    """The frame around an answer that there is no unit to examine."""
    refused = result.verdict == "refused"
    said = (
        "No transformer does this job as it is given: there is nothing to examine."
        if refused
        else "Not enough is known yet to pick a transformer: there is nothing to examine."
    )
    return Study(
        question=asked.name,
        verdict="refused" if refused else "needs-input",
        said=(said,),
        answers={},
        findings=result.findings,
        questions=result.questions,
        job=result.job,
        instead=result.instead,
        tool=result.tool,
    )
