"""Courses in time against closed forms, an integrator for differential equations, and a digital filter."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.signal import lfilter

from turnwright.thermal.ageing import law_of
from turnwright.thermal.profile import HeatModel, Losses, ThermalState, follow, loss_w, steady
from turnwright.thermal.rise import time_constant_h, ultimate_rise_k

LOSSES = Losses(no_load_w=350.0, ohmic_w=1700.0, eddy_w=136.0, other_w=67.0, reference_c=170.0, zero_c=234.5)


def unit(**changed):
    given = {
        "average_rise_k": 150.0,
        "hot_spot_rise_k": 180.0,
        "exponent": 1.6,
        "time_constant_h": 1.5,
        "eddy_pu": 0.08,
        "k_rating": 1.0,
        "law": law_of(220),
        "losses": LOSSES,
    }
    return HeatModel(**{**given, **changed})


@pytest.mark.parametrize("after_h", [0.25, 1.5, 4.0])
def test_step_response(after_h):
    """From steady half load to full load: Δθ = Δθ_u + (Δθ_i - Δθ_u) exp(-t / τ)."""
    model = unit()
    begin = steady(model, 0.5)
    state = follow(model, 0.05, [1.0] * round(after_h / 0.05), [25.0] * round(after_h / 0.05), begin)
    low, high = 180.0 * 0.5**1.6, 180.0
    assert state.rise_k == pytest.approx(high + (low - high) * math.exp(-after_h / 1.5), rel=1e-12)


def test_at_the_rated_hot_spot_an_hour_is_an_hour():
    state = follow(unit(), 0.25, [1.0] * 96, [30.0] * 96)
    assert state.hot_spot_max_c == 210.0
    assert state.life_used_h == pytest.approx(24.0, rel=1e-12)


@pytest.mark.parametrize(("system", "rated"), [(105, 95.0), (155, 145.0), (220, 210.0)])
def test_six_kelvin_over_the_rated_hot_spot_halve_the_life(system, rated):
    """IEC 60076-12, note 3 to Table 1; b is printed to whole kelvins."""
    law = law_of(system)
    assert law.life_h(rated) == pytest.approx(180_000.0)
    assert law.life_h(rated + 6.0) == pytest.approx(90_000.0, rel=1e-4)


@pytest.mark.parametrize(
    ("load", "rise", "life"),
    [
        (0.8, 87.5, 2.26e7),
        (0.9, 105.6, 1.95e6),
        (1.0, 125.0, 1.80e5),
        (1.1, 145.6, 1.81e4),
        (1.2, 167.3, 1.99e3),
    ],
)
def test_class_155_at_20_degrees(load, rise, life):
    """Recalculated by hand from IEC 60076-12: class 155, self-cooled, rise 100 K, Z 1.25, 20 °C."""
    found = ultimate_rise_k(125.0, load, 1.6)
    assert found == pytest.approx(rise, abs=0.05)
    assert law_of(155).life_h(20.0 + found) == pytest.approx(life, rel=3e-3)


def test_steady_loss_in_closed_form():
    """A year of steady rated load at 30 °C: the winding is at 180 °C, 10 K over the reference."""
    hours = 8760
    state = follow(unit(), 1.0, [1.0] * hours, [30.0] * hours)
    factor = (234.5 + 180.0) / (234.5 + 170.0)
    watts = 350.0 + 1700.0 * factor + 203.0 / factor
    assert loss_w(LOSSES, 1.0, 180.0, 1.0) == pytest.approx(watts, rel=1e-14)
    assert state.energy_kwh == pytest.approx(watts * hours / 1000, rel=1e-12)


def load_of(hours):
    return [0.6 + 0.5 * math.sin(hour / 3.0) ** 2 for hour in hours]


def test_hot_spot_against_an_integrator():
    """τ dΔθ/dt = Δθ_u(load) - Δθ, integrated step by step to 1e-11."""
    model, step = unit(), 0.25
    load = load_of(step * i for i in range(96))
    state, rise = steady(model, load[0]), 180.0 * load[0] ** 1.6
    for each in load:
        ultimate = 180.0 * each**1.6
        solved = solve_ivp(
            lambda _, y, end=ultimate: (end - y) / 1.5,
            (0, step),
            [rise],
            method="DOP853",
            rtol=1e-12,
            atol=1e-12,
        )
        rise = solved.y[0, -1]
        state = follow(model, step, [each], [25.0], state)
        assert state.rise_k == pytest.approx(rise, rel=1e-8)


def test_life_of_short_steps_against_an_integral():
    """The temperature at the end of a step counts for it: with ever shorter steps the sum becomes the integral."""
    model = unit()
    begin = steady(model, 0.2)

    def rate(hour):
        rise = 180.0 + (begin.rise_k - 180.0) * math.exp(-hour / 1.5)
        return model.law.rate(30.0 + rise)

    exact = solve_ivp(lambda t, _: [rate(t)], (0, 6), [0.0], method="DOP853", rtol=1e-12, atol=1e-15).y[0, -1]
    wrong = []
    for steps in (600, 1200):
        state = follow(model, 6 / steps, [1.0] * steps, [30.0] * steps, begin)
        wrong.append(state.life_used_h - exact)
    assert 0 < wrong[1] < wrong[0] < 0.01 * exact  # a rising course is read high, never low
    assert wrong[1] == pytest.approx(wrong[0] / 2, rel=0.01)
    assert 2 * (exact + wrong[1]) - (exact + wrong[0]) == pytest.approx(exact, rel=1e-5)


def test_a_year_against_a_digital_filter():
    """A first-order recursive filter over 35 040 steps gives the same hot spots."""
    model, steps = unit(losses=None), 35_040
    load = np.array(load_of(np.arange(steps) * 0.25))
    ambient = 15.0 + 10.0 * np.sin(np.arange(steps) * 2 * np.pi / steps)
    share = -math.expm1(-0.25 / 1.5)
    ultimate = 180.0 * load**1.6
    rise, _ = lfilter([share], [1.0, share - 1.0], ultimate, zi=[(1.0 - share) * ultimate[0]])
    hot_spot = ambient + rise
    ageing = np.exp(27285.0 / 483.0 - 27285.0 / (273.0 + hot_spot))
    state = follow(model, 0.25, load.tolist(), ambient.tolist())
    assert state.rise_k == pytest.approx(rise[-1], rel=1e-12)
    assert state.hot_spot_max_c == pytest.approx(hot_spot.max(), rel=1e-12)
    assert state.life_used_h == pytest.approx(0.25 * ageing.sum(), rel=1e-11)
    assert state.overload_h == 0.25 * np.count_nonzero(load > 1.0)
    assert state.energy_kwh is None


def test_time_constant_off_rated_load():
    """τ is the heat stored by a change over the loss that drives it: for a small change, m U^(1 - 1/m)."""
    near = time_constant_h(1.5, 1.0 + 1e-5, 1.0, 0.8)
    assert near == pytest.approx(1.5 * 0.8, rel=1e-4)
    assert time_constant_h(1.5, 1.0, 1.0, 0.8) == pytest.approx(1.5 * 0.8, rel=1e-12)
    assert time_constant_h(1.5, 0.7, 0.2, 1.0) == pytest.approx(1.5)
    assert time_constant_h(1.5, 0.7, 0.2, 0.5) == pytest.approx(1.5 / (0.7 + 0.2)), "(U - I) / (U² - I²)"


def test_a_profile_begins_where_the_one_before_ended():
    state = follow(unit(), 1.0, [1.3], [20.0], ThermalState(50.0))
    assert state.rise_k == pytest.approx(50.0 + (180.0 * 1.3**1.6 - 50.0) * -math.expm1(-1 / 1.5))
    assert (state.hours, state.overload_h, state.peak_pu) == (1.0, 1.0, 1.3)
