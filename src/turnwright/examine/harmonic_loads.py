"""What the loads draw by order: fundamentals as constant currents, harmonics as currents at their angles."""

from __future__ import annotations

from cmath import phase, rect
from math import degrees, radians, sqrt

from msgspec import Struct
from msgspec.structs import replace

from turnwright.circuit import CurrentLoad, Injection, solve
from turnwright.demand import LoadDemand
from turnwright.demand.harmonic_formulas import distortion_pct
from turnwright.examine.flow_formulas import fundamental_a
from turnwright.examine.site import Site, at_bus
from turnwright.examine.subject import Subject
from turnwright.selection.network import load_elements
from turnwright.working import Ledger

QUARTER_PHASE_DEG = 30.0
"""Angle by which a line voltage leads the voltage to neutral of its first line."""
TRIPLEN = 3


class Drawn(Struct, frozen=True, kw_only=True):
    """One load: its place, and its current of each order in percent of the fundamental.

    share  fundamental over the rms current, harmonics included
    """

    position: int
    demand: LoadDemand
    percent: tuple[tuple[int, float], ...]
    share: float


def drawn_by(subject: Subject, work: Ledger) -> tuple[Drawn, ...]:
    """Return the loads that run, with their spectra."""
    picture = subject.sized.picture
    return tuple(_drawn(picture.loads[position], position, work) for position in picture.counted)


def _drawn(demand: LoadDemand, position: int, work: Ledger) -> Drawn:
    if not demand.harmonics:
        return Drawn(position=position, demand=demand, percent=(), share=1.0)
    name = f"load[{demand.index}]"
    percent = {f"h{order}": value for order, value in demand.harmonics}
    distortion = work.calc(f"{name}.distortion_pct", distortion_pct, **percent)
    first = work.calc(
        f"{name}.fundamental_a", fundamental_a, current_a=demand.current_a, distortion_pct=distortion
    )
    share = first / demand.current_a if demand.current_a else 1.0
    return Drawn(position=position, demand=demand, percent=demand.harmonics, share=share)


def _elements(subject: Subject, one: Drawn, lag_deg: float) -> tuple[CurrentLoad, ...]:
    """One load as currents at the terminals of the unit, rms with harmonics included."""
    alone = replace(subject.sized.picture, counted=(one.position,))
    found = load_elements(subject.case, subject.sized.proposal, alone, lag_deg, on_value=False)
    return tuple(
        replace(element, name=f"load {one.position + 1}.{number}") for number, element in enumerate(found, 1)
    )


def fundamental_loads(
    subject: Subject, site: Site, drawn: tuple[Drawn, ...], lag_deg: float
) -> tuple[CurrentLoad, ...]:
    """Return the fundamentals of all loads at the bus; unknown angles at `lag_deg`."""
    return tuple(
        replace(element, current_a=element.current_a * one.share)
        for one in drawn
        for element in at_bus(site, _elements(subject, one, lag_deg))
    )


def injections(subject: Subject, site: Site, drawn: tuple[Drawn, ...]) -> tuple[Injection, ...]:
    """Return the harmonics of all loads at the bus, each in step with the voltage of its own place."""
    idle = solve(site.network)
    found: list[Injection] = []
    for one in drawn:
        for element in at_bus(site, _elements(subject, one, 0.0)):
            across = idle.voltage_v(element.start, element.end)
            for order, percent in one.percent:
                angle_deg = _angle_deg(site, one.demand, element, order, degrees(phase(across)))
                if angle_deg is None or not percent:
                    continue
                amps = element.current_a * one.share * percent / 100
                name = f"{element.name} order {order}"
                found.append(Injection(name, element.start, element.end, order, amps, angle_deg))
    return tuple(found)


def _angle_deg(
    site: Site, demand: LoadDemand, element: CurrentLoad, order: int, voltage_deg: float
) -> float | None:
    """The angle of one order; None where a load cannot draw it: three phases without a neutral, order 3, 6, 9, …

    The branches of a three-phase load between lines are turned so that its line currents are in step with the
    voltages to neutral, as those of the other loads are.
    """
    if demand.place != "three-phase":
        return order * voltage_deg
    triplen = order % TRIPLEN == 0
    if element.end == site.bus_neutral:
        return None if triplen and not demand.neutral else order * voltage_deg
    if triplen:
        return None
    to_neutral_deg = voltage_deg - QUARTER_PHASE_DEG
    turn = QUARTER_PHASE_DEG if order % TRIPLEN == 1 else -QUARTER_PHASE_DEG
    return order * to_neutral_deg + turn


def sample(phasors: dict[int, complex], angle_deg: float) -> float:
    """Return a current in time from its orders. [A]

    √2 Σ |I_h| cos(h·θ + φ_h)

    phasors   : order -> rms phasor [A]
    angle_deg : θ of the fundamental [deg]

    Example:
        >>> round(sample({1: 10.0, 3: 1.0}, 0.0), 3)
        15.556
    """
    return sqrt(2) * sum(
        (current * rect(1.0, radians(order * angle_deg))).real for order, current in phasors.items()
    )
