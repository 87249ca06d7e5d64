"""Jobs that take several transformers: a unit for each piece, two voltages, loads the supply serves as it is."""

from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnwright.intake import job_from_mapping
from turnwright.narrow import select

CHARGER = {"name": "charger", "system": "240 1ph", "kva": "9.6 kVA", "transformer": "own"}
OFFICE = {"name": "office", "system": "208Y/120", "kva": "20 kVA"}
PRESS = {"name": "press", "system": "240 3ph", "kva": "30 kVA"}


def answer(*loads, supply="480Y/277", **tables):
    given_supply = {"system": supply} if isinstance(supply, str) else supply
    return select(
        job_from_mapping({"supply": given_supply, "load": list(loads), **tables}), ledger_open=False
    )


def test_each_piece_gets_its_unit_and_the_lines_take_turns():
    result = answer(CHARGER | {"quantity": 3})
    assert result.pick.units == 3 and result.pick.kva == 10
    assert result.pick.lines == ("AB", "BC", "CA")
    each = result.blocks.currents.primary_load_a
    assert each == pytest.approx(9600 / 480)
    assert result.blocks.currents.line_load_a == pytest.approx((sqrt(3) * each,) * 3)


def test_five_pieces_load_one_line_more():
    """Two on AB, two on BC, one on CA: B carries √3·2, A and C √7 of one (phasors of the line voltages)."""
    result = answer(CHARGER | {"quantity": 5})
    each = result.blocks.currents.primary_load_a
    assert result.blocks.currents.line_load_a == pytest.approx(
        (sqrt(7) * each, sqrt(12) * each, sqrt(7) * each)
    )


@settings(max_examples=15)
@given(pieces=st.integers(1, 20), factor=st.floats(0.2, 1.0))
def test_pieces_never_load_the_supply_more_than_in_line(pieces, factor):
    result = answer(CHARGER | {"quantity": pieces, "demand_factor": factor})
    each = result.blocks.currents.primary_load_a
    lines = result.blocks.currents.line_load_a
    whole = factor if pieces > 1 else 1.0  # one piece alone: its demand is in its own current
    assert all(current <= whole * pieces * each * (1 + 1e-9) for current in lines)
    if pieces > 1:
        assert len(result.pick.lines) == result.pick.units == pieces


def test_two_voltages_take_two_units_and_the_supply_is_told_of_both():
    result = answer(
        OFFICE, PRESS, supply={"system": "480Y/277", "panel_rating": "100 A", "panel_load": "20 A"}
    )
    assert (result.pick.kva, result.pick.secondary) == (30, "208Y/120")
    (second,) = result.also
    assert (second.blocks.pick.kva, second.blocks.pick.secondary) == (30, "240 delta")
    total = next(finding for finding in result.findings if finding.code == "supply-total")
    assert total.value == pytest.approx(50_000 / (sqrt(3) * 480), rel=1e-3)
    assert total.limit == 80 and total.severity == "note"


def test_a_panel_that_cannot_carry_all_units_together_is_a_stop():
    supply = {"system": "480Y/277", "panel_rating": "60 A", "panel_load": "20 A"}
    result = answer(OFFICE, PRESS, supply=supply)
    total = next(finding for finding in result.findings if finding.code == "supply-total")
    assert result.verdict == "selected" and total.severity == "stop"


def test_one_unit_is_insisted_on_where_two_are_needed():
    result = answer(OFFICE, PRESS, choices={"units": 1})
    assert result.verdict == "refused"
    assert len(result.instead[0].also) == 1 and result.instead[0].blocks is not None


def test_a_load_that_the_supply_serves_stays_on_it():
    result = answer(OFFICE, {"name": "pump", "system": "480 3ph", "kva": "30 kVA"})
    assert result.pick.secondary == "208Y/120" and result.demand.kva == pytest.approx(20)
    (stays,) = result.also
    assert stays.blocks is None and "pump stays on the supply" in stays.what


def test_a_load_that_needs_no_transformer_is_answered_all_the_same():
    result = answer({"name": "heater", "system": "208 1ph", "kva": "2 kVA"}, supply="208Y/120")
    assert result.verdict == "selected"
    caution = next(finding for finding in result.findings if finding.code == "no-transformer-needed")
    assert caution.severity == "caution" and "heater" in caution.message


def test_never_with_survives_only_inside_its_group():
    heat, cool = (
        {"name": "heat", "system": "208Y/120", "kva": "20 kVA"},
        {"name": "cool", "system": "240 3ph"},
    )
    result = answer(heat, cool | {"kva": "30 kVA", "never_with": "heat"})
    assert result.demand.kva == pytest.approx(20)
    assert result.also[0].blocks.demand.kva == pytest.approx(30)


def test_what_cannot_be_served_leaves_the_rest_complete():
    result = answer(
        {"name": "lamps", "system": "120 1ph", "kva": "2 kVA"},
        {"name": "mill", "system": "208 3ph", "kva": "5 kVA"},
        supply="120/240 1ph",
    )
    assert result.verdict == "refused"
    rest = [other for other in result.instead if other.blocks is not None]
    assert len(rest) == 1 and "without load 2, mill" in rest[0].what


def test_a_load_above_all_sizes_is_offered_in_parallel():
    result = answer({"system": "208Y/120", "kva": "1500 kVA"})
    assert result.verdict == "refused"
    assert (result.instead[0].blocks.pick.units, result.instead[0].blocks.pick.kva) == (2, 750)


def test_machines_for_another_frequency_keep_their_volts_per_hertz():
    """400 V 50 Hz on 480 V 60 Hz: 8 V/Hz both times (flux goes with volts over hertz)."""
    press = {"name": "press", "system": "400 3ph", "kw": "20 kW", "kind": "motor", "frequency": "50 Hz"}
    straight = answer(press)
    assert any("straight on the 480 V" in other.what and "8 V/Hz" in other.why for other in straight.instead)
    through = answer(press, supply="208Y/120")
    unit = next(other for other in through.instead if "480 V at 60 Hz" in other.what)
    assert unit.blocks.pick.secondary.startswith("480") and "consent" in unit.why
    hoist = answer({**press, "kind": "lift"})
    assert any("not until the maker consents" in other.what for other in hoist.instead)
