"""What altitude and ambient leave of a rated power, by each published rule.

The rules differ. The most severe one counts unless another is chosen; all are handed back with their factors,
so that whoever reads the answer sees what the choice costs.
"""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from turnwright.errors import InputError, UnknownKey, nearest
from turnwright.reference import load
from turnwright.thermal.tables import constant
from turnwright.working import CLOSED, Known, Ledger, Number, formula

Cooling = Literal["AN", "AF"]


class DeratingRule(Struct, frozen=True):
    """One published rule: its name, the share of the rated power it leaves, source, how it is known."""

    name: str
    factor: float
    source: str
    known: Known


class Derating(Struct, frozen=True):
    """The factor that counts, the rule it comes from, and every rule with its factor."""

    factor: float
    rule: str
    by_choice: bool
    rules: tuple[DeratingRule, ...]

    def said(self) -> str:
        """Return the choice in one clause."""
        others = ", ".join(f"{each.name} {each.factor:.3f}" for each in self.rules if each.name != self.rule)
        why = "as chosen" if self.by_choice else "the most severe of the published rules"
        return f"{self.factor:.3f} by the {self.rule}, {why}" + (f" (others: {others})" if others else "")


@formula("1 − max(h − h_0, 0) / 100 · p / 100", "", "IEEE C57.96")
def altitude_slope_factor(altitude_m: float, usual_altitude_m: float, pct_per_100m: float) -> float:
    """Return the share of the rated power left at an altitude, by a straight slope. [-]

    altitude_m       : height above sea level [m]
    usual_altitude_m : height up to which nothing is lost [m]
    pct_per_100m     : loss per 100 m above [%/100 m]
    Source: IEEE C57.96

    Example:
        >>> altitude_slope_factor(altitude_m=1500.0, usual_altitude_m=1000.0, pct_per_100m=0.3)
        0.985
    """
    return max(1.0 - max(altitude_m - usual_altitude_m, 0.0) / 100.0 * pct_per_100m / 100.0, 0.0)


@formula(
    "(1 − max(h − h_0, 0) / 500 · p / 100)^(1 / q)", "", "IEC 60076-11, rise limit by altitude", "memory"
)
def altitude_rise_factor(
    altitude_m: float, usual_altitude_m: float, pct_per_500m: float, exponent: float
) -> float:
    """Return the share of the rated power left by a lower rise limit. [-]

    altitude_m       : height above sea level [m]
    usual_altitude_m : height up to which nothing is lost [m]
    pct_per_500m     : rise limit lost per 500 m above, 2.5 self-cooled, 5 forced air [%/500 m]
    exponent         : q of the hot-spot rise [-]
    Source: IEC 60076-11, rise limit by altitude, turned into a load by q

    Example:
        >>> round(altitude_rise_factor(1500.0, 1000.0, pct_per_500m=2.5, exponent=1.6), 4)
        0.9843
    """
    left = 1.0 - max(altitude_m - usual_altitude_m, 0.0) / 500.0 * pct_per_500m / 100.0
    return float(max(left, 0.0) ** (1.0 / exponent))


@formula(
    "((Δθ_R + t_0 − t) / Δθ_R)^(1 / q), at most 1", "", "constant hot spot, IEC 60076-12 clause 5", "memory"
)
def ambient_hot_spot_factor(
    ambient_c: float, usual_ambient_c: float, hot_spot_rise_k: float, exponent: float
) -> float:
    """Return the load that keeps the rated hot spot at another ambient; a cooler place earns nothing. [-]

    ambient_c       : average ambient [degC]
    usual_ambient_c : average ambient of the rating [degC]
    hot_spot_rise_k : hot-spot rise at rated load [K]
    exponent        : q of the hot-spot rise [-]
    Source: IEC 60076-12 clause 5, solved for the load at the rated hot spot

    Example:
        >>> round(ambient_hot_spot_factor(40.0, 30.0, hot_spot_rise_k=180.0, exponent=1.6), 3)
        0.965
    """
    left = (hot_spot_rise_k + usual_ambient_c - ambient_c) / hot_spot_rise_k
    return float(min(max(left, 0.0), 1.0) ** (1.0 / exponent))


@formula("1 − max(t − t_0, 0) · p / 100", "", "IEEE C57.96")
def ambient_slope_factor(ambient_c: float, usual_ambient_c: float, pct_per_k: float) -> float:
    """Return the share of the rated power left at an ambient, by a straight slope. [-]

    ambient_c       : ambient, average or peak as the slope counts it [degC]
    usual_ambient_c : ambient up to which nothing is lost [degC]
    pct_per_k       : loss per kelvin above [%/K]
    Source: IEEE C57.96 with the average, common practice with the peak

    Example:
        >>> ambient_slope_factor(ambient_c=50.0, usual_ambient_c=40.0, pct_per_k=0.8)
        0.92
    """
    return max(1.0 - max(ambient_c - usual_ambient_c, 0.0) * pct_per_k / 100.0, 0.0)


@formula("min(F_1, F_2, …)", "", "the most severe of the published rules that hold for the unit")
def most_severe(**factors: float) -> float:
    """Return the smallest share of the rated power that any rule leaves. [-]

    factors : share by rule, at least one [-]
    Source: published rules disagree; the most severe one is on the safe side

    Example:
        >>> most_severe(slope=0.985, steeper_slope=0.975, rise_limit=0.984)
        0.975
    """
    return min(factors.values())


def altitude_rules(cooling: Cooling = "AN") -> tuple[str, ...]:
    """Return the names of the rules for an altitude that are published for a cooling.

    cooling : AN self-cooled, AF forced air

    Example:
        >>> altitude_rules("AF")
        ('steeper slope', 'rise limit')
    """
    return ("slope", "steeper slope", "rise limit") if cooling == "AN" else ("steeper slope", "rise limit")


def altitude_derating(
    altitude_m: float, cooling: Cooling = "AN", rule: str | None = None, work: Ledger = CLOSED
) -> Derating:
    """Return what an altitude leaves of the rated power, by the most severe rule or a chosen one.

    altitude_m : height above sea level [m]
    cooling    : AN self-cooled, AF forced air
    rule       : "slope", "rise limit" or "steeper slope"; None: the most severe
    Raises: InputError HEAT-05 when the altitude is out of range; UnknownKey HEAT-06 for another rule.

    Example:
        >>> altitude_derating(1500.0).factor, altitude_derating(1500.0, rule="slope").factor
        (0.975, 0.985)
    """
    if not -500 <= altitude_m <= 9000:
        fix = "Write it in metres above sea level, -500 to 9000."
        raise InputError("HEAT-05", "altitude", f"{altitude_m:g} m is no altitude of a site.", fix)
    usual, q = constant("usual_altitude_m"), _exponent(cooling)
    an, af = constant("altitude_an_pct_per_100m"), constant("altitude_af_pct_per_100m")
    limit = (
        load("altitude_ambient").newest().row(quantity="altitude_temp_rise_limit", cooling=cooling, at=1500)
    )
    per_500 = 100.0 * (1.0 - limit.number("factor"))
    given = {"altitude_m": altitude_m, "usual_altitude_m": usual}
    slope = work.calc("altitude.slope", altitude_slope_factor, **given, pct_per_100m=an)
    forced = work.calc("altitude.steeper_slope", altitude_slope_factor, **given, pct_per_100m=af)
    rise = work.calc("altitude.rise_limit", altitude_rise_factor, **given, pct_per_500m=per_500, exponent=q)
    rules = [
        DeratingRule("steeper slope", forced, af.step.source, af.step.known),
        DeratingRule("rise limit", rise, limit.source.cite(), limit.source.known),
    ]
    if "slope" in altitude_rules(cooling):
        rules.insert(0, DeratingRule("slope", slope, an.step.source, an.step.known))
    return _pick("altitude.factor", rules, rule, work)


def ambient_rules(rise_k: float, cooling: Cooling = "AN") -> tuple[str, ...]:
    """Return the names of the rules for a warm place that are published for a unit.

    rise_k  : average winding rise at rated load [K]
    cooling : AN self-cooled, AF forced air

    Example:
        >>> ambient_rules(115.0)
        ('constant hot spot', 'trade rule')
    """
    guide = ("guide slope",) if rise_k == 150 and cooling == "AN" else ()  # published for this class alone
    return ("constant hot spot", *guide, "trade rule")


def ambient_derating(
    average_c: float,
    peak_c: float,
    rise_k: float,
    hot_spot_rise_k: float,
    cooling: Cooling = "AN",
    rule: str | None = None,
    work: Ledger = CLOSED,
) -> Derating:
    """Return what a warm place leaves of the rated power, by the most severe rule or a chosen one.

    average_c       : average ambient over 24 h [degC]
    peak_c          : highest ambient [degC]
    rise_k          : average winding rise at rated load [K]
    hot_spot_rise_k : hot-spot rise at rated load [K]
    cooling         : AN self-cooled, AF forced air
    rule            : "constant hot spot", "guide slope" or "trade rule"; None: the most severe. They are
                      never multiplied with each other
    Raises: InputError HEAT-05 when a temperature is out of range; UnknownKey HEAT-06 for another rule.

    Example:
        >>> ambient_derating(40.0, 50.0, 150.0, 180.0).rule
        'trade rule'
    """
    for name, value in (("ambient_average", average_c), ("ambient_peak", peak_c)):
        if not -60 <= value <= 80:
            fix = "Write it in degC, -60 to 80."
            raise InputError("HEAT-05", name, f"{value:g} °C is no ambient of a transformer.", fix)
    usual, peak = constant("usual_ambient_average_c"), constant("usual_ambient_peak_c")
    slope, thumb = constant("ambient_pct_per_k_150"), constant("ambient_thumb_pct_per_10k")
    q = _exponent(cooling)
    hot = work.calc(
        "ambient.constant_hot_spot",
        ambient_hot_spot_factor,
        ambient_c=average_c,
        usual_ambient_c=usual,
        hot_spot_rise_k=hot_spot_rise_k,
        exponent=q,
    )
    trade = work.calc(
        "ambient.trade_rule",
        ambient_slope_factor,
        ambient_c=peak_c,
        usual_ambient_c=peak,
        pct_per_k=thumb / 10,
    )
    rules = [
        DeratingRule("constant hot spot", hot, q.step.source, q.step.known),
        DeratingRule("trade rule", trade, thumb.step.source, thumb.step.known),
    ]
    if "guide slope" in ambient_rules(rise_k, cooling):
        factor = work.calc(
            "ambient.guide_slope",
            ambient_slope_factor,
            ambient_c=average_c,
            usual_ambient_c=usual,
            pct_per_k=slope,
        )
        rules.insert(1, DeratingRule("guide slope", factor, slope.step.source, slope.step.known))
    return _pick("ambient.factor", rules, rule, work)


def _exponent(cooling: Cooling) -> Number:
    keys = {"AN": "hot_spot_exponent_an", "AF": "hot_spot_exponent_af"}
    if cooling not in keys:
        raise UnknownKey("HEAT-06", "cooling", f'"{cooling}" is no cooling known here.', "Known: AN, AF.")
    return constant(keys[cooling])


def _pick(step: str, rules: list[DeratingRule], rule: str | None, work: Ledger) -> Derating:
    names = [each.name for each in rules]
    if rule is not None and rule not in names:
        close = nearest(rule, names)
        fix = f"Known here: {', '.join(names)}." + (f' Did you mean "{close}"?' if close else "")
        raise UnknownKey("HEAT-06", "rule", f'"{rule}" is no rule for this case.', fix)
    chosen = min(
        (each for each in rules if rule is None or each.name == rule),
        key=lambda each: (each.factor, each.name),
    )
    if rule is None:
        factors = {each.name.replace(" ", "_"): each.factor for each in rules}
        factor = work.calc(step, most_severe, **factors)
    else:
        says = f"the rule that was chosen: {chosen.source}"
        factor = work.note(
            step, chosen.factor, "", says, chosen.known, **{chosen.name.replace(" ", "_"): chosen.factor}
        )
    return Derating(factor, chosen.name, rule is not None, tuple(rules))
