"""What the engine makes of a job: the outcome that ranges, questions and thresholds compare."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.intake import case_of
from turnwright.model.case import Case, NeedsInput
from turnwright.model.job import Job
from turnwright.model.result import Verdict
from turnwright.regimes import Regime
from turnwright.selection import Decision, smallest_fitting_kva
from turnwright.selection.choose import attempt
from turnwright.working import CLOSED


class Outcome(Struct, frozen=True):
    """What a job comes to.

    verdict  as in the result
    kva      rated power of the pick [kVA], None without one
    stops    codes of the findings that stop something
    """

    verdict: Verdict
    kva: float | None
    stops: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """The outcome in a word or two: a size, or why there is none."""
        if self.kva is not None:
            return f"{self.kva:g} kVA"
        return "no transformer" if self.verdict == "refused" else "not enough known"


OPEN_PLACES = ("indoor", "outdoor")
"""Places where no rule forbids a size."""


class Engine:
    """Runs the selection on jobs and counts the runs.

    Screening finds the size at a tenth of the cost of the whole decision, and does not hear the rules that
    forbid a size. It is used where it agrees with the decision on the job as it stands and at the ends of what
    its facts allow.
    """

    def __init__(self, regime: Regime) -> None:
        self.regime = regime
        self.screening = False
        self.runs = 0
        self.series = tuple(sorted({float(kva) for sizes in regime.sizes_kva.values() for kva in sizes}))

    def trust_screening(self, case: Case, decided: Outcome) -> None:
        """Let screening speak for the decision, if it comes to the same on this case."""
        self.runs += 1
        self.screening = (
            decided.kva is not None
            and case.site.place in OPEN_PLACES
            and smallest_fitting_kva(case, self.regime) == decided.kva
        )

    def hear(self, jobs: Iterable[Job]) -> None:
        """Give up screening where it differs from the decision on one of these jobs."""
        if self.screening:
            self.screening = all(self.size(job).kva == self.decided(job).kva for job in jobs)

    def size(self, job: Job) -> Outcome:
        """Return verdict and size, by screening where it may be trusted."""
        if not self.screening:
            whole = self.decided(job)
            return Outcome(whole.verdict, whole.kva)
        case = self.case(job)
        if not isinstance(case, Case):
            return Outcome("needs-input", None)
        self.runs += 1
        try:
            kva = smallest_fitting_kva(case, self.regime)
        except InputError:  # a swept value that this job cannot have
            kva = None
        return Outcome("refused" if kva is None else "selected", kva)

    def decided(self, job: Job) -> Outcome:
        """Return the outcome of the whole decision, what it stops included."""
        case = self.case(job)
        if not isinstance(case, Case):
            return Outcome("needs-input", None)
        self.runs += 1
        try:
            return outcome_of(attempt(case, self.regime, CLOSED))
        except InputError:  # likewise a value that this job cannot have
            return Outcome("refused", None)

    def case(self, job: Job) -> Case | NeedsInput:
        """Return the case of a job under this regime."""
        return case_of(job, self.regime.defaults)


def outcome_of(decision: Decision) -> Outcome:
    """Return the outcome of a decision."""
    stops = tuple(sorted({one.code for one in decision.findings if one.severity == "stop"}))
    if decision.blocks is None:
        return Outcome("refused", None, stops)
    return Outcome("selected", float(decision.blocks.pick.kva), stops)
