"""What was measured: contradictions of the supply, the tap, volts at the load, what set the size."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.intake import job_from_mapping
from turnwright.narrow import select
from turnwright.reference import load
from turnwright.selection.supply_check import pattern
from turnwright.selection.tap import tapped_output_v
from turnwright.selection.volts import ranges

OFFICE = {"system": "208Y/120", "kva": "20 kVA"}


def answer(supply, load=None, **tables):
    return select(job_from_mapping({"supply": supply, "load": [load or OFFICE], **tables}), ledger_open=False)


def said(result, *codes):
    return [finding for finding in result.findings if finding.code in codes]


@pytest.mark.parametrize(
    ("measured", "line_v", "expected"),
    [
        ((277, 278, 275), 480, "wye"),
        ((0, 480, 479), 480, "corner"),
        ((120, 121, 208), 240, "high leg"),
        ((15, 440, 300), 480, "floating"),
        ((480,), 480, "corner"),
        ((208,), 240, "high leg"),
        ((277,), 480, "wye"),
        ((100,), 480, None),
    ],
)
def test_volts_to_ground_tell_how_a_supply_is_grounded(measured, line_v, expected):
    """Geometry of three line voltages about the grounded point: √3, 0 and V, V/2 and √3/2 V."""
    assert pattern(tuple(float(volts) for volts in measured), float(line_v)) == expected


@given(line_v=st.floats(100, 600), turn=st.integers(0, 2))
def test_the_pattern_does_not_hang_on_the_order_of_the_lines(line_v, turn):
    three = (0.0, line_v, line_v)
    assert pattern(three[turn:] + three[:turn], line_v) == "corner"


def test_480_v_to_ground_on_a_stated_wye_names_both_facts():
    (finding,) = said(
        answer({"system": "480Y/277", "measured_to_ground": ["480 V"]}), "grounding-contradiction"
    )
    assert finding.severity == "caution"
    assert "480Y/277" in finding.message and "480 V" in finding.message and "corner" in finding.message


def test_208_v_to_ground_on_a_240_v_supply_is_a_high_leg():
    result = answer({"system": "240 3ph", "grounding": "corner", "measured_to_ground": ["208 V"]})
    (finding,) = said(result, "grounding-contradiction")
    assert "high leg" in finding.message and "corner" in finding.message
    told = said(answer({"system": "240 3ph", "measured_to_ground": ["208 V"]}), "grounding-measured")
    assert len(told) == 1


def test_what_agrees_is_not_mentioned():
    agreeing = [
        {"system": "480Y/277", "measured_to_ground": ["277 V", "278 V", "275 V"]},
        {"system": "480 3ph", "grounding": "corner", "measured_to_ground": ["480 V"]},
        {"system": "240/120 delta", "measured_to_ground": ["120 V", "208 V", "120 V"]},
    ]
    for supply in agreeing:
        assert said(answer(supply), "grounding-contradiction", "grounding-measured") == []


def test_a_stated_480_v_that_measures_240_v_stops_the_order():
    (finding,) = said(
        answer({"system": "480Y/277", "measured": ["241 V", "239 V", "240 V"]}), "measured-volts"
    )
    assert "480Y/277" in finding.message and "241" in finding.message and finding.severity == "stop"


def test_240_v_on_a_panel_called_208y_120_is_a_high_leg_and_no_tap_is_advised():
    """The panel labelled 208/120 that was a 240 V high-leg delta (trade practice, pitfall 11): a 208 V winding on it
    has 15 % more flux than it was made for, far above the 5 % of IEEE C57.12.01."""
    supply = {
        "system": "208Y/120",
        "measured": ["240 V", "241 V", "239 V"],
        "measured_to_ground": ["120 V", "208 V", "120 V"],
    }
    result = answer(supply, OFFICE | {"system": "480 3ph", "kva": "20 kVA"})
    (finding,) = said(result, "measured-volts")
    assert finding.severity == "stop" and "overexcited" in finding.message
    assert "high leg" in said(result, "to-ground-says", "grounding-contradiction")[0].message
    assert said(result, "supply-voltage", "voltage-range") == []


def test_a_plate_within_its_range_of_the_supply_is_asked_about_first():
    """380 V machines on 400 V are 5.3 % over, inside the 10 % of MG 1 12.44 and IEC 60034-1 (zone B)."""
    line = {"name": "press", "system": "380 3ph", "current": "40 A", "kind": "motor"}
    (finding,) = said(answer({"system": "400Y/230"}, line, regime="iec"), "ask-nameplate-range")
    assert "+5.3 %" in finding.message and finding.severity == "caution"
    other = answer({"system": "690 3ph"}, line, regime="iec")
    assert said(other, "ask-nameplate-range") == []


def test_isolated_power_is_not_told_that_the_supply_would_do():
    """NEC 517.160, IEC 60364-7-710: the transformer is there to isolate, whatever the volts."""
    room = {"name": "operating room isolated power", "system": "120 1ph", "kva": "5 kVA"}
    assert said(answer({"system": "208Y/120"}, room), "no-transformer-needed") == []
    assert len(said(answer({"system": "208Y/120"}, room | {"name": "office"}), "no-transformer-needed")) == 1


def test_the_tap_follows_the_measured_supply():
    """456 V on a 480 V winding: the -5 % tap brings 208 V back (turns ratio)."""
    assert tapped_output_v(456.0, 480.0, 208.0, -5.0) == pytest.approx(208.0)
    result = answer({"system": "480Y/277", "measured": ["456 V", "457 V", "455 V"]})
    assert result.pick.tap == "-5 %"
    (finding,) = said(result, "voltage-range")
    assert "208.0 V without load" in finding.message and "-5 % tap" in finding.message
    assert answer({"system": "480Y/277"}).pick.tap == "0 %"


def test_volts_at_the_load_are_held_against_the_ranges_of_c84_1():
    """Range A for equipment on 208 V: 187 to 218 V (ANSI C84.1 Table 1)."""
    range_a = ranges(208.0, load("c84_1").newest())[0]
    assert (range_a.name, range_a.low_v, range_a.high_v) == ("A", 187.0, 218.0)
    (inside,) = said(answer({"system": "480Y/277"}), "voltage-range")
    assert inside.severity == "note" and inside.limit == 187
    low = {"system": "480Y/277", "measured": ["410 V", "410 V", "410 V"]}
    (outside,) = said(answer(low, OFFICE | {"kva": "29 kVA"}), "voltage-range")
    assert outside.severity == "caution"


def test_a_size_that_heat_does_not_set_says_what_does():
    welder = {
        "system": "480 1ph",
        "current": "240 A",
        "power_factor": 0.5,
        "kind": "welder",
        "duty": {"on": "10 %"},
        "regulation_limit": "5 %",
    }
    result = answer({"system": "208Y/120"}, welder, choices={"impedance": "4 %", "resistance": "1.5 %"})
    (finding,) = said(result, "size-basis")
    assert finding.message == "Voltage drop, not heat, sets the size; heat alone would pass 37.5 kVA."
    assert said(answer({"system": "480Y/277"}), "size-basis") == []


def test_a_size_that_a_start_asks_for_says_with_how_little_impedance_a_smaller_one_would_do():
    """Voltage divider of start and impedance: ordered with what is said the smaller sizes are picked, with more not."""
    crusher = {"system": "240 3ph", "hp": "50 hp", "locked_rotor_code": "G", "start_dip_limit": "12 %"}
    supply = {"system": "480Y/277", "fault_current": "30 kA"}
    result = answer(supply, crusher)
    (finding,) = said(result, "size-basis")
    assert result.pick.kva == 225
    assert finding.message.endswith(
        "no more than 5.9 % impedance 150 kVA would do, with 4.42 % even 112.5 kVA."
    )
    for impedance, kva in (("5.9 %", 150), ("5.92 %", 225), ("4.42 %", 112.5), ("4.44 %", 150)):
        assert answer(supply, crusher, choices={"impedance": impedance}).pick.kva == kva


def test_a_larger_size_that_is_insisted_on_is_named_as_such():
    result = answer({"system": "480Y/277"}, choices={"kva": "75 kVA"})
    assert result.demand.basis == "insisted" and result.pick.kva == 75


@pytest.mark.parametrize("load", ["120 1ph", "240 1ph", "120/240 1ph"])
def test_a_single_phase_supply_is_answered(load):
    result = answer({"system": "120/240 1ph"}, {"system": load, "kva": "5 kVA"})
    assert result.verdict == "selected"
    lines = result.blocks.currents.line_load_a
    assert len(lines) == 2 and lines[0] == pytest.approx(lines[1])
