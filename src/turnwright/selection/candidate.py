"""Standard units that could do a job: the preferred ratings, as the trade usually builds them."""

from __future__ import annotations

from turnwright.arrangements import Proposal
from turnwright.model.case import Case, CaseChoices
from turnwright.model.unit import Impedance, Unit
from turnwright.regimes import Regime, UsualUnit
from turnwright.selection.specification import enclosure_of, shield_of, sound_limit_db


def candidate(proposal: Proposal, kva: float, case: Case, regime: Regime, k_rating: float) -> Unit:
    """Return the unit of one size as it would be ordered for this job."""
    usual = regime.usual_unit(proposal.unit_phases, kva, k_rating)
    choices, enclosure = case.choices, enclosure_of(case, kva)
    low, nominal, high = impedances(choices, usual, proposal.impedance_share)
    return Unit(
        phases=proposal.unit_phases,
        kva=kva,
        primary=proposal.primary,
        secondary=proposal.secondary,
        frequencies_hz=(case.supply.frequency_hz,),
        nominal=nominal,
        for_faults=low,
        for_drop=high,
        impedance_tolerance_pct=usual.impedance_tolerance_pct if nominal else 0.0,
        rise_k=choices.rise_k if choices.rise_k is not None else regime.usual_rise_k,
        k_rating=k_rating,
        winding=choices.winding,
        shield=shield_of(case),
        enclosure=enclosure.name,
        outdoor=case.site.place in ("outdoor", "roof"),
        built_as="step-up" if proposal.step_up else "step-down",
        taps_pct=usual.taps_pct if proposal.tapped else (),
        sound_db=sound_limit_db(
            regime, proposal.unit_phases, kva, k_rating, enclosure, "quiet" in case.site.conditions
        ),
    )


def impedances(
    choices: CaseChoices, usual: UsualUnit, share: float
) -> tuple[Impedance, Impedance | None, Impedance]:
    """Return the impedance for faults, the stated one if any, and the one for drops.

    share : what a unit of this arrangement usually has, over one of two separate windings
    """
    if choices.impedance_pct is not None:
        stated_low = _split(choices.impedance_pct, choices.resistance_pct, usual.x_over_r[1])
        stated_high = _split(choices.impedance_pct, choices.resistance_pct, usual.x_over_r[0])
        return stated_low, stated_low, stated_high
    low, high = choices.impedance_low_pct, choices.impedance_high_pct
    for_faults = (
        scaled(usual.for_faults, share)
        if low is None
        else _split(low, choices.resistance_pct, usual.x_over_r[1])
    )
    for_drop = (
        scaled(usual.for_drop, share)
        if high is None
        else _split(high, choices.resistance_pct, usual.x_over_r[0])
    )
    return for_faults, None, for_drop


def _split(magnitude_pct: float, resistance_pct: float | None, x_over_r: float) -> Impedance:
    """Resistance and reactance of a magnitude: by the stated resistance, else by the usual X/R."""
    if resistance_pct is None:
        resistance_pct = magnitude_pct / (1 + x_over_r**2) ** 0.5
    resistance_pct = min(resistance_pct, magnitude_pct)
    return Impedance(float(resistance_pct), float(max(magnitude_pct**2 - resistance_pct**2, 0.0) ** 0.5))


def scaled(z: Impedance, share: float) -> Impedance:
    """Return an impedance times a share."""
    return z if share == 1.0 else Impedance(z.resistance_pct * share, z.reactance_pct * share)
