"""The names of `import turnwright as tw`."""

from pathlib import Path

import pytest

import turnwright as tw

EXAMPLE = Path(__file__).parents[1] / "examples" / "gatehouse.toml"


@pytest.mark.parametrize("name", tw.__all__)
def test_every_public_name_is_there(name: str) -> None:
    assert getattr(tw, name) is not None
    assert name in dir(tw)


def test_a_name_that_is_not_public() -> None:
    with pytest.raises(AttributeError, match="no attribute 'selekt'"):
        _ = tw.selekt


def test_a_job_is_answered_in_two_calls() -> None:
    result = tw.select(tw.load_job(EXAMPLE))
    tree = result.to_json()
    assert tree["verdict"] == result.verdict == "selected"
    assert result.pick is not None and tree["pick"]["kva"] == result.pick.kva
