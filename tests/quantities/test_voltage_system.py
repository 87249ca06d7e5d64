"""Voltage systems: the notation, ways people write it, and what is refused."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.errors import InputError
from turnwright.quantities import UNKNOWN, VoltageSystem, parse_system

WHERE = "job.toml, line 7, supply.system"


def read(text: object) -> VoltageSystem:
    found = parse_system(text, where=WHERE)
    assert isinstance(found, VoltageSystem)
    return found


def refusal(text: object) -> InputError:
    with pytest.raises(InputError) as caught:
        parse_system(text, where=WHERE)
    assert caught.value.where == WHERE
    return caught.value


# text, phases, wires, line, neutral as called, connection, grounding, has neutral, high leg
NOTATION = [
    ("480Y/277", 3, 4, 480.0, 277.0, "wye", None, True, False),
    ("208Y/120", 3, 4, 208.0, 120.0, "wye", None, True, False),
    ("600Y/347", 3, 4, 600.0, 347.0, "wye", None, True, False),
    ("400Y/230", 3, 4, 400.0, 230.0, "wye", None, True, False),
    ("690Y/400", 3, 4, 690.0, 400.0, "wye", None, True, False),
    ("480 3ph", 3, 3, 480.0, None, "unknown", None, False, False),
    ("480 delta", 3, 3, 480.0, None, "delta", None, False, False),
    ("240 delta corner", 3, 3, 240.0, None, "delta", "corner", False, False),
    ("240/120 delta", 3, 4, 240.0, 120.0, "delta", "mid-tap", True, True),
    ("120/240 1ph", 1, 3, 240.0, 120.0, "unknown", None, True, False),
    ("240 1ph", 1, 2, 240.0, None, "unknown", None, None, False),
    ("120 1ph", 1, 2, 120.0, None, "unknown", None, None, False),
    ("277 1ph", 1, 2, 277.0, None, "unknown", None, None, False),
    ("480", None, None, 480.0, None, "unknown", None, None, False),
]


@pytest.mark.parametrize(
    ("text", "phases", "wires", "line", "neutral", "connection", "grounding", "has_neutral", "high_leg"),
    NOTATION,
)
def test_the_notation(
    text, phases, wires, line, neutral, connection, grounding, has_neutral, high_leg
) -> None:
    found = read(text)
    assert found.text == text
    assert (found.phases, found.wires, found.line_v, found.neutral_nominal_v) == (
        phases,
        wires,
        line,
        neutral,
    )
    assert (found.connection, found.grounding, found.has_neutral, found.high_leg) == (
        connection,
        grounding,
        has_neutral,
        high_leg,
    )


def test_the_neutral_of_a_wye_is_exact() -> None:
    assert read("480Y/277").neutral_v == 480.0 / math.sqrt(3)
    assert read("208Y/120").neutral_v == pytest.approx(120.0888, abs=1e-4)


def test_the_neutral_of_a_divided_winding_is_its_middle() -> None:
    assert read("240/120 delta").neutral_v == 120.0
    assert read("120/240 1ph").neutral_v == 120.0


# Nominal systems of ANSI C84.1 Table 1 (from memory) in the order the standard writes them.
C84_1 = ["120/240 1ph", "208Y/120", "240/120 delta", "480Y/277", "600Y/347", "240", "480", "600"]
# Nominal systems of IEC 60038 Table 1 (from memory) as written on the continent, neutral first.
IEC_60038 = {"230/400": "400Y/230", "240/415": "415Y/240", "277/480": "480Y/277", "400/690": "690Y/400"}


@pytest.mark.parametrize("text", C84_1)
def test_nominal_systems_of_c84_1_stay_as_written(text: str) -> None:
    assert read(text).text == text


@pytest.mark.parametrize(("text", "expected"), IEC_60038.items())
def test_nominal_systems_of_iec_60038(text: str, expected: str) -> None:
    assert read(f"3N~ {text} V").text == expected
    assert read(text).text == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("208/120", "208Y/120"),
        ("120/208", "208Y/120"),
        ("120/208Y", "208Y/120"),
        ("208y/120", "208Y/120"),
        ("208Y/120V", "208Y/120"),
        ("208 V / 120 V", "208Y/120"),
        ("208 Y / 120", "208Y/120"),
        ("208Y120", "208Y/120"),
        ("208 wye 120", "208Y/120"),
        ("480/277", "480Y/277"),
        ("277/480 3ph", "480Y/277"),
        ("480Y277", "480Y/277"),
        ("480Y/277 3ph 4w", "480Y/277"),
        ("480Y/277V 3P4W", "480Y/277"),
        ("400/230", "400Y/230"),
        ("3N~ 400/230 V", "400Y/230"),
        ("3N~400/230V", "400Y/230"),
        ("3/N/PE ~ 230/400 V", "400Y/230"),
        ("400/230 V 3N~", "400Y/230"),
        ("0.4/0.23 kV", "400Y/230"),
        ("480 V 3ph", "480 3ph"),
        ("3ph 480", "480 3ph"),
        ("480 3-phase", "480 3ph"),
        ("480V, three-phase, 3 wire", "480 3ph"),
        ("480 3\u00d8", "480 3ph"),
        ("480 V 3~", "480 3ph"),
        ("0.48 kV 3ph", "480 3ph"),
        ("480V", "480"),
        ("480 VAC", "480"),
        (480, "480"),
        (480.0, "480"),
        ("480\u0394", "480 delta"),
        ("delta 480 V", "480 delta"),
        ("240 V delta, corner-grounded", "240 delta corner"),
        ("240 3ph corner grounded", "240 delta corner"),
        ("240/120 high-leg", "240/120 delta"),
        ("120/240 high leg delta", "240/120 delta"),
        ("240/120 3ph 4w", "240/120 delta"),
        ("120/240 3ph", "240/120 delta"),
        ("240/120 delta 4-wire", "240/120 delta"),
        ("240/120 delta, center tap grounded", "240/120 delta"),
        ("120/240 1ph center-tapped", "120/240 1ph"),
        ("120/240", "120/240 1ph"),
        ("240/120 1ph", "120/240 1ph"),
        ("240/120 3-wire", "120/240 1ph"),
        ("120/240 split phase", "120/240 1ph"),
        ("115/230 1ph", "115/230 1ph"),
        ("240 single phase", "240 1ph"),
        ("240 1-ph", "240 1ph"),
        ("240 2-wire", "240 1ph"),
        ("1N~ 230 V", "230 1ph"),
        ("\u00a0480\u00a03ph ", "480 3ph"),
    ],
)
def test_ways_people_write(text: object, expected: str) -> None:
    found = read(text)
    assert found.text == expected
    assert found == read(expected)


@pytest.mark.parametrize("text", ["unknown", "Unknown", " UNKNOWN"])
def test_unknown_is_legal(text: str) -> None:
    assert parse_system(text, where=WHERE) is UNKNOWN


def test_two_readings_are_both_told() -> None:
    error = refusal("240/120")
    assert error.code == "SYS-05"
    assert '"120/240 1ph" (one phase, three wires)' in error.fix
    assert '"240/120 delta" (three phases, four wires, high leg)' in error.fix


def test_a_plate_that_takes_either_voltage_is_no_high_leg() -> None:
    error = refusal("230/460 3ph")
    assert error.code == "SYS-05"
    assert "1ph" not in error.fix
    assert 'the one connected, as in "460 3ph"' in error.fix


def test_above_1000_v_is_out_of_scope() -> None:
    error = refusal("4160 3ph")
    assert error.code == "SYS-04"
    assert error.what == '"4160 3ph" is above 1000 V, and only systems up to 1000 V are covered.'
    assert read("1000 3ph").line_v == 1000.0


def test_a_neutral_that_does_not_fit_is_told_with_both_voltages_that_would() -> None:
    error = refusal("480Y/120")
    assert error.code == "SYS-06"
    assert (
        "480 V between lines gives 277 V to the neutral of a wye or 240 V to the middle of a winding"
        in error.what
    )


@pytest.mark.parametrize(
    ("text", "code", "words"),
    [
        ("hello", "SYS-01", '"hello" is not read'),
        ("480 dlta", "SYS-01", 'did you mean "delta"?'),
        ("480 VDC", "SYS-01", "is direct current, which no transformer passes"),
        ("1,000 3ph", "SYS-01", "has a comma"),
        ("480 & 3ph", "SYS-01", '"&" is not read'),
        ("\uff14\uff18\uff10", "SYS-01", "is not a voltage system"),
        ("", "SYS-02", "nothing is written where a voltage system is expected"),
        ("three-phase", "SYS-02", "has no voltage"),
        ("0", "SYS-03", "What is not known is never 0"),
        (0, "SYS-03", "below 1 V"),
        ("-480", "SYS-03", "is below zero"),
        ("13.8 kV delta", "SYS-04", "above 1000 V"),
        ("12470Y/7200", "SYS-04", "above 1000 V"),
        (4160, "SYS-04", "above 1000 V"),
        ("480/240", "SYS-05", '"480/240 delta"'),
        ("115/230", "SYS-05", '"115/230 1ph"'),
        ("480/208", "SYS-06", "does not fit together"),
        ("480/120 delta", "SYS-06", "240 V to the middle"),
        ("400/230 delta", "SYS-06", "does not fit together"),
        ("480/480 3ph", "SYS-06", "does not fit together"),
        ("480 x 3ph", "SYS-01", "stands between two voltages"),
        ("480/", "SYS-01", '"/" is not read'),
        ("/ 4 7 N", "SYS-01", '"/" is not read'),
        ("120/208 240", "SYS-07", "more than one system"),
        ("3ph / 208 240", "SYS-07", "holds two voltages"),
        ("240x480", "SYS-07", "of a plate that takes either, the one connected"),
        ("208-230 3ph", "SYS-07", "holds two voltages that are not one system"),
        ("480 277", "SYS-07", "holds two voltages"),
        ("480 delta - 208Y/120", "SYS-07", "primary and secondary each under its own key"),
        ("480 1ph 3ph", "SYS-08", "exclude each other"),
        ("480Y/277 delta", "SYS-08", "exclude each other"),
        ("480 two phase", "SYS-08", '"208 1ph"'),
        ("480Y/277 1ph", "SYS-08", "this has three phases and 4 wires"),
        ("208Y/120 3-wire", "SYS-08", "contradicts itself"),
        ("480Y/277 corner", "SYS-08", "only a delta has a corner"),
        ("240/120 delta corner", "SYS-08", "at a corner or at the middle of one side"),
        ("480 delta 4-wire", "SYS-08", "contradicts itself"),
        ("480 delta 1ph", "SYS-08", "contradicts itself"),
        ("120/208 1ph", "SYS-08", '"208 1ph" or "120 1ph" for a load'),
        ("480 1-wire", "SYS-08", "that no system has"),
        (
            "480Y",
            "SYS-09",
            '"480Y/277" (wye, its neutral volts as they are called), "480 3ph" (without neutral)',
        ),
        ("480 wye", "SYS-09", "does not give the voltage to neutral"),
        ("240 3ph 4-wire", "SYS-09", '"240/120 delta" (high leg)'),
        ("3N~ 400 V", "SYS-09", "does not give the voltage to neutral"),
        ("240 split-phase", "SYS-09", '"120/240 1ph" (one phase, three wires)'),
        ("240 1ph 3-wire", "SYS-09", '"120/240 1ph"'),
        ("240 3-wire", "SYS-09", '"240 3ph" (without neutral)'),
        ("240/120 center tap", "SYS-05", "has more than one reading"),
        ("240 delta 3N~", "SYS-09", '"240/120 delta" (high leg)'),
        ("240 high leg", "SYS-09", '"240/120 delta"'),
        (None, "SYS-10", "not the text of a voltage system"),
        (True, "SYS-10", "not the text of a voltage system"),
        (["480"], "SYS-10", "not the text of a voltage system"),
        (math.nan, "SYS-10", '"nan" is no voltage'),
        (10**400, "SYS-10", "is no voltage"),
        ("480 3ph 60 Hz", "SYS-11", 'frequency = "60 Hz"'),
        ("460/3/60", "SYS-11", 'Write system = "460 3ph" and frequency = "60 Hz".'),
        ("480 3ph grounded", "SYS-12", "under its own key, grounding"),
        ("480 delta ungrounded", "SYS-12", "under its own key, grounding"),
        ("480Y/277 solidly grounded", "SYS-12", "under its own key, grounding"),
    ],
)
def test_refusals(text: object, code: str, words: str) -> None:
    error = refusal(text)
    assert error.code == code
    assert words in str(error)


@given(line=st.floats(min_value=2.0, max_value=1000.0), off=st.floats(min_value=-0.1, max_value=0.1))
def test_a_wye_is_taken_within_two_percent_and_no_further(line: float, off: float) -> None:
    neutral = line / math.sqrt(3) * (1 + off)
    text = f"{line!r}Y/{neutral!r}"
    if abs(off) < 0.0199:
        assert read(text).neutral_v == line / math.sqrt(3)
    elif abs(off) > 0.0201:
        assert refusal(text).code == "SYS-06"


@given(line=st.integers(2, 1000), tail=st.sampled_from([" 3ph", " delta", " 1ph", " delta corner", ""]))
def test_any_voltage_keeps_its_text(line: int, tail: str) -> None:
    found = read(f"{line}{tail}")
    assert (found.text, found.line_v) == (f"{line}{tail}", float(line))
