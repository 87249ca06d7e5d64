"""Does a unit that exists do this job: the same evaluation as for a new one, held against what the unit is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from msgspec.structs import replace

from turnwright.arrangements import Proposal
from turnwright.arrangements.wishes import start_of
from turnwright.demand import LoadPicture
from turnwright.errors import InputError
from turnwright.intake import case_of, job_as_understood
from turnwright.model.case import Case, NeedsInput
from turnwright.model.job import Job, Nameplate
from turnwright.model.lines import working_lines
from turnwright.model.result import Blocks, Finding, Question
from turnwright.narrow.select import regime_for, tool
from turnwright.quantities.voltage_system import HIGHEST_V
from turnwright.regimes import Regime
from turnwright.selection import Evaluation, evaluate
from turnwright.selection.choose import picture_of
from turnwright.selection.derating import derating_of
from turnwright.selection.evaluate import tap_text
from turnwright.selection.remarks import unsaid
from turnwright.selection.screen import judged
from turnwright.selection.supply_check import supply_remarks
from turnwright.vetting import criteria, in_parallel, reverse, supply_side
from turnwright.vetting.connecting import connect, how_many
from turnwright.vetting.joined import Joined, star_remarks
from turnwright.vetting.losses import below_law, with_losses
from turnwright.vetting.plate import Plate, read_plate
from turnwright.vetting.records import Criterion, Vetting
from turnwright.working import CLOSED, Ledger

Pictures = Callable[[Case, Proposal, Regime, Ledger], LoadPicture]
CIRCUIT = "CIR-"
ABOUT_ORDERING = ("step-up", "back-fed-neutral", "no-transformer-needed")
"""Findings that advise on what to order; the unit is there, and its direction is judged for itself."""


def vet(job: Job, units: Nameplate | Sequence[Nameplate], *, ledger_open: bool = True) -> Vetting:
    """Return whether a unit, or several together, does a job; what binds, and how much more it could carry.

    job   : the facts as given
    units : one nameplate; several run in parallel, or as a bank where single-phase ones feed three-phase loads
    Raises InputError for facts that cannot be used; a missing fact is never an error.
    """
    plates = (units,) if isinstance(units, Nameplate) else tuple(units)
    regime = regime_for(job)
    case = case_of(job, regime.defaults)
    read = [read_plate(plate, _name(plate, number, plates), regime) for number, plate in enumerate(plates)]
    missing = tuple(question for one in read if isinstance(one, tuple) for question in one)
    if isinstance(case, NeedsInput):
        missing += tuple(
            Question(key=one.key, ask=one.what, assumed=None, why="Without it no unit can be judged.")
            for one in case.missing
        )
    known = tuple(one for one in read if isinstance(one, Plate))
    if missing or isinstance(case, NeedsInput):
        return _vetting(case, known, questions=missing, verdict="needs-input")
    return vet_case(case, known, regime, Ledger() if ledger_open else CLOSED)


def _name(plate: Nameplate, number: int, plates: Sequence[Nameplate]) -> str:
    return plate.unit or ("the unit" if len(plates) == 1 else f"unit {number + 1}")


def vet_case(
    case: Case, plates: tuple[Plate, ...], regime: Regime, work: Ledger, pictures: Pictures = picture_of
) -> Vetting:
    """Hold units against a case: first whether they can stand there at all, then what the numbers say.

    pictures : what the loads ask of a proposal, as `picture_of` returns it
    """
    case = as_marked(one_piece(case), plates)
    count = how_many(plates, case)
    held: list[Criterion] = [*supply_side.phases(plates[0], case, count), *supply_side.frequency(case)]
    findings: list[Finding] = [finding for plate in plates for finding in plate.findings]
    if not all(one.ok for one in held if one.name == "phases"):
        return _vetting(case, plates, criteria=held, findings=[*findings, *supply_remarks(case)], work=work)
    bank = count > 1
    joined = [connect(plate, case, count, work) for plate in (plates[:1] if bank else plates)]
    first = joined[0]
    for one in joined:
        mark = f" of {one.plate.unit.name}" if len(joined) > 1 else ""
        own = (*supply_side.flux(one, case), *supply_side.output_volts(one, case))
        held += [replace(each, name=each.name + mark) for each in own]
    held += supply_side.neutral(first, case)
    if bank and len({_alike(plate) for plate in plates}) > 1:
        held.append(_unlike(plates))
    evaluation = None
    if can_be_computed(case, first):
        picture = pictures(case, first.proposal, regime, work)
        evaluation, more, said = _evaluated(case, joined, picture, regime, work)
        held += more
        findings += said
    held += criteria.wishes(first, case)
    ruled = evaluation.findings if evaluation else ()
    findings += star_remarks(first, case)
    blocks = None if evaluation is None else _as_marked(evaluation.blocks, first, case, evaluation)
    findings += below_law(blocks, first.plate.unit.name, regime.traits.law_load_pct) if blocks else ()
    findings += unsaid(reverse.remarks(first, evaluation, regime), ruled)
    return _vetting(
        case,
        plates,
        criteria=held,
        findings=[*findings, *(evaluation.findings if evaluation else ()), *supply_remarks(case)],
        work=work,
        arrangement=first.proposal.arrangement,
        blocks=blocks,
    )


def one_piece(case: Case) -> Case:
    """Return the case of one piece where the pieces of its only load get a unit each."""
    if len(case.loads) != 1 or not case.loads[0].own_unit:
        return case
    return replace(case, loads=(replace(case.loads[0], quantity=1.0, demand_factor=1.0),))


def as_marked(case: Case, plates: tuple[Plate, ...]) -> Case:
    """Return the case with what the plates say in place of what usually is: eddy loss, date of manufacture.

    Of several units the largest eddy loss and the first date count.
    """
    choices = case.choices
    eddy = [plate.p_ecr for plate in plates if plate.p_ecr is not None]
    made = [plate.made for plate in plates if plate.made is not None]
    if eddy:
        choices = replace(choices, p_ecr=max(eddy))
    if made:
        choices = replace(choices, manufactured=min(made))
    return replace(case, choices=choices) if eddy or made else case


def _alike(plate: Plate) -> tuple[Any, ...]:
    unit = plate.unit
    return float(unit.kva), unit.primary.text, unit.secondary.text, plate.hz


def _unlike(plates: tuple[Plate, ...]) -> Criterion:
    return Criterion(
        name="equal units",
        value=", ".join(f"{plate.unit.kva:g} kVA {plate.unit.primary.text}" for plate in plates),
        limit="equal",
        measure="",
        margin_pct=None,
        ok=False,
        says="The units of a bank have to be equal in kVA, volts and taps.",
    )


def can_be_computed(case: Case, first: Joined) -> bool:
    """A three-phase load on one phase, or a place to neutral without one, has no numbers."""
    output = first.proposal.output
    if output.line_v > HIGHEST_V:  # no table here goes further; the volts are unmet anyhow
        return False
    if output.phases == 1 and any(load.system.phases == 3 for load in case.loads):
        return False
    return not any(load.lines is not None and "C" in load.lines and output.phases == 1 for load in case.loads)


def _evaluated(
    case: Case, joined: list[Joined], picture: LoadPicture, regime: Regime, work: Ledger
) -> tuple[Evaluation | None, list[Criterion], list[Finding]]:
    first, unit = joined[0], joined[0].unit
    held: list[Criterion] = []
    said: list[Finding] = []
    if len(joined) > 1:
        held += in_parallel.compatible(joined)
        if all(one.ok for one in held if one.name == "vector group"):
            shared = in_parallel.together(joined, *in_parallel.load_of(case, picture))
            unit = shared.unit
            held += in_parallel.sharing(shared)
            said += in_parallel.remarks(shared)
    sized = judged(
        case,
        first.proposal,
        picture,
        unit,
        derating_of(case.site, work, unit.rise_k, unit.insulation_c),
        regime,
        work,
    )
    held += criteria.sizes(sized)
    try:
        evaluation = evaluate(case, sized, regime, work)
    except InputError as error:
        if not error.code.startswith(CIRCUIT):
            raise
        return None, [*held, _not_carried(first, error)], said
    held += [
        *criteria.harmonics(sized, first.plate),
        *criteria.devices(evaluation),
        *criteria.parts_beside(evaluation),
        *criteria.forbidden(evaluation),
        *criteria.place(first, case),
        *criteria.full_load_volts(evaluation, case),
    ]
    return evaluation, held, said


def _not_carried(joined: Joined, error: InputError) -> Criterion:
    """The circuit has no voltage at which such a load could be carried."""
    return Criterion(
        name="circuit",
        value=None,
        limit=None,
        measure="",
        margin_pct=None,
        ok=False,
        says=f"{start_of(joined.plate.unit.name)} cannot carry this load at any voltage: {error.what}",
    )


def _as_marked(blocks: Blocks, joined: Joined, case: Case, evaluation: Evaluation) -> Blocks:
    """The numbers with the unit named as its plate has it."""
    unit = joined.plate.unit
    fed, other = (unit.secondary, unit.primary) if joined.reversed_ else (unit.primary, unit.secondary)
    pick = replace(
        blocks.pick,
        kva=float(unit.kva),
        primary=fed.text,
        secondary=other.text,
        frequency_hz=joined.at.rated_hz,
        availability=None,
        tap=None if joined.at.tap_pct is None else tap_text(joined.at.tap_pct),
        mass_kg=unit.mass_kg,
    )
    return with_losses(replace(blocks, pick=pick), joined, evaluation)


def _vetting(
    case: Case | NeedsInput,
    plates: tuple[Plate, ...],
    *,
    criteria: list[Criterion] | None = None,
    findings: list[Finding] | None = None,
    questions: tuple[Question, ...] = (),
    work: Ledger = CLOSED,
    verdict: str | None = None,
    arrangement: str | None = None,
    blocks: Blocks | None = None,
) -> Vetting:
    held, found = tuple(criteria or ()), _without_ordering(findings or [])
    spare = [one.spare_kva for one in held if one.spare_kva is not None]
    return Vetting(
        verdict=verdict or judge(held, found),  # type: ignore[arg-type]
        units=tuple(_understood(plate) for plate in plates),
        arrangement=arrangement,
        criteria=held,
        binds=binding(held),
        spare_kva=min(spare) if spare else None,
        blocks=blocks,
        findings=found,
        questions=questions or _open(plates),
        working=working_lines(work),
        tool=tool(),
        job=job_as_understood(case),
    )


def _without_ordering(findings: list[Finding]) -> tuple[Finding, ...]:
    kept = [one for one in findings if one.code not in ABOUT_ORDERING]
    return tuple({(one.code, one.message): one for one in kept}.values())


def judge(held: Sequence[Criterion], findings: Sequence[Finding]) -> str:
    """Return the verdict: unfit where nothing beside another unit mends it.

    Example:
        >>> met = Criterion(name="heat", value=1.0, limit=2.0, measure="kVA", margin_pct=50.0, ok=True)
        >>> judge([met], []), judge([replace(met, ok=False)], [])
        ('fit', 'unfit')
    """
    unmet = [one for one in held if not one.ok]
    if any(not one.condition for one in unmet):
        return "unfit"
    decide = any(one.severity in ("stop", "caution") for one in findings)
    return "fit-with-conditions" if unmet or decide else "fit"


def binding(held: Sequence[Criterion]) -> str | None:
    """Return the name of what binds: what nothing mends, else what is unmet, else what more load meets first."""
    if not held:
        return None
    growing = [one for one in held if one.spare_kva is not None]
    if growing and all(one.ok for one in held):
        return min(growing, key=lambda one: one.spare_kva or 0.0).name

    def rank(one: Criterion) -> tuple[bool, bool, float]:
        margin = _far(one) if one.margin_pct is None else round(one.margin_pct, 6)
        return (one.ok or bool(one.condition), one.ok, margin)

    return min(held, key=rank).name


def _far(one: Criterion) -> float:
    return 1e9 if one.ok else -1e9


def _understood(plate: Plate) -> dict[str, Any]:
    return {
        "unit": plate.unit.name,
        "facts": [
            {"key": fact.key, "value": fact.value, "known": fact.known, "reason": fact.reason}
            for fact in plate.facts
        ],
    }


ASKED = {
    "unit.impedance": (
        "What impedance does the plate of {name} state?",
        "Faults, drop and sharing go by it.",
    ),
    "unit.frequency": (
        "What frequency does the plate of {name} state?",
        "Volts per hertz decide how long it lasts.",
    ),
}


def _open(plates: tuple[Plate, ...]) -> tuple[Question, ...]:
    """What the plate should still say: what stands in decides faults, drop and flux."""
    found = []
    for plate in plates:
        for fact in plate.facts:
            if fact.known == "assumed" and fact.key in ASKED:
                ask, why = ASKED[fact.key]
                said = ask.format(name=plate.unit.name)
                found.append(Question(key=fact.key, ask=said, assumed=fact.value, why=why))
    return tuple(found)
