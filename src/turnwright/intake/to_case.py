"""A job with its half-known and missing facts made into a case: one concrete value for every fact."""

from __future__ import annotations

from turnwright.intake.case_loads import load_of
from turnwright.intake.case_site import choices_of, circuit_of, site_of
from turnwright.intake.case_supply import supply_of
from turnwright.intake.facts import Facts, unknown_too
from turnwright.model.case import Case, CaseOffer, Defaults, NeedsInput
from turnwright.model.job import Job


def case_of(job: Job, defaults: Defaults) -> Case | NeedsInput:
    """Return the case of a job, or what is missing for one.

    Required are phases and volts of the supply, and of each load its system and one size. Everything else
    missing or unknown gets what `defaults` and the keys let stand in, noted as assumed with its reason.

    Raises:
        InputError: JOB-16, a spectrum that is not in the table.

    Example:
        >>> from turnwright.intake.job_file import read_job
        >>> us = Defaults(regime="us", edition="2023", frequency_hz=60.0, manufactured="2026",
        ...               insulation="THWN-2", nominal_v={460.0: 480.0},
        ...               power_factor_kw=0.85, x_over_r=6.0)
        >>> job = read_job('supply.system = "480Y/277"\\n[[load]]\\nsystem = "208Y/120"\\nkva = "20..22 kVA"')
        >>> case = case_of(job, us)
        >>> case.loads[0].size, case.supply.frequency_hz
        (22.0, 60.0)
    """
    facts = Facts(job)
    regime = _regime(job, defaults, facts)
    reason = unknown_too(job.edition, "the newest carried; which edition is adopted here is a question")
    edition = facts.word_or("edition", job.edition, defaults.edition, reason)
    supply = supply_of(job.supply, defaults, facts)
    supply_hz = defaults.frequency_hz if supply is None else supply.frequency_hz
    loads = [load_of(index, load, supply_hz, defaults, facts) for index, load in enumerate(job.load)]
    site = site_of(job.site, defaults, facts)
    circuit = circuit_of(job.circuit, defaults, facts)
    choices = choices_of(job.choices, defaults, facts)
    offers = _offers(job, facts)
    title, noted = job.title or "", tuple(facts.noted)
    if supply is None or facts.missing:
        missing = tuple(facts.missing)
        return NeedsInput(title=title, regime=regime, edition=edition, missing=missing, facts=noted)
    return Case(
        title=title,
        regime=regime,
        edition=edition,
        supply=supply,
        loads=tuple(load for load in loads if load is not None),
        site=site,
        circuit=circuit,
        choices=choices,
        offers=offers,
        facts=noted,
    )


def _offers(job: Job, facts: Facts) -> tuple[CaseOffer, ...]:
    if not job.offer:
        return ()
    from turnwright.intake.case_offers import offers_of  # most jobs have none

    return offers_of(job.offer, facts)


def _regime(job: Job, defaults: Defaults, facts: Facts) -> str:
    """Return whose rules hold: those of `defaults`, which the caller chose by the job or against it."""
    if job.regime == defaults.regime:
        facts.note("regime", defaults.regime, "given")
    elif isinstance(job.regime, str):
        facts.note("regime", defaults.regime, "assumed", f"asked for in place of {job.regime}")
    else:
        facts.note("regime", defaults.regime, "assumed", unknown_too(job.regime, "no regime is named"))
    return defaults.regime
