"""Can units work together: how a load divides, what circulates without one, when joining is next to a short."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from turnwright.arrangements import impossible, offers
from turnwright.demand import LoadPicture, demand_of
from turnwright.errors import InputError
from turnwright.examine.parallel_cases import Together, solved, together_of
from turnwright.examine.parallel_pages import (
    assumed_of,
    bars_of,
    findings_of,
    grid_of,
    questions_of,
    said_of,
)
from turnwright.examine.parallel_units import Member, cannot_join, doubled, existing
from turnwright.examine.records import Answer
from turnwright.examine.subject import Subject
from turnwright.examine.words import amps, pct
from turnwright.model.case import Case
from turnwright.model.result import Finding
from turnwright.regimes import Regime
from turnwright.regimes.said import said
from turnwright.working import Ledger

if TYPE_CHECKING:
    from turnwright.examine.options import Options

FULL_PCT = 100.0
WITHIN = 1 + 1e-9
SOLVED = "solved circuit: the units on one bus"
LEAST = 2


def study(subject: Subject, options: Options, work: Ledger) -> Answer:
    """Return the pick twice, side by side under the load of the job."""
    if not subject.balanced or not subject.sized.proposal.derived:
        return Answer(
            said=("This arrangement is not simply doubled: say which units are to work together (--unit).",),
            answers={},
            verdict="needs-input",
        )
    picture = subject.sized.picture
    return _answer(subject.case, subject.regime, doubled(subject), picture, work)


def study_units(case: Case, regime: Regime, options: Options, work: Ledger) -> Answer:
    """Return units that exist, side by side under the load of the job.

    Raises:
        InputError: EXM-06, fewer than two units, or one whose kVA or windings are not known.
    """
    members = existing(case, regime, options.unit)
    if len(members) < LEAST:
        fix = "Write several [[unit]], or quantity = 2."
        raise InputError("EXM-06", "--unit", f"{len(members)} unit has nothing to share with.", fix)
    stopped = (
        [one.finding for one in impossible(case)]
        + list(cannot_join(case, members))
        + _unserved(case, members)
    )
    if stopped:
        return _refused(case, members, tuple(stopped), work)
    picture = demand_of(case, members[0].secondary, regime.demand, work)
    return _answer(case, regime, members, picture, work)


def _unserved(case: Case, members: tuple[Member, ...]) -> list[Finding]:
    """Loads that the units cannot feed."""
    system = members[0].secondary
    return [
        said(
            "load-not-served",
            "stop",
            f"{one.label.capitalize()} asks for {one.system.text}; the units give {system.text}.",
        )
        for one in case.loads
        if not offers(system, one)
    ]


def _refused(case: Case, members: tuple[Member, ...], stops: tuple[Finding, ...], work: Ledger) -> Answer:
    """Say why, with the current that joining them would drive where that is the reason."""
    answers: dict[str, Any] = {"possible": False, "units": [_plate(member) for member in members]}
    said_too: tuple[str, ...] = ()
    if any(one.code == "displacement-differs" for one in stops):
        found = solved(members, 1.0, 1.0, members[0].no_load_v)
        shares = {share.name: share for share in found.shares}
        worst = max(found.shares, key=lambda share: share.circulating_pct)
        answers["circulating_a"] = work.note(
            "answers.circulating_a", worst.circulating_a, "A", f"{SOLVED}, without load", "computed"
        )
        answers["circulating_pct"] = shares[worst.name].circulating_pct
        said_too = (
            f"Joined, {amps(worst.circulating_a, 'up')} would flow without any load: "
            f"{pct(worst.circulating_pct, 'up')} of the rated current of {worst.name}.",
        )
    return Answer(
        said=("These units must not work in parallel.", *said_too),
        answers=answers,
        findings=stops,
        verdict="refused",
    )


def _answer(
    case: Case, regime: Regime, members: tuple[Member, ...], picture: LoadPicture, work: Ledger
) -> Answer:
    together = together_of(members, picture)
    answers = _answers(together, work)
    findings = findings_of(regime, together)
    return Answer(
        said=said_of(together),
        answers=answers,
        grids=(grid_of(together),),
        series=(bars_of(together),),
        findings=findings,
        questions=questions_of(members),
        assumed=assumed_of(together, picture),
        verdict="refused" if together.usual.near_short else "answered",
    )


def _answers(together: Together, work: Ledger) -> dict[str, Any]:
    usual = together.usual
    note = work.note
    return {
        "possible": not usual.near_short,
        "units": [_unit(together, number, work) for number in range(len(together.members))],
        "load_kva": together.load_kva,
        "power_factor": together.power_factor,
        "no_load_v": usual.no_load_v,
        "loaded_v": usual.loaded_v,
        "limit_kva": note(
            "answers.limit_kva",
            usual.limit_kva,
            "kVA",
            f"{SOLVED}; largest load without overload",
            "computed",
        ),
        "limiting": usual.limiting,
        "rated_kva": sum(member.kva for member in together.members),
        "tap_step_pct": together.tap_step_pct,
        "circulating_one_tap_apart_a": note(
            "answers.circulating_one_tap_apart_a",
            max(share.circulating_a for share in together.tap_apart.shares),
            "A",
            f"{SOLVED}, without load, the first unit one tap step above the others",
            "computed",
        ),
    }


def _unit(together: Together, number: int, work: Ledger) -> dict[str, Any]:
    """Return what one unit carries; powers at the nominal voltage, as loads are stated."""
    member, share = together.members[number], together.usual.shares[number]
    note, name = work.note, f"answers.units[{number}]"
    given = {"load_kva": together.load_kva, "power_factor": together.power_factor}
    nominal = together.bus_v / together.usual.loaded_v
    return {
        **_plate(member),
        "load_a": note(f"{name}.load_a", share.load_a, "A", SOLVED, "computed", **given),
        "load_kva": abs(share.load_kva) * nominal,
        "load_kw": share.load_kva.real * nominal,
        "load_kvar": share.load_kva.imag * nominal,
        "load_pct": note(f"{name}.load_pct", share.load_pct, "%", SOLVED, "computed", **given),
        "worst_pct": note(
            f"{name}.worst_pct",
            together.worst_pct[member.name],
            "%",
            f"{SOLVED}; this one at the low end of its impedance, the others at the high end",
            "computed",
            **given,
        ),
        "circulating_a": note(
            f"{name}.circulating_a", share.circulating_a, "A", f"{SOLVED}, without load", "computed"
        ),
        "circulating_pct": share.circulating_pct,
    }


def _plate(member: Member) -> dict[str, Any]:
    return {
        "unit": member.name,
        "kva": member.kva,
        "primary": member.primary.text,
        "secondary": member.secondary.text,
        "no_load_v": member.no_load_v,
        "displacement_deg": member.displacement_deg,
        "impedance_pct": [member.low.magnitude_pct, member.high.magnitude_pct],
    }
