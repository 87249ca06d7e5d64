"""Findings by severity, and what is to be decided first."""

from __future__ import annotations

from collections.abc import Iterable

from turnwright.documents.report import FindingLine, FindingList
from turnwright.documents.words import phrases
from turnwright.documents.words.figures import clean, printed
from turnwright.model.result import Finding
from turnwright.quantities import fixed

ORDER = ("stop", "caution", "note")


def finding_list(findings: Iterable[Finding]) -> FindingList | None:
    """Return findings, stops first, each with its clause and how that is known; None when there are none."""
    ordered = sorted(findings, key=lambda finding: ORDER.index(finding.severity))
    return FindingList(tuple(map(_line, ordered))) if ordered else None


def to_decide(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return what stops the job or needs a decision before ordering."""
    return tuple(finding for finding in findings if finding.severity != "note")


def _line(finding: Finding) -> FindingLine:
    known = {"memory": "from memory", "seen": ""}.get(finding.known, finding.known)
    return FindingLine(
        word=phrases.SEVERITY_WORDS[finding.severity],
        message=clean(finding.message),
        clause=finding.clause or "",
        known="" if known == finding.clause else known,
        numbers=numbers_of(finding),
    )


def numbers_of(finding: Finding) -> str:
    """Return the value and the limit of a finding, where it has both.

    Example:
        >>> band = Finding(code="b", severity="note", message="…", known="seen", value=88.0, limit=80.0, unit="%")
        >>> numbers_of(band)
        '(88 % against 80 %)'
    """
    if finding.value is None or finding.limit is None:
        return ""
    unit = f" {finding.unit}" if finding.unit else ""
    return printed(f"({_figure(finding.value)}{unit} against {_figure(finding.limit)}{unit})")


def _figure(value: float) -> str:
    text = fixed(value, 1 if abs(value) >= 10 else 3)
    return text.rstrip("0").rstrip(".") if "." in text else text
