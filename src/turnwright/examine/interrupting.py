"""What devices must interrupt: before the unit, after it, and in the panel at the end of the run."""

from __future__ import annotations

from math import inf

from msgspec import Struct

from turnwright.examine.fault_cases import END, LARGEST, TERMINALS, Found, unlimited
from turnwright.examine.fault_formulas import interrupting_a, motors_at_supply_a
from turnwright.examine.subject import Subject
from turnwright.examine.tables import study_table
from turnwright.reference import Row
from turnwright.working import Ledger, formula


@formula("c · I_supply + I_motors", "A")
def at_panel_a(supply_a: float, voltage_factor: float, motors_a: float) -> float:
    """Return the fault current at the panel before the unit, magnitudes in line. [A]

    supply_a       : fault current of the supply [A]
    voltage_factor : by which its voltage is raised [-]
    motors_a       : what motors behind the unit add [A]
    Source: sum of magnitudes, which is never below the sum of the phasors

    Example:
        >>> at_panel_a(supply_a=18000.0, voltage_factor=1.0, motors_a=200.0)
        18200.0
    """
    return supply_a * voltage_factor + motors_a


class Duty(Struct, frozen=True, kw_only=True):
    """What one device has to interrupt.

    short          the place in a few words, for a sentence
    fault_a        largest symmetrical fault current there; None: not known [A]
    needed_a       symmetrical interrupting rating it asks for, with the first peak; None: not known [A]
    device         "breaker" or "fuse"
    test_x_over_r  of the test circuit of that rating; None where nothing is known
    """

    where: str
    short: str
    fault_a: float | None
    x_over_r: float | None
    needed_a: float | None
    device: str
    test_x_over_r: float | None


def duties_of(
    subject: Subject, found: tuple[Found, ...], motors_a: float, factor: float, work: Ledger
) -> tuple[Duty, ...]:
    """Return the duties from the supply to the load."""
    device = subject.blocks.protection.kind
    duties = [_before(subject, motors_a, factor, device, work)]
    places = (
        (TERMINALS, "device after the unit", "after it"),
        (END, "panel at the end of the run", "at its panel"),
    )
    for place, where, short in places:
        here = [one for one in found if (one.where, one.condition) == (place, LARGEST)]
        if here and unlimited(found):
            duties.append(_not_known(where, short, device))
        elif here:
            worst = max(here, key=lambda one: one.fault.total_a)
            fault = worst.fault
            duties.append(_duty(subject, where, short, fault.total_a, fault.x_over_r, work, len(duties)))
    return tuple(duties)


def _not_known(where: str, short: str, device: str) -> Duty:
    return Duty(
        where=where,
        short=short,
        fault_a=None,
        x_over_r=None,
        needed_a=None,
        device=device,
        test_x_over_r=None,
    )


def _before(subject: Subject, motors_a: float, factor: float, device: str, work: Ledger) -> Duty:
    supply, proposal = subject.case.supply, subject.sized.proposal
    where, short = "device before the unit", "before the unit"
    if supply.fault_current_a is None:
        return _not_known(where, short, device)
    from_motors_a = work.calc(
        "motors.at_supply_a",
        motors_at_supply_a,
        motors_a=motors_a,
        secondary_v=proposal.secondary.line_v,
        primary_v=proposal.primary.line_v,
    )
    fault_a = work.calc(
        "answers.interrupting[0].fault_a",
        at_panel_a,
        supply_a=supply.fault_current_a,
        voltage_factor=factor,
        motors_a=from_motors_a,
    )
    return _duty(subject, where, short, fault_a, supply.x_over_r, work, 0)


def _duty(
    subject: Subject,
    where: str,
    short: str,
    fault_a: float,
    x_over_r: float | None,
    work: Ledger,
    number: int,
) -> Duty:
    device, regime = subject.blocks.protection.kind, subject.regime.name
    ratio = inf if x_over_r is None else x_over_r
    test = device_class(fault_a, ratio, device, regime)
    name = f"answers.interrupting[{number}].needed_a"
    needed_a = work.calc(
        name,
        interrupting_a,
        fault_a=fault_a,
        x_over_r=ratio,
        test_x_over_r=test.number("test_x_over_r"),
    )
    least_a = test.optional("rating_over_a")
    return Duty(
        where=where,
        short=short,
        fault_a=fault_a,
        x_over_r=x_over_r,
        needed_a=needed_a if least_a is None else max(needed_a, float(least_a)),
        device=device,
        test_x_over_r=float(test.number("test_x_over_r")),
    )


def device_class(fault_a: float, x_over_r: float, device: str, regime: str) -> Row:
    """Return the smallest class of interrupting rating that covers a fault with its first peak.

    Example:
        >>> [float(device_class(9e3, ratio, "breaker", "us").number("test_x_over_r")) for ratio in (1.5, 6.0)]
        [1.73, 3.18]
    """
    rows = classes_of(device, regime)
    for row in rows:
        through_a = row.optional("rating_through_a")
        needed_a = interrupting_a(fault_a, x_over_r, row.number("test_x_over_r"))
        if through_a is None or needed_a <= through_a:
            return row
    return rows[-1]


def classes_of(device: str, regime: str) -> tuple[Row, ...]:
    """Return the classes of interrupting rating of a kind of device, ascending."""
    rows = study_table("device_tests").where(device=device).rows
    return tuple(row for row in rows if regime in row.text("regimes").split())
