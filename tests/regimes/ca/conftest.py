from functools import cache
from pathlib import Path

import pytest
import yaml

HERE = Path(__file__).parent


@cache
def _examples():
    entries = yaml.safe_load((HERE / "data" / "training_examples.yaml").read_text(encoding="utf-8"))
    return {entry["id"]: entry for entry in entries}


@pytest.fixture
def example():
    """A published training example by its id; its source stands in the file."""

    def by_id(name: str) -> dict:
        return _examples()[name]

    return by_id
