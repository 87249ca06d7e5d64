"""The job as it was understood, for whoever checks the answer."""

from __future__ import annotations

from typing import Any

from turnwright.model.case import Case, NeedsInput


def job_as_understood(case: Case | NeedsInput) -> dict[str, Any]:
    """Return every fact with its value, how it is known, why and where it stands, in the order of the file.

    Example:
        >>> from turnwright.model.case import Fact
        >>> fact = Fact("regime", "us", "assumed", "no regime is named")
        >>> case = NeedsInput(title="", regime="us", edition="2023", missing=(), facts=(fact,))
        >>> job_as_understood(case)["facts"]
        [{'key': 'regime', 'value': 'us', 'known': 'assumed', 'reason': 'no regime is named', 'where': ''}]
    """
    understood: dict[str, Any] = {
        "title": case.title,
        "regime": case.regime,
        "edition": case.edition,
        "facts": [
            {
                "key": fact.key,
                "value": fact.value,
                "known": fact.known,
                "reason": fact.reason,
                "where": fact.where,
            }
            for fact in case.facts
        ],
    }
    if isinstance(case, NeedsInput):
        understood["missing"] = [
            {"key": each.key, "what": each.what, "possibilities": list(each.possibilities)}
            for each in case.missing
        ]
    return understood
