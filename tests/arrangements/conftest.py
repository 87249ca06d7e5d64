"""Cases from short tables, proposals by name, published worked examples by id."""

from functools import cache
from pathlib import Path

import pytest
import yaml

from turnwright.arrangements import ARRANGEMENTS, NotServed
from turnwright.intake import case_of, job_from_mapping
from turnwright.regimes import regime_of
from turnwright.selection.choose import picture_of

HERE = Path(__file__).parent
US = regime_of("us", "2023", "test")


@cache
def _examples():
    entries = yaml.safe_load((HERE / "data" / "worked_examples.yaml").read_text(encoding="utf-8"))
    return {entry["id"]: entry for entry in entries}


class Example:
    """Inputs and recomputed outputs of a published example, as plain numbers."""

    def __init__(self, name):
        entry = _examples()[name]
        self.inputs = {
            key: given["value"] if isinstance(given, dict) else given
            for key, given in entry["inputs"].items()
        }
        self.outputs = {key: given["value"] for key, given in entry["recomputed"].items()}


@pytest.fixture(scope="session")
def example():
    return Example


class Build:
    """Makes cases, and asks arrangements about them."""

    regime = US

    @staticmethod
    def case(supply, *loads, **tables):
        given = {"system": supply} if isinstance(supply, str) else supply
        return case_of(job_from_mapping({"supply": given, "load": list(loads), **tables}), US.defaults)

    @staticmethod
    def ask(name, case):
        arrangement = next(one for one in ARRANGEMENTS if one.name == name)
        return arrangement.propose(case, US.systems)

    def one(self, name, case):
        answer = self.ask(name, case)
        assert not isinstance(answer, NotServed), answer.message
        return answer[0]

    @staticmethod
    def picture(case, proposal):
        return picture_of(case, proposal, US)


@pytest.fixture(scope="session")
def build():
    return Build()
