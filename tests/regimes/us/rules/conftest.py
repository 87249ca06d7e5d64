"""The standard example job, changed and answered: what the rules say of it."""

from collections.abc import Callable
from typing import Any

import pytest
from msgspec.structs import replace

from turnwright.intake import case_of, job_from_mapping
from turnwright.model.case import Case
from turnwright.model.result import Finding, Result
from turnwright.narrow import select
from turnwright.narrow.select import regime_for
from turnwright.regimes import Facts, Rule
from turnwright.regimes.us.rules.example import changed
from turnwright.selection import decide
from turnwright.working import CLOSED

Patch = dict[str, Any]


@pytest.fixture(scope="session")
def answer() -> Callable[[Patch], Result]:
    """The answer to the standard example job with a change made."""
    return lambda patch: select(job_from_mapping(changed(patch), "example"), ledger_open=False, ask=False)


@pytest.fixture(scope="session")
def found(answer: Callable[[Patch], Result]) -> Callable[[str, Patch], list[Finding]]:
    """The findings of one rule on the standard example job with a change made."""
    return lambda rule, patch: [finding for finding in answer(patch).findings if finding.code == rule]


@pytest.fixture(scope="session")
def facts() -> Callable[[Patch], Facts]:
    """What the rules get to see of the standard example job with a change made."""

    def seen(patch: Patch) -> Facts:
        job = job_from_mapping(changed(patch), "example")
        regime = regime_for(job)
        case = case_of(job, regime.defaults)
        assert isinstance(case, Case)
        caught: list[Facts] = []

        def catch(facts: Facts) -> tuple[()]:
            caught.append(facts)
            return ()

        spy = Rule(id=regime.rules[0].id, severity="note", check=catch)
        decide(case, replace(regime, rules=(spy,)), CLOSED)
        return caught[-1]

    return seen
