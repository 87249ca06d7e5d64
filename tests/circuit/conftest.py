"""Worked examples by name, for the tests that solve them."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

TEXT = (Path(__file__).parent / "data" / "worked_examples_circuit.yaml").read_text()
# `recomputed` holds seven digits
DIGITS = 1e-6


class Example:
    """Inputs and recomputed values of one entry by name."""

    def __init__(self, entry: dict[str, Any]) -> None:
        self.entry = entry

    def given(self, key: str) -> float:
        return float(self._value("inputs", key))

    def known(self, key: str) -> float:
        return float(self._value("recomputed", key))

    def wanted(self, key: str) -> Any:
        return pytest.approx(self.known(key), rel=DIGITS)

    def _value(self, table: str, key: str) -> Any:
        value = self.entry[table][key]
        return value["value"] if isinstance(value, dict) else value


@pytest.fixture(scope="session")
def worked() -> Callable[[str], Example]:
    entries = {entry["id"]: entry for entry in yaml.safe_load(TEXT)}
    return lambda name: Example(entries[name])
