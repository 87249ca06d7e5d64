"""What altitude and ambient leave of a rated power at the site of a job, and what is said of it."""

from __future__ import annotations

from collections.abc import Iterator

from turnwright.model.case import CaseSite
from turnwright.model.result import Finding
from turnwright.quantities import figure
from turnwright.thermal.classes import rated_rise
from turnwright.thermal.derating import Derating, altitude_derating, ambient_derating, ambient_rules
from turnwright.thermal.tables import constant, practice
from turnwright.working import CLOSED, Ledger, formula

USUAL_RISE_K = 150.0
"""Of an ordinary unit, where nobody asks for another."""
LOWER_RISES_K = (115.0, 80.0)
"""Rises that the trade builds on the same insulation, the dearer last."""
LEAST_SHARE = 1e-6
_LIMITS = {"altitude": "usual_altitude_m", "ambient": "usual_ambient_average_c"}


@formula("F_altitude · F_ambient", "", "IEEE C57.96")
def usable_share(altitude: float, ambient: float) -> float:
    """Return the usable share of the rated power, never quite 0: then no size is large enough. [-]

    altitude : what the thin air leaves [-]
    ambient  : what the warm air leaves [-]
    Source: IEEE C57.96; both are taken as independent

    Example:
        >>> usable_share(altitude=0.5, ambient=0.5)
        0.25
    """
    return max(altitude * ambient, LEAST_SHARE)


@formula(
    "min(F · (1 + margin / 100), 1)", "", "a low rise on the insulation of a high one", "common practice"
)
def usable_share_of_low_rise(usable: float, margin_pct: float) -> float:
    """Return the usable share where a low rise leaves heat to spare: the place takes of that first. [-]

    usable     : share that the place leaves of an ordinary unit [-]
    margin_pct : what a unit of this rise could carry beyond its rating [%]
    Source: common practice, 15 % for 115 K and 30 % for 80 K on 220 °C insulation; never over the rating here

    Example:
        >>> round(usable_share_of_low_rise(usable=0.8, margin_pct=15.0), 2)
        0.92
    """
    return min(usable * (1.0 + margin_pct / 100.0), 1.0)


def margin_pct(rise_k: float | None, insulation_c: float | None) -> float:
    """Return what a unit could carry beyond its rating as its rise is low for its insulation, 0 where unknown. [%]

    Example:
        >>> margin_pct(115.0, 220.0), margin_pct(115.0, None), margin_pct(150.0, 220.0)
        (15.0, 0.0, 0.0)
    """
    usual_c = rated_rise(USUAL_RISE_K).system_c
    if rise_k not in LOWER_RISES_K or insulation_c is None or usual_c is None or insulation_c < usual_c:
        return 0.0
    return practice(f"margin_{rise_k:g}_rise_pct")


def derating_of(
    site: CaseSite, work: Ledger, rise_k: float | None = None, insulation_c: float | None = None
) -> float:
    """Return the usable share of the rated power of a self-cooled unit at this site. [-]

    The published rules that were chosen for the site count, otherwise the most severe ones.

    rise_k       : average winding rise of the unit; None: that of an ordinary one [K]
    insulation_c : temperature class of its insulation; None: the one that its rise needs [degC]
    """
    inner, margin = work.within("demand"), margin_pct(rise_k, insulation_c)
    high, warm = _altitude(site, inner), _ambient(site, None if margin else rise_k, inner)
    share: float = work.calc(
        "demand.usable_share",
        usable_share,
        altitude=_usual("altitude", inner) if high is None else high.factor,
        ambient=_usual("ambient", inner) if warm is None else warm.factor,
    )
    if margin:
        name = "demand.usable_share_of_low_rise"
        share = work.calc(name, usable_share_of_low_rise, usable=share, margin_pct=margin)
    return share


def derating_remarks(
    site: CaseSite, rise_k: float | None = None, insulation_c: float | None = None
) -> Iterator[Finding]:
    """Yield what there is to say of a place above usual service: the factor, its rule, and the other rules."""
    margin = margin_pct(rise_k, insulation_c)
    high, warm = _altitude(site, CLOSED), _ambient(site, None if margin else rise_k, CLOSED)
    if high is not None:
        yield _said("derated-by-altitude", f"At {site.altitude_m:g} m", high)
    if warm is not None:
        where = f"At {site.ambient_average_c:g} °C on average and {site.ambient_peak_c:g} °C at the peak"
        yield _said("derated-by-ambient", where, warm)
        yield from _not_for_this_rise(site, warm)
    if margin and (high is not None or warm is not None):
        yield _low_rise(
            derating_of(site, CLOSED), derating_of(site, CLOSED, rise_k, insulation_c), rise_k, margin
        )


def _low_rise(ordinary: float, share: float, rise_k: float | None, margin: float) -> Finding:
    """That the low rise of the unit makes good for its place."""
    return Finding(
        code="low-rise",
        severity="caution",
        message=(
            f"{rise_k:g} K rise on {rated_rise(USUAL_RISE_K).system_c:g} °C insulation: the place leaves "
            f"{figure(ordinary * 100, rounding='down')} % of an ordinary unit of {USUAL_RISE_K:g} K; with {margin:g} % "
            f"to spare this one keeps {figure(share * 100, rounding='down')} %. Order rise and insulation together, "
            "and have the maker confirm them for this place."
        ),
        known="common practice",
        value=float(share),
        limit=float(ordinary),
    )


def _not_for_this_rise(site: CaseSite, found: Derating) -> Iterator[Finding]:
    """Yield that the chosen rule is not published for the rise of the unit, where it is not."""
    if site.ambient_rule is not None and not found.by_choice:
        message = (
            f"The {site.ambient_rule} is published for an average rise of {USUAL_RISE_K:g} K only; for this unit "
            f"the most severe of the others stands: {found.rule}."
        )
        yield Finding(code="derating-rule", severity="caution", message=message, known="computed")


def _said(code: str, where: str, found: Derating) -> Finding:
    rule = next(each for each in found.rules if each.name == found.rule)
    return Finding(
        code=code,
        severity="note",
        message=f"{where} the usable share of the rated kVA is {found.said()}.",
        clause=None if rule.source.startswith("common practice") else rule.source,
        known=rule.known,
        value=float(found.factor),
    )


def _altitude(site: CaseSite, work: Ledger) -> Derating | None:
    """Return what an altitude above usual service leaves; None: all of it."""
    if site.altitude_m <= constant("usual_altitude_m"):
        return None
    return altitude_derating(site.altitude_m, rule=site.altitude_rule, work=work)


def _ambient(site: CaseSite, rise_k: float | None, work: Ledger) -> Derating | None:
    """Return what an ambient above usual service leaves; None: all of it."""
    average, peak = site.ambient_average_c, site.ambient_peak_c
    if average <= constant("usual_ambient_average_c") and peak <= constant("usual_ambient_peak_c"):
        return None
    rise = rated_rise(USUAL_RISE_K if rise_k is None else float(rise_k))
    chosen = site.ambient_rule if site.ambient_rule in ambient_rules(rise.average_k) else None
    return ambient_derating(average, peak, rise.average_k, rise.hot_spot_k, rule=chosen, work=work)


def _usual(what: str, work: Ledger) -> float:
    """Return the whole share, within usual service."""
    limit = constant(_LIMITS[what])
    says = f"usual service, where nothing is lost: {limit.step.source}"
    factor: float = work.note(f"{what}.factor", 1.0, "", says, limit.step.known)
    return factor
