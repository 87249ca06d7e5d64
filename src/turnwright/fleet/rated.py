"""The rated current of a nameplate, for loads that are metered in amperes."""

from __future__ import annotations

from turnwright.model.job import Nameplate
from turnwright.quantities import VoltageSystem
from turnwright.selection.currents import full_load


def rated_current_a(plate: Nameplate, kva: float) -> float | None:
    """Return the rated current of the secondary; None where its phases are not known. [A]

    kva : rated power [kVA]

    Example:
        >>> from turnwright.intake.unit_file import unit_from_mapping
        >>> round(rated_current_a(unit_from_mapping({"kva": "75", "secondary": "208Y/120"}), 75.0), 1)
        208.2
    """
    system = plate.secondary
    if not isinstance(system, VoltageSystem) or system.phases is None:
        return None
    current: float = full_load(system.phases)(kva=kva, voltage_v=system.line_v)
    return current
