"""What a person gave: the job and the nameplate, as facts, half-known ones included.

A field is None when the file does not have the key, `UNKNOWN` when the file says "unknown".
Quantities keep their text and their range. `keys.py` says what each field means.
"""

from __future__ import annotations

from typing import TypeAlias

from msgspec import Struct

from turnwright.quantities import Quantity, Unknown, VoltageSystem

SystemFact: TypeAlias = VoltageSystem | Unknown | None
WordFact: TypeAlias = str | Unknown | None
YesNoFact: TypeAlias = bool | Unknown | None
QuantityFact: TypeAlias = Quantity | None


class Supply(Struct, frozen=True, kw_only=True):
    """What feeds the transformer."""

    system: SystemFact = None
    frequency: QuantityFact = None
    grounding: WordFact = None
    earthing: WordFact = None
    fault_current: QuantityFact = None
    x_over_r: QuantityFact = None
    measured: tuple[Quantity, ...] = ()
    measured_to_ground: tuple[Quantity, ...] = ()
    source: WordFact = None
    source_kva: QuantityFact = None
    source_reactance: QuantityFact = None
    panel_rating: QuantityFact = None
    panel_load: QuantityFact = None
    panel_fault_rating: QuantityFact = None
    note: str | None = None


class Duty(Struct, frozen=True, kw_only=True):
    """A load that is on for a share of each period."""

    on: QuantityFact = None
    period: QuantityFact = None
    note: str | None = None


class Spectrum(Struct, frozen=True):
    """Harmonic currents in percent of the fundamental, by order."""

    percent_by_order: tuple[tuple[int, Quantity], ...]


class Load(Struct, frozen=True, kw_only=True):
    """One line of the load list: a kind of piece and how many of them."""

    name: str | None = None
    system: SystemFact = None
    current: QuantityFact = None
    kva: QuantityFact = None
    kw: QuantityFact = None
    hp: QuantityFact = None
    power_factor: QuantityFact = None
    efficiency: QuantityFact = None
    shaft: YesNoFact = None
    quantity: QuantityFact = None
    demand_factor: QuantityFact = None
    demand_rule: WordFact = None
    measured_demand: YesNoFact = None
    never_with: str | None = None
    continuous: YesNoFact = None
    kind: WordFact = None
    frequency: tuple[Quantity, ...] | None = None
    start: WordFact = None
    start_current: QuantityFact = None
    locked_rotor_code: WordFact = None
    start_dip_limit: QuantityFact = None
    largest_motor: QuantityFact = None
    harmonics: Spectrum | Unknown | None = None
    spectrum: str | None = None
    firing: WordFact = None
    duty: Duty | None = None
    momentary: QuantityFact = None
    regulation_limit: QuantityFact = None
    neutral: YesNoFact = None
    grounded_wye: YesNoFact = None
    feeds_back: YesNoFact = None
    lines: WordFact = None
    transformer: WordFact = None
    note: str | None = None


class Room(Struct, frozen=True, kw_only=True):
    """The room a unit stands in."""

    length: QuantityFact = None
    width: QuantityFact = None
    height: QuantityFact = None
    ventilated: YesNoFact = None
    note: str | None = None


class Site(Struct, frozen=True, kw_only=True):
    """Where the unit stands."""

    ambient_average: QuantityFact = None
    ambient_peak: QuantityFact = None
    ambient_lowest: QuantityFact = None
    altitude: QuantityFact = None
    altitude_rule: WordFact = None
    ambient_rule: WordFact = None
    place: WordFact = None
    temporary: YesNoFact = None
    conditions: tuple[str, ...] | Unknown | None = None
    classified: WordFact = None
    seismic: WordFact = None
    seismic_g: QuantityFact = None
    essential: YesNoFact = None
    way_in_width: QuantityFact = None
    way_in_height: QuantityFact = None
    way_in_mass: QuantityFact = None
    floor_load: QuantityFact = None
    room: Room | None = None
    note: str | None = None


class Circuit(Struct, frozen=True, kw_only=True):
    """The conductors and devices on both sides."""

    primary_length: QuantityFact = None
    secondary_length: QuantityFact = None
    conductor: WordFact = None
    terminals: QuantityFact = None
    raceway: WordFact = None
    installation: str | None = None
    insulation: WordFact = None
    device_kind: WordFact = None
    primary_device: QuantityFact = None
    secondary_devices: tuple[Quantity, ...] = ()
    note: str | None = None


class Choices(Struct, frozen=True, kw_only=True):
    """What the user insists on."""

    secondary: SystemFact = None
    kva: QuantityFact = None
    proposed_kva: QuantityFact = None
    units: QuantityFact = None
    growth: QuantityFact = None
    rise: QuantityFact = None
    winding: WordFact = None
    impedance: QuantityFact = None
    resistance: QuantityFact = None
    p_ecr: QuantityFact = None
    k_rating: QuantityFact = None
    shield: YesNoFact = None
    arrangement: WordFact = None
    manufactured: WordFact = None
    price_kwh: QuantityFact = None
    hours_per_year: QuantityFact = None
    years: QuantityFact = None
    discount: QuantityFact = None
    note: str | None = None


class Nameplate(Struct, frozen=True, kw_only=True):
    """A unit that exists or is offered, as its nameplate, its papers or a list give it."""

    unit: str | None = None
    kva: QuantityFact = None
    primary: SystemFact = None
    secondary: SystemFact = None
    frequency: tuple[Quantity, ...] | None = None
    impedance: QuantityFact = None
    resistance: QuantityFact = None
    rise: QuantityFact = None
    winding: WordFact = None
    k_rating: QuantityFact = None
    insulation: QuantityFact = None
    no_load_loss: QuantityFact = None
    load_loss: QuantityFact = None
    load_loss_at: QuantityFact = None
    p_ecr: QuantityFact = None
    time_constant: QuantityFact = None
    taps: tuple[Quantity, ...] = ()
    built_as: WordFact = None
    enclosure: WordFact = None
    outdoor: YesNoFact = None
    sound: QuantityFact = None
    mass: QuantityFact = None
    manufactured: WordFact = None
    price: QuantityFact = None
    quantity: QuantityFact = None
    note: str | None = None


class Job(Struct, frozen=True, kw_only=True):
    """Everything known of one job. `origin` names the file, `lines` the line of each key path in it."""

    schema: int = 1
    title: str | None = None
    regime: WordFact = None
    edition: WordFact = None
    note: str | None = None
    supply: Supply = Supply()
    load: tuple[Load, ...] = ()
    site: Site = Site()
    circuit: Circuit = Circuit()
    choices: Choices = Choices()
    offer: tuple[Nameplate, ...] = ()
    origin: str = "job"
    lines: dict[str, int] = {}
