"""Elimination in plain Python against numpy, and the search for what a singular system leaves open."""

import builtins
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.circuit import Impedance, Network, Source1, linear, rank, solve
from turnwright.circuit.linear import (
    ArrayFactors,
    PlainFactors,
    Singular,
    factorize,
    inverse,
    refined,
    sparse,
)
from turnwright.errors import MissingExtra

parts = st.floats(-10, 10, allow_subnormal=False)
entries = st.builds(complex, parts, parts)


@st.composite
def systems(draw: st.DrawFn) -> tuple[list[list[complex]], list[complex]]:
    count = draw(st.integers(1, 12))
    rows = [[draw(entries) * draw(st.booleans()) for _ in range(count)] for _ in range(count)]
    for k in range(count):
        # strong enough to keep the matrix away from singular, weak enough to make pivoting matter
        rows[k][(k + 1) % count] += 25.0 * draw(st.sampled_from([1, 1j, -1]))
    return rows, [draw(entries) for _ in range(count)]


@settings(max_examples=80, deadline=None)
@given(systems())
def test_plain_and_array_elimination_agree(system: tuple[list[list[complex]], list[complex]]) -> None:
    rows, rhs = system
    try:
        plain = PlainFactors(sparse(rows))
    except Singular:
        return
    if plain.condition() > 1e6:
        return
    ours, theirs = refined(plain, sparse(rows), rhs), refined(ArrayFactors(sparse(rows)), sparse(rows), rhs)
    scale = max(map(abs, theirs)) or 1.0
    assert max(abs(a - b) for a, b in zip(ours, theirs, strict=True)) <= 1e-9 * scale


@settings(max_examples=60, deadline=None)
@given(systems())
def test_condition_estimate_is_near_the_truth(system: tuple[list[list[complex]], list[complex]]) -> None:
    rows, _ = system
    try:
        plain, exact = PlainFactors(sparse(rows)), ArrayFactors(sparse(rows))
    except Singular:
        return
    # the estimate is a lower bound, seldom by more than a factor of three
    assert exact.condition() / 20 <= plain.estimate() <= exact.condition() * (1 + 1e-6)
    # the quick one says only the order of magnitude
    assert exact.condition() / 300 <= plain.condition() <= exact.condition() * 300


@pytest.mark.parametrize("apart", [0.5, 1e-3, 1e-8])
def test_condition_of_two_nearly_equal_rows_is_exact(apart: float) -> None:
    """[[1, 1 - a], [1 - a, 1]]: (2 - a) / a in the 1-norm; the mean of the unknowns, where it starts, shows nothing."""
    rows = [[1 + 0j, 1 - apart + 0j], [1 - apart + 0j, 1 + 0j]]
    for factors in (PlainFactors(sparse(rows)).estimate, ArrayFactors(sparse(rows)).condition):
        assert factors() == pytest.approx((2 - apart) / apart, rel=1e-6)


def test_quick_condition_is_the_norm_over_the_smallest_pivot() -> None:
    """By hand: rows over their largest are (1, 1/2) and (1/4, 1); their norm is 3/2, the pivots 1 and 7/8."""
    factors = PlainFactors(sparse([[2 + 0j, 1 + 0j], [1 + 0j, 4 + 0j]]))
    assert factors.condition() == pytest.approx(1.5 / 0.875)
    assert PlainFactors([]).condition() == 1.0


def test_inverse() -> None:
    rows = [[2 + 1j, 1j, 0j], [1 + 0j, 3 - 1j, 1 + 0j], [0j, 2 + 0j, 1 - 4j]]
    assert np.allclose(np.array(inverse(rows)) @ np.array(rows), np.eye(3), atol=1e-14)


def test_singular_matrices_are_noticed() -> None:
    flat = [[1 + 0j, 2 + 0j], [2 + 0j, 4 + 0j]]
    empty = [[1 + 0j, 0j], [0j, 0j]]
    for rows in (flat, empty):
        for kind in (PlainFactors, ArrayFactors):
            with pytest.raises(Singular):
                kind(sparse(rows))


def test_size_decides_between_plain_and_array() -> None:
    def identity(count: int) -> list[list[complex]]:
        return [[1 + 0j if i == j else 0j for j in range(count)] for i in range(count)]

    assert isinstance(factorize(sparse(identity(linear.PLAIN_UP_TO))), PlainFactors)
    assert isinstance(factorize(sparse(identity(linear.PLAIN_UP_TO + 1))), ArrayFactors)


def ladder(rungs: int) -> Network:
    rails = [Impedance(f"rail{k}", f"n{k}", f"n{k + 1}", 0.1, 0.05) for k in range(rungs)]
    steps = [Impedance(f"step{k}", f"n{k + 1}", "0", 10.0 + k) for k in range(rungs)]
    return Network(60.0, (Source1("SUP", "n0", "0", 100.0, 0.1j),), (), (*rails, *steps))


def test_a_larger_network_is_the_same_with_and_without_numpy(monkeypatch: pytest.MonkeyPatch) -> None:
    network = ladder(80)
    with_numpy = solve(network)
    hide_numpy(monkeypatch)
    without = solve(network)
    for node, volts in with_numpy.voltages_v.items():
        assert abs(without.voltages_v[node] - volts) <= 1e-9 * 100
    for name, amperes in with_numpy.currents_a.items():
        assert abs(without.currents_a[name] - amperes) <= 1e-9 * abs(with_numpy.current_a("SUP:n0"))


def test_without_numpy_a_large_network_is_refused_with_the_remedy(monkeypatch: pytest.MonkeyPatch) -> None:
    hide_numpy(monkeypatch)
    with pytest.raises(MissingExtra, match="arrays"):
        solve(ladder(linear.PLAIN_LIMIT + 1))


def hide_numpy(monkeypatch: pytest.MonkeyPatch) -> None:
    real: Callable[..., Any] = builtins.__import__

    def refuse(name: str, *rest: Any, **more: Any) -> Any:
        if name.partition(".")[0] == "numpy":
            raise ImportError(name)
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", refuse)


def test_what_is_free_is_the_same_both_ways() -> None:
    # x0 + x1 = 2, x2 free with x3 (x2 - x3 = 1), one row idle
    rows = [
        [1 + 0j, 1 + 0j, 0j, 0j],
        [2 + 0j, 2 + 0j, 0j, 0j],
        [0j, 0j, 1 + 0j, -1 + 0j],
        [0j, 0j, 0j, 0j],
    ]
    rhs = [2 + 0j, 4 + 0j, 1 + 0j, 0j]
    plain, array = rank._analyse_plain(rows, rhs), rank._analyse_array(rows, rhs)
    assert plain.contradictions == array.contradictions == {}
    assert plain.x == pytest.approx([1, 1, 0.5, -0.5])
    assert array.x == pytest.approx([1, 1, 0.5, -0.5])
    assert len(plain.free) == len(array.free) == 2


def test_contradicting_rows_are_named_both_ways() -> None:
    rows = [[1 + 0j, 0j, 0j], [1 + 0j, 0j, 0j], [0j, 1 + 0j, 1 + 0j]]
    rhs = [1 + 0j, 2 + 0j, 5 + 0j]
    for analyse in (rank._analyse_plain, rank._analyse_array):
        assert set(analyse(rows, rhs).contradictions) == {0, 1}
