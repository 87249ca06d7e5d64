"""The drop of single-phase loads on a three-phase unit: the sizing formula against the solved circuit of the answer."""

import pytest

from turnwright.intake import job_from_mapping
from turnwright.narrow import select

SPOT = {"name": "spot", "system": "480 1ph", "kva": "60 kVA", "power_factor": 0.5, "regulation_limit": "8 %"}
LAMPS = {
    "name": "lamps",
    "system": "277 1ph",
    "kva": "30 kVA",
    "power_factor": 0.8,
    "regulation_limit": "5 %",
}
FAN = {"name": "fan", "system": "480 3ph", "kva": "5 kVA", "power_factor": 0.5}


def sized(*loads):
    job = {"supply": {"system": "600 3ph"}, "load": list(loads)}
    job["choices"] = {"impedance": "4 %", "resistance": "1.5 %", "arrangement": "isolation"}
    found = select(job_from_mapping(job), ask=False).to_json()
    limit_pct = min(
        float(load["regulation_limit"].split()[0]) for load in loads if "regulation_limit" in load
    )
    need = next(step for step in found["working"] if step["name"] == "demand.need[drop].kva")
    return found["voltage"]["regulation_pct"], need["value"] * limit_pct / found["pick"]["kva"]


@pytest.mark.parametrize(
    ("loads", "above"),
    [
        ((SPOT, FAN), 0.01),
        (({**SPOT, "quantity": 2},), 0.02),
        (({**SPOT, "quantity": 3},), 0.01),
        (({**LAMPS, "quantity": 3},), 0.01),
        (({**LAMPS, "quantity": 2}, {**SPOT, "quantity": 2, "power_factor": 0.8}), 0.2),
        (({**SPOT, "lines": "AB"}, {**LAMPS, "lines": "A", "power_factor": 0.5}), 0.15),
    ],
)
def test_it_is_never_below_the_circuit_and_little_above(loads, above):
    solved_pct, sized_pct = sized(*loads)
    assert solved_pct <= sized_pct * 1.01  # the sizing formula is of first order in the drop
    assert sized_pct <= solved_pct * (1 + above)
