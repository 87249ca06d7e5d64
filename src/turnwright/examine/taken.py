"""What a question may be told beside the job, one by one: what it is called, of what kind, what it says."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from turnwright.examine.registry import Asked

Kind = Literal["number", "count", "yes/no", "word", "energy price", "money", "points", "load", "units"]
LONG_KINDS = frozenset(("load", "units"))
"""Kinds whose text is a whole file."""


class Taken(Struct, frozen=True):
    """One thing a question may be told: its name among the options, its kind, what it says, how it is written."""

    name: str
    kind: Kind
    says: str
    sample: str
    words: tuple[str, ...] = ()


TAKEN = (
    Taken("voltage_factor", "number", "factor on the voltage of the supply for the largest fault", "1.05"),
    Taken(
        "power_factor", "number", "power factor of a motor at standstill (default: the largest dip's)", "0.3"
    ),
    Taken("closing_angle", "number", "angle of the voltage of line A, or of the two lines, at closing", "90"),
    Taken("residual", "number", "flux left in a core, of the peak flux at rated volts, 0 to 1", "0.6"),
    Taken("together", "count", "equal units closed at once", "2"),
    Taken("reverse_fed", "yes/no", "the unit is switched on from its load side", "no"),
    Taken(
        "hold_off", "points", "what the device before the unit holds, from its curve", "1200@0.1, 2500@0.01"
    ),
    Taken("unit", "units", "the units that are to work together (default: the pick twice)", "[[unit]] …"),
    Taken(
        "load",
        "load",
        "metered load: time, load_pu (or current_a or kva), ambient_c, k_factor",
        "time,load_pu …",
    ),
    Taken("stock", "units", "units with losses and prices to compare", "unit,kva,primary,secondary,price …"),
    Taken("price_kwh", "energy price", "price of energy", "0.12 USD"),
    Taken("demand_price", "money", "price of demand, of a kW for a month", "9 USD"),
    Taken("hours", "number", "hours energized in a year", "8760"),
    Taken("discount", "number", "yearly interest in percent", "5"),
    Taken("years", "number", "years that are counted", "20"),
    Taken(
        "cooling_cop",
        "number",
        "heat carried off over the power of the cooling, where the room is cooled",
        "3",
    ),
    Taken(
        "after", "number", "load carried for long before, over rated load (default: that of the job)", "0.7"
    ),
    Taken("lasting", "number", "hours it is to last", "2"),
    Taken("times", "number", "load, over rated load", "1.2"),
    Taken("standard", "word", "whose hot-spot rises (default: by the regime)", "ieee", ("ieee", "iec")),
    Taken(
        "ageing",
        "word",
        "law of ageing: iec, or that life halves with each 10 K",
        "iec",
        ("iec", "halving-10k"),
    ),
    Taken("cooling", "word", "AN self-cooled, AF forced air", "AN", ("AN", "AF")),
)
"""Everything that may be told, in the order in which it is asked."""


def taken_by(asked: Asked) -> tuple[Taken, ...]:
    """Return what a question may be told.

    Example:
        >>> from turnwright.examine.registry import find_question
        >>> [one.name for one in taken_by(find_question("fault"))]
        ['voltage_factor']
    """
    return tuple(one for one in TAKEN if one.name in asked.options)


def says(name: str) -> str:
    """Return what one thing says.

    Example:
        >>> says("price_kwh")
        'price of energy, as 0.12 USD'
    """
    one = next(each for each in TAKEN if each.name == name)
    return f"{one.says}, as {one.sample}" if one.kind in ("energy price", "money", "points") else one.says
