"""The conductors on both sides as impedances, from the sizes of the answer and the lengths of the job."""

from __future__ import annotations

from msgspec import Struct

from turnwright.examine.subject import Subject
from turnwright.examine.tables import study_row
from turnwright.model.result import ConductorRun
from turnwright.reference import Row, load
from turnwright.working import Ledger, formula

METRES_PER_FOOT = 0.3048
METALS = {"copper": "cu", "aluminum": "al"}


@formula("z / 1000 · L / sets", "ohm", "resistance and reactance per length")
def run_ohm(ohm_per_kft: float, length_ft: float, sets: float) -> float:
    """Return the resistance or reactance of one run of parallel sets. [ohm]

    ohm_per_kft : of one conductor [ohm/kft]
    length_ft   : one way [ft]
    sets        : conductors in parallel [-]

    Example:
        >>> run_ohm(ohm_per_kft=0.2, length_ft=50.0, sets=2.0)
        0.005
    """
    return ohm_per_kft / 1000 * length_ft / sets


@formula("R · (T + t) / (T + t_table)", "ohm/kft", "resistance of metals over temperature")
def resistance_ohm_per_kft(ohm_per_kft: float, zero_c: float, table_c: float, at_c: float) -> float:
    """Return the resistance of a conductor at another temperature. [ohm/kft]

    ohm_per_kft : at the temperature of the table [ohm/kft]
    zero_c      : T, the temperature below zero at which it would vanish, as a positive number [degC]
    table_c     : temperature of the table [degC]
    at_c        : temperature asked for [degC]

    Example:
        >>> round(resistance_ohm_per_kft(ohm_per_kft=0.2, zero_c=234.5, table_c=75.0, at_c=20.0), 4)
        0.1645
    """
    return ohm_per_kft * (zero_c + at_c) / (zero_c + table_c)


@formula("L / 0.3048", "ft")
def run_length_ft(length_m: float) -> float:
    """Return a length in feet. [ft]

    length_m : the length [m]
    Source: 1 ft = 0.3048 m exactly (international yard and pound agreement, 1959)

    Example:
        >>> round(run_length_ft(length_m=3.048), 9)
        10.0
    """
    return length_m / METRES_PER_FOOT


@formula("ρ / (S · F)", "ohm/m", "IEC 60364-5-52 Annex G", "memory")
def resistance_ohm_per_m(resistivity: float, area_mm2: float, service_factor: float) -> float:
    """Return the resistance of a conductor per metre. [ohm/m]

    resistivity    : in service [ohm·mm²/m]
    area_mm2       : of one conductor [mm²]
    service_factor : resistivity in service over that at the temperature asked for [-]

    Example:
        >>> resistance_ohm_per_m(resistivity=0.0225, area_mm2=25.0, service_factor=1.0)
        0.0009
    """
    return resistivity / (area_mm2 * service_factor)


@formula("z · L / sets", "ohm", "resistance and reactance per length")
def metric_run_ohm(ohm_per_m: float, length_m: float, sets: float) -> float:
    """Return the resistance or reactance of one run of parallel sets. [ohm]

    ohm_per_m : of one conductor [ohm/m]
    length_m  : one way [m]
    sets      : conductors in parallel [-]

    Example:
        >>> metric_run_ohm(ohm_per_m=0.001, length_m=50.0, sets=2.0)
        0.025
    """
    return ohm_per_m * length_m / sets


@formula("z / 1000", "ohm/m")
def whole_ohm_per_m(value: float) -> float:
    """Return milliohms per metre as ohms. [ohm/m]

    value : the milliohms of a metre [mohm/m]
    Source: definition

    Example:
        >>> whole_ohm_per_m(value=80.0)
        0.08
    """
    return value / 1000


class Runs(Struct, frozen=True, kw_only=True):
    """Impedance of each conductor of a run, ohm; None: not counted.

    earth_ohm  the equipment grounding conductor beside the secondary run
    """

    primary_ohm: complex | None = None
    secondary_ohm: complex | None = None
    neutral_ohm: complex | None = None
    earth_ohm: complex | None = None


NOT_COUNTED = Runs()
AFTER = ("secondary", "neutral", "earth")
SIDES = ("primary", *AFTER)
CARRYING = ("primary", "secondary", "neutral")
"""The conductors that carry load."""


def runs_of(
    subject: Subject,
    work: Ledger,
    *,
    cold: bool = False,
    devices: float = 1.0,
    sides: tuple[str, ...] = SIDES,
) -> Runs:
    """Return the conductors between supply and unit, and between unit and load.

    cold     resistances at the temperature for the largest fault current, else as tabled
    devices  secondary devices, each with sets of its own, that share the load
    sides    the conductors asked for
    """
    blocks, circuit = subject.blocks, subject.case.circuit
    earth = blocks.grounding.load_equipment_conductor
    after = blocks.conductors.secondary
    ground = (
        None
        if after is None or earth is None
        else ConductorRun(size=earth, sets=after.sets, metal=after.metal, ampacity_a=0.0)
    )
    plans = {
        "primary": (blocks.conductors.primary, circuit.primary_length_m, 1.0),
        "secondary": (after, circuit.secondary_length_m, devices),
        "neutral": (blocks.conductors.neutral, circuit.secondary_length_m, devices),
        "earth": (ground, circuit.secondary_length_m, devices),
    }
    return Runs(**{f"{name}_ohm": _impedance(subject, name, *plans[name], work, cold=cold) for name in sides})


def _impedance(
    subject: Subject,
    name: str,
    run: ConductorRun | None,
    length_m: float | None,
    devices: float,
    work: Ledger,
    *,
    cold: bool,
) -> complex | None:
    if run is None or length_m is None:
        return None
    label = f"runs.{name}.{'cold' if cold else 'warm'}"
    sets = run.sets * devices
    resistivities = subject.regime.traits.resistivities
    if resistivities is not None:
        return _by_area(resistivities, run, length_m, sets, work, label, cold=cold)
    return _by_table(subject, run, length_m, sets, work, label, cold=cold)


def _by_area(
    resistivities: str,
    run: ConductorRun,
    length_m: float,
    sets: float,
    work: Ledger,
    label: str,
    *,
    cold: bool,
) -> complex:
    """By resistivity and area, and one reactance for every cable."""
    limits = load(resistivities).newest()
    r_ohm_per_m = work.calc(
        f"{label}.r_ohm_per_m",
        resistance_ohm_per_m,
        resistivity=limits.row(key=f"resistivity_{run.metal}").number("value"),
        area_mm2=float(run.size.split()[0]),
        service_factor=study_row("resistance_service_factor").number("value") if cold else 1.0,
    )
    r_ohm = work.calc(f"{label}.r_ohm", metric_run_ohm, ohm_per_m=r_ohm_per_m, length_m=length_m, sets=sets)
    reactance = work.calc(
        f"{label}.x_ohm_per_m", whole_ohm_per_m, value=limits.row(key="reactance").number("value")
    )
    x_ohm = work.calc(f"{label}.x_ohm", metric_run_ohm, ohm_per_m=reactance, length_m=length_m, sets=sets)
    return complex(r_ohm, x_ohm)


def _by_table(
    subject: Subject,
    run: ConductorRun,
    length_m: float,
    sets: float,
    work: Ledger,
    label: str,
    *,
    cold: bool,
) -> complex | None:
    """By the table of conductors in a raceway; None for a size or raceway that it does not have."""
    row, raceway = _row(subject, run), subject.case.circuit.raceway
    if row is None:
        return None
    resistance = row.optional(f"r_{METALS[run.metal]}_{raceway}_ohm_per_kft")
    reactance = row.optional("x_steel_ohm_per_kft" if raceway == "steel" else "x_pvc_aluminum_ohm_per_kft")
    if resistance is None or reactance is None:
        return None
    if cold:
        resistance = work.calc(
            f"{label}.r_ohm_per_kft",
            resistance_ohm_per_kft,
            ohm_per_kft=resistance,
            zero_c=_zero_c(run.metal),
            table_c=study_row("conductor_table_c").number("value"),
            at_c=study_row("conductor_cold_c").number("value"),
        )
    same = {"length_ft": work.calc(f"{label}.length_ft", run_length_ft, length_m=length_m), "sets": sets}
    r_ohm = work.calc(f"{label}.r_ohm", run_ohm, ohm_per_kft=resistance, **same)
    x_ohm = work.calc(f"{label}.x_ohm", run_ohm, ohm_per_kft=reactance, **same)
    return complex(r_ohm, x_ohm)


def _row(subject: Subject, run: ConductorRun) -> Row | None:
    """Return the row of a conductor; None where the table of the regime has no such size, or there is none."""
    name = subject.regime.traits.impedances
    if name is None:
        return None
    table, edition = load(name), subject.regime.edition
    rows = (table.at(edition) if edition in table.editions else table.newest()).rows
    return next((row for row in rows if row.text("size") == run.size), None)


def _zero_c(metal: str) -> float:
    key = f"resistance_zero_{METALS[metal]}_c"
    return load("dry_type_constants").newest().row(key=key).number("value")
