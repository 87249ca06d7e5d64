"""What harmonics ask of a unit: a K rating, or a larger ordinary unit."""

from __future__ import annotations

from math import sqrt

from turnwright.demand import LoadPicture
from turnwright.model.case import Case
from turnwright.model.unit import Unit
from turnwright.regimes import Regime
from turnwright.selection.specification import ORDINARY_K, k_unmeasured
from turnwright.working import Ledger, formula

SAME = 1e-9


@formula("S_heat · √((1 + K_load · P_EC) / (1 + K_unit · P_EC))", "kVA", "IEEE C57.110")
def harmonic_kva(heat_kva: float, k_load: float, k_unit: float, p_ecr: float) -> float:
    """Return the rated power at which the harmonics of a load heat a unit no more than its rating allows. [kVA]

    heat_kva : rated power that the load asks for without its harmonics [kVA]
    k_load   : harmonic loss factor of the load current [-]
    k_unit   : K rating of the unit, 1 for an ordinary one [-]
    p_ecr    : winding eddy loss at rated current per unit of I²R [-]
    Source: IEEE C57.110, largest current of a dry type; other stray loss is not in the windings

    Example:
        >>> round(harmonic_kva(heat_kva=100.0, k_load=8.3476, k_unit=1.0, p_ecr=0.08), 2)
        124.27
    """
    return heat_kva * sqrt((1 + k_load * p_ecr) / (1 + k_unit * p_ecr))


def k_rating_for(case: Case, picture: LoadPicture, regime: Regime, ordinary: bool = False) -> float:
    """Return the K rating to order: the one insisted on, else the smallest marked one not below the load's. [-]

    Loads whose spectrum nobody knows ask for what is usual for their kind and share.

    Where no marked rating reaches it, or the regime has none, an ordinary unit is taken and made larger.

    ordinary : take an ordinary unit where the distortion is no more than such units are made for
    """
    if case.choices.k_rating is not None:
        return case.choices.k_rating
    if picture.k_factor <= ORDINARY_K + SAME and not picture.unknown_spectrum:
        return ORDINARY_K
    if ordinary and is_usual_service(picture, regime):
        return ORDINARY_K
    wanted = max(float(picture.k_factor), k_unmeasured(case, picture))
    return next((k for k in regime.k_ratings if k >= wanted * (1 - SAME)), ORDINARY_K)


def is_usual_service(picture: LoadPicture, regime: Regime) -> bool:
    """Return whether the current is known, and no more distorted than in the usual service of an ordinary unit."""
    if picture.unknown_spectrum:
        return False
    limit_pct = float(regime.practice.row(key="distortion_usual_pct").number("value"))
    return picture.distortion_pct <= limit_pct * (1 + SAME)


def eddy_share(case: Case, regime: Regime) -> float:
    """Return the winding eddy loss to count with: the stated one, else the high end of the usual band. [-]"""
    if case.choices.p_ecr is not None:
        return case.choices.p_ecr
    return regime.usual_p_ecr


def counted_k(case: Case, picture: LoadPicture, regime: Regime) -> float:
    """Return the loss factor to derate by; where no K ratings are marked, that of unmeasured loads as is usual. [-]"""
    if regime.k_ratings or not picture.unknown_spectrum:
        return picture.k_factor
    return max(picture.k_factor, k_unmeasured(case, picture))


def harmonic_need_kva(
    heat_kva: float, case: Case, picture: LoadPicture, unit: Unit, regime: Regime, work: Ledger
) -> float | None:
    """Return what harmonics ask of a unit whose K rating does not cover the load; None where it does. [kVA]"""
    k_unit = unit.k_rating or ORDINARY_K
    k_load = counted_k(case, picture, regime)
    if k_load <= k_unit * (1 + SAME):
        return None
    kva: float = work.calc(
        "demand.need[harmonics].kva",
        harmonic_kva,
        heat_kva=heat_kva,
        k_load=k_load,
        k_unit=k_unit,
        p_ecr=eddy_share(case, regime),
    )
    return kva
