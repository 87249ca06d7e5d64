"""Ageing of the insulation by its hot spot: rate, expected life, and the law of each insulation system.

Dry types follow an Arrhenius law, L = a exp(b / T). IEC 60076-12 publishes a and b by insulation system.
IEEE C57.96 has life curves of its own; no text of them was at hand, so their constants are not carried: its
loading equations are used with the constants of IEC 60076-12, or with the trade's older rule of halving.
"""

from __future__ import annotations

import math
from typing import Literal, get_args

from msgspec import Struct

from turnwright.errors import InputError, UnknownKey, nearest
from turnwright.reference import load
from turnwright.thermal.tables import constant
from turnwright.working import Known, formula

Rule = Literal["iec", "halving-10k"]
ZERO_K = 273.0
"""T = 273 + θ, as IEC 60076-12 eq. (2) rounds it; its constants belong to this value."""


@formula(
    "ln 2 / (1 / T_R − 1 / (T_R + δ)), T_R = 273 + θ_R", "K", "IEC 60076-12, Table 1 notes 2 and 3", "seen"
)
def arrhenius_b_k(rated_hot_spot_c: float, halving_k: float) -> float:
    """Return b of a life that halves with the first step over the rated hot spot. [K]

    rated_hot_spot_c : rated hot spot [degC]
    halving_k        : step that halves the life, 6 K by IEC 60076-12 [K]
    Source: IEC 60076-12, Table 1 notes 2 and 3

    Example:
        >>> round(arrhenius_b_k(rated_hot_spot_c=145.0, halving_k=6.0))
        20475
    """
    rated = ZERO_K + rated_hot_spot_c
    return math.log(2.0) / (1.0 / rated - 1.0 / (rated + halving_k))


@formula("exp(b / T_R − b / T)", "", "IEC 60076-12, eq. (2)", "seen")
def ageing_rate(hot_spot_c: float, rated_hot_spot_c: float, b_k: float) -> float:
    """Return how many hours of normal life one hour uses. [-]

    hot_spot_c       : hot spot, above -273 degC [degC]
    rated_hot_spot_c : hot spot of normal life [degC]
    b_k              : b of the insulation system [K]
    Source: IEC 60076-12, eq. (2)

    Example:
        >>> round(ageing_rate(hot_spot_c=165.59, rated_hot_spot_c=145.0, b_k=20475.0), 2)
        9.97
    """
    t, rated = ZERO_K + hot_spot_c, ZERO_K + rated_hot_spot_c
    return math.exp(b_k * (hot_spot_c - rated_hot_spot_c) / (t * rated))


@formula("L_N / V", "h", "IEC 60076-12, eq. (2)", "seen")
def expected_life_h(normal_life_h: float, rate: float) -> float:
    """Return the life expected at a steady hot spot. [h]

    normal_life_h : life at the rated hot spot, 180 000 h by IEC 60076-12 [h]
    rate          : ageing rate, above 0 [-]
    Source: IEC 60076-12, eq. (2)

    Example:
        >>> expected_life_h(normal_life_h=180000.0, rate=2.0)
        90000.0
    """
    return normal_life_h / rate


@formula("2^((θ − θ_R) / δ)", "", "rule of halving", "common practice")
def halving_rate(hot_spot_c: float, rated_hot_spot_c: float, halving_k: float) -> float:
    """Return the ageing rate by a rule of halving, with the same step at every temperature. [-]

    hot_spot_c       : hot spot [degC]
    rated_hot_spot_c : hot spot of normal life [degC]
    halving_k        : step that halves the life [K]
    Source: rule of halving

    Example:
        >>> halving_rate(hot_spot_c=125.0, rated_hot_spot_c=105.0, halving_k=10.0)
        4.0
    """
    return float(2.0 ** ((hot_spot_c - rated_hot_spot_c) / halving_k))


@formula("100 · t_used / L_N", "%")
def life_used_pct(life_used_h: float, normal_life_h: float) -> float:
    """Return the life used in percent of the normal life. [%]

    life_used_h   : hours of normal life used [h]
    normal_life_h : normal life [h]
    Source: definition

    Example:
        >>> life_used_pct(life_used_h=9000.0, normal_life_h=180000.0)
        5.0
    """
    return 100.0 * life_used_h / normal_life_h


class AgeingLaw(Struct, frozen=True):
    """How an insulation system ages.

    system_c          temperature class [degC]
    rated_hot_spot_c  hot spot at which the normal life holds [degC]
    b_k               b of the Arrhenius law [K]
    normal_life_h     life at the rated hot spot [h]
    source, known     where the constants stand and how they are known
    """

    system_c: float
    rated_hot_spot_c: float
    b_k: float
    normal_life_h: float
    source: str
    known: Known

    def rate(self, hot_spot_c: float) -> float:
        """Return the ageing rate at a hot spot. [-]"""
        return ageing_rate(hot_spot_c, self.rated_hot_spot_c, self.b_k)

    def life_h(self, hot_spot_c: float) -> float:
        """Return the life expected at a steady hot spot. [h]"""
        return expected_life_h(self.normal_life_h, self.rate(hot_spot_c))


def law_of(system_c: float, rule: Rule = "iec") -> AgeingLaw:
    """Return the ageing law of an insulation system.

    system_c : temperature class [degC]
    rule     : "iec", the constants of IEC 60076-12 (of a class that its table does not list, by its own
               notes); "halving-10k", the trade's older rule: slower ageing above the rated hot spot
    Raises: InputError HEAT-02 when the class is out of range; UnknownKey HEAT-03 for another rule.

    Example:
        >>> law_of(220).b_k, law_of(220).rated_hot_spot_c, law_of(185).rated_hot_spot_c
        (27285.0, 210.0, 175.0)
        >>> law_of(155).rate(145.0)
        1.0
    """
    if rule not in get_args(Rule):
        close = nearest(str(rule), get_args(Rule))
        fix = f"Known: {', '.join(get_args(Rule))}." + (f' Did you mean "{close}"?' if close else "")
        raise UnknownKey("HEAT-03", "ageing", f'"{rule}" is no rule of ageing.', fix)
    if not 90 <= system_c <= 300:
        what = f"{system_c:g} °C is no temperature class of an insulation system."
        raise InputError("HEAT-02", "insulation", what, "Classes are 105 to 220 °C, such as 180 or 220.")
    life = constant("normal_life_h")
    try:
        row = load("iec_insulation_life").newest().row(system_c=system_c)
    except UnknownKey:
        row = None
    below = constant("rated_hot_spot_below_class_k")
    hot_spot = row.number("rated_hot_spot_c") if row else system_c - below
    if rule == "halving-10k":
        halving = constant("life_halving_common_k")
        b = arrhenius_b_k(hot_spot, halving)
        return AgeingLaw(system_c, hot_spot, b, life, halving.step.source, halving.step.known)
    if row:
        return AgeingLaw(
            system_c, hot_spot, row.number("life_b_k"), life, row.source.cite(), row.source.known
        )
    b = arrhenius_b_k(hot_spot, constant("life_halving_k"))
    source = (
        "IEC 60076-12, Table 1 notes 2 and 3; the class is not in the table, its rated hot spot by the others"
    )
    return AgeingLaw(system_c, hot_spot, b, life, source, "computed")


def printed_life_h(system_c: float, hot_spot_c: float) -> float:
    """Return the expected life by a and b as IEC 60076-12 prints them. [h]

    system_c   : temperature class of Table 1 [degC]
    hot_spot_c : hot spot [degC]
    Raises: UnknownKey TBL-10 when Table 1 does not list the class.

    Example:
        >>> round(printed_life_h(155, 145.0), -3)
        180000.0
    """
    row = load("iec_insulation_life").newest().row(system_c=system_c)
    return row.number("life_a_h") * math.exp(row.number("life_b_k") / (ZERO_K + hot_spot_c))
