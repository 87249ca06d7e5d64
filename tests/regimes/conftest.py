"""The standard example of each part of the world with a change made: its answer, and what its rules see of it."""

import json
import re
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

import pytest
from msgspec.structs import replace

from turnwright.intake import case_of, job_from_mapping
from turnwright.model.case import Case
from turnwright.model.result import Finding, Result
from turnwright.narrow import select
from turnwright.narrow.select import regime_for
from turnwright.quantities import parse_system
from turnwright.regimes import Facts, Rule, ca, iec, run, us
from turnwright.regimes.ca.rules.example import STANDARD as CANADA
from turnwright.regimes.iec.rules.example import STANDARD as IEC
from turnwright.regimes.us.rules.example import STANDARD as US
from turnwright.regimes.us.rules.example import changed
from turnwright.selection import decide
from turnwright.working import CLOSED

Patch = dict[str, Any]
EXAMPLES = {"us": US, "ca": CANADA, "iec": IEC}
MODULES = {"us": us, "ca": ca, "iec": iec}


@cache
def _answer(name: str, patch: str) -> Result:
    job = changed(json.loads(patch), EXAMPLES[name])
    return select(job_from_mapping(job, "example"), ledger_open=False, ask=False)


@cache
def _facts(name: str, patch: str) -> Facts:
    job = job_from_mapping(changed(json.loads(patch), EXAMPLES[name]), "example")
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


def _put(record: Any, path: str, value: Any) -> Any:
    """Return a record with the field at the end of a path changed; a voltage system may be given as people write it."""
    name, _, rest = path.partition(".")
    if isinstance(record, tuple):
        at = int(name)
        return (*record[:at], _put(record[at], rest, value), *record[at + 1 :])
    if rest:
        value = _put(getattr(record, name), rest, value)
    elif isinstance(value, str) and name in ("system", "output"):
        value = parse_system(value, where="test")
    return replace(record, **{name: value})


@pytest.fixture(scope="session")
def answer_in() -> Callable[[str, Patch], Result]:
    """The answer to the standard example job of a part of the world with a change made."""
    return lambda name, patch: _answer(name, json.dumps(patch))


@pytest.fixture(scope="session")
def found_in(answer_in: Callable[[str, Patch], Result]) -> Callable[[str, str, Patch], list[Finding]]:
    """The findings of one rule on the standard example job of a part of the world with a change made."""
    return lambda name, rule, patch: [one for one in answer_in(name, patch).findings if one.code == rule]


@pytest.fixture(scope="session")
def facts_in() -> Callable[[str, Patch], Facts]:
    """What the rules get to see of the standard example job of a part of the world with a change made."""
    return lambda name, patch: _facts(name, json.dumps(patch))


@pytest.fixture(scope="session")
def seen_in(
    facts_in: Callable[[str, Patch], Facts],
) -> Callable[[str, Patch, Mapping[str, Any]], Facts]:
    """The same, and then facts by their path (`blocks.fault.maximum_a`, `case.loads.0.kind`) set to what is given."""

    def seen(name: str, patch: Patch, beside: Mapping[str, Any]) -> Facts:
        facts = facts_in(name, patch)
        for path, value in beside.items():
            facts = _put(facts, path, value)
        return facts

    return seen


@pytest.fixture(scope="session")
def judged() -> Callable[[str, Facts], list[Finding]]:
    """What one rule of the regime of some facts finds in them, "not checked" with it."""

    def findings(rule: str, facts: Facts) -> list[Finding]:
        regime = MODULES[facts.case.regime].regime(facts.case.edition)
        return list(run(tuple(one for one in regime.rules if one.id == rule), facts, regime.rule_table))

    return findings


@pytest.fixture(scope="session")
def in_words() -> Callable[[Finding, str], bool]:
    """Whether a number of a finding stands in its words: as it is, in percent or in thousands, to 1 %."""

    def stands(finding: Finding, which: str) -> bool:
        number = abs(getattr(finding, which))
        said = [float(figures) for figures in re.findall(r"\d+(?:\.\d+)?", finding.message)]
        return any(
            abs(each * unit - number) <= 0.01 * number for each in said for unit in (0.01, 1.0, 1000.0)
        )

    return stands
