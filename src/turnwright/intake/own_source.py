"""Fault current of a supply that is no utility, by its rating: a generator's reactance, the limit of an inverter."""

from __future__ import annotations

from math import sqrt

from turnwright.intake.facts import Facts
from turnwright.quantities import VoltageSystem
from turnwright.reference import load
from turnwright.working import Number, Step

PATH = "supply.fault_current"


def rated_a(source_kva: float, system: VoltageSystem) -> float:
    """Return the rated current of a source. [A]

    source_kva : rated power of the source [kVA]
    system     : voltage system of the supply
    Source: definition of apparent power

    Example:
        >>> from turnwright.quantities import parse_system
        >>> round(rated_a(100.0, parse_system("480 3ph", where="example")), 1)
        120.3
    """
    return source_kva * 1000 / (system.line_v * (sqrt(3) if system.phases == 3 else 1.0))


def behind_reactance_a(current_a: float, reactance_pct: float) -> float:
    """Return the fault current at the terminals of a generator. [A]

    current_a     : rated current [A]
    reactance_pct : subtransient reactance on its own rating [%]
    Source: fault current behind a series reactance; source_reactance is all there is between

    Example:
        >>> round(behind_reactance_a(120.28, 12.0))
        1002
    """
    return current_a * 100 / reactance_pct


def of_own_source(
    source: str,
    source_kva: Number,
    reactance_pct: Number | None,
    system: VoltageSystem,
    facts: Facts,
) -> tuple[Number | None, float | None]:
    """Return the fault current of a generator, UPS or inverter for interrupting ratings, and the low end for dips. [A]

    A UPS on its bypass, or an inverter beside a utility, passes on whatever stands behind it: its own limit counts for
    dips only.
    """
    rated = rated_a(float(source_kva), system)
    if source == "generator":
        return _generator(rated, reactance_pct, facts)
    multiple = load("trade_practice").newest().row(key="ups_current_low_multiple").number("value")
    low_a = rated * float(multiple)
    text = f"infinite source for interrupting ratings, {low_a:.4g} A for dips"
    reason = (
        f"what stands behind it is not known; its own limit is {multiple:g} times its rated {rated:.4g} A"
    )
    facts.note(PATH, text, "assumed", reason)
    return None, low_a


def _generator(
    rated: float, reactance_pct: Number | None, facts: Facts
) -> tuple[Number | None, float | None]:
    """Return both ends by its subtransient reactance: the stated one, else the ends of the usual band."""
    if reactance_pct is not None and reactance_pct > 0:
        fault_a = behind_reactance_a(rated, float(reactance_pct))
        reason = f"rated {rated:.4g} A over its reactance of {reactance_pct:g} %"
        facts.note(PATH, f"{fault_a:.4g} A", "computed", reason)
        return _number(fault_a, reason, "computed"), fault_a
    practice = load("trade_practice").newest()
    low_pct, high_pct = (
        practice.row(key=f"generator_reactance_{end}_pct").number("value") for end in ("low", "high")
    )
    most_a, least_a = (behind_reactance_a(rated, float(pct)) for pct in (low_pct, high_pct))
    reason = (
        f"usual subtransient reactance of {low_pct:g} to {high_pct:g} %; each end is the safe one for its use"
    )
    facts.note("supply.source_reactance", f"{low_pct:g} to {high_pct:g} %", "assumed", reason)
    facts.note(PATH, f"{most_a:.4g} A for interrupting ratings, {least_a:.4g} A for dips", "assumed", reason)
    return _number(most_a, reason, "assumed"), least_a


def _number(fault_a: float, reason: str, known: str) -> Number:
    step = Step(PATH, fault_a, "A", "", {}, reason, "computed" if known == "computed" else "assumed")
    return Number(fault_a, step)
