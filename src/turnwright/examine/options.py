"""What may be said beside a question, and the refusal of what does not go with it."""

from __future__ import annotations

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.examine.course import Course
from turnwright.examine.registry import Asked
from turnwright.model.job import Nameplate
from turnwright.quantities import Quantity
from turnwright.thermal.ageing import Rule
from turnwright.thermal.classes import Standard
from turnwright.thermal.derating import Cooling


class Options(Struct, frozen=True, kw_only=True):
    """What may be said beside the question.

    voltage_factor  factor c by which the source voltage is raised for the largest fault; None: by the regime
    power_factor    of a motor at standstill; None: the angle of the largest dip
    unit            units that exist, to work in parallel; none: the pick twice
    load            a metered load
    stock           units with what is known of their losses and prices, to be compared
    price_kwh       price of energy; None: that of the job
    demand_price    price of demand, of a kW for a month
    hours           hours energized in a year; None: those of the job
    discount        yearly interest by which later money counts less [%]
    years           years that are counted
    cooling_cop     heat carried off over the power of the cooling; None: nobody cools the room
    standard        whose hot-spot rises, "ieee" or "iec"; None: by the regime
    ageing          law of ageing, "iec" or "halving-10k"
    closing_angle   angle of the voltage of line A, or of the two lines, at switching on; None: the worst [deg]
    residual        flux left in a core, of the peak flux at rated volts; None: the usual
    together        equal units that are switched on at once
    reverse_fed     the unit is switched on from its load side
    hold_off        points of the device before the unit: current it holds, and how long [A, s]
    cooling         "AN" self-cooled or "AF" forced air
    after           load that was carried for long before an overload, over rated load; None: that of the job
    lasting         time an overload lasts [h]
    times           load of an overload, over rated load
    """

    voltage_factor: float | None = None
    power_factor: float | None = None
    unit: tuple[Nameplate, ...] = ()
    load: Course | None = None
    stock: tuple[Nameplate, ...] = ()
    price_kwh: Quantity | None = None
    demand_price: Quantity | None = None
    hours: float | None = None
    discount: float | None = None
    years: float | None = None
    cooling_cop: float | None = None
    standard: Standard | None = None
    ageing: Rule = "iec"
    cooling: Cooling = "AN"
    closing_angle: float | None = None
    residual: float | None = None
    together: int = 1
    reverse_fed: bool = False
    hold_off: tuple[tuple[float, float], ...] = ()
    after: float | None = None
    lasting: float | None = None
    times: float | None = None


def refuse_options(asked: Asked, options: Options) -> None:
    """Refuse what does not go with a question.

    Raises:
        InputError: EXM-04, an option of another question.
    """
    usual = Options()
    for name in options.__struct_fields__:
        if getattr(options, name) != getattr(usual, name) and name not in asked.options:
            word = name.replace("_", "-")
            fix = f"Leave --{word} out."
            raise InputError("EXM-04", f"--{word}", f"does not go with the question {asked.name}.", fix)
