"""A job with one fact changed is the job that a file with that fact would give."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.errors import InputError, UnknownKey
from turnwright.intake import job_from_mapping
from turnwright.model.job import Job
from turnwright.narrow import at, put
from turnwright.narrow.put import exact, in_written_unit
from turnwright.quantities import parse_quantity

JOB: Job = job_from_mapping(
    {"supply": {"system": "480Y/277"}, "load": [{"system": "208Y/120", "kva": "9 kVA"}, {"hp": "5 hp"}]}
)


@pytest.mark.parametrize(
    ("path", "given_"),
    [
        ("choices.growth", "15 %"),
        ("supply.system", "600Y/347"),
        ("load[1].quantity", 3),
        ("load[0].duty.on", "10 %"),
        ("site.room.length", "4 m"),
        ("site.place", "roof"),
        ("edition", "2020"),
        ("load[0].harmonics", {"5": 30}),
    ],
)
def test_a_fact_put_is_a_fact_held(path: str, given_: object) -> None:
    job = put(JOB, path, given_)
    assert at(job, path) is not None and at(JOB, path) != at(job, path)
    assert put(job, path, given_) == job


def test_one_size_takes_the_place_of_another() -> None:
    load = put(JOB, "load[0].current", "40 A").load[0]
    assert load.kva is None and load.current is not None


def test_the_rest_stays() -> None:
    job = put(JOB, "load[1].hp", "7.5 hp")
    assert job.load[0] == JOB.load[0] and job.supply == JOB.supply


def test_what_is_no_key_and_no_value_is_refused() -> None:
    with pytest.raises(UnknownKey):
        put(JOB, "load[0].colour", "red")
    with pytest.raises(InputError):
        put(JOB, "load[0].current", "12 ft")


def test_a_place_that_is_not_there_holds_nothing() -> None:
    assert at(JOB, "load[7].kva") is None and at(JOB, "load[0].duty.on") is None


@given(st.floats(0.1, 1e4))
def test_an_exact_size_keeps_its_unit(value: float) -> None:
    given_ = parse_quantity("10..12 ft", "length", where="")
    made = exact(given_, value)
    assert made.low == made.high == value and made.form == "exact" and made.unit_written == "ft"
    assert in_written_unit(given_, value) == pytest.approx(value / 0.3048)
