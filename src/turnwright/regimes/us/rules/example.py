"""The standard example job: what trips a rule, and what leaves it silent, is told as a change to it."""

from __future__ import annotations

from typing import Any

STANDARD: dict[str, Any] = {
    "title": "Standard example",
    "regime": "us",
    "edition": "2023",
    "supply": {
        "system": "480Y/277",
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
        "primary_length": "60 ft",
        "secondary_length": "8 ft",
        "conductor": "copper",
        "terminals": "75 degC",
    },
}
"""A panel of 20 kVA at 208Y/120, fed from a 480Y/277 panel."""


def changed(patch: dict[str, Any], job: dict[str, Any] = STANDARD) -> dict[str, Any]:
    """Return a job with a change made: tables are changed key by key, lists as a whole, None takes a key away.

    Example:
        >>> changed({"site": {"place": "roof"}})["site"]
        {'place': 'roof', 'altitude': '100 m'}
        >>> "altitude" in changed({"site": {"altitude": None}})["site"]
        False
    """
    made = dict(job)
    for key, value in patch.items():
        if value is None:
            made.pop(key, None)
        elif isinstance(value, dict):
            made[key] = changed(value, made.get(key) or {})
        else:
            made[key] = value
    return made
