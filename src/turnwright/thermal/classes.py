"""Rise classes and insulation systems: what the average rise of a nameplate says of its hot spot."""

from __future__ import annotations

from typing import Literal, get_args

from msgspec import Struct

from turnwright.errors import InputError, UnknownKey, nearest
from turnwright.reference import Row, load
from turnwright.thermal.rise import rated_hot_spot_rise_k
from turnwright.thermal.tables import constant
from turnwright.working import Known

Standard = Literal["ieee", "iec"]


class RatedRise(Struct, frozen=True):
    """What a unit reaches at rated load.

    average_k        average winding rise [K]
    hot_spot_k       hot-spot rise [K]
    system_c         temperature class that the rise belongs to; None where no table says [degC]
    source, known    where the hot-spot rise comes from and how it is known
    """

    average_k: float
    hot_spot_k: float
    system_c: float | None
    source: str
    known: Known


def rated_rise(average_k: float, standard: Standard = "ieee") -> RatedRise:
    """Return the hot-spot rise that belongs to an average rise.

    average_k : average winding rise of the nameplate [K]
    standard  : "ieee", the classes of NEMA ST 20 and IEEE C57.12.01; where they have no such rise, and with
                "iec", the factor Z of IEC 60076-12
    Raises: InputError HEAT-04 when the rise is out of range; UnknownKey HEAT-03 for another standard.

    Example:
        >>> rated_rise(150).hot_spot_k, rated_rise(150).system_c
        (180.0, 220.0)
        >>> rated_rise(100, "iec").hot_spot_k, rated_rise(100, "iec").system_c
        (125.0, 155.0)
    """
    if standard not in get_args(Standard):
        close = nearest(str(standard), get_args(Standard))
        fix = f"Known: {', '.join(get_args(Standard))}." + (f' Did you mean "{close}"?' if close else "")
        raise UnknownKey("HEAT-03", "standard", f'"{standard}" is no standard known here.', fix)
    if not 20 <= average_k <= 250:
        what = f"{average_k:g} K is no average winding rise."
        raise InputError("HEAT-04", "rise", what, "Rises are 55 to 150 K, such as 80, 115 or 150.")
    row = _row(load("us_rise_classes").newest().rows, "rise_k", average_k) if standard == "ieee" else None
    if row is not None:
        published = row.number("hot_spot_rise_k")
        return RatedRise(average_k, published, row.number("system_c"), row.source.cite(), row.source.known)
    row = _row(load("iec_rise_classes").newest().rows, "rise_k", average_k)
    factor = constant("hot_spot_factor")
    hot = rated_hot_spot_rise_k(average_k, factor)
    source, known = factor.step.source, factor.step.known
    return RatedRise(average_k, hot, row.number("system_c") if row else None, source, known)


def _row(rows: tuple[Row, ...], column: str, value: float) -> Row | None:
    """Return the row with a value, or None."""
    return next((row for row in rows if row.number(column) == value), None)
