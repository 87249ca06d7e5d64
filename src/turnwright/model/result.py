"""What the tool answers: the blocks of the result. Field names are the keys of the JSON."""

from __future__ import annotations

from typing import Any, Literal

from msgspec import Struct

from turnwright.working import Known

Verdict = Literal["selected", "refused", "needs-input"]
Severity = Literal["stop", "caution", "note"]
Status = Literal["fits", "too small", "not possible", "not allowed"]


class Finding(Struct, frozen=True, kw_only=True):
    """Something a rule or a check has to say."""

    code: str
    severity: Severity
    message: str
    clause: str | None = None
    known: Known
    value: float | None = None
    limit: float | None = None
    unit: str | None = None


class Question(Struct, frozen=True, kw_only=True):
    """What to ask next, what stands in for the answer, and what the answer would move."""

    key: str
    ask: str
    assumed: Any = None
    why: str
    moves: dict[str, Any] = {}


class BuckBoost(Struct, frozen=True, kw_only=True):
    """Windings of a unit connected as an autotransformer for a small change of voltage."""

    winding_v: tuple[float, float]
    output_v: float
    through_kva: float


class Pick(Struct, frozen=True, kw_only=True):
    """The unit that is chosen.

    mass_kg       of one unit: as given, else the heavy end of what is usual, to plan floor, way in and hoist by
    insulation_c  temperature class of the insulation; None: the one that goes with the rise
    """

    arrangement: str
    phases: int
    units: int
    kva: float
    primary: str
    secondary: str
    frequency_hz: float
    vector_group: str | None
    rise_k: float | None
    k_rating: float | None
    impedance_pct: float | None
    shield: bool | None
    taps: tuple[str, ...]
    tap: str | None
    enclosure: str | None
    availability: str | None
    sound_limit_db: float | None
    heat_w: float | None
    mass_kg: float | None
    lines: tuple[str, ...] | None
    buck_boost: BuckBoost | None
    insulation_c: float | None = None


class Option(Struct, frozen=True, kw_only=True):
    """Another size or arrangement, with what speaks for or against it.

    loss_kwh_year   both ends of what is usually lost in a year at this load, at all hours; None: not known
    loss_cost_year  the same at the price of a kWh; None: no price is known
    build           what is different from the pick, "80 K rise"; None: nothing
    offer           name of a unit that is offered; None: nobody offers it
    saved_kwh_year  both ends of what it loses less in a year than the pick, below 0: more; None: not known
    worth_extra     both ends of how much dearer than the pick it may be for that, over the years; None: not known
    price           of an offer; None: not known
    owning_cost     price and losses over the years together, both ends; None: not known
    currency        of the prices; None: there are none
    """

    arrangement: str
    kva: float | None
    status: Status
    loading_pct: float | None
    why: str
    loss_kwh_year: tuple[float, float] | None = None
    loss_cost_year: tuple[float, float] | None = None
    build: str | None = None
    offer: str | None = None
    saved_kwh_year: tuple[float, float] | None = None
    worth_extra: tuple[float, float] | None = None
    price: float | None = None
    owning_cost: tuple[float, float] | None = None
    currency: str | None = None

    @property
    def is_other_build(self) -> bool:
        """It is the picked size built in another way, or offered."""
        return self.build is not None or self.offer is not None


class Demand(Struct, frozen=True, kw_only=True):
    """What the loads ask for."""

    kva: float
    kva_with_growth: float
    kva_required: float
    basis: str
    worst_phase_kva: float
    k_factor: float | None
    k_at_load: float | None
    loading_pct: float


class Currents(Struct, frozen=True, kw_only=True):
    """Rated currents and currents at the load with growth."""

    primary_rated_a: float
    secondary_rated_a: float
    primary_load_a: float
    secondary_load_a: float
    neutral_load_a: float | None
    line_load_a: tuple[float, ...]


class Protection(Struct, frozen=True, kw_only=True):
    """What the code permits and what is chosen."""

    primary_only_max_a: float | None
    primary_with_secondary_max_a: float | None
    secondary_max_a: float | None
    primary_a: float | None
    secondary_a: float | None
    secondary_devices_a: tuple[float, ...]
    kind: str
    interrupting_min_a: float | None

    @property
    def primary_most_a(self) -> float | None:
        """The larger limit of both ways: a device after the unit takes nothing from what one alone may be. [A]"""
        limits_a = (self.primary_only_max_a, self.primary_with_secondary_max_a)
        return max((limit for limit in limits_a if limit is not None), default=None)

    @property
    def primary_limit_a(self) -> float | None:
        """The largest device before the unit in the way of protection that is used. [A]"""
        return self.primary_most_a if self.secondary_devices_a else self.primary_only_max_a


class ConductorRun(Struct, frozen=True, kw_only=True):
    """The conductors of one side; `ampacity_a` of all sets together, corrected."""

    size: str
    sets: int
    metal: str
    ampacity_a: float
    raceway: str | None = None
    drop_pct: float | None = None


class Conductors(Struct, frozen=True, kw_only=True):
    """Conductors of both sides and the neutral."""

    primary: ConductorRun | None
    secondary: ConductorRun | None
    neutral: ConductorRun | None


class Grounding(Struct, frozen=True, kw_only=True):
    """Grounding and bonding conductors."""

    equipment_conductor: str | None
    bonding_jumper: str | None
    system_bonding_jumper: str | None
    load_equipment_conductor: str | None
    electrode_conductor: str | None


class Fault(Struct, frozen=True, kw_only=True):
    """Fault currents at the terminals of the secondary and at the supply."""

    secondary_a: float | None
    line_ground_a: float | None
    maximum_a: float | None
    primary_a: float | None
    x_over_r: float | None
    infinite_source_a: float | None


class Voltage(Struct, frozen=True, kw_only=True):
    """Volts at the secondary terminals."""

    secondary_no_load_v: float | None
    secondary_full_load_v: float | None
    regulation_pct: float | None
    start_dip_pct: float | None


class Efficiency(Struct, frozen=True, kw_only=True):
    """What the efficiency law asks for."""

    at_35_pct: float | None
    law_pct: float | None
    loss_ceiling_w: float | None
    law: str | None


class Blocks(Struct, frozen=True, kw_only=True):
    """The numbers of one complete answer: of the pick, of something else instead, of a second unit."""

    pick: Pick
    demand: Demand
    currents: Currents
    protection: Protection
    conductors: Conductors
    grounding: Grounding
    fault: Fault
    voltage: Voltage
    efficiency: Efficiency


class Alternative(Struct, frozen=True, kw_only=True):
    """Something else that would work, or a second transformer of the same job."""

    what: str
    why: str
    blocks: Blocks | None = None
    also: tuple[Alternative, ...] = ()
    findings: tuple[Finding, ...] = ()


class Tool(Struct, frozen=True, kw_only=True):
    """Which tool and which tables made a result."""

    version: str
    tables: str


class WorkingLine(Struct, frozen=True, rename={"with_": "with", "from_": "from"}):
    """One step of the working, ready to be read elsewhere.

    with_  argument -> value; from_  argument -> the name of the step it came from
    """

    name: str
    formula: str
    with_: dict[str, Any]
    from_: dict[str, str]
    value: Any
    unit: str
    source: str
    known: Known


class Result(Struct, frozen=True, kw_only=True):
    """The answer to a job. `blocks` is None when nothing was picked."""

    verdict: Verdict
    blocks: Blocks | None
    options: tuple[Option, ...]
    findings: tuple[Finding, ...]
    questions: tuple[Question, ...]
    range_kva: tuple[float, float] | None
    instead: tuple[Alternative, ...]
    also: tuple[Alternative, ...]
    working: tuple[WorkingLine, ...]
    tool: Tool
    job: dict[str, Any]

    @property
    def pick(self) -> Pick | None:
        """The unit that is chosen, or None."""
        return self.blocks.pick if self.blocks else None

    @property
    def demand(self) -> Demand | None:
        """What the loads ask for, where something was picked."""
        return self.blocks.demand if self.blocks else None

    def to_json(self) -> dict[str, Any]:
        """Return the result as a dict of plain values, the structure that `select --format json` prints."""
        from turnwright.model.as_json import result_to_json

        return result_to_json(self)
