"""The standard example job, changed and answered: what the rules say of it."""

from collections.abc import Callable
from typing import Any

import pytest

from turnwright.model.result import Finding, Result
from turnwright.regimes import Facts

Patch = dict[str, Any]


@pytest.fixture(scope="session")
def answer(answer_in: Callable[[str, Patch], Result]) -> Callable[[Patch], Result]:
    """The answer to the standard example job with a change made."""
    return lambda patch: answer_in("us", patch)


@pytest.fixture(scope="session")
def found(found_in: Callable[[str, str, Patch], list[Finding]]) -> Callable[[str, Patch], list[Finding]]:
    """The findings of one rule on the standard example job with a change made."""
    return lambda rule, patch: found_in("us", rule, patch)


@pytest.fixture(scope="session")
def facts(facts_in: Callable[[str, Patch], Facts]) -> Callable[[Patch], Facts]:
    """What the rules get to see of the standard example job with a change made."""
    return lambda patch: facts_in("us", patch)
