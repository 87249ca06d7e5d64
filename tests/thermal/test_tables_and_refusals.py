"""Constants come from tables with their provenance; what cannot be used is refused with a code."""

import math
import sys

import pytest

from turnwright.errors import InputError, UnknownKey
from turnwright.reference import load
from turnwright.thermal import derating, overload
from turnwright.thermal.ageing import law_of, printed_life_h
from turnwright.thermal.classes import rated_rise
from turnwright.thermal.efficiency import Interval, all_day
from turnwright.thermal.profile import HeatModel, follow
from turnwright.thermal.tables import constant
from turnwright.working import Ledger

UNIT = HeatModel(
    average_rise_k=100.0,
    hot_spot_rise_k=125.0,
    exponent=1.6,
    time_constant_h=1.0,
    eddy_pu=0.08,
    k_rating=1.0,
    law=law_of(155),
)


@pytest.mark.parametrize(("rise", "hot_spot", "system"), [(80, 110, 150), (115, 145, 185), (150, 180, 220)])
def test_rise_classes_of_north_america(rise, hot_spot, system):
    found = rated_rise(rise)
    assert (found.hot_spot_k, found.system_c) == (hot_spot, system)
    assert 40 + rise + 30 == system  # ambient, rise and allowance make the class


def test_rises_of_iec_take_the_factor_z():
    """Z closes the table for these classes: 20 °C + 1.25 × rise is the rated hot spot."""
    for rise, system, hot_spot in ((60, 105, 95.0), (80, 130, 120.0), (100, 155, 145.0)):
        found = rated_rise(rise, "iec")
        assert (found.hot_spot_k + 20, found.system_c) == (hot_spot, system)
        assert found.known == "memory"


def test_known_words_are_those_of_the_tables():
    assert law_of(220).known == "seen"
    assert law_of(185).known == "computed"
    assert law_of(220, "halving-10k").known == "common practice"
    assert rated_rise(150).known == "seen"
    assert rated_rise(80).known == "memory"
    assert "IEC 60076-12" in law_of(155).source


def test_printed_constants_give_the_normal_life():
    for row in load("iec_insulation_life").newest().rows:
        life = printed_life_h(row.number("system_c"), row.number("rated_hot_spot_c"))
        assert life == pytest.approx(constant("normal_life_h"), rel=4e-3)


def test_the_older_rule_ages_slower_above_and_faster_below():
    iec, older = law_of(220), law_of(220, "halving-10k")
    assert older.rate(220.0) == pytest.approx(2.0, rel=1e-12)
    assert iec.rate(225.0) > older.rate(225.0)
    assert iec.rate(190.0) < older.rate(190.0)


def test_ambient_slopes_agree_with_the_guide():
    """0.35 %/K of the guide for a rise of 150 K against the constant hot spot: 0.347 %/K."""
    slope = (1 - derating.ambient_hot_spot_factor(31.0, 30.0, 180.0, 1.6)) * 100
    assert slope == pytest.approx(0.347, abs=1e-3)
    factors = [derating.ambient_hot_spot_factor(40.0, 30.0, rise, 1.6) for rise in (180.0, 145.0, 110.0)]
    assert factors == pytest.approx([0.965, 0.956, 0.942], abs=5e-4)


def test_altitude_rules_agree_among_each_other():
    """2.5 % of the rise for 500 m are 0.31 % of the load for 100 m."""
    factor = derating.altitude_rise_factor(1500.0, 1000.0, 2.5, 1.6)
    assert factor == pytest.approx(derating.altitude_slope_factor(1500.0, 1000.0, 0.3), abs=1e-3)
    assert derating.altitude_derating(3000.0, rule="slope").factor == pytest.approx(0.94)
    assert derating.altitude_derating(3000.0).said().startswith("0.900 by the steeper slope, the most severe")


def test_the_ledger_keeps_the_rules():
    work = Ledger()
    derating.ambient_derating(40.0, 50.0, 150.0, 180.0, work=work)
    assert {"ambient.constant_hot_spot", "ambient.guide_slope", "ambient.trade_rule"} <= set(work.steps)
    assert work.steps["ambient.guide_slope"].inputs["pct_per_k"].step.source.startswith("IEEE C57.96")


def test_overload_caps():
    """A long time lets no more than the steady load; a short one is capped at 1.5 times rated current."""
    assert overload.permitted_load(UNIT, 1e4, 0.0, 20.0).load_pu == pytest.approx(1.0, rel=1e-9)
    short = overload.permitted_load(UNIT, 0.05, 0.5, 20.0)
    assert (short.load_pu, short.binds) == (1.5, "current")
    assert short.hot_spot_c < 145.0
    assert overload.permitted_time(UNIT, 1.6, 0.5, 20.0).hours == 0.0
    assert overload.permitted_load(UNIT, 1.0, 1.2, 40.0) is None
    assert overload.permitted_time(UNIT, 1.2, 1.2, 40.0).hours == 0.0


@pytest.mark.parametrize(
    ("load", "prior", "ambient", "rise"),
    [
        (1.6, 0.5, 20.0, 125.0 * 0.5**1.6),  # above the cap: no time, as hot as the prior load left it
        (1.2, 1.2, 40.0, 125.0 * 1.2**1.6),  # too hot before it begins
        (1.6, 1.1, -20.0, 125.0 * 1.1**1.6),
        (0.8, 0.5, 20.0, 125.0 * 0.8**1.6),  # it may stay: as hot as it makes the unit
        (1.2, 0.5, 20.0, 125.0),  # until the rated hot spot
        (1.2, 1.0, -20.0, 165.0),
    ],
)
def test_the_hot_spot_that_a_time_ends_with(load, prior, ambient, rise):
    found = overload.permitted_time(UNIT, load, prior, ambient)
    assert found.hot_spot_c == pytest.approx(ambient + rise)
    assert found.rate_at_end == pytest.approx(UNIT.law.rate(ambient + rise))
    assert found.load_pu == load


@pytest.mark.parametrize(
    ("code", "call"),
    [
        ("HEAT-01", lambda: all_day(75, 350, 2000, [Interval(-1, 0.5)])),
        ("HEAT-01", lambda: all_day(75, 350, 2000, [Interval(1, float("nan"))])),
        ("HEAT-01", lambda: all_day(75, 350, 2000, [Interval(1, float("inf"))])),
        ("HEAT-01", lambda: all_day(75, 350, 2000, [Interval(float("inf"), 0.5)])),
        ("HEAT-02", lambda: law_of(40)),
        ("HEAT-02", lambda: law_of(float("nan"))),
        ("HEAT-03", lambda: law_of(220, "iec-60076")),
        ("HEAT-03", lambda: rated_rise(150, "ansi")),
        ("HEAT-04", lambda: rated_rise(0)),
        ("HEAT-05", lambda: derating.altitude_derating(float("nan"))),
        ("HEAT-05", lambda: derating.ambient_derating(130, 140, 150, 180)),
        ("HEAT-06", lambda: derating.altitude_derating(1500, rule="slop")),
        ("HEAT-06", lambda: derating.altitude_derating(1500, cooling="OFAF")),
        ("HEAT-06", lambda: derating.ambient_derating(40, 50, 115, 145, rule="guide slope")),
        ("HEAT-07", lambda: follow(UNIT, 0.0, [1.0], [20.0])),
        ("HEAT-07", lambda: follow(UNIT, 0.25, [1.0, -0.1], [20.0, 20.0])),
        ("HEAT-07", lambda: follow(UNIT, 0.25, [1.0, float("nan")], [20.0, 20.0])),
        ("HEAT-07", lambda: follow(UNIT, 0.25, [1.0, 1.0], [20.0])),
        ("HEAT-07", lambda: follow(UNIT, 0.25, [1.0], [20.0], None, [0.5])),
        ("HEAT-08", lambda: overload.permitted_load(UNIT, 0.0, 0.5, 20.0)),
        ("HEAT-08", lambda: overload.permitted_load(UNIT, 1.0, -0.5, 20.0)),
        ("HEAT-08", lambda: overload.permitted_load(UNIT, 1.0, 0.5, 20.0, limit_c=200.0)),
        ("HEAT-08", lambda: overload.permitted_time(UNIT, float("nan"), 0.5, 20.0)),
        ("HEAT-08", lambda: overload.permitted_time(UNIT, 1.0, 0.5, 120.0)),
    ],
)
def test_refusals(code, call):
    with pytest.raises(InputError) as caught:
        call()
    assert caught.value.code == code
    assert caught.value.what and caught.value.fix


@pytest.mark.parametrize(
    ("lowest", "highest", "call"),
    [
        (90.0, 300.0, law_of),
        (20.0, 250.0, rated_rise),
        (-500.0, 9000.0, derating.altitude_derating),
        (-60.0, 80.0, lambda average: derating.ambient_derating(average, 40.0, 150.0, 180.0)),
        (-60.0, 80.0, lambda peak: derating.ambient_derating(30.0, peak, 150.0, 180.0)),
        (-60.0, 80.0, lambda ambient: overload.permitted_time(UNIT, 1.2, 0.5, ambient)),
        (0.0, sys.float_info.max, lambda load: overload.permitted_time(UNIT, load, 0.5, 20.0)),
        (-math.inf, 155.0, lambda limit: overload.permitted_time(UNIT, 1.2, 0.5, 20.0, limit)),
        (0.0, 1.0, lambda power_factor: all_day(75, 350, 2000, [Interval(1, 0.5, power_factor)])),
        (0.0, sys.float_info.max, lambda hours: all_day(75, 350, 2000, [Interval(hours, 0.5)])),
        (1.0, sys.float_info.max, lambda factor: follow(UNIT, 0.25, [0.0], [20.0], None, [factor])),
    ],
)
def test_the_ends_of_what_is_accepted(lowest, highest, call):
    for end, beyond in ((lowest, -math.inf), (highest, math.inf)):
        if math.isfinite(end):
            call(end)
            with pytest.raises(InputError):
                call(math.nextafter(end, beyond))


def test_unknown_words_name_the_nearest():
    with pytest.raises(UnknownKey, match='Did you mean "slope"'):
        derating.altitude_derating(1500.0, rule="slop")
