"""What altitude and ambient leave of a rated power."""

from __future__ import annotations

from turnwright.model.case import CaseSite
from turnwright.reference import load
from turnwright.working import Ledger, formula


@formula("1 − max(h − h_usual, 0) / 100 · slope / 100", "", "IEEE C57.96")
def altitude_factor(altitude_m: float, usual_altitude_m: float, pct_per_100m: float) -> float:
    """Return the usable share of the rated power at an altitude. [-]

    altitude_m       : height above sea level [m]
    usual_altitude_m : height up to which nothing is lost [m]
    pct_per_100m     : loss per 100 m above [%/100 m]
    Source: IEEE C57.96, self-cooled dry types

    Example:
        >>> altitude_factor(altitude_m=1500.0, usual_altitude_m=1000.0, pct_per_100m=0.3)
        0.985
    """
    return 1 - max(altitude_m - usual_altitude_m, 0.0) / 100 * pct_per_100m / 100


@formula("1 − max(t − t_usual, 0) · slope / 100", "", "IEEE C57.96")
def ambient_factor(ambient_c: float, usual_ambient_c: float, pct_per_k: float) -> float:
    """Return the usable share of the rated power at an average ambient; a cooler place earns nothing. [-]

    ambient_c       : average ambient [degC]
    usual_ambient_c : average ambient up to which nothing is lost [degC]
    pct_per_k       : loss per kelvin above [%/K]
    Source: IEEE C57.96, 150 K rise

    Example:
        >>> ambient_factor(ambient_c=40.0, usual_ambient_c=30.0, pct_per_k=0.35)
        0.965
    """
    return 1 - max(ambient_c - usual_ambient_c, 0.0) * pct_per_k / 100


@formula("F_altitude · F_ambient", "", "IEEE C57.96")
def usable_share(altitude: float, ambient: float) -> float:
    """Return the usable share of the rated power. [-]

    Example:
        >>> usable_share(altitude=0.5, ambient=0.5)
        0.25
    """
    return altitude * ambient


def derating_of(site: CaseSite, work: Ledger) -> float:
    """Return the usable share of the rated power of a self-cooled unit at this site. [-]"""
    constants = load("dry_type_constants").newest()
    value = {
        key: constants.row(key=key).number("value")
        for key in (
            "usual_altitude_m",
            "altitude_an_pct_per_100m",
            "usual_ambient_average_c",
            "ambient_pct_per_k_150",
        )
    }
    altitude = work.calc(
        "demand.altitude_factor",
        altitude_factor,
        altitude_m=site.altitude_m,
        usual_altitude_m=value["usual_altitude_m"],
        pct_per_100m=value["altitude_an_pct_per_100m"],
    )
    ambient = work.calc(
        "demand.ambient_factor",
        ambient_factor,
        ambient_c=site.ambient_average_c,
        usual_ambient_c=value["usual_ambient_average_c"],
        pct_per_k=value["ambient_pct_per_k_150"],
    )
    share: float = work.calc("demand.usable_share", usable_share, altitude=altitude, ambient=ambient)
    return share
