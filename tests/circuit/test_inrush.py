"""Switching on a core: the exact pieces against plain integration, limits, and laws of the current."""

from math import inf, nan, pi, radians, sin, sqrt

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.circuit.inrush import Energizing, energize, energizing
from turnwright.errors import InputError

UNIT = energizing(25.0, 480.0, 60.0, 1.2, 1.5, 1.5, 1.2, 0.25, 0.6, 0.02 + 0.03j)


def core_current(case: Energizing, q: float) -> float:
    over = max(abs(q) - case.knee_wb, 0.0)
    size = min(abs(q), case.knee_wb) / case.l_unsat_h + over / case.l_sat_h
    return size if q > 0 else -size


def integrated(case: Energizing, steps: int) -> float:
    """Flux linkage at the end by classical Runge-Kutta of fourth order, weber-turns."""

    def slope(t: float, q: float) -> float:
        inner = case.l_sat_h if abs(q) > case.knee_wb else case.l_unsat_h
        emf = sqrt(2) * case.volts * sin(2 * pi * case.hz * t + radians(case.closing_angle_deg))
        return (emf - case.r_ohm * core_current(case, q)) / (1 + case.l_h / inner)

    h, q = case.t_end_s / steps, case.residual_wb
    for k in range(steps):
        t = k * h
        one = slope(t, q)
        two = slope(t + h / 2, q + h / 2 * one)
        three = slope(t + h / 2, q + h / 2 * two)
        q += h / 6 * (one + 2 * two + 2 * three + slope(t + h, q + h * three))
    return q


@settings(max_examples=12, deadline=None)
@given(
    st.floats(-180, 180), st.floats(-0.9, 0.9), st.floats(0.0, 0.3), st.floats(1.05, 1.5), st.floats(0.1, 0.9)
)
def test_agrees_with_plain_integration(
    angle: float, residual: float, r: float, knee: float, saturated: float
) -> None:
    case = energizing(
        25.0, 480.0, 60.0, 1.2, 1.5, 1.5, knee, saturated, residual, r + 0.03j, angle, cycles=2.0
    )
    ours = energize(case).flux_wb(case.t_end_s)
    assert ours == pytest.approx(integrated(case, 8000), abs=2e-4 * case.knee_wb)


def test_linear_core_without_resistance_keeps_its_offset() -> None:
    # below the knee and with R = 0: q = V √2 / ω' (cos φ - cos(ωt + φ)), nothing decays
    case = Energizing(50.0, 100.0, 0.0, 0.1, 0.0, 0.0, 10.0, 2.0, 0.01, 0.0)
    peak = sqrt(2) * 100.0 / (2 * pi * 50.0)
    found = energize(case)
    assert found.flux_wb(0.09) == pytest.approx(2 * peak)
    assert found.flux_wb(0.1) == pytest.approx(0.0, abs=1e-12)
    assert found.current_a(0.09) == pytest.approx(2 * peak / 2.0)


def test_i2t_of_a_linear_core_is_the_integral_of_its_square() -> None:
    case = Energizing(50.0, 100.0, 90.0, 0.2, 0.0, 0.0, 10.0, 2.0, 0.01, 0.0)
    amplitude = sqrt(2) * 100.0 / (2 * pi * 50.0) / 2.0
    assert energize(case).i2t_a2s == pytest.approx(amplitude**2 / 2 * 0.2, rel=1e-12)


def test_the_current_falls_from_cycle_to_cycle_and_residual_flux_raises_it() -> None:
    peaks = [peak.current_a for peak in energize(UNIT).peaks(6)]
    assert peaks == sorted(peaks, reverse=True)
    opposed = energize(msgspec.structs.replace(UNIT, residual_wb=-UNIT.residual_wb)).peaks(1)[0].current_a
    assert opposed < peaks[0]


def test_worst_moment_is_voltage_zero_with_flux_of_the_same_sign() -> None:
    at_zero = energize(UNIT).peaks(1)[0].current_a
    for angle in (-60.0, 30.0, 60.0, 90.0):
        other = energize(msgspec.structs.replace(UNIT, closing_angle_deg=angle)).peaks(1)[0].current_a
        assert abs(other) < at_zero


def test_mirrored_case_gives_mirrored_current() -> None:
    mirrored = msgspec.structs.replace(UNIT, closing_angle_deg=180.0, residual_wb=-UNIT.residual_wb)
    ours, theirs = energize(UNIT), energize(mirrored)
    for t in (0.001, 0.008, 0.021, 0.0999):
        assert ours.current_a(t) == pytest.approx(-theirs.current_a(t), abs=1e-9)


def test_current_is_continuous_at_the_knee() -> None:
    found = energize(UNIT)
    for stretch in found.stretches[1:]:
        before, after = found.current_a(stretch.start_s - 1e-12), found.current_a(stretch.start_s + 1e-12)
        assert before == pytest.approx(after, abs=1e-5)
        assert abs(found.flux_wb(stretch.start_s)) == pytest.approx(UNIT.knee_wb, rel=1e-9)


def test_a_core_left_saturated_starts_there() -> None:
    found = energize(msgspec.structs.replace(UNIT, residual_wb=1.5 * UNIT.knee_wb))
    assert found.current_a(0.0) == pytest.approx(core_current(UNIT, 1.5 * UNIT.knee_wb))


@pytest.mark.parametrize("field", Energizing.__struct_fields__)
@pytest.mark.parametrize("bad", [nan, inf])
def test_numbers_that_cannot_be_are_refused(field: str, bad: float) -> None:
    with pytest.raises(InputError) as caught:
        energize(msgspec.structs.replace(UNIT, **{field: bad}))
    assert caught.value.where == field


@pytest.mark.parametrize("field", ["hz", "volts", "t_end_s", "knee_wb", "l_unsat_h", "l_sat_h"])
def test_zero_is_refused_where_it_cannot_be(field: str) -> None:
    with pytest.raises(InputError):
        energize(msgspec.structs.replace(UNIT, **{field: 0.0}))


def test_times_outside_and_too_many_cycles_are_refused() -> None:
    found = energize(UNIT)
    for attempt in (lambda: found.current_a(-1e-3), lambda: found.flux_wb(1.0), lambda: found.peaks(7)):
        with pytest.raises(InputError) as caught:
            attempt()
        assert caught.value.code == "CIR-01"
    with pytest.raises(InputError) as caught:
        energize(msgspec.structs.replace(UNIT, t_end_s=1e6))
    assert caught.value.code == "CIR-06"
    with pytest.raises(InputError):
        energizing(0.0, 480.0, 60.0, 1.2, 1.5, 1.5, 1.2, 0.25, 0.6)
