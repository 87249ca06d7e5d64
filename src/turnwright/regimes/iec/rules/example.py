"""The standard example job of the IEC world: what trips a rule, and what leaves it silent, is a change to it."""

from __future__ import annotations

from typing import Any

STANDARD: dict[str, Any] = {
    "title": "Standard example",
    "regime": "iec",
    "supply": {
        "system": "690Y/400",
        "frequency": "50 Hz",
        "earthing": "TN-S",
        "fault_current": "14 kA",
        "panel_rating": "200 A",
        "panel_load": "100 A",
        "panel_fault_rating": "25 kA",
    },
    "load": [
        {"name": "panel", "system": "400Y/230", "kva": "12 kVA", "power_factor": 0.9, "continuous": True}
    ],
    "site": {"place": "indoor", "altitude": "100 m", "ambient_peak": "30 degC", "ambient_average": "25 degC"},
    "circuit": {
        "primary_length": "20 m",
        "secondary_length": "3 m",
        "conductor": "copper",
        "insulation": "PVC",
        "installation": "C",
    },
}
"""A board of 12 kVA at 400Y/230, fed from a 690Y/400 board."""
