"""The standard example job of Canada: what trips a rule, and what leaves it silent, is told as a change to it."""

from __future__ import annotations

from typing import Any

STANDARD: dict[str, Any] = {
    "title": "Standard example",
    "regime": "ca",
    "edition": "2024",
    "supply": {
        "system": "600Y/347",
        "frequency": "60 Hz",
        "grounding": "solid",
        "fault_current": "14 kA",
        "panel_rating": "225 A",
        "panel_load": "100 A",
        "panel_fault_rating": "22 kA",
    },
    "load": [
        {"name": "panel", "system": "208Y/120", "kva": "20 kVA", "power_factor": 0.9, "continuous": True}
    ],
    "site": {"place": "indoor", "altitude": "100 m"},
    "circuit": {
        "primary_length": "20 m",
        "secondary_length": "3 m",
        "conductor": "copper",
        "terminals": "75 degC",
    },
}
"""A panel of 20 kVA at 208Y/120, fed from a 600Y/347 panel."""
