"""The closed forms beside the solved faults, and the current of the worst one in time."""

from __future__ import annotations

from math import atan, cos, exp, isfinite, pi, sin, sqrt

from turnwright.circuit.elements import source_impedance_ohm
from turnwright.circuit.studies.fault import line_ground_fault_a, three_phase_fault_a
from turnwright.examine.ends import Ends
from turnwright.examine.fault_cases import Found
from turnwright.examine.fault_formulas import half_pct, loop_fault_a, referred_ohm, series_ohm, unit_ohm
from turnwright.examine.records import Series
from turnwright.examine.subject import Subject
from turnwright.model.unit import Impedance
from turnwright.working import Ledger

CYCLES, SAMPLES_PER_CYCLE = 4, 48
SUPPLY = "impedance of the supply from its fault current and X/R"


def closed_forms(subject: Subject, ends: Ends, factor: float, work: Ledger) -> dict[str, float]:
    """Return the fault currents at the terminals by hand, where a formula exists, with their steps. [A]

    Keys are types of fault; the impedance is the stated one, else the low end.
    """
    proposal = subject.sized.proposal
    if not proposal.derived or not subject.balanced:
        return {}
    z = noted_impedance(ends, work)
    if not subject.three_phase:
        return _single_phase(subject, z, factor, work)
    return _three_phase(subject, z, factor, work) if proposal.vector_group is not None else {}


def noted_impedance(ends: Ends, work: Ledger) -> Impedance:
    """Return the stated impedance, else the low end of the usual band, with a step behind each part."""
    z = ends.stated or ends.low
    source, known = ("as stated", "given") if ends.stated else ("low end of the usual band", "assumed")
    parts = (("resistance", z.resistance_pct), ("reactance", z.reactance_pct))
    return Impedance(
        *(work.note(f"unit.{name}_pct", value, "%", source, known) for name, value in parts)  # type: ignore[arg-type]
    )


def _supply(subject: Subject, secondary_v: float, work: Ledger) -> tuple[float, float]:
    """Resistance and reactance of the supply, seen from the secondary; 0 for an infinite source. [ohm]"""
    supply, proposal = subject.case.supply, subject.sized.proposal
    lines_v = supply.line_v / sqrt(3) if supply.system.phases == 3 else float(supply.line_v)
    fault_a = supply.fault_current_a
    z = 0j if fault_a is None else source_impedance_ohm(lines_v, float(fault_a), float(supply.x_over_r))
    # a single-phase unit on two lines of three has both of them in its loop
    z *= 2 if supply.system.phases == 3 and not subject.three_phase else 1
    given = {"fault_current_a": fault_a, "x_over_r": supply.x_over_r}
    found = []
    for name, ohm in (("r", z.real), ("x", z.imag)):
        here = work.note(f"closed.supply_{name}_ohm", ohm, "ohm", SUPPLY, "computed", **given)
        found.append(
            work.calc(
                f"closed.supply_{name}_seen_ohm",
                referred_ohm,
                ohm=here,
                primary_v=proposal.primary.line_v,
                secondary_v=secondary_v,
            )
        )
    return found[0], found[1]


def _unit(subject: Subject, z: Impedance, line_v: float, label: str, work: Ledger) -> tuple[float, float]:
    kva = subject.sized.unit.kva
    r_ohm = work.calc(f"closed.{label}_r_ohm", unit_ohm, percent=z.resistance_pct, kva=kva, line_v=line_v)
    x_ohm = work.calc(f"closed.{label}_x_ohm", unit_ohm, percent=z.reactance_pct, kva=kva, line_v=line_v)
    return r_ohm, x_ohm


def _three_phase(subject: Subject, z: Impedance, factor: float, work: Ledger) -> dict[str, float]:
    line_v = subject.sized.proposal.secondary.line_v
    r_unit, x_unit = _unit(subject, z, line_v, "unit", work)
    r_supply, x_supply = _supply(subject, line_v, work)
    r_ohm = work.calc("closed.r_ohm", series_ohm, unit_ohm=r_unit, supply_ohm=r_supply)
    x_ohm = work.calc("closed.x_ohm", series_ohm, unit_ohm=x_unit, supply_ohm=x_supply)
    found = {
        "three-phase": work.calc(
            "closed.three_phase_a",
            three_phase_fault_a,
            line_v=line_v,
            r_ohm=r_ohm,
            x_ohm=x_ohm,
            voltage_factor=factor,
        )
    }
    proposal = subject.sized.proposal
    # behind a delta the supply has no part in the zero-sequence impedance
    if proposal.output.neutral_v is not None and "delta" in proposal.primary.text:
        found["line-ground"] = work.calc(
            "closed.line_ground_a",
            line_ground_fault_a,
            line_v=line_v,
            r1_ohm=r_ohm,
            x1_ohm=x_ohm,
            r0_ohm=r_unit,
            x0_ohm=x_unit,
            fault_ohm=0.0,
            voltage_factor=factor,
        )
    return found


def _single_phase(subject: Subject, z: Impedance, factor: float, work: Ledger) -> dict[str, float]:
    proposal = subject.sized.proposal
    line_v = proposal.secondary.line_v
    found = {"line-line": _loop(subject, z, line_v, factor, "", work)}
    if proposal.secondary.wires == 3:
        half = Impedance(
            work.calc(
                "unit.half_resistance_pct",
                half_pct,
                percent=z.resistance_pct,
                multiplier=subject.practice("half_winding_r_multiplier"),
            ),
            work.calc(
                "unit.half_reactance_pct",
                half_pct,
                percent=z.reactance_pct,
                multiplier=subject.practice("half_winding_x_multiplier"),
            ),
        )
        found["half winding"] = _loop(subject, half, line_v / 2, factor, "half_", work)
    return found


def _loop(subject: Subject, z: Impedance, voltage_v: float, factor: float, label: str, work: Ledger) -> float:
    r_unit, x_unit = _unit(subject, z, voltage_v, f"{label}unit", work)
    r_supply, x_supply = _supply(subject, voltage_v, work.within(label.rstrip("_")) if label else work)
    r_ohm = work.calc(f"closed.{label}r_ohm", series_ohm, unit_ohm=r_unit, supply_ohm=r_supply)
    x_ohm = work.calc(f"closed.{label}x_ohm", series_ohm, unit_ohm=x_unit, supply_ohm=x_supply)
    current_a: float = work.calc(
        f"closed.{label}fault_a",
        loop_fault_a,
        voltage_v=voltage_v,
        r_ohm=r_ohm,
        x_ohm=x_ohm,
        voltage_factor=factor,
    )
    return current_a


def current_at(t_s: float, rms_a: float, x_over_r: float, frequency_hz: float) -> float:
    """Return a fault current in time, the circuit closing at voltage zero. [A]

    √2 I [sin(ωt − φ) + sin φ · e^(−ωt / tan φ)], φ = atan(X/R)

    t_s          : after the short circuit [s]
    rms_a        : symmetrical current [A]
    x_over_r     : of the circuit [-]
    frequency_hz : of the supply [Hz]

    Example:
        >>> current_at(0.0, 1000.0, 3.0, 60.0), round(current_at(1 / 240, 1000.0, 0.0, 60.0))
        (0.0, 1414)
    """
    angle = 2 * pi * frequency_hz * t_s
    if x_over_r == 0:
        return sqrt(2) * rms_a * sin(angle)
    if not isfinite(x_over_r):
        return sqrt(2) * rms_a * (1 - cos(angle))
    phi = atan(x_over_r)
    return sqrt(2) * rms_a * (sin(angle - phi) + sin(phi) * exp(-angle / x_over_r))


def waveform(subject: Subject, worst: Found) -> Series:
    """Return the current of the worst fault over its first cycles, motors in line with it."""
    hz = float(subject.case.supply.frequency_hz)
    count = CYCLES * SAMPLES_PER_CYCLE
    times = tuple(k / SAMPLES_PER_CYCLE / hz for k in range(count + 1))
    ratio = 0.0 if worst.fault.x_over_r is None else worst.fault.x_over_r
    return Series(
        name=f"{worst.kind} at the {worst.where}, first cycles",
        kind="line",
        x_name="time",
        x_unit="s",
        y_name="current",
        y_unit="A",
        x=times,
        y=tuple(current_at(t, worst.fault.total_a, ratio, hz) for t in times),
    )
