"""Half-known jobs drawn at random, and concrete jobs inside them."""

from collections.abc import Callable
from typing import Any, NamedTuple

import pytest
from hypothesis import strategies as st

from turnwright.intake import job_from_mapping
from turnwright.model.job import Job


class HalfKnown(NamedTuple):
    """A job with ranges, and the same job with one value inside each."""

    job: Job
    concrete: Job
    share: tuple[float, ...]


LOAD_SYSTEMS = ("208Y/120", "208 3ph", "120 1ph", "208 1ph")
SIZES = {
    "kva": (3.0, 60.0, "kVA"),
    "current": (8.0, 180.0, "A"),
    "kw": (3.0, 50.0, "kW"),
    "hp": (2.0, 50.0, "hp"),
}


@st.composite
def between(draw: st.DrawFn, least: float, most: float, unit: str, digits: int = 1) -> tuple[str, str]:
    """A range, and a value inside it, both as a person writes them."""
    low = draw(st.floats(least, most))
    high = draw(st.floats(low, min(most, low * 1.6 + 1)))
    low, high = round(low, digits), round(high, digits)
    inside = round(low + (high - low) * draw(st.floats(0, 1)), digits + 3)
    inside = min(max(inside, low), high)
    return f"{low}..{high} {unit}".strip(), f"{inside} {unit}".strip()


@st.composite
def half_known(draw: st.DrawFn) -> HalfKnown:
    """A job of which every open fact has a direction, with all of them as ranges, and one inside it."""
    vague: dict[str, Any] = {"supply": {"system": "480Y/277"}, "load": [], "site": {}, "choices": {}}
    exact: dict[str, Any] = {"supply": {"system": "480Y/277"}, "load": [], "site": {}, "choices": {}}
    for _ in range(draw(st.integers(1, 3))):
        name = draw(st.sampled_from(sorted(SIZES)))
        size = draw(between(*SIZES[name]))
        system = draw(st.sampled_from(LOAD_SYSTEMS))
        pieces = draw(st.integers(1, 3))
        fixed = {"system": "208 3ph" if name == "hp" else system, "quantity": pieces}
        factor = draw(between(0.5, 1.0, "", 2)) if name == "kw" else ("0.9", "0.9")
        demand = draw(between(0.3, 1.0, "", 2))
        for job, place in ((vague, 0), (exact, 1)):
            job["load"].append(
                {**fixed, name: size[place], "power_factor": factor[place], "demand_factor": demand[place]}
            )
    for table, name, args in (
        ("choices", "growth", (0.0, 40.0, "%")),
        ("site", "altitude", (0.0, 3500.0, "m")),
        ("site", "ambient_average", (10.0, 50.0, "degC")),
    ):
        written = draw(between(*args))
        vague[table][name], exact[table][name] = written
    return HalfKnown(job_from_mapping(vague), job_from_mapping(exact), ())


@pytest.fixture(scope="session")
def half_known_jobs() -> st.SearchStrategy[HalfKnown]:
    return half_known()


@pytest.fixture(scope="session")
def job_of() -> Callable[..., Job]:
    """Return a job of a supply, one load and whatever else is given."""

    def made(**tables: Any) -> Job:
        data = {"supply": {"system": "480Y/277"}, "load": [{"system": "208Y/120", "kva": "26 kVA"}]}
        return job_from_mapping(data | tables)

    return made
