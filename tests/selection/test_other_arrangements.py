"""Whole answers with other arrangements than two separate windings on one core."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.intake import job_from_mapping
from turnwright.narrow import select

ICE = {"name": "ice maker", "system": "230 1ph", "current": "16 A", "continuous": True, "neutral": False}


def answer(*loads, supply="480Y/277", open_=False, **tables):
    given_supply = {"system": supply} if isinstance(supply, str) else supply
    job = job_from_mapping({"supply": given_supply, "load": list(loads), **tables})
    return select(job, ledger_open=open_, ask=False)


def codes(result):
    return [finding.code for finding in result.findings]


def test_ice_maker_on_208_v():
    """16 A at 230 V from 208 V: 240/24 V windings, 0.5 kVA, 3.66 kVA through, 17.6 A in (turns ratio, 450.4(A))."""
    result = answer(ICE, supply={"system": "208Y/120", "measured": ["205 V"]})
    pick, currents, protection = result.pick, result.blocks.currents, result.blocks.protection
    assert (pick.arrangement, pick.units, pick.phases, pick.kva) == ("buck-boost", 1, 1, 0.5)
    assert pick.buck_boost.winding_v == (240.0, 24.0)
    assert pick.buck_boost.output_v == pytest.approx(228.8)
    assert pick.buck_boost.through_kva == pytest.approx(3.66, abs=0.005)
    assert currents.primary_load_a == pytest.approx(17.6)
    assert currents.primary_rated_a == pytest.approx(500 / 24 * 1.1)
    assert protection.primary_only_max_a == 30  # 125 % of 22.9 A, next size up
    assert protection.primary_a == 25  # 125 % of the continuous 17.6 A is 22 A
    assert protection.secondary_a is None
    assert result.blocks.grounding.electrode_conductor is None


def test_buck_boost_falls_back_to_isolation_where_no_unit_is_large_enough():
    result = answer({"system": "230 3ph", "current": "900 A"}, supply="208Y/120")
    assert result.pick.arrangement == "isolation"
    assert any(o.arrangement == "buck-boost" and o.status == "too small" for o in result.options)


@settings(max_examples=20)
@given(amps=st.floats(1, 350))
def test_a_buck_boost_unit_carries_its_winding_and_the_lines_follow_the_turns(amps):
    result = answer(ICE | {"current": f"{amps} A"}, supply="208Y/120")
    if result.pick is None or result.pick.arrangement != "buck-boost":
        return
    common, series = result.pick.buck_boost.winding_v
    assert result.pick.kva >= amps * series / 1000 * (1 - 1e-9)
    currents = result.blocks.currents
    assert currents.primary_load_a == pytest.approx(amps * (1 + series / common), rel=1e-6)
    assert currents.primary_rated_a >= currents.primary_load_a * (1 - 1e-9)


@settings(max_examples=20)
@given(kva=st.floats(1, 200), more=st.floats(1, 3))
@pytest.mark.parametrize("name", ["autotransformer", "open delta", "buck-boost", "scott"])
def test_more_load_never_gives_smaller_units(name, kva, more):
    loads = {
        "autotransformer": {"system": "240 3ph"},
        "open delta": {"system": "240 3ph"},
        "buck-boost": {"system": "230 3ph"},
        "scott": {"system": "240 1ph", "quantity": 2},
    }[name]
    choices = {"choices": {"arrangement": name}}
    small = answer({**loads, "kva": f"{kva} kVA"}, supply="208Y/120", **choices)
    large = answer({**loads, "kva": f"{kva * more} kVA"}, supply="208Y/120", **choices)
    if large.pick is not None:
        assert small.pick is not None and small.pick.kva <= large.pick.kva


def test_three_units_make_a_bank_of_a_third_each():
    one = answer({"system": "208Y/120", "kva": "60 kVA"})
    bank = answer({"system": "208Y/120", "kva": "60 kVA"}, choices={"units": 3})
    assert (bank.pick.arrangement, bank.pick.units, bank.pick.kva) == ("bank", 3, 25)
    assert bank.demand.loading_pct == pytest.approx(one.demand.loading_pct)
    assert bank.blocks.currents.primary_rated_a == pytest.approx(one.blocks.currents.primary_rated_a)


def test_two_units_share_in_parallel():
    result = answer({"system": "208Y/120", "kva": "80 kVA"}, choices={"units": 2})
    assert (result.pick.arrangement, result.pick.units, result.pick.kva) == ("isolation", 2, 45)
    assert result.blocks.currents.secondary_rated_a == pytest.approx(90_000 / (3**0.5 * 208), rel=1e-3)


def test_open_delta_of_two_units():
    """30 kVA: each unit carries 1/√3 of it, 17.3 kVA (geometry); 15 kVA is too small."""
    result = answer({"system": "240 3ph", "kva": "30 kVA"}, choices={"arrangement": "open delta"})
    assert (result.pick.units, result.pick.kva) == (2, 25)
    assert result.demand.kva_required == pytest.approx(17.32, abs=0.01)
    assert result.blocks.voltage.regulation_pct > 0


def test_high_leg_up_to_a_quarter_of_half_volts_and_separate_units_above():
    motors = {"name": "saws", "system": "240 3ph", "kva": "60 kVA"}

    def with_lamps(pieces):
        return answer(motors, {"name": "lamps", "system": "120 1ph", "kva": "1 kVA", "quantity": pieces})

    few, many = with_lamps(6), with_lamps(40)
    assert few.pick.arrangement == "high leg" and few.also == ()
    assert many.pick.arrangement == "isolation" and many.pick.secondary == "240 delta"
    assert [other.blocks.pick.secondary for other in many.also] == ["208Y/120"]
    assert {"high-leg-share", "supply-total", "cascade"} <= set(codes(many))


def test_scott_spreads_two_ovens_over_three_lines():
    oven = {"system": "240 1ph", "kva": "20 kVA", "quantity": 2, "power_factor": 1.0}
    result = answer(oven, choices={"arrangement": "scott"})
    assert result.pick.units == 2
    assert result.demand.kva_required == pytest.approx(20 * 1.1547, rel=1e-4)
    lines = result.blocks.currents.line_load_a
    assert max(lines) / min(lines) == pytest.approx(1.0, rel=0.01)


@pytest.mark.parametrize(
    ("load", "arrangement"),
    [
        ({"system": "208Y/120", "kva": "20 kVA"}, "buck-boost"),
        ({"system": "208Y/120", "kva": "20 kVA"}, "open delta"),
        ({"system": "208Y/120", "kva": "20 kVA"}, "zig-zag"),
        ({"system": "208 3ph", "kva": "20 kVA"}, "scott"),
    ],
)
def test_an_arrangement_that_is_insisted_on_and_cannot_serve_is_refused_with_a_complete_other(
    load, arrangement
):
    result = answer(load, choices={"arrangement": arrangement})
    assert result.verdict == "refused" and result.pick is None
    stop = next(finding for finding in result.findings if finding.severity == "stop")
    assert arrangement.capitalize() in stop.message
    assert result.instead[0].blocks.pick.arrangement == "isolation"


def test_a_three_phase_unit_for_one_single_phase_load_carries_little():
    """Between two lines of a wye each of two windings carries 1/√3 of the load, a third of the rating each: 57.7 %."""
    result = answer({"system": "208 1ph", "kva": "10 kVA"})
    assert result.pick.phases == 1
    option = next(o for o in result.options if o.arrangement == "isolation" and o.kva == 30)
    assert option.loading_pct == pytest.approx(3 * 10 / 3**0.5 / 30 * 100)


def test_options_tell_every_other_way_or_why_not():
    result = answer({"system": "208Y/120", "kva": "20 kVA"}, supply="480 3ph")
    ways = {option.arrangement: option for option in result.options}
    assert ways["autotransformer"].status == "not possible" and "neutral" in ways["autotransformer"].why
    assert ways["bank"].status == "fits" and ways["bank"].kva == 7.5


@pytest.mark.parametrize(
    ("load", "tables"),
    [
        (ICE, {"supply": "208Y/120"}),
        ({"system": "240 3ph", "kva": "30 kVA"}, {"choices": {"arrangement": "open delta"}}),
        ({"system": "240 1ph", "kva": "9 kVA", "quantity": 2}, {"choices": {"arrangement": "scott"}}),
        ({"system": "208Y/120", "kva": "60 kVA"}, {"choices": {"units": 3}}),
        ({"system": "240 1ph", "kva": "9 kVA", "quantity": 4, "transformer": "own"}, {}),
        ({"system": "208Y/120", "kva": "60 kVA"}, {"choices": {"kva": "30 kVA"}}),
    ],
)
def test_every_input_of_the_working_comes_from_a_step_that_is_there(load, tables):
    result = answer(load, open_=True, **tables)
    names = {line.name for line in result.working}
    assert names
    for line in result.working:
        assert set(line.from_.values()) <= names


@pytest.mark.parametrize("regime", ["us", "ca", "iec"])
def test_a_zig_zag_has_no_device_of_its_own(regime):
    """NEC 450.5(A)(1): directly on the phases, no switch or overcurrent device apart from the main of the system.

    Its conductors are then protected by that main, which carries 20 kVA at 480 V, in us 125 % of it: 30.1 A.
    """
    result = answer(
        {"system": "480Y/277", "kva": "20 kVA"},
        supply={"system": "480 3ph", "grounding": "ungrounded"},
        choices={"arrangement": "zig-zag"},
        regime=regime,
    )
    blocks = result.blocks
    assert blocks.protection.primary_a is None and blocks.protection.secondary_devices_a == ()
    assert blocks.conductors.primary.ampacity_a >= 20_000 / (3**0.5 * 480)
    said = {finding.code for finding in result.findings}
    assert said & {"no-device-of-its-own", "grounding-autotransformer"}
    assert not [finding for finding in result.findings if finding.severity == "stop"]
