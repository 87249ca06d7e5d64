"""One line of the load list in kVA and amperes, at its nominal voltage."""

from __future__ import annotations

import math

from msgspec import Struct

from turnwright.demand import load_formulas as f
from turnwright.demand.account import stated
from turnwright.demand.layouts import place_of
from turnwright.demand.motors import motor_row
from turnwright.demand.records import Category, DemandTables, LoadDemand
from turnwright.errors import InputError
from turnwright.model.case import CaseLoad
from turnwright.quantities import VoltageSystem
from turnwright.working import Ledger, step_of

MOTOR_KINDS = frozenset({"motor", "drive", "lift"})
"""Loads that are motors as a whole; a drive counts with its input."""

DISTORTING_KINDS = frozenset(
    {"electronics", "lighting", "drive", "charger", "computing", "inverter", "imaging", "furnace", "lift"}
)
"""Kinds that usually stand behind a rectifier or thyristors."""
PLAIN_STARTS = frozenset({"across the line", "soft starter", "star delta", "part winding"})
"""Starts of a motor that runs on the line, as that of a hydraulic lift."""


class _Piece(Struct, frozen=True):
    """One piece while it is on: kVA, current, the row of its motor table, and what stood in."""

    kva: float
    current_a: float
    table_hp: float | None = None
    table_current_a: float | None = None
    assumption: str = ""


def sized(load: CaseLoad, secondary: VoltageSystem, tables: DemandTables, work: Ledger) -> LoadDemand:
    """Return one line of the load list in kVA and amperes, recorded under `load[i]`.

    Raises: InputError DEM-02 to DEM-05.
    """
    check(load)
    name = f"load[{load.index}]"
    piece = _piece(load, tables, work, name)
    kva, current_a = piece.kva, piece.current_a
    if load.duty_on_pct is not None:
        kva = work.calc(f"{name}.rms_kva", f.rms_kva, on_kva=piece.kva, duty_on_pct=load.duty_on_pct)
        current_a = _current_a(load, kva, work, f"{name}.rms_current_a")
    counts = _counts(load, work, name)
    running_kva = _running(counts, kva, work, f"{name}.running_kva")
    running_on_kva, peak_current_a = running_kva, piece.current_a
    momentary_kva = load.momentary_kva
    if momentary_kva is not None and momentary_kva > piece.kva:
        running_on_kva = _running(counts, momentary_kva, work, f"{name}.running_on_kva")
        peak_current_a = _current_a(load, momentary_kva, work, f"{name}.peak_current_a")
    elif load.duty_on_pct is not None:
        running_on_kva = _running(counts, piece.kva, work, f"{name}.running_on_kva")
    power_factor = _known_power_factor(load)
    place = place_of(load, secondary)
    return LoadDemand(
        index=load.index,
        place=place,
        lines=load.lines,
        pieces=counts["quantity"],
        kva=kva,
        current_a=current_a,
        on_kva=piece.kva,
        on_current_a=piece.current_a,
        peak_current_a=peak_current_a,
        running_kva=running_kva,
        running_current_a=work.calc(
            f"{name}.running_current_a", f.running_current_a, current_a=current_a, **counts
        ),
        running_on_kva=running_on_kva,
        code_running_kva=_code_running(
            load, piece.kva, running_kva, running_on_kva, counts, tables, work, name
        ),
        power_factor=power_factor,
        phase_angle_deg=_angle_deg(power_factor, work, name),
        motor_kva=_largest_motor_kva(load, piece.kva, tables, work, name),
        table_current_a=piece.table_current_a,
        table_hp=piece.table_hp,
        category=_category(load),
        neutral=place in ("line to neutral", "three-wire") or _uses_neutral(load),
        harmonics=load.harmonics,
        distorts=not load.harmonics and distorts(load),
        assumption=piece.assumption,
    )


def check(load: CaseLoad) -> None:
    """Refuse numbers outside their domain.

    Raises: InputError DEM-04.
    """
    domains = (
        ("size", 0.0 <= load.size < math.inf, load.size, "zero or more"),
        ("quantity", 0.0 <= load.quantity < math.inf, load.quantity, "zero or more pieces"),
        ("demand_factor", 0.0 <= load.demand_factor < math.inf, load.demand_factor, "zero or more"),
        (
            "power_factor",
            load.power_factor is None or 0.0 < load.power_factor <= 1.0,
            load.power_factor,
            "0 to 1",
        ),
        ("efficiency", 0.0 < load.efficiency <= 1.0, load.efficiency, "0 to 1"),
        (
            "duty.on",
            load.duty_on_pct is None or 0.0 < load.duty_on_pct <= 100.0,
            load.duty_on_pct,
            "0 to 100 %",
        ),
        ("voltage", 0.0 < load.system.line_v < math.inf, load.system.line_v, "above 0 V"),
    )
    for key, fits, value, allowed in domains:
        if not fits:
            where = f"load[{load.index}].{key}"
            raise InputError("DEM-04", where, f"{value} is outside what is possible.", f"Give {allowed}.")
    for order, percent in load.harmonics:
        if order < 2 or not 0.0 <= percent < math.inf:
            what = f"order {order} with {percent} % is no harmonic of a current."
            raise InputError(
                "DEM-04", f"load[{load.index}].harmonics", what, "Give orders from 2 on, in percent."
            )


def _piece(load: CaseLoad, tables: DemandTables, work: Ledger, name: str) -> _Piece:
    three = load.system.phases == 3
    of_current = f.three_phase_kva if three else f.single_phase_kva
    if load.size_kind == "current":
        kva = work.calc(f"{name}.kva", of_current, line_v=load.system.line_v, current_a=load.size)
        return _Piece(kva, load.size)
    if load.size_kind == "kva":
        return _Piece(load.size, _current_a(load, load.size, work, f"{name}.current_a"))
    if load.size_kind == "hp":
        return _motor(load, load.size, load.efficiency, tables, work, name)
    power_factor = tables.default_power_factor if load.power_factor is None else load.power_factor
    assumption = "" if load.power_factor is not None else f"power factor {power_factor:g}"
    if load.shaft:
        inputs = {"power_kw": load.size, "efficiency": load.efficiency, "power_factor": power_factor}
        kva = work.calc(f"{name}.kva", f.shaft_kva, **inputs)
    else:
        kva = work.calc(f"{name}.kva", f.input_kva, power_kw=load.size, power_factor=power_factor)
    return _Piece(kva, _current_a(load, kva, work, f"{name}.current_a"), assumption=assumption)


def _motor(
    load: CaseLoad, hp: float, efficiency: float, tables: DemandTables, work: Ledger, name: str
) -> _Piece:
    """Size a motor by the current of its table, else by its shaft power."""
    three = load.system.phases == 3
    row = motor_row(tables.motor_columns, 3 if three else 1, load.nameplate_v, hp)
    if row is not None:
        of_current = f.three_phase_kva if three else f.single_phase_kva
        kva = work.calc(f"{name}.kva", of_current, line_v=load.system.line_v, current_a=row.current_a)
        return _Piece(kva, row.current_a, row.hp, row.current_a)
    power_factor = tables.default_power_factor if load.power_factor is None else load.power_factor
    inputs = {"power_hp": hp, "efficiency": efficiency, "power_factor": power_factor}
    kva = work.calc(f"{name}.kva", f.horsepower_kva, **inputs)
    assumption = (
        f"{hp:g} hp at {load.nameplate_v:g} V is in no motor table here: "
        f"shaft power over efficiency {efficiency:g} and power factor {power_factor:g}"
    )
    return _Piece(kva, _current_a(load, kva, work, f"{name}.current_a"), assumption=assumption)


def _largest_motor_kva(
    load: CaseLoad, on_kva: float, tables: DemandTables, work: Ledger, name: str
) -> float | None:
    if load.largest_motor_hp is not None:
        efficiency = tables.default_efficiency
        return _motor(load, load.largest_motor_hp, efficiency, tables, work, f"{name}.largest_motor").kva
    return on_kva if _is_motor(load) else None


def _current_a(load: CaseLoad, kva: float, work: Ledger, name: str) -> float:
    function = f.three_phase_current_a if load.system.phases == 3 else f.single_phase_current_a
    current_a: float = work.calc(name, function, line_v=load.system.line_v, kva=kva)
    return current_a


def _counts(load: CaseLoad, work: Ledger, name: str) -> dict[str, float]:
    """Return pieces and demand factor by name; a metered maximum has no demand factor."""
    counts = {"quantity": load.quantity}
    if not load.measured_demand:
        counts["demand_factor"] = load.demand_factor
    return {
        key: stated(work, f"{name}.{key}", value, "", "nothing else is said", "assumed")
        for key, value in counts.items()
    }


def _running(counts: dict[str, float], kva: float, work: Ledger, name: str) -> float:
    function = f.running_kva if "demand_factor" in counts else f.metered_kva
    running_kva: float = work.calc(name, function, kva=kva, **counts)
    return running_kva


def _code_running(
    load: CaseLoad,
    on_kva: float,
    running_kva: float,
    running_on_kva: float,
    counts: dict[str, float],
    tables: DemandTables,
    work: Ledger,
    name: str,
) -> float:
    """Return the running kVA for devices and conductors: a code may count a duty cycle or a momentary rating."""
    if load.kind == "imaging" and load.momentary_kva is not None and tables.momentary_share is not None:
        inputs = {"running_kva": running_kva, "momentary_kva": running_on_kva}
        counted: float = work.calc(
            f"{name}.code_running_kva", f.momentary_code_kva, **inputs, share=tables.momentary_share
        )
        return counted
    if load.duty_on_pct is None or tables.duty_multiplier is None:
        return running_kva
    multiplier = tables.duty_multiplier(load.kind, load.duty_on_pct)
    if multiplier is None:
        return running_kva
    code_kva = work.calc(f"{name}.code_kva", f.duty_code_kva, on_kva=on_kva, multiplier=multiplier)
    return _running(counts, code_kva, work, f"{name}.code_running_kva")


def _known_power_factor(load: CaseLoad) -> float | None:
    """Return the power factor that may reduce a sum: given, and of power drawn rather than fed back."""
    if load.power_factor is None or load.feeds_back:
        return None
    step = step_of(load.power_factor)
    return None if step is not None and step.known == "assumed" else load.power_factor


def _angle_deg(power_factor: float | None, work: Ledger, name: str) -> float | None:
    if power_factor is None:
        return None
    angle_deg: float = work.calc(f"{name}.phase_angle_deg", f.phase_angle_deg, power_factor=power_factor)
    return angle_deg


def _is_motor(load: CaseLoad) -> bool:
    return load.size_kind == "hp" or load.kind in MOTOR_KINDS


def _category(load: CaseLoad) -> Category:
    if load.measured_demand:
        return "measured"
    if _is_motor(load):
        return "motor"
    steady = load.continuous and (load.duty_on_pct is None or load.duty_on_pct >= 100.0)
    return "continuous" if steady else "noncontinuous"


def distorts(load: CaseLoad) -> bool:
    """Return whether a load of its kind, control or start distorts the current; burst firing leaves whole sines."""
    if load.firing == "burst" or (load.kind == "lift" and load.start in PLAIN_STARTS):
        return False
    return load.kind in DISTORTING_KINDS or load.firing == "phase angle" or load.start == "drive"


def _uses_neutral(load: CaseLoad) -> bool:
    return load.neutral is True or (load.neutral is None and bool(load.system.has_neutral))
