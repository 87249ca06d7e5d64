"""Several units on one bus: how they share, what circulates, when joining them is next to a short."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from turnwright.arrangements.wishes import start_of
from turnwright.circuit.studies.parallel import ParallelOperation, ParallelUnit, parallel
from turnwright.demand import LoadPicture
from turnwright.model.case import Case
from turnwright.model.result import Finding
from turnwright.model.unit import Impedance, Unit
from turnwright.reference import load
from turnwright.vetting.joined import Joined
from turnwright.vetting.records import Criterion

SAME_VOLTS = 0.005
"""Ratios that differ by less are one ratio, the tolerance of a turns-ratio test."""
WORST_POWER_FACTOR = 0.8


class Together(Struct, frozen=True, kw_only=True):
    """Units that can share a bus: each as this supply runs it, and what they are to the load as one.

    unit  one unit of their impedance in parallel, rated for the largest load at which none is overloaded
    """

    joined: tuple[Joined, ...]
    operation: ParallelOperation
    unit: Unit


def displacement_deg(joined: Joined) -> float | None:
    """Return by how much the output lags the supply [deg]; None where the connection has none."""
    unit = joined.unit
    made = joined.proposal.build(
        float(unit.kva), unit.for_faults.resistance_pct, unit.for_faults.reactance_pct
    )
    return made.displacement_deg


def compatible(units: Sequence[Joined]) -> Iterator[Criterion]:
    """Yield what has to be equal before units may be joined: phases, displacement, volts; and impedance nearly so."""
    first = units[0]
    phases = {one.proposal.phases for one in units}
    shifts = {round(shift, 6) for one in units if (shift := displacement_deg(one)) is not None}
    yield Criterion(
        name="vector group",
        value=" and ".join(str(one.proposal.vector_group or "single-phase") for one in units),
        limit=str(first.proposal.vector_group or "single-phase"),
        measure="",
        margin_pct=None,
        ok=len(phases) == 1 and len(shifts) <= 1,
        says=(
            "The outputs are in phase."
            if len(phases) == 1 and len(shifts) <= 1
            else "The outputs are not in phase: joined, they are next to a short circuit from the first moment."
        ),
    )
    volts = [float(one.at.output_v) for one in units]
    spread = (max(volts) - min(volts)) / max(volts)
    yield Criterion(
        name="equal ratio and taps",
        value=spread * 100,
        limit=SAME_VOLTS * 100,
        measure="% difference",
        margin_pct=(SAME_VOLTS - spread) / SAME_VOLTS * 100,
        ok=spread <= SAME_VOLTS * (1 + 1e-9),
        says=f"The outputs without load are {', '.join(f'{each:.1f} V' for each in volts)}.",
        condition="" if spread <= SAME_VOLTS else "taps that make the outputs equal, if there are such",
    )
    yield from _impedances(units)


def impedance_limit_pct() -> float:
    """Return the largest difference of impedance of units in parallel, in percent of the lowest. [%]"""
    return float(load("trade_practice").newest().row(key="parallel_impedance_pct").number("value"))


def _impedances(units: Sequence[Joined]) -> Iterator[Criterion]:
    stated = [one.plate.unit.nominal or one.plate.unit.for_faults for one in units]
    sizes = [each.magnitude_pct for each in stated]
    limit, spread = impedance_limit_pct(), (max(sizes) / min(sizes) - 1) * 100
    yield Criterion(
        name="equal impedance",
        value=spread,
        limit=limit,
        measure="% difference",
        margin_pct=(limit - spread) / limit * 100,
        ok=spread <= limit * (1 + 1e-9),
        says=f"Impedances of {', '.join(f'{each:.3g} %' for each in sizes)}: the lowest takes more than its share.",
        condition="" if spread <= limit else "less load than the sum of the ratings, as the sharing shows",
    )


def together(units: Sequence[Joined], load_kva: float, power_factor: float | None) -> Together:
    """Return how units in phase share a load.

    load_kva : with growth [kVA]
    """
    names = [one.plate.unit.name for one in units]
    alike = len(set(names)) < len(names)
    parts = [
        ParallelUnit(
            f"{number}. {one.plate.unit.name}" if alike else one.plate.unit.name,
            float(one.unit.kva),
            float(one.at.output_v),
            (one.unit.nominal or one.unit.for_drop).resistance_pct,
            (one.unit.nominal or one.unit.for_drop).reactance_pct,
            displacement_deg(one) or 0.0,
        )
        for number, one in enumerate(units, 1)
    ]
    phases = units[0].proposal.phases
    bus_v = float(units[0].at.output_v)
    found = parallel(parts, load_kva, power_factor or WORST_POWER_FACTOR, bus_v, phases=phases)
    whole = float(sum(one.unit.kva for one in units))
    unit = replace(
        units[0].unit,
        name=" and ".join(one.plate.unit.name for one in units),
        kva=min(found.limit_kva, whole) or 1e-9,
        nominal=None if any(one.unit.nominal is None for one in units) else _joint(units, "nominal", found),
        for_faults=_joint(units, "for_faults", found),
        for_drop=_joint(units, "for_drop", found),
        rise_k=max((one.unit.rise_k for one in units if one.unit.rise_k is not None), default=None),
        insulation_c=_coolest([one.unit.insulation_c for one in units]),
        k_rating=min(float(one.unit.k_rating or 1.0) for one in units),
        no_load_loss_w=None,
        load_loss_w=None,
    )
    return Together(joined=tuple(units), operation=found, unit=unit)


def _coolest(classes: Sequence[float | None]) -> float | None:
    """The class of insulation that all of them reach; None where one is not known. [degC]"""
    known = [each for each in classes if each is not None]
    return min(known) if len(known) == len(classes) else None


def _joint(units: Sequence[Joined], which: str, found: ParallelOperation) -> Impedance:
    """Impedances in parallel, in percent of the kVA they may carry together."""
    kva = found.limit_kva or 1e-9
    admittance = 0j
    for one in units:
        z: Impedance = getattr(one.unit, which)
        admittance += 1 / (complex(z.resistance_pct, z.reactance_pct) * kva / float(one.unit.kva))
    joint = 1 / admittance
    return Impedance(max(joint.real, 0.0), max(joint.imag, 0.0))


def sharing(found: Together) -> Iterator[Criterion]:
    """Yield what each unit carries of the load at its rated volts, and what circulates without one."""
    sag = found.operation.no_load_v / found.operation.loaded_v
    for share in found.operation.shares:
        loading = share.load_pct * sag
        yield Criterion(
            name=f"share of {share.name}",
            value=loading,
            limit=100.0,
            measure="% of rated current",
            margin_pct=100.0 - loading,
            ok=loading <= 100.0 * (1 + 1e-9),
            says=f"{start_of(share.name)} carries {loading:.0f} % of its rated current.",
        )
    worst = max(found.operation.shares, key=lambda one: one.circulating_pct)
    yield Criterion(
        name="circulating current",
        value=worst.circulating_pct,
        limit=100.0,
        measure="% of rated current",
        margin_pct=100.0 - worst.circulating_pct,
        ok=not found.operation.near_short,
        says=f"Without load {worst.circulating_a:.1f} A circulate through {worst.name}.",
    )


def remarks(found: Together) -> tuple[Finding, ...]:
    """Return what there is to say of the sharing."""
    whole = sum(float(one.unit.kva) for one in found.joined)
    limit = found.operation.limit_kva
    return (
        Finding(
            code="parallel-sharing",
            severity="note" if limit >= 0.99 * whole else "caution",
            message=(
                f"Together they carry {limit:.1f} kVA of the {whole:.4g} kVA on their plates before "
                f"{found.operation.limiting} is at its rated current. Each has its own devices on both sides."
            ),
            known="computed",
            value=limit,
            limit=whole,
            unit="kVA",
        ),
    )


def load_of(case: Case, picture: LoadPicture) -> tuple[float, float | None]:
    """Return the load that is shared, with growth, and its power factor. [kVA]"""
    return float(picture.kva_with_growth), None if picture.power_factor is None else float(
        picture.power_factor
    )
