"""What every start of a study shares, and the starts themselves: with the other loads running, and alone."""

from __future__ import annotations

from math import acos, degrees

from msgspec import Struct

from turnwright.examine.ends import Ends
from turnwright.examine.motor_cases import Motor, Started, dip_site, others_of, start
from turnwright.examine.runs import NOT_COUNTED, Runs
from turnwright.examine.subject import Subject
from turnwright.model.unit import Impedance


class Frame(Struct, frozen=True, kw_only=True):
    """What every start of a study shares.

    usual         impedance that the dips are judged with: the stated one, else the high end
    power_factor  of a motor at standstill; None: the angle of the largest dip
    """

    subject: Subject
    ends: Ends
    usual: Impedance
    runs: Runs
    power_factor: float | None


def running(frame: Frame, motor: Motor, method: str) -> Started:
    """A start while the other loads run, conductors counted."""
    lag_deg = degrees(acos(min(frame.usual.resistance_pct / frame.usual.magnitude_pct, 1.0)))
    others = others_of(frame.subject, motor, lag_deg)
    site = dip_site(frame.subject, frame.usual, frame.runs)
    return start(frame.subject, site, motor, motor.kva[method], frame.power_factor, others)


def alone(frame: Frame, motor: Motor, z: Impedance) -> Started:
    """A start at the terminals of the unit, nothing else running, conductors not counted."""
    site = dip_site(frame.subject, z, NOT_COUNTED)
    return start(frame.subject, site, motor, motor.kva[motor.method], frame.power_factor)
