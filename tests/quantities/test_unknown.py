"""The marker of what is not known: no yes/no question passes over it."""

import copy
import pickle

import pytest

from turnwright.quantities import UNKNOWN, is_unknown


@pytest.mark.parametrize("given", [UNKNOWN, "unknown", "UNKNOWN", "  Unknown\n"])
def test_recognised(given: object) -> None:
    assert is_unknown(given)


@pytest.mark.parametrize("given", [None, "", 0, False, "unknown load", "not known"])
def test_nothing_else_is_unknown(given: object) -> None:
    assert not is_unknown(given)


def test_it_is_neither_true_nor_false() -> None:
    with pytest.raises(TypeError, match="neither true nor false"):
        bool(UNKNOWN)


def test_it_survives_copies_as_itself() -> None:
    assert copy.deepcopy(UNKNOWN) is UNKNOWN
    assert pickle.loads(pickle.dumps(UNKNOWN)) is UNKNOWN
    assert str(UNKNOWN) == "unknown"
