"""How a load, as demand sees it, loads the windings of an arrangement: lines, motors, other volts than rated."""

from __future__ import annotations

from msgspec.structs import replace

from turnwright.demand import LoadPicture
from turnwright.model.case import Case
from turnwright.working import Ledger, formula


@formula("I · V_rated / V", "A")
def constant_power_a(current_a: float, rated_v: float, output_v: float) -> float:
    """Return the current of a load of constant power at lower volts than it is rated for. [A]

    current_a : at rated volts [A]
    rated_v   : nominal volts of the load [V]
    output_v  : volts it gets [V]
    Source: S = V · I

    Example:
        >>> constant_power_a(current_a=10.0, rated_v=240.0, output_v=200.0)
        12.0
    """
    return current_a * rated_v / output_v


@formula("S_heat / S", "")
def allowance_share(kva_heat: float, kva_with_growth: float) -> float:
    """Return the load with the allowance for the largest motor over the load without it. [-]

    kva_heat        : with it [kVA]
    kva_with_growth : without it [kVA]
    Source: definition

    Example:
        >>> allowance_share(kva_heat=11.0, kva_with_growth=10.0)
        1.1
    """
    return kva_heat / kva_with_growth if kva_with_growth else 1.0


def motor_allowance(picture: LoadPicture) -> float:
    """Return by how much the allowance for the largest motor raises a winding's load. [-]"""
    return allowance_share(picture.kva_heat, picture.kva_with_growth)


def at_output_volts(case: Case, picture: LoadPicture, output_v: float, work: Ledger) -> LoadPicture:
    """Return the picture with the line currents at the volts the loads get.

    Loads stated in kVA or kW draw more where the volts are lower; a stated current, and that of a motor table, stands
    for the nameplate and is kept.
    """
    rated_v = max(
        (float(load.system.line_v) for load in case.loads if load.size_kind in ("kva", "kw")), default=0.0
    )
    if rated_v <= output_v:
        return picture

    def raised(name: str, currents: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(
            work.calc(
                f"demand.at_output.{name}[{line}]",
                constant_power_a,
                current_a=current_a,
                rated_v=rated_v,
                output_v=output_v,
            )
            for line, current_a in zip(picture.lines, currents, strict=True)
        )

    return replace(
        picture,
        line_a=raised("line_a", picture.line_a),
        design_line_a=raised("design_line_a", picture.design_line_a),
    )
