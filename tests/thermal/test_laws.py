"""Laws that hold for every unit and every profile."""

import math

import msgspec
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from turnwright.demand.harmonic_formulas import harmonic_loss_factor
from turnwright.thermal.ageing import law_of
from turnwright.thermal.derating import altitude_derating, ambient_derating
from turnwright.thermal.harmonic_loss import stray_loss_bound, stray_loss_factor
from turnwright.thermal.overload import permitted_load, permitted_time
from turnwright.thermal.profile import HeatModel, Losses, follow
from turnwright.thermal.sound import at_distance_dba, combined_dba, outdoor_dba, room_dba, sound_power_dba

loads = st.lists(st.floats(0.0, 2.0), min_size=2, max_size=60)
systems = st.sampled_from([105, 120, 130, 150, 155, 180, 185, 200, 220])
LOSSES = Losses(no_load_w=350.0, ohmic_w=1700.0, eddy_w=136.0, other_w=67.0, reference_c=170.0, zero_c=225.0)


@st.composite
def units(draw, **fixed):
    average = draw(st.floats(50.0, 160.0))
    made = {
        "average_rise_k": average,
        "hot_spot_rise_k": average * draw(st.floats(1.0, 1.4)),
        "exponent": draw(st.sampled_from([1.6, 2.0])),
        "time_constant_h": draw(st.floats(0.1, 8.0)),
        "eddy_pu": draw(st.floats(0.0, 0.2)),
        "k_rating": draw(st.sampled_from([1.0, 4.0, 13.0])),
        "law": law_of(draw(systems)),
        "losses": LOSSES,
    }
    return HeatModel(**{**made, **fixed})


@given(units(), loads, st.floats(-20.0, 50.0), st.floats(0.0, 0.5), st.floats(0.0, 20.0))
def test_more_load_and_more_heat_never_age_less(unit, load, ambient, more, warmer):
    low = follow(unit, 0.25, load, [ambient] * len(load))
    high = follow(unit, 0.25, [each + more for each in load], [ambient] * len(load))
    warm = follow(unit, 0.25, load, [ambient + warmer] * len(load))
    assert high.life_used_h >= low.life_used_h
    assert warm.life_used_h >= low.life_used_h
    assert high.hot_spot_max_c >= low.hot_spot_max_c
    assert high.energy_kwh >= low.energy_kwh * (1 - 1e-9)


@given(units(), loads, st.data())
def test_harmonics_never_cool(unit, load, data):
    factor = data.draw(st.lists(st.floats(1.0, 30.0), min_size=len(load), max_size=len(load)))
    ambient = [25.0] * len(load)
    pure, dirty = follow(unit, 0.25, load, ambient), follow(unit, 0.25, load, ambient, None, factor)
    assert dirty.life_used_h >= pure.life_used_h
    assert dirty.energy_kwh >= pure.energy_kwh * (1 - 1e-9)
    assert follow(unit, 0.25, load, ambient, None, [1.0] * len(load)) == pure


@given(units(), loads, st.data())
def test_a_divided_profile_ends_in_the_same_bytes(unit, load, data):
    ambient = data.draw(st.lists(st.floats(-30.0, 50.0), min_size=len(load), max_size=len(load)))
    cut = data.draw(st.integers(0, len(load)))
    whole = follow(unit, 0.25, load, ambient)
    first = follow(unit, 0.25, load[:cut], ambient[:cut]) if cut else None
    parts = follow(unit, 0.25, load[cut:], ambient[cut:], first)
    assert msgspec.json.encode(parts) == msgspec.json.encode(whole)


@given(units(), st.floats(0.0, 0.9), st.floats(0.1, 12.0), st.floats(-20.0, 40.0))
@settings(max_examples=60)
def test_permitted_load_and_permitted_time_are_each_other_reversed(unit, prior, hours, ambient):
    found = permitted_load(unit, hours, prior, ambient)
    # after many time constants the load is the steady one, and rounding alone decides when it gets there
    assume(found is not None and found.binds == "hot spot" and hours < 8 * unit.time_constant_h)
    back = permitted_time(unit, found.load_pu, prior, ambient)
    assert back.hours == pytest.approx(hours, rel=1e-4)
    assert found.hot_spot_c == unit.law.rated_hot_spot_c


@given(st.dictionaries(st.integers(1, 50), st.floats(0.001, 1.0), min_size=1, max_size=12))
def test_stray_loss_stays_under_its_bound(currents):
    orders = {f"h{order}": current for order, current in currents.items()}
    eddy, stray = harmonic_loss_factor(**orders), stray_loss_factor(**orders)
    assert 1 - 1e-12 <= stray <= stray_loss_bound(eddy) * (1 + 1e-12)


@given(st.floats(-400, 8000), st.floats(0, 500), st.sampled_from(["AN", "AF"]))
def test_higher_places_leave_less_and_the_default_is_the_most_severe(altitude, more, cooling):
    low, high = altitude_derating(altitude, cooling), altitude_derating(altitude + more, cooling)
    assert 0 <= high.factor <= low.factor <= 1
    for rule in low.rules:
        assert low.factor <= rule.factor
        assert altitude_derating(altitude, cooling, rule.name).factor == rule.factor


@given(st.floats(-30, 70), st.floats(0, 10), st.sampled_from([(80.0, 110.0), (115.0, 145.0), (150.0, 180.0)]))
def test_warmer_places_leave_less(average, more, rises):
    cool = ambient_derating(average, average + 10, *rises)
    warm = ambient_derating(average + more, min(average + more + 10, 80.0), *rises)
    assert 0 <= warm.factor <= cool.factor <= 1
    assert cool.factor == min(rule.factor for rule in cool.rules)


@given(st.lists(st.floats(20.0, 90.0), min_size=1, max_size=8))
def test_several_units_are_as_loud_as_the_loudest_or_louder(levels):
    together = combined_dba(levels)
    assert max(levels) <= together <= max(levels) + 10 * math.log10(len(levels)) + 1e-9


@given(st.floats(30.0, 100.0), st.floats(0.5, 500.0), st.floats(1.1, 20.0))
def test_sound_in_a_room_and_outdoors_is_that_of_its_energy(power, size, times):
    """4 W / A in a room, W / 2 π d² outdoors: energies, so each law is the other formulas put together."""
    assert room_dba(power, 4.0) == pytest.approx(power)
    assert room_dba(power, size / 2) == pytest.approx(combined_dba([room_dba(power, size)] * 2))
    assert outdoor_dba(power, size) == pytest.approx(room_dba(power, 8.0 * math.pi * size**2))
    farther = at_distance_dba(outdoor_dba(power, size), size, times * size)
    assert farther == pytest.approx(outdoor_dba(power, times * size))
    assert outdoor_dba(sound_power_dba(power, 2.0 * math.pi * size**2, 0.0), size) == pytest.approx(power)
    assert sound_power_dba(power, size, 3.0) == pytest.approx(sound_power_dba(power, size, 0.0) + 3.0)
