"""Units in parallel: sharing, circulating current, near short; against two banks solved as one network."""

from math import pi, sin, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.circuit import Network, solve, supply3, wye_load
from turnwright.circuit.connections import three_phase
from turnwright.circuit.studies.parallel import ParallelUnit, parallel
from turnwright.errors import InputError

H, X = ("H1", "H2", "H3"), ("X1", "X2", "X3")
A = ParallelUnit("A", 45.0, 208.0, 2.2, 3.4)
B = ParallelUnit("B", 75.0, 208.0, 1.9, 4.1)


def test_equal_units_share_equally_and_nothing_circulates() -> None:
    found = parallel([A, ParallelUnit("C", 45.0, 208.0, 2.2, 3.4)], 60.0, 0.9, 208.0)
    one, two = found.shares
    assert one.load_kva == pytest.approx(two.load_kva)
    assert one.circulating_a == pytest.approx(0.0, abs=1e-9)
    assert found.limit_kva == pytest.approx(90.0, rel=1e-8)
    assert found.no_load_v == pytest.approx(208.0)
    assert found.loaded_v < 208.0


def test_agrees_with_two_banks_in_one_network() -> None:
    found = parallel([A, B], 100.0, 0.85, 208.0)
    stiff = supply3("SUP", H, 480.0, 1e12, 1.0)
    banks = [
        three_phase(
            u.name, "Dyn1", u.kva, 480.0, 208.0, u.resistance_pct, u.reactance_pct, secondary_neutral="0"
        )
        for u in (A, B)
    ]
    cores = tuple(core for bank in banks for core in bank.cores)
    solved = solve(Network(60.0, (stiff,), cores, wye_load("L", X, "0", 100.0, 0.85, 208.0)))
    for share in found.shares:
        assert abs(solved.current_a(f"{share.name}.1.w2")) == pytest.approx(share.load_a, rel=1e-6)
    assert abs(solved.voltage_v("X1", "X2")) == pytest.approx(found.loaded_v, rel=1e-6)


def test_different_taps_circulate() -> None:
    raised = ParallelUnit("B", 75.0, 208.0 * 1.025, 1.9, 4.1)
    found = parallel([A, raised], 100.0, 0.85, 208.0)
    za = complex(2.2, 3.4) / 100 * 208.0**2 / 45e3
    zb = complex(1.9, 4.1) / 100 * (208.0 * 1.025) ** 2 / 75e3
    expected = 208.0 * 0.025 / sqrt(3) / abs(za + zb)
    for share in found.shares:
        assert share.circulating_a == pytest.approx(expected)
    assert found.shares[0].circulating_pct == pytest.approx(100 * expected / (45e3 / sqrt(3) / 208.0))
    assert not found.near_short
    assert found.limit_kva < parallel([A, B], 100.0, 0.85, 208.0).limit_kva


@pytest.mark.parametrize("displacement", [30.0, 60.0, 180.0])
def test_different_displacement_is_next_to_a_short(displacement: float) -> None:
    turned = ParallelUnit("B", 75.0, 208.0, 1.9, 4.1, displacement)
    found = parallel([A, turned], 100.0, 0.85, 208.0)
    za = complex(2.2, 3.4) / 100 * 208.0**2 / 45e3
    zb = complex(1.9, 4.1) / 100 * 208.0**2 / 75e3
    expected = 2 * sin(displacement / 2 * pi / 180) * 208.0 / sqrt(3) / abs(za + zb)
    assert found.shares[0].circulating_a == pytest.approx(expected)
    assert found.near_short
    assert found.limit_kva == 0.0


@settings(max_examples=25, deadline=None)
@given(
    st.floats(15.0, 300.0),
    st.floats(0.5, 4.0),
    st.floats(1.0, 8.0),
    st.floats(0.97, 1.03),
    st.floats(0.5, 1.0),
)
def test_no_unit_is_above_its_rating_at_the_limit(
    kva: float, r: float, x: float, tap: float, pf: float
) -> None:
    units = [A, ParallelUnit("B", kva, 208.0 * tap, r, x)]
    limit = parallel(units, 10.0, pf, 208.0)
    if limit.near_short:
        return
    # the load impedance that draws the limit, found again from the loaded voltage and current
    low, high = 0.0, 10 * (kva + 45.0)
    for _ in range(60):
        middle = (low + high) / 2
        found = parallel(units, middle, pf, 208.0)
        amperes = abs(sum(share.load_kva for share in found.shares)) * 1e3 / sqrt(3) / found.loaded_v
        low, high = (middle, high) if amperes * sqrt(3) * 0.208 < limit.limit_kva else (low, middle)
    assert max(share.load_pct for share in found.shares) == pytest.approx(100.0, rel=1e-6)


def test_single_phase() -> None:
    units = [ParallelUnit("A", 25.0, 240.0, 1.0, 2.0), ParallelUnit("B", 25.0, 240.0, 1.0, 4.0)]
    found = parallel(units, 30.0, 1.0, 240.0, phases=1)
    ratio = abs(complex(1, 4)) / abs(complex(1, 2))
    assert found.shares[0].load_a / found.shares[1].load_a == pytest.approx(ratio)


def test_what_cannot_be_asked_is_refused() -> None:
    for attempt in (
        lambda: parallel([A], 10.0, 0.9, 208.0),
        lambda: parallel([A, ParallelUnit("B", 45.0, 208.0, 0.0, 0.0)], 10.0, 0.9, 208.0),
        lambda: parallel([A, ParallelUnit("B", 0.0, 208.0, 1.0, 1.0)], 10.0, 0.9, 208.0),
        lambda: parallel([A, B], 10.0, 0.9, 208.0, phases=2),
    ):
        with pytest.raises(InputError) as caught:
            attempt()
        assert caught.value.code == "CIR-13"
    with pytest.raises(InputError) as caught:
        parallel([A, A], 10.0, 0.9, 208.0)
    assert caught.value.code == "CIR-02"
