"""Units on one bus, solved: in the middle of their impedances, at their ends, one tap step apart."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from turnwright.circuit.studies.parallel import ParallelOperation, ParallelUnit, parallel
from turnwright.demand import LoadPicture
from turnwright.examine.parallel_units import Member
from turnwright.model.unit import Impedance

ROUNDS = 8
"""Steps to the load that draws its current at the voltage left; each gains two digits or so."""


class Together(Struct, frozen=True, kw_only=True):
    """Units with the load they are to carry, solved in the middle of their impedances and at their ends.

    worst_pct  name -> largest loading, this unit at the low end of its impedance and the others at the high end
    tap_apart  the same with the first unit one tap step above the others
    """

    members: tuple[Member, ...]
    load_kva: float
    power_factor: float
    bus_v: float
    usual: ParallelOperation
    worst_pct: dict[str, float]
    tap_step_pct: float
    tap_apart: ParallelOperation


def solved(
    members: tuple[Member, ...],
    load_kva: float,
    power_factor: float,
    bus_v: float,
    impedances: dict[str, Impedance] | None = None,
) -> ParallelOperation:
    """Return units joined at one bus; without impedances in the middle of theirs.

    The load draws the current it has at `bus_v`, whatever voltage is left.
    """
    units = []
    for member in members:
        z = (impedances or {}).get(member.name, member.middle)
        units.append(
            ParallelUnit(
                member.name,
                member.kva,
                member.no_load_v,
                float(z.resistance_pct),
                float(z.reactance_pct),
                member.displacement_deg,
            )
        )
    found = parallel(units, load_kva, power_factor, bus_v, phases=members[0].phases)
    for _ in range(ROUNDS):
        drawn_kva = load_kva * bus_v / found.loaded_v
        found = parallel(units, drawn_kva, power_factor, bus_v, phases=members[0].phases)
    return found


def together_of(members: tuple[Member, ...], picture: LoadPicture) -> Together:
    """Return units under the load of a picture, unknown angles at power factor 1."""
    load_kva = float(picture.kva_with_growth)
    power_factor = 1.0 if picture.power_factor is None else float(picture.power_factor)
    bus_v = float(members[0].secondary.line_v)
    worst = {}
    for member in members:
        ends = {one.name: one.low if one.name == member.name else one.high for one in members}
        found = solved(members, load_kva, power_factor, bus_v, ends)
        worst[member.name] = next(one.load_pct for one in found.shares if one.name == member.name)
    step = members[0].tap_step_pct
    raised = replace(members[0], no_load_v=members[0].no_load_v * (1 + step / 100))
    return Together(
        members=members,
        load_kva=load_kva,
        power_factor=power_factor,
        bus_v=bus_v,
        usual=solved(members, load_kva, power_factor, bus_v),
        worst_pct=worst,
        tap_step_pct=step,
        tap_apart=solved((raised, *members[1:]), load_kva, power_factor, bus_v),
    )
