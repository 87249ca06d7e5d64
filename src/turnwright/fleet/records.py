"""The records of a fleet: what is asked, what comes out, what could not be used.

===========  ================================================================
code         what is wrong
===========  ================================================================
``FLT-01``   there is no such file or folder, or no profile in it
``FLT-02``   a file cannot be read to its end
``FLT-03``   a column is missing, stands twice or is not known
``FLT-04``   a column is of the wrong kind
``FLT-05``   a file has no rows
``FLT-06``   times with and without a time zone stand together
``FLT-07``   the steps of a unit are not even: gap, duplicate, clock change
``FLT-08``   a load cannot be used
``FLT-09``   an ambient temperature cannot be used
``FLT-10``   a K factor cannot be used
``FLT-11``   a unit of the profiles is not in the list
``FLT-12``   the list of units cannot be used
``FLT-13``   the result cannot be written there
``FLT-14``   an option cannot be used
``FLT-15``   a part is not installed
``FLT-16``   a cluster cannot be used
===========  ================================================================
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, TypeAlias

from msgspec import Struct

from turnwright.model.result import Finding
from turnwright.thermal.ageing import Rule
from turnwright.thermal.classes import RatedRise, Standard
from turnwright.thermal.derating import Cooling
from turnwright.thermal.profile import HeatModel

Form = Literal["auto", "plain", "arrays", "float64", "float32"]
SCHEMA = 1
WORST = 10
"""So many rows stand in the report; all of them are in the file."""


class FleetOptions(Struct, frozen=True, kw_only=True):
    """How a fleet is calculated.

    standard      whose hot-spot rises: "ieee" or "iec"
    ageing        law of ageing: "iec", or "halving-10k", the trade's older rule
    cooling       "AN" self-cooled or "AF" forced air
    price_kwh     price of energy; None: no cost comes out [currency/kWh]
    form          form of the calculation; "auto" takes the quickest for the size
    threads       threads that read and calculate; None: one for each core, up to 8
    checkpoint_s  finished work is put aside as often as this [s]
    """

    standard: Standard = "ieee"
    ageing: Rule = "iec"
    cooling: Cooling = "AN"
    price_kwh: float | None = None
    form: Form = "auto"
    threads: int | None = None
    checkpoint_s: float = 1.0


class FleetUnit(Struct, frozen=True, kw_only=True):
    """A unit of the list, ready to be followed.

    kva               rated power [kVA]
    rated_current_a   of the secondary; None where the number of phases is not known [A]
    rise              its rises at rated load, and where they come from
    constants         what the quick forms of the calculation need of the model
    assumed           key of the nameplate -> what stands in for it
    """

    name: str
    kva: float
    rated_current_a: float | None
    rise: RatedRise
    model: HeatModel
    constants: tuple[float, ...]
    assumed: dict[str, str]


class FleetFault(Struct, frozen=True):
    """Something that could not be used; the others were calculated.

    unit  the unit that has no result for it; None: a whole file
    """

    code: str
    where: str
    what: str
    fix: str
    unit: str | None = None


class FleetRow(Struct, frozen=True, kw_only=True):
    """The result of one unit; energy and cost are None where losses or price are not known."""

    unit: str
    hot_spot_max_c: float
    life_used_h: float
    life_used_pct: float
    energy_loss_kwh: float | None
    cost_loss: float | None
    peak_pu: float
    overload_h: float
    hours: float
    rank: int


class FleetReport(Struct, frozen=True, kw_only=True):
    """What came out: how many units, where the rows stand, the worst of them, what could not be used.

    steps   steps that were followed
    form    form of the calculation that was used
    worst   first rows by rank: life used, then hot spot
    """

    schema: int = SCHEMA
    units: int
    out: str
    steps: int
    form: str
    worst: tuple[FleetRow, ...]
    findings: tuple[Finding, ...]
    faults: tuple[FleetFault, ...]


class FleetProgress(Struct, frozen=True):
    """Steps done, and of how many; None where that is not known beforehand."""

    done: int
    total: int | None


Listener: TypeAlias = Callable[[FleetProgress], None]
