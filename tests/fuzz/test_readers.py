"""Every reader with damaged files, the same each time, and with those once found: read, or refused in a sentence."""

import gc
from random import Random

import pytest
from fuzz.changes import changed
from fuzz.once import Hangs, Kept, defect_of, within
from fuzz.readers import READERS, parts_of, seeds_of, tried
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.errors import InputError

TRIES = {"paper": 20, "http": 40, "profile": 30}
USUAL_TRIES = 60


@pytest.mark.parametrize("name", READERS)
def test_seeds_are_read_and_what_was_found_is_refused(name: str) -> None:
    outcomes = [tried(READERS[name], seed) for seed in seeds_of(name)]
    assert any(outcomes)


# starlette leaves the file of an upload that breaks off to be closed when it is collected
@pytest.mark.filterwarnings("ignore:.*SpooledTemporaryFile:pytest.PytestUnraisableExceptionWarning")
@pytest.mark.parametrize("name", READERS)
def test_damaged_files_are_read_or_refused(name: str) -> None:
    seeds = seeds_of(name)

    @settings(max_examples=TRIES.get(name, USUAL_TRIES), derandomize=True, database=None)
    @given(seed=st.sampled_from(seeds), number=st.integers(0, 2**32))
    def damaged(seed: bytes, number: int) -> None:
        assert defect_of(READERS[name], changed(seed, Random(number), seeds)) is None

    damaged()
    gc.collect()


def test_a_defect_is_named_and_kept_once(tmp_path) -> None:
    def broken(data: bytes) -> None:
        raise ZeroDivisionError

    kept = Kept(tmp_path / "broken")
    for data in (b"first", b"second"):
        kept.take(broken, data)
    (found,) = (tmp_path / "broken").iterdir()
    assert found.name.startswith("ZeroDivisionError") and found.read_bytes() == b"first"


def test_a_reader_that_hangs_is_a_defect() -> None:
    def endless(data: bytes) -> None:
        while True:
            try:
                len(data)
            except Exception:
                continue

    assert defect_of(endless, b"", seconds=0.05).startswith("Hangs")
    with pytest.raises(Hangs), within(0.05):
        endless(b"")


@pytest.mark.parametrize("said", ["", "two\nlines", "x" * 5000])
def test_a_refusal_is_one_sentence(said: str) -> None:
    class Refused(InputError):
        def __str__(self) -> str:
            return said

    def refuses(data: bytes) -> None:
        raise Refused("X-01", "here", "wrong.", "mend.")

    assert defect_of(refuses, b"").startswith("NotASentence")


def test_the_same_draws_make_the_same_change() -> None:
    seeds = seeds_of("job")
    assert changed(seeds[0], Random(7), seeds) == changed(seeds[0], Random(7), seeds)
    assert len({changed(seeds[0], Random(number), seeds) for number in range(50)}) > 40


def test_parts_of_a_paper() -> None:
    assert parts_of(b"--- a\n1\n2\n--- b\n") == {"a": "1\n2", "b": ""}
