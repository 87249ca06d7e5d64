"""Findings that carry their clause."""

from __future__ import annotations

from turnwright.model.result import Finding, Severity
from turnwright.reference import Source


def cited(
    code: str,
    severity: Severity,
    message: str,
    source: Source,
    *,
    value: float | None = None,
    limit: float | None = None,
    unit: str | None = None,
) -> Finding:
    """Return a finding whose clause, and how the clause is known, come from its source."""
    return Finding(
        code=code,
        severity=severity,
        message=message,
        clause=source.cite(),
        known=source.known,
        value=None if value is None else float(value),
        limit=None if limit is None else float(limit),
        unit=unit,
    )
