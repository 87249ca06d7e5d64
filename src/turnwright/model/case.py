"""A case: one concrete value for every fact the engine needs, each tagged given, assumed or derived.

Values that enter formulas are `Number`s, so that the working can name the line of the file or the reason of
an assumption. A fact that only a rule asks for may be None: the runner of the rules turns that into "not
checked".
"""

from __future__ import annotations

from msgspec import Struct

from turnwright.quantities import VoltageSystem
from turnwright.working import Known


class Fact(Struct, frozen=True):
    """How one fact of the case is known.

    key     path in the job file, `supply.fault_current`
    value   the value used, as a person reads it
    known   "given", "assumed" or "computed"
    reason  why this value stands in, or what was made of the given one; "" when given as it is
    where   file and line, "" when the file does not have it
    """

    key: str
    value: str
    known: Known
    reason: str = ""
    where: str = ""


class CaseSupply(Struct, frozen=True, kw_only=True):
    """What feeds the transformer.

    fault_current_a      None: taken as an infinite source
    fault_current_low_a  the low end where it is half-known, for dips; equal to the other where it is exact
    """

    system: VoltageSystem
    line_v: float
    frequency_hz: float
    grounding: str | None
    earthing: str | None
    fault_current_a: float | None
    fault_current_low_a: float | None = None
    x_over_r: float
    source: str
    source_kva: float | None
    source_reactance_pct: float | None
    panel_rating_a: float | None
    panel_load_a: float | None
    panel_fault_rating_a: float | None
    measured_v: tuple[float, ...]
    measured_to_ground_v: tuple[float, ...]


class CaseLoad(Struct, frozen=True, kw_only=True):
    """One line of the load list.

    system       voltage system at the load: nominal, `nameplate_v` holds the volts of the plate
    size_kind    "current", "kva", "kw" or "hp", and `size` in A, kVA, kW or hp of one piece
    power_factor None: the angle is not known, the load adds in line with the sum of the others
    harmonics    percent of the fundamental by order, empty when sinusoidal or not known
    """

    index: int
    name: str
    system: VoltageSystem
    nameplate_v: float
    size_kind: str
    size: float
    quantity: float
    demand_factor: float
    demand_rule: str | None
    power_factor: float | None
    efficiency: float
    shaft: bool
    continuous: bool
    kind: str
    frequencies_hz: tuple[float, ...]
    neutral: bool | None
    grounded_wye: bool
    feeds_back: bool
    lines: str | None
    own_unit: bool
    measured_demand: bool
    never_with: str | None
    start: str | None
    start_current_a: float | None
    start_multiple: float | None
    locked_rotor_code: str | None
    start_dip_limit_pct: float | None
    largest_motor_hp: float | None
    harmonics: tuple[tuple[int, float], ...]
    firing: str | None
    duty_on_pct: float | None
    duty_period_s: float | None
    momentary_kva: float | None
    regulation_limit_pct: float | None

    @property
    def label(self) -> str:
        """The load as people read it: `load 1, mixer`."""
        return f"load {self.index + 1}, {self.name}" if self.name else f"load {self.index + 1}"


class CaseRoom(Struct, frozen=True, kw_only=True):
    """The room a unit stands in."""

    length_m: float | None
    width_m: float | None
    height_m: float | None
    ventilated: bool | None


UNDER_THE_SKY = ("outdoor", "roof")
"""Places where a case has to keep weather out."""


class CaseSite(Struct, frozen=True, kw_only=True):
    """Where the unit stands. `place_known` is False where "indoor" only stands in.

    altitude_rule  published rule that derates for altitude; None: the most severe one
    ambient_rule   the same for a warm place

    What else stands here only rules ask for.
    """

    ambient_average_c: float
    ambient_peak_c: float
    ambient_lowest_c: float | None
    altitude_m: float
    altitude_rule: str | None
    ambient_rule: str | None
    place: str
    place_known: bool
    temporary: bool
    conditions: tuple[str, ...]
    room: CaseRoom | None
    classified: str | None = None
    seismic: str | None = None
    seismic_g: float | None = None
    essential: bool | None = None
    way_in_width_m: float | None = None
    way_in_height_m: float | None = None
    way_in_mass_kg: float | None = None
    floor_load_kpa: float | None = None


class CaseCircuit(Struct, frozen=True, kw_only=True):
    """Conductors and devices on both sides. Lengths are one way; None: not counted."""

    primary_length_m: float | None
    secondary_length_m: float | None
    conductor: str
    terminals_c: float | None
    raceway: str
    installation: str | None
    insulation: str
    device_kind: str | None
    primary_device_a: float | None
    secondary_devices_a: tuple[float, ...]


class CaseChoices(Struct, frozen=True, kw_only=True):
    """What the user insists on; None: free.

    impedance_pct       None where the impedance is free or half-known
    impedance_low_pct   the ends of a half-known impedance: low for faults, high for drop and dip; both None
    impedance_high_pct  where it is exact or free
    """

    secondary: VoltageSystem | None
    kva: float | None
    proposed_kva: float | None
    units: int | None
    growth_pct: float
    rise_k: float | None
    winding: str | None
    impedance_pct: float | None
    impedance_low_pct: float | None = None
    impedance_high_pct: float | None = None
    resistance_pct: float | None
    p_ecr: float | None
    k_rating: float | None
    shield: bool | None
    arrangement: str | None
    manufactured: str
    price_kwh: float | None
    hours_per_year: float | None
    years: float | None
    discount_pct: float | None


class CaseOffer(Struct, frozen=True, kw_only=True):
    """A unit that is offered, as far as its cost goes; None: not told.

    enclosure  None: an ordinary ventilated one
    price      in `currency`
    """

    name: str
    kva: float | None
    primary: VoltageSystem | None
    secondary: VoltageSystem | None
    rise_k: float | None
    winding: str | None
    enclosure: str | None
    k_rating: float | None
    no_load_loss_w: float | None
    load_loss_w: float | None
    price: float | None
    currency: str


class Case(Struct, frozen=True, kw_only=True):
    """All the engine sees of a job."""

    title: str
    regime: str
    edition: str
    supply: CaseSupply
    loads: tuple[CaseLoad, ...]
    site: CaseSite
    circuit: CaseCircuit
    choices: CaseChoices
    offers: tuple[CaseOffer, ...] = ()
    facts: tuple[Fact, ...]

    @property
    def assumptions(self) -> tuple[Fact, ...]:
        """The facts that nobody gave."""
        return tuple(fact for fact in self.facts if fact.known == "assumed")


class Missing(Struct, frozen=True, kw_only=True):
    """A required fact that is not known.

    key            path in the job file
    what           the fact in plain words
    possibilities  the values it may have, as they are written in the file, where they can be counted
    """

    key: str
    what: str
    possibilities: tuple[str, ...] = ()


class NeedsInput(Struct, frozen=True, kw_only=True):
    """A job of which required facts are not known: what is missing, and what is known so far."""

    title: str
    regime: str
    edition: str
    missing: tuple[Missing, ...]
    facts: tuple[Fact, ...]


class Defaults(Struct, frozen=True, kw_only=True):
    """What a regime lets stand in for a missing fact, and its nominal voltages.

    nominal_v         nameplate volts -> nominal volts of the system such equipment is made for
    power_factor_kw   power factor of a load stated in kW without one
    efficiency_shaft  efficiency of a motor stated by its output without one
    systems           voltage systems in use, in the notation of the job file: the possibilities of "480"
    motor_table       the code has a table of motor currents, which goes before plate and efficiency
    unmarked_terminals  what terminals without a mark are good for; None: cables are not sized by them
    installation      how cables are taken to be laid, where they are sized by it; None: they are not
    """

    regime: str
    edition: str
    frequency_hz: float
    manufactured: str
    insulation: str
    nominal_v: dict[float, float]
    power_factor_kw: float
    x_over_r: float
    efficiency_shaft: float = 0.75
    ambient_average_c: float = 30.0
    ambient_peak_c: float = 40.0
    altitude_m: float = 1000.0
    systems: tuple[str, ...] = ()
    motor_table: bool = True
    unmarked_terminals: str | None = "60 °C column up to 100 A, 75 °C above"
    installation: str | None = None
