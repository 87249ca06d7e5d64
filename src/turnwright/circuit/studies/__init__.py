"""Questions asked of a network: faults, motor starting, unbalance, harmonics, paralleling, regulation."""

from turnwright.circuit.studies.fault import (
    Fault,
    fault,
    faults,
    infinite_bus_fault_a,
    line_ground_fault_a,
    motor_contribution_a,
    peak_factor,
    three_phase_fault_a,
)
from turnwright.circuit.studies.harmonics import HarmonicFlow, OrderFlow, harmonic_flow
from turnwright.circuit.studies.motor_start import (
    MotorStart,
    dip_pct,
    largest_motor_kva,
    motor_start,
    smallest_unit_kva,
)
from turnwright.circuit.studies.parallel import ParallelOperation, ParallelUnit, Share, parallel
from turnwright.circuit.studies.regulation import (
    Regulation,
    regulation,
    regulation_on_loaded_pct,
    regulation_pct,
)
from turnwright.circuit.studies.unbalance import (
    Unbalance,
    rated_currents_a,
    unbalance,
    voltage_unbalance_iec_pct,
    voltage_unbalance_nema_pct,
)

__all__ = [
    "Fault",
    "HarmonicFlow",
    "MotorStart",
    "OrderFlow",
    "ParallelOperation",
    "ParallelUnit",
    "Regulation",
    "Share",
    "Unbalance",
    "dip_pct",
    "fault",
    "faults",
    "harmonic_flow",
    "infinite_bus_fault_a",
    "largest_motor_kva",
    "line_ground_fault_a",
    "motor_contribution_a",
    "motor_start",
    "parallel",
    "peak_factor",
    "rated_currents_a",
    "regulation",
    "regulation_on_loaded_pct",
    "regulation_pct",
    "smallest_unit_kva",
    "three_phase_fault_a",
    "unbalance",
    "voltage_unbalance_iec_pct",
    "voltage_unbalance_nema_pct",
]
