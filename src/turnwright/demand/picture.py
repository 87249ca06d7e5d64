"""The sum of the loads of one unit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from msgspec.structs import replace

from turnwright.demand import sum_formulas as f
from turnwright.demand.account import Account, stated
from turnwright.demand.code_factors import by_code
from turnwright.demand.code_loads import code_loads
from turnwright.demand.layouts import layouts_of
from turnwright.demand.loading import Loading, loading
from turnwright.demand.merging import merged
from turnwright.demand.phases import Asked, Volts, volts_of
from turnwright.demand.records import DemandTables, LoadDemand, LoadPicture
from turnwright.demand.sizes import sized
from turnwright.demand.spectra import load_spectrum, sum_spectrum
from turnwright.demand.together import running_sets
from turnwright.demand.totals import Share, Sum, vector_sum
from turnwright.errors import InputError
from turnwright.model.case import Case
from turnwright.quantities import VoltageSystem
from turnwright.working import CLOSED, Ledger, step_of


def demand_of(case: Case, secondary: VoltageSystem, tables: DemandTables, work: Ledger) -> LoadPicture:
    """Return what the loads ask of a secondary: in all, phase by phase, for heat, devices and conductors.

    Looks at the loads of the case and the growth: the caller hands a case that holds the loads of one unit.
    A metered maximum keeps its value in every running kVA; its factor is for devices and conductors alone.

    Args:
        case: loads at their nominal voltage, growth in percent.
        secondary: the voltage system the loads get. Of a three-phase one whose winding is not said the worse of
            wye and delta counts.
        tables: what the regime brings.
        work: ledger; above 200 loads only totals are recorded.

    Raises:
        InputError: DEM-01 no loads, DEM-02 a three-phase load on a single-phase secondary, DEM-03 lines or a
            place that the secondary does not have, DEM-04 a number outside its domain, DEM-05 phases not known,
            DEM-06 never_with names no other load, DEM-07 two loads of one index.

    Example:
        >>> from turnwright.intake import case_of, read_job
        >>> from turnwright.regimes.us import regime
        >>> us = regime("2023")
        >>> job = '[supply]\\nsystem = "480Y/277"\\n[[load]]\\nsystem = "208Y/120"\\nkva = "22 kVA"'
        >>> case = case_of(read_job(job), us.defaults)
        >>> picture = demand_of(case, case.loads[0].system, us.demand, Ledger())
        >>> float(picture.kva), [round(a, 1) for a in picture.line_a]
        (22.0, [61.1, 61.1, 61.1])
    """
    if not case.loads:
        fix = "Add a [[load]] with its system and one of current, kva, kw, hp."
        raise InputError("DEM-01", "load", "there is no load to choose a transformer for.", fix)
    if len({load.index for load in case.loads}) < len(case.loads):
        fix = "Number the loads of the case one by one."
        raise InputError("DEM-07", "load", "two loads have the same index.", fix)
    if not 0.0 <= case.choices.growth_pct < math.inf:
        what = f"{case.choices.growth_pct} % is no growth."
        raise InputError("DEM-04", "choices.growth", what, "Give zero or more percent.")
    if work.is_open:
        tables = _with_steps(tables, work)
    account = Account.of(work, len(case.loads))
    asked = by_code(case.loads, secondary, tables, account.single)
    loads = tuple([sized(load, secondary, tables, account.single) for load in asked])
    growth_pct = stated(work, "choices.growth", case.choices.growth_pct, "%", "growth to allow for")
    volts = volts_of(secondary, work)
    sets, all_together = running_sets(case.loads)
    pictures = []
    for number, places in enumerate(sets):
        own = account if len(sets) == 1 else account.within(f"set[{number}]")
        running = loads if len(places) == len(loads) else tuple([loads[place] for place in places])
        picture = _picture(running, places, secondary, volts, tables, growth_pct, own)
        pictures.append(picture)
    unknown = tuple(load.index for load in loads if load.distorts)
    common: dict[str, Any] = {"loads": loads, "all_together": all_together, "unknown_spectrum": unknown}
    return merged(pictures, common, work)


def _with_steps(tables: DemandTables, work: Ledger) -> DemandTables:
    """Return the tables with a step behind every number."""
    numbers = {
        name: value
        for name in tables.__struct_fields__
        if isinstance(value := getattr(tables, name), float) and step_of(value) is None
    }
    text = "brought by the regime, without a source"
    noted = {name: work.note(f"tables.{name}", value, "", text, "assumed") for name, value in numbers.items()}
    return replace(tables, **noted)


def _picture(
    loads: tuple[LoadDemand, ...],
    places: tuple[int, ...],
    secondary: VoltageSystem,
    volts: Volts,
    tables: DemandTables,
    growth_pct: float,
    account: Account,
) -> LoadPicture:
    """Return the picture of loads that all run at the same time."""
    work = account.work
    shares = [Share(f"load[{load.index}].running", load.running_kva, load.power_factor) for load in loads]
    total = vector_sum(account, "demand.", shares)
    with_growth = work.calc("demand.kva_with_growth", f.grown_kva, kva=total.kva, growth_pct=growth_pct)
    allowance, motor = _motor_allowance(loads, tables, work)
    heat = {"kva_with_growth": with_growth, "motor_allowance_kva": allowance}
    on_total, on_kva = _while_on(loads, total, with_growth, growth_pct, account)
    code = code_loads(loads, tables, growth_pct, account)
    spectra = tuple([load_spectrum(load, account) for load in loads])
    spectrum = sum_spectrum(loads, spectra, account)
    asked = Asked(loads, spectra, with_growth, code.code_kva, growth_pct, total.lag_deg, tables)
    on_phases = _worst_layout(asked, secondary, volts, account)
    return LoadPicture(
        secondary=secondary.text,
        loads=loads,
        counted=places,
        all_together=False,
        kva=total.kva,
        kva_with_growth=with_growth,
        kva_heat=work.calc("demand.kva_heat", f.heat_kva, **heat),
        motor_allowance_kva=allowance,
        largest_motor=motor,
        power_factor=total.power_factor,
        on_kva=on_kva,
        on_power_factor=on_total.power_factor,
        k_factor=spectrum.k_factor,
        spectrum=spectrum.percent,
        unknown_spectrum=(),
        **code._asdict(),
        **on_phases._asdict(),
    )


def _motor_allowance(
    loads: Sequence[LoadDemand], tables: DemandTables, work: Ledger
) -> tuple[float, int | None]:
    """Return the allowance for the largest motor [kVA], and the index of its load."""
    name = "demand.motor_allowance_kva"
    motors = [load for load in loads if load.motor_kva is not None]
    if not motors:
        return work.note(name, 0.0, "kVA", "no motor among the loads", "computed"), None
    largest = max(motors, key=lambda load: load.motor_kva or 0.0)
    inputs = {"largest_motor_kva": largest.motor_kva, "fraction": tables.motor_allowance}
    return work.calc(name, f.motor_allowance_kva, **inputs), largest.index


def _while_on(
    loads: Sequence[LoadDemand], total: Sum, with_growth: float, growth_pct: float, account: Account
) -> tuple[Sum, float]:
    """Return the sum with duty loads at their on-value, and that with growth [kVA]."""
    if all(load.running_on_kva == load.running_kva for load in loads):
        return total, with_growth
    shares = []
    for load in loads:
        label = "running" if load.running_on_kva == load.running_kva else "running_on"
        shares.append(Share(f"load[{load.index}].{label}", load.running_on_kva, load.power_factor))
    on_total = vector_sum(account, "demand.on_today_", shares)
    return on_total, account.work.calc("demand.on_kva", f.grown_kva, kva=on_total.kva, growth_pct=growth_pct)


def _worst_layout(asked: Asked, secondary: VoltageSystem, volts: Volts, account: Account) -> Loading:
    """Return the loading of the secondary; of the worse winding where its text does not say which it has."""
    layouts = layouts_of(secondary)
    if len(layouts) > 1:
        quiet = Account(CLOSED, CLOSED, account.long)
        layouts = (
            max(layouts, key=lambda one: loading(asked, one, secondary.text, volts, quiet).worst_phase_kva),
        )
    return loading(asked, layouts[0], secondary.text, volts, account)
