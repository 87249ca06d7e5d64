"""Loads that never run together: of each number the largest over the sets that can run."""

import itertools
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.demand.together import running_sets
from turnwright.errors import InputError
from turnwright.working import Ledger


def named(build: Any, name: str, never: str | None, index: int, kva: float = 10.0, **facts: Any) -> Any:
    return build.load("208 3ph", "kva", kva, index, name=name, never_with=never, **facts)


def test_heaters_and_chillers(build: Any) -> None:
    loads = [
        named(build, "lights", None, 0, 5.0),
        named(build, "heaters", "chillers", 1, 20.0),
        named(build, "chillers", None, 2, 35.0),
    ]
    picture = build.picture(loads, growth_pct=10.0)
    assert (picture.kva, picture.kva_with_growth) == (40.0, pytest.approx(44.0))
    assert picture.counted == (0, 2)
    assert len(picture.loads) == 3


def test_each_number_takes_its_own_set(build: Any) -> None:
    """A heater of 20 kVA on three phases against 15 kVA on one: the sum is 20, the worst phase 15, the lines 125 A."""
    loads = [
        named(build, "heater", "oven", 0, 20.0),
        build.load("120 1ph", "kva", 15.0, 1, name="oven"),
    ]
    picture = build.picture(loads)
    assert (picture.kva, picture.worst_phase_kva) == (20.0, 15.0)
    assert picture.neutral_a == pytest.approx(125.0)
    assert max(picture.line_a) == pytest.approx(125.0)
    assert min(picture.line_a) == pytest.approx(20.0 / (3**0.5 * 0.208))


def test_the_motor_allowance_may_decide_for_the_other_load(build: Any) -> None:
    """20 kVA of heat against 18 kVA of motor: 20 runs, but the motor asks for 18 · 1.25 = 22.5."""
    loads = [named(build, "heat", "pump", 0, 20.0), named(build, "pump", None, 1, 18.0, kind="motor")]
    picture = build.picture(loads)
    assert (picture.kva, picture.kva_heat) == (20.0, pytest.approx(22.5))


def test_a_chain_keeps_both_ends(build: Any) -> None:
    """a never with b, b never with c: a and c may run together."""
    loads = [named(build, "a", "b", 0, 6.0), named(build, "b", "c", 1, 10.0), named(build, "c", None, 2, 6.0)]
    assert build.picture(loads).kva == 12.0


def test_two_loads_of_one_name_are_both_kept_apart(build: Any) -> None:
    loads = [
        named(build, "mixer", None, 0, 6.0),
        named(build, "mixer", None, 1, 7.0),
        named(build, "saw", "mixer", 2, 9.0),
    ]
    assert build.picture(loads).kva == 13.0


def test_more_than_a_dozen_count_all_together(build: Any) -> None:
    loads = [named(build, f"load {i}", f"load {i ^ 1}", i) for i in range(14)]
    picture = build.picture(loads)
    assert picture.all_together
    assert picture.kva == 140.0
    assert not build.picture(loads[:12]).all_together
    assert build.picture(loads[:12]).kva == 60.0


@given(
    st.integers(2, 8).flatmap(
        lambda n: st.tuples(st.just(n), st.lists(st.integers(0, n - 1), min_size=n, max_size=n))
    )
)
def test_sets_are_all_the_largest_ones(build: Any, drawn: tuple[int, list[int]]) -> None:
    """Against every subset tried one by one."""
    count, partner = drawn
    loads = tuple(
        named(build, f"load {i}", None if other == i else f"load {other}", i)
        for i, other in enumerate(partner)
    )
    apart = {frozenset((i, other)) for i, other in enumerate(partner) if other != i}

    def fits(chosen: tuple[int, ...]) -> bool:
        return not any(frozenset(pair) in apart for pair in itertools.combinations(chosen, 2))

    every = [c for size in range(count + 1) for c in itertools.combinations(range(count), size) if fits(c)]
    largest = {c for c in every if not any(set(c) < set(other) for other in every)}
    found = running_sets(loads).sets
    assert len(found) == len(set(found))
    assert set(found) == largest


def test_a_name_that_is_not_there(build: Any) -> None:
    loads = [named(build, "heaters", "chiler", 0), named(build, "chiller", None, 1)]
    with pytest.raises(InputError, match=r"Did you mean 'chiller'\?") as refusal:
        build.picture(loads)
    assert (refusal.value.code, refusal.value.where) == ("DEM-06", "load[0].never_with")


def test_a_load_never_runs_without_itself(build: Any) -> None:
    with pytest.raises(InputError, match="no other load is named 'fan'"):
        build.picture([named(build, "fan", "fan", 0)])


def test_the_largest_is_in_the_working(build: Any) -> None:
    ledger = Ledger()
    build.picture([named(build, "a", "b", 0, 6.0), named(build, "b", None, 1, 9.0)], work=ledger)
    step = ledger.steps["demand.kva"]
    assert step.value == 9.0
    assert {float(value) for value in step.inputs.values()} == {6.0, 9.0}
    assert "set[0].demand.kva" in ledger.steps
