"""What harmonics do to losses and to the current a unit may carry. Orders are named h1, h5, h7 and so on.

F_HL, the harmonic loss factor of a current, is taken as given here: the demand of the loads computes it.
The K of UL rates a unit built for the heating; the European factor K derates a standard unit. The numbers
differ and never stand for each other.
"""

from __future__ import annotations

import math

from turnwright.working import formula


@formula("Σ I_h² h^0.8 / Σ I_h²", "", "IEEE C57.110, other stray loss", "memory")
def stray_loss_factor(**orders: float) -> float:
    """Return F_HL-STR, by which harmonics raise the stray loss outside the windings. [-]

    orders : rms currents by order in one unit, h1, h5, h7, …, not all 0 [any]
    Source: IEEE C57.110, other stray loss

    Example:
        >>> stray_loss_factor(h1=100.0)
        1.0
    """
    squares = {int(name[1:]): value * value for name, value in orders.items()}
    return math.fsum(i * float(h**0.8) for h, i in squares.items()) / math.fsum(squares.values())


@formula("F_HL^0.4", "", "largest F_HL-STR that an F_HL allows: h^0.8 is a concave function of h²")
def stray_loss_bound(loss_factor: float) -> float:
    """Return the largest F_HL-STR that a known F_HL allows, where the orders are not known. [-]

    loss_factor : F_HL, 1 or more [-]
    Source: h^0.8 is a concave function of h², so that its mean lies below that of the mean

    Example:
        >>> round(stray_loss_bound(loss_factor=8.3476), 3)
        2.337
    """
    return float(loss_factor**0.4)


@formula("F_HL · (I / I_R)²", "", "UL 1561; IEEE C57.110", "memory")
def k_at_load(loss_factor: float, load_pu: float) -> float:
    """Return K at a load, on the rated current: what a K rating is compared with. [-]

    loss_factor : F_HL [-]
    load_pu     : rms load current over rated current [-]
    Source: UL 1561; IEEE C57.110

    Example:
        >>> round(k_at_load(loss_factor=8.0, load_pu=0.7), 2)
        3.92
    """
    return loss_factor * load_pu * load_pu


@formula("K² · (1 + F_HL · P_EC + F_STR · P_OSL)", "", "IEEE C57.110, load loss per unit of I²R", "memory")
def load_loss_pu(
    load_pu: float, loss_factor: float, stray_factor: float, eddy_pu: float, other_stray_pu: float
) -> float:
    """Return the load loss with harmonics per unit of the rated I²R. [-]

    load_pu        : rms load current over rated current [-]
    loss_factor    : F_HL [-]
    stray_factor   : F_HL-STR [-]
    eddy_pu        : winding eddy loss per unit of I²R at rated current [-]
    other_stray_pu : other stray loss per unit of I²R at rated current [-]
    Source: IEEE C57.110

    Example:
        >>> round(load_loss_pu(0.5, loss_factor=4.0, stray_factor=2.0, eddy_pu=0.1, other_stray_pu=0.05), 3)
        0.375
    """
    return load_pu * load_pu * (1.0 + loss_factor * eddy_pu + stray_factor * other_stray_pu)


@formula("√((1 + P_EC) / (1 + F_HL · P_EC))", "", "IEEE C57.110, dry types", "memory")
def permitted_current_pu(loss_factor: float, eddy_pu: float) -> float:
    """Return the rms current with harmonics that heats the windings as the rated sinusoidal one does. [-]

    loss_factor : F_HL, 1 or more [-]
    eddy_pu     : eddy loss per unit of I²R where the winding is hottest [-]
    Source: IEEE C57.110, dry types: other stray loss does not heat the windings

    Example:
        >>> round(permitted_current_pu(loss_factor=2.7243, eddy_pu=0.15), 4)
        0.9035
    """
    return math.sqrt((1.0 + eddy_pu) / (1.0 + loss_factor * eddy_pu))


@formula("(1 + F_HL · P_EC) / (1 + K_R · P_EC), at least 1", "", "IEEE C57.110; UL 1561", "memory")
def winding_loss_ratio(loss_factor: float, eddy_pu: float, k_rating: float = 1.0) -> float:
    """Return the winding loss with harmonics over that of the rating at the same rms current. [-]

    loss_factor : F_HL [-]
    eddy_pu     : winding eddy loss per unit of I²R [-]
    k_rating    : K that the unit is marked for, 1 without; what it leaves unused earns nothing [-]
    Source: IEEE C57.110; UL 1561

    Example:
        >>> round(winding_loss_ratio(loss_factor=8.0, eddy_pu=0.1), 3), winding_loss_ratio(4.0, 0.1, 13.0)
        (1.636, 1.0)
    """
    return max((1.0 + loss_factor * eddy_pu) / (1.0 + k_rating * eddy_pu), 1.0)


@formula("2.4 · P_EC / share", "", "IEEE C57.110, largest local eddy loss", "memory")
def local_eddy_pu(eddy_pu: float, peak_factor: float, inner_share: float) -> float:
    """Return the eddy loss where it is densest, per unit of the I²R of the inner winding. [-]

    eddy_pu     : winding eddy loss per unit of the I²R of both windings [-]
    peak_factor : 2.4, or 2.8 with a ratio over 4 and more than 1000 A [-]
    inner_share : share of the inner winding in the I²R, about 0.5 [-]
    Source: IEEE C57.110

    Example:
        >>> local_eddy_pu(eddy_pu=0.05, peak_factor=2.4, inner_share=0.5)
        0.24
    """
    return eddy_pu * peak_factor / inner_share


@formula(
    "√(1 + e / (1 + e) · (I_1 / I)² · Σ_{n ≥ 2} n^q (I_n / I_1)²)", "", "HD 538.3 S1; EN 50464-3", "memory"
)
def factor_k(e: float, q: float, **orders: float) -> float:
    """Return the European factor K, with the sum from the second order on. [-]

    e      : eddy loss over ohmic loss at the fundamental, 0.1 where unknown [-]
    q      : 1.7 for wire, 1.5 for foil windings [-]
    orders : rms currents by order in one unit, h1, h5, …, h1 above 0 [any]
    Source: HD 538.3 S1; EN 50464-3, sum from n = 2

    Example:
        >>> round(factor_k(0.1, 1.7, h1=1.0, h5=0.2, h7=0.14), 4)
        1.0483
    """
    return _factor_k(e, q, 2, orders)


@formula("√(1 + e / (1 + e) · (I_1 / I)² · Σ_{n ≥ 1} n^q (I_n / I_1)²)", "", "HD 538.3 S1", "seen")
def factor_k_all_orders(e: float, q: float, **orders: float) -> float:
    """Return the European factor K as some published sheets sum it, the fundamental included. [-]

    It is the more severe reading; a plain sinusoidal load would be derated by it.

    e, q, orders : as in `factor_k`
    Source: a published calculation after HD 538.3 S1, sum from n = 1

    Example:
        >>> round(factor_k_all_orders(0.1, 1.7, h1=1.0, h5=0.2, h7=0.14), 4)
        1.0884
    """
    return _factor_k(e, q, 1, orders)


def _factor_k(e: float, q: float, first: int, orders: dict[str, float]) -> float:
    currents = {int(name[1:]): value for name, value in orders.items()}
    squares = math.fsum(value * value for value in currents.values())
    tall = math.fsum(n**q * value * value for n, value in currents.items() if n >= first)
    return math.sqrt(1.0 + e / (1.0 + e) * tall / squares)
