"""Findings, with their clause where they rest on one."""

from __future__ import annotations

from turnwright.model.result import Finding, Severity
from turnwright.reference import Source
from turnwright.working import Known


def said(
    code: str,
    severity: Severity,
    message: str,
    *,
    clause: str | None = None,
    known: Known = "computed",
    value: float | None = None,
    limit: float | None = None,
    unit: str | None = None,
) -> Finding:
    """Return a finding; without a clause, and computed, unless it is said otherwise."""
    return Finding(
        code=code,
        severity=severity,
        message=message,
        clause=clause,
        known=known,
        value=None if value is None else float(value),
        limit=None if limit is None else float(limit),
        unit=unit,
    )


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
    return said(
        code,
        severity,
        message,
        clause=source.cite(),
        known=source.known,
        value=value,
        limit=limit,
        unit=unit,
    )
