"""What the sizing procedures of a regime are asked, and what they answer.

Devices, conductors, grounding and efficiency law are procedures that differ by regime; these records are all they
share. Currents are rms amperes per line conductor.
"""

from __future__ import annotations

from msgspec import Struct

from turnwright.model.result import Finding, Protection


class DeviceNeed(Struct, frozen=True, kw_only=True):
    """What the overcurrent devices must carry and protect.

    *_rated_a    rated current of the transformer on that side
    *_design_a   noncontinuous load + 125 % of the continuous load, with growth
    kind         "breaker" or "fuse" where the user wants one kind, else None
    covered      the device before the transformer may protect the secondary conductors
    autotransformer  one winding shared by both sides: only the input device is limited
    """

    primary_rated_a: float
    secondary_rated_a: float
    primary_design_a: float
    secondary_design_a: float
    kind: str | None
    existing_primary_a: float | None
    wanted_secondary_a: tuple[float, ...]
    covered: bool
    autotransformer: bool


class DevicePlan(Struct, frozen=True, kw_only=True):
    """The devices permitted and chosen; `protection.interrupting_min_a` is filled in once the faults are known."""

    protection: Protection
    findings: tuple[Finding, ...]


class RunNeed(Struct, frozen=True, kw_only=True):
    """What the conductors of one side must carry.

    side        "primary" or "secondary"
    device_a    device that protects them, or that they end in; device_kind: "breaker" or "fuse"
    load_a      load with growth
    design_a    noncontinuous + 125 % of continuous load
    before_a    device before the transformer, referred to this side by the voltages; None where it does not matter
    next_size_up  the device may be the next standard rating above the ampacity
    counted     current-carrying conductors in each raceway
    conductors  conductors in each raceway without the equipment grounding conductor
    rated_a     rated current of the transformer on this side, the share of these conductors; None: it sets nothing
    relies_on_before    no device of their own: they rely on the one before the transformer
    ground_c    ambient of what lies in the ground; None: as `ambient_c`
    installation, insulation    as the job says; None: the regime's own
    third_harmonic_pct  third-harmonic content of the line current
    """

    side: str
    device_a: float
    load_a: float
    design_a: float
    before_a: float | None
    next_size_up: bool
    metal: str
    terminals_c: float | None
    ambient_c: float
    counted: int
    conductors: int
    raceway: str
    length_m: float | None
    voltage_v: float
    phases: int
    power_factor: float | None
    device_kind: str = "breaker"
    rated_a: float | None = None
    relies_on_before: bool = False
    ground_c: float | None = None
    installation: str | None = None
    insulation: str | None = None
    third_harmonic_pct: float = 0.0


class RunPlan(Struct, frozen=True, kw_only=True):
    """The conductors of one side. Areas are in the unit of the regime's tables, cmil or mm².

    set_area    of one phase conductor of one set
    total_area  of one phase, all sets together
    """

    size: str
    sets: int
    metal: str
    ampacity_a: float
    total_area: float
    set_area: float
    raceway: str | None
    drop_pct: float | None
    findings: tuple[Finding, ...]


class GroundingNeed(Struct, frozen=True, kw_only=True):
    """What grounding and bonding are sized by. Areas are in the unit of the regime's tables, cmil or mm².

    set_area, total_area  of one phase of the secondary: one set, all sets of all devices together
    secondary_before_a    device before the transformer, referred to the secondary by the voltages
    secondary_ampacity_a  of all conductors of the secondary together
    earthing        earthing system of the supply, where the regime knows them
    neutral_bonded  the secondary has a point that is bonded: a neutral, a mid-tap, a grounded corner
    derived         the secondary is a separately derived system
    unbonded_v      volts of a secondary of which no point is bonded yet and nothing forbids it; None: none such
    secondary_v     between lines of the secondary; None where nobody asks by it
    supply_to_ground_v  highest volts of a supply line to ground, infinite where nothing ties it; None: not asked for
    """

    primary_device_a: float
    secondary_device_a: float | None
    metal: str
    set_area: float
    total_area: float
    primary_set_area: float
    secondary_set_area: float
    neutral_bonded: bool
    derived: bool
    primary_sets: int = 1
    secondary_sets: int = 1
    secondary_before_a: float | None = None
    secondary_ampacity_a: float = 0.0
    earthing: str | None = None
    unbonded_v: float | None = None
    secondary_v: float | None = None
    supply_to_ground_v: float | None = None


class LawNeed(Struct, frozen=True, kw_only=True):
    """What the efficiency law asks of a unit."""

    phases: int
    kva: float
    primary_v: float
    secondary_v: float
    frequency_hz: float
    manufactured: str
    arrangement: str
    taps_pct: tuple[float, ...]
    enclosure: str | None
    k_rating: float | None
