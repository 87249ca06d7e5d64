"""Rules about loads that distort, by practice: spectrum, K rating, shield, neutral, drives, thyristors."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.demand.unmeasured import most_neutral_a
from turnwright.quantities import figure
from turnwright.regimes.common.rules.plain import SAME, labels, practice, start
from turnwright.regimes.common.usual import usual_p_ecr
from turnwright.regimes.rule import Check, Facts, Lacks, Rule, Said
from turnwright.thermal.harmonic_loss import permitted_current_pu

SENSITIVE = ("electronics", "computing", "imaging", "drive")


def nonlinear_share_pct(facts: Facts) -> float:
    """Return the share of the running load that distorts the current, stated or by its kind. [%]"""
    loads, picture = facts.case.loads, facts.picture
    kva = {load.index: load.running_kva for load in picture.loads}
    total = sum(kva.values())
    distorting = sum(
        kva[load.index] for load in loads if load.harmonics or load.index in picture.unknown_spectrum
    )
    return distorting / total * 100 if total else 0.0


def spectrum_unknown(facts: Facts) -> Iterator[Said]:
    """C57.110, UL 1561: without a spectrum neither K rating nor derating can be computed."""
    unknown = tuple(one for one in facts.case.loads if one.index in facts.picture.unknown_spectrum)
    if not unknown:
        return
    share = nonlinear_share_pct(facts)
    rated = facts.unit.k_rating or 1.0
    taken = (
        f"K-{rated:g} is specified, as is usual for its kind"
        if rated > 1.0
        else "an ordinary unit is specified, with room for what is usual for its kind"
    )
    neutral_a = most_neutral_a(facts.case.loads, facts.picture, facts.proposal.output.phases)
    neutral = (
        f" Until then the neutral may carry up to {figure(neutral_a, rounding='up')} A, 1.73 times its phase."
        if neutral_a
        else ""
    )
    yield Said(
        message=(
            f"The harmonics of {labels(unknown)} are not known: {figure(share)} % of the load may be "
            f"nonlinear; {taken}. Ask for a measured spectrum, or the kind of "
            f"input stage.{neutral}"
        ),
        value=share,
        unit="%",
    )


def k_rating(facts: Facts) -> Iterator[Said]:
    """UL 1561: the K of the current at this load is within the K rating of the unit, or the unit is derated."""
    at_load = facts.blocks.demand.k_at_load
    rated = facts.unit.k_rating or 1.0
    counts_kva = facts.unit.kva * ordinary_share(facts)
    if not facts.picture.spectrum or at_load is None or at_load <= max(rated, practice("k_without_rating")):
        return
    yield Said(
        message=(
            f"The current has K {figure(at_load, rounding='up')} at this load, the unit is rated K-{rated:g}: it "
            f"carries it derated only. {facts.unit.kva:g} kVA of an ordinary one count as "
            f"{figure(counts_kva, rounding='down')} kVA; the next K rating up is the other way."
        ),
        value=at_load,
        limit=rated,
    )


def eddy_share(facts: Facts) -> float:
    """Return the winding eddy loss to count with, the stated one or the high end of the usual band. [-]"""
    stated = facts.case.choices.p_ecr
    return usual_p_ecr() if stated is None else float(stated)


def ordinary_share(facts: Facts) -> float:
    """Return what an ordinary unit carries of its rating with the current of the loads: IEEE C57.110. [-]"""
    return float(permitted_current_pu(float(facts.picture.k_factor), eddy_share(facts)))


def harmonic_heating(marked: bool) -> Check:
    """Return the check that tells what the harmonics make of an ordinary unit, and why this K rating.

    marked : units are marked with K ratings there
    """

    def check(facts: Facts) -> Iterator[Said]:
        picture, eddy_pu = facts.picture, eddy_share(facts)
        allowed_pu = ordinary_share(facts)
        counts_kva = facts.unit.kva * allowed_pu
        yield Said(
            message=(
                f"Harmonics: loss factor {figure(picture.k_factor, rounding='up')}, distortion "
                f"{figure(picture.distortion_pct, rounding='up')} % of the whole current. An ordinary unit carries "
                f"{figure(allowed_pu * 100, rounding='down')} % of its rating with it (winding eddy loss "
                f"{eddy_pu * 100:g} %): {facts.unit.kva:g} kVA count as {figure(counts_kva, rounding='down')} kVA."
                f"{_k_chosen(facts, allowed_pu) if marked else ''}"
            ),
            value=float(picture.k_factor),
            limit=facts.unit.k_rating if marked else None,
        )

    return check


def _k_chosen(facts: Facts, allowed_pu: float) -> str:
    """Why the unit has its K rating, and what an ordinary one of its size would do."""
    rated, wanted = facts.unit.k_rating or 1.0, facts.case.choices.k_rating
    usual_pct = practice("distortion_usual_pct")
    if wanted is not None:
        return f" K-{wanted:g} is insisted on."
    if rated <= 1.0 and facts.picture.distortion_pct <= usual_pct * (1 + SAME):
        return f" That is enough, and up to {usual_pct:g} % is usual service: no K rating is needed."
    if rated <= 1.0:
        return " No marked K rating reaches it: the ordinary unit is larger instead."
    loaded = facts.blocks.demand.loading_pct / 100 * facts.picture.kva_heat / facts.picture.kva_with_growth
    instead = (
        f" It would carry this load too; over {usual_pct:g} % of distortion a marked unit is the surer one."
        if loaded <= allowed_pu
        else " That is too little for this load."
    )
    return f"{instead} K-{rated:g} is the smallest marked rating for it."


def neutral_over_phase(facts: Facts) -> Iterator[Said]:
    """Odd multiples of three add in the neutral: it may carry more than the phases, and no device protects it."""
    neutral_a, phase_a = facts.picture.neutral_a, max(facts.picture.line_a, default=0.0)
    if neutral_a is None or phase_a <= 0 or not facts.picture.neutral_harmonic_a:
        return
    share_pct = neutral_a / phase_a * 100
    watch_pct = practice("neutral_watch_pct")
    if share_pct <= watch_pct:
        return
    advised = practice("k_neutral_pct")
    yield Said(
        message=(
            f"The neutral carries {figure(share_pct)} % of the phase current "
            f"({figure(neutral_a, rounding='up')} A against {figure(phase_a)} A): no device protects it. "
            f"Size it for that; {advised:g} % terminals are usual on K-rated units."
        ),
        value=share_pct,
        limit=watch_pct,
        unit="%",
    )


def shield(facts: Facts) -> Iterator[Said]:
    """Common practice: a grounded shield between the windings keeps fast noise out, not harmonics."""
    loads = facts.of_kind(*SENSITIVE)
    if loads and facts.unit.shield and facts.case.choices.shield is None:
        yield Said(
            message=(
                f"An electrostatic shield is specified, as is usual for {labels(loads)}: against fast noise, not "
                "harmonics. It is grounded at one end by a short wide strap. Write shield = false where the owner "
                "wants none."
            )
        )
    elif loads and not facts.unit.shield:
        yield Said(
            message=(
                "An electrostatic shield, grounded at one end by a short wide strap, keeps fast noise from "
                f"{labels(loads)}; it does nothing against harmonics. Ask whether it is wanted."
            )
        )


def drive_supply(facts: Facts) -> Iterator[Said]:
    """Drives and other equipment that ask for a source with a solidly grounded wye."""
    output = facts.proposal.output
    supply = facts.case.supply
    if facts.proposal.derived:
        solid = output.connection == "wye"
    else:
        solid = supply.system.connection == "wye" and supply.grounding in (None, "solid")
    if solid:
        return
    asked = tuple(load for load in facts.case.loads if load.grounded_wye)
    drives = tuple(load for load in facts.of_kind("drive", "lift") if not load.grounded_wye)
    if asked:
        yield Said(
            message=f"{start(labels(asked))} asks for a solidly grounded wye; a {output.text} output is none.",
            severity="stop",
        )
    if drives:
        yield Said(
            message=(
                f"{start(labels(drives))} on an output that is no grounded wye: its filter and surge parts "
                "to ground fail. Take their links out as the maker says, or give it a grounded wye."
            )
        )


def drive_winding(facts: Facts) -> Iterator[Said]:
    """Drive isolation: delta to the line, wye to the drive, X0 grounded; kVA by input amperes."""
    drives = facts.of_kind("drive")
    if not drives:
        return
    low, high = practice("drive_reactor_low_pct"), practice("drive_reactor_high_pct")
    windings = (
        "the delta winding to the line, the wye to the drive with X0 grounded, "
        if facts.proposal.output.connection == "wye"
        else ""
    )
    yield Said(
        message=(
            f"For {labels(drives)}: {windings}size by the input amperes of the drive. Against harmonics alone a "
            f"{low:g} to {high:g} % reactor does the same."
        )
    )


def triplens(facts: Facts) -> Iterator[Said]:
    """Balanced orders divisible by three are alike in all phases: they stay in a delta, or run on in a neutral."""
    orders = [order for order, percent in facts.picture.spectrum if order % 3 == 0 and percent > 0]
    neutral = facts.proposal.output.neutral_v is not None and facts.proposal.phases == 3
    if not orders or not neutral:
        return
    named = ", ".join(str(order) for order in orders)
    if facts.proposal.primary.connection == "delta" and facts.proposal.derived:
        message = (
            f"Orders divisible by three ({named}) circulate in the delta: where the phases are alike the supply lines "
            "are free of them, of unlike phases the difference passes. Both windings carry and count them all the same."
        )
    else:
        message = (
            f"Orders divisible by three ({named}) pass through this connection into the neutral of the supply: it must "
            "carry them too. A delta winding would keep them."
        )
    yield Said(message=message)


def thyristor_firing(facts: Facts) -> Iterator[Said | Lacks]:
    """Phase-angle control distorts and notches, burst firing makes the supply flicker; which is it?"""
    furnaces = tuple(load for load in facts.of_kind("furnace", "heating") if load.firing == "phase angle")
    if furnaces:
        yield Said(
            message=(
                f"Phase-angle control of {labels(furnaces)} makes harmonics and notches; burst firing loads "
                "a transformer like plain heat. Ask for the spectrum, or for burst firing."
            )
        )
    untold = tuple(load for load in facts.of_kind("furnace") if load.firing is None and not load.harmonics)
    if untold:
        yield Lacks(tuple(f"load[{load.index}].firing" for load in untold))


PCS = {
    "load": [
        {"name": "benches", "system": "208Y/120", "kva": "20 kVA", "kind": "electronics", "neutral": True}
    ]
}


MEASURED = {
    "load": [
        {
            "name": "benches",
            "system": "208Y/120",
            "kva": "20 kVA",
            "kind": "electronics",
            "harmonics": {"3": 45, "5": 25, "7": 12},
            "neutral": True,
        }
    ]
}


DRIVE_ON_DELTA = {"load": [{"name": "fan drive", "system": "240 3ph", "kva": "20 kVA", "kind": "drive"}]}


DRIVE_ON_WYE = {"load": [{"name": "fan drive", "system": "208Y/120", "kva": "20 kVA", "kind": "drive"}]}


PLAIN = {"load": [{"name": "heaters", "system": "208Y/120", "kva": "20 kVA", "kind": "heating"}]}


def heating(marked: bool) -> Rule:
    """Return the rule about the heat of harmonics, where units are marked with K ratings and where they are not."""
    return Rule(
        id="harmonic-heating",
        severity="note",
        applies=lambda facts: facts.picture.k_factor > 1.0,
        check=harmonic_heating(marked),
        trips=MEASURED,
        clean=PLAIN,
    )


K_RATING = Rule(
    id="k-rating",
    severity="caution",
    check=k_rating,
    trips={**MEASURED, "choices": {"kva": "30 kVA", "k_rating": 1}},
    clean=PLAIN,
)
"""Where units are marked with K ratings."""

RULES = (
    Rule(
        id="drive-supply",
        severity="caution",
        check=drive_supply,
        trips=DRIVE_ON_DELTA,
        clean=DRIVE_ON_WYE,
    ),
    Rule(
        id="neutral-over-phase",
        severity="caution",
        check=neutral_over_phase,
        trips=MEASURED,
        clean=PLAIN,
    ),
    Rule(
        id="triplens",
        severity="note",
        applies=lambda facts: bool(facts.picture.spectrum),
        check=triplens,
        trips=MEASURED,
        clean=PLAIN,
    ),
    Rule(
        id="spectrum-unknown",
        severity="caution",
        check=spectrum_unknown,
        trips=PCS,
        clean=MEASURED,
    ),
    Rule(
        id="thyristor-firing",
        severity="caution",
        check=thyristor_firing,
        trips={
            "load": [
                {
                    "name": "kiln",
                    "system": "208Y/120",
                    "kva": "20 kVA",
                    "kind": "furnace",
                    "firing": "phase angle",
                }
            ]
        },
        clean={
            "load": [
                {"name": "kiln", "system": "208Y/120", "kva": "20 kVA", "kind": "furnace", "firing": "burst"}
            ]
        },
    ),
    Rule(
        id="shield",
        severity="note",
        applies=lambda facts: facts.proposal.derived,
        check=shield,
        trips=PCS,
        clean={**PCS, "choices": {"shield": True}},
    ),
    Rule(
        id="drive-winding",
        severity="note",
        applies=lambda facts: facts.proposal.derived,
        check=drive_winding,
        trips=DRIVE_ON_WYE,
        clean=PLAIN,
    ),
)
