"""The questions that can be examined. A new one is a line here and a module of its name beside the others.

The module has `study(subject, options, work) -> Answer`; one that also answers without a pick has
`study_without_pick(case, regime, options, work) -> Answer | None`.
"""

from __future__ import annotations

from importlib import import_module
from types import ModuleType
from typing import NamedTuple

from turnwright.errors import UnknownKey, nearest


class Asked(NamedTuple):
    """One question: its name, what it says, and the options that go with it.

    takes  "job", or "circuits": a file of circuits
    units  it can also be asked of a file of one unit
    """

    name: str
    says: str
    options: tuple[str, ...] = ()
    takes: str = "job"
    units: bool = False

    @property
    def module(self) -> ModuleType:
        """The module of the question, imported when it is asked."""
        return import_module(f"turnwright.examine.{self.name.replace('-', '_')}")


QUESTIONS = (
    Asked("fault", "short circuits of every type, and what devices must interrupt", ("voltage_factor",)),
    Asked("motor-start", "the voltage dip when a motor starts, by method", ("power_factor",)),
    Asked("unbalance", "currents and voltages where the phases are not loaded alike"),
    Asked("harmonics", "what harmonic currents of the loads do in the unit and before it"),
    Asked(
        "inrush",
        "the current at switching on, against the device before the unit, of a job or of a unit",
        ("closing_angle", "residual", "together", "reverse_fed", "hold_off"),
        units=True,
    ),
    Asked("parallel", "how units share a load, and what circulates between them", ("unit",)),
    Asked(
        "year",
        "hot spot, life used, losses and their cost over a metered load, of a job or of a unit",
        ("load", "price_kwh", "standard", "ageing", "cooling"),
        units=True,
    ),
    Asked(
        "overload",
        "how much a unit may carry for a time, and for how long a load, of a job or of a unit",
        ("after", "lasting", "times", "standard", "ageing", "cooling"),
        units=True,
    ),
    Asked(
        "cost",
        "what the losses of units cost, and what it takes for the dearer one to pay",
        ("load", "stock", "price_kwh", "demand_price", "hours", "discount", "years", "cooling_cop"),
    ),
    Asked("network", "the voltages and currents of a circuit described in JSON", takes="circuits"),
)


def find_question(name: str) -> Asked:
    """Return the question of a name.

    Raises:
        UnknownKey: EXM-01, there is none.

    Example:
        >>> find_question("fault").takes
        'job'
    """
    for asked in QUESTIONS:
        if asked.name == name:
            return asked
    names = [asked.name for asked in QUESTIONS]
    close = nearest(name, names)
    hint = f"Did you mean '{close}'? " if close else ""
    raise UnknownKey(
        "EXM-01", f"'{name}'", "is no question that can be examined.", f"{hint}Known: {', '.join(names)}."
    )
