"""Quantities: every sample of the job file, the four forms, and laws that hold for any size."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.errors import InputError
from turnwright.quantities import KINDS, Quantity, format_quantity, parse_frequencies, parse_quantity, symbols
from turnwright.quantities.units import PRICES

WHERE = "job.toml, line 12, load[1].current"


def read(text: object, kind, **options) -> Quantity:
    return parse_quantity(text, kind, where=WHERE, **options)


# Every quantity written in the job file and the unit file of the documentation, with its value inside.
SAMPLES = [
    ("150 A", "current", 150.0),
    ("31 kVA", "apparent power", 31.0),
    ("15 hp", "motor power", 15.0),
    ("12 ft", "length", 3.6576),
    ("-40 degC", "temperature", -40.0),
    ("22 kA", "current", 22000.0),
    ("20 %", "percent", 20.0),
    ("60 Hz", "frequency", 60.0),
    ("50 Hz", "frequency", 50.0),
    ("30 kA", "current", 30000.0),
    (6, "number", 6.0),
    ("478 V", "voltage", 478.0),
    ("277 V", "voltage", 277.0),
    ("200 kVA", "apparent power", 200.0),
    ("12 %", "percent", 12.0),
    ("400 A", "current", 400.0),
    ("24 kW", "real power", 24.0),
    (0.85, "per unit", 0.85),
    (0.93, "per unit", 0.93),
    ("4 x", "multiple", 4.0),
    ("310 A", "current", 310.0),
    ("7.5 hp", "motor power", 7.5),
    ("10 %", "percent", 10.0),
    ("60 s", "time", 60.0),
    ("60 kVA", "apparent power", 60.0),
    ("30 degC", "temperature", 30.0),
    ("-10 degC", "temperature", -10.0),
    ("900 m", "length", 900.0),
    ("4 m", "length", 4.0),
    ("35 ft", "length", 10.668),
    ("75 degC", "temperature", 75.0),
    ("150 K", "temperature difference", 150.0),
    ("3.8 %", "percent", 3.8),
    ("1.5 %", "percent", 1.5),
    (0.08, "per unit", 0.08),
    ("0.12 USD", "energy price", 0.12),
    (8760, "number", 8760.0),
    ("220 degC", "temperature", 220.0),
    ("350 W", "real power", 0.35),
    ("1950 W", "real power", 1.95),
    ("1.5 h", "time", 5400.0),
    ("+5 %", "tap", 5.0),
    ("+2.5 %", "tap", 2.5),
    ("0 %", "tap", 0.0),
    ("-2.5 %", "tap", -2.5),
    ("50 dB", "sound", 50.0),
    ("250 kg", "mass", 250.0),
    ("4100 USD", "money", 4100.0),
]


@pytest.mark.parametrize(("text", "kind", "value"), SAMPLES)
def test_samples_of_the_job_file(text: object, kind: str, value: float) -> None:
    found = read(text, kind)
    assert (found.form, found.kind, found.value, found.low, found.high) == (
        "exact",
        kind,
        value,
        value,
        value,
    )
    assert found.text == str(text)
    assert found.is_known


@pytest.mark.parametrize("kind", list(KINDS))
def test_samples_shown_in_messages_can_be_read(kind: str) -> None:
    exact, span, about = KINDS[kind].samples
    assert [read(text, kind).form for text in (exact, span, about)] == ["exact", "range", "about"]


@pytest.mark.parametrize("kind", list(KINDS))
@pytest.mark.parametrize("text", ["unknown", "Unknown", " UNKNOWN "])
def test_unknown_is_legal_everywhere_and_never_a_number(text: str, kind: str) -> None:
    found = read(text, kind)
    assert (found.form, found.low, found.high, found.value, found.unit_written) == (
        "unknown",
        None,
        None,
        None,
        "",
    )
    assert found.cautious("high") is None
    assert found.cautious("low") is None
    assert not found.is_known


@pytest.mark.parametrize(
    ("text", "kind", "low", "high"),
    [
        ("110..140 A", "current", 110.0, 140.0),
        ("110 A..140 A", "current", 110.0, 140.0),
        ("110 A .. 140 A", "current", 110.0, 140.0),
        ("110 A..140", "current", 110.0, 140.0),
        ("110\u2026140 A", "current", 110.0, 140.0),
        ("900 VA..1.2 kVA", "apparent power", 0.9, 1.2),
        ("-40..-10 degC", "temperature", -40.0, -10.0),
        ("\u221210..50 \u00b0C", "temperature", -10.0, 50.0),
        ("14..212 \u00b0F", "temperature", -10.0, 100.0),
        (".5..7.5 hp", "motor power", 0.5, 7.5),
        ("0..150 A", "current", 0.0, 150.0),
        ("0.8..0.9", "per unit", 0.8, 0.9),
        ("80..90 %", "per unit", 0.8, 0.9),
        ("80 %..90", "per unit", 0.8, 0.9),
        ("4000..4500 USD", "money", 4000.0, 4500.0),
        ("30 K..50 degC", "temperature difference", 30.0, 50.0),
    ],
)
def test_ranges(text: str, kind: str, low: float, high: float) -> None:
    found = read(text, kind)
    assert (found.form, found.low, found.high, found.value) == ("range", low, high, None)
    assert (found.cautious("low"), found.cautious("high")) == (low, high)


def test_a_range_of_one_size_is_that_size() -> None:
    found = read("120..120 A", "current")
    assert (found.form, found.value) == ("exact", 120.0)


@pytest.mark.parametrize(
    "text",
    ["about 120 A", "About 120 A", "~120 A", "\u2248 120 A", "approx. 120 A", "ca. 120 A", "around 120 amps"],
)
def test_about_is_a_tenth_to_either_side(text: str) -> None:
    found = read(text, "current")
    assert (found.form, found.low, found.high, found.value) == ("about", 108.0, 132.0, None)


def test_about_is_a_tenth_of_the_number_as_written() -> None:
    cold = read("about -10 degC", "temperature")
    assert (cold.low, cold.high) == (-11.0, -9.0)
    warm = read("about 100 degF", "temperature")  # 90 and 110 °F
    assert (warm.low, warm.high) == (pytest.approx(32.2222222), pytest.approx(43.3333333))


@pytest.mark.parametrize(
    ("text", "kind", "value", "unit"),
    [
        ("150A", "current", 150.0, "A"),
        ("150\u00a0A", "current", 150.0, "A"),
        ("150\u202fA", "current", 150.0, "A"),
        ("  150  A ", "current", 150.0, "A"),
        ("150 amps", "current", 150.0, "A"),
        ("1.5e2 A", "current", 150.0, "A"),
        (".5 hp", "motor power", 0.5, "hp"),
        ("3/4 hp", "motor power", 0.75, "hp"),
        ("7-1/2 HP", "motor power", 7.5, "hp"),
        ("7 1/2 hp", "motor power", 7.5, "hp"),
        ("\u221240 \u00b0C", "temperature", -40.0, "degC"),
        ("\u201340\u00baC", "temperature", -40.0, "degC"),
        ("40 \u2103", "temperature", 40.0, "degC"),
        ("40 deg C", "temperature", 40.0, "degC"),
        ("40  deg  C", "temperature", 40.0, "degC"),
        ("104 degF", "temperature", 40.0, "degF"),
        ("12 ft.", "length", 3.6576, "ft"),
        ("12'", "length", 3.6576, "ft"),
        ("12\u2019", "length", 3.6576, "ft"),
        ("50 dB(A)", "sound", 50.0, "dB"),
        ("0.12 USD/kWh", "energy price", 0.12, "USD"),
        ("0.12 USD per kWh", "energy price", 0.12, "USD"),
        ("150 \u00b0C", "temperature difference", 150.0, "K"),
        ("93 %", "per unit", 0.93, "%"),
        ("0.04 pu", "percent", 4.0, "pu"),
        ("-0 A", "current", 0.0, "A"),
    ],
)
def test_ways_people_write(text: str, kind: str, value: float, unit: str) -> None:
    found = read(text, kind)
    assert (found.value, found.unit_written, found.text) == (value, unit, text)
    assert math.copysign(1.0, value) == math.copysign(1.0, found.low or 1.0)


@pytest.mark.parametrize(
    ("given_number", "kind", "unit", "value"),
    [
        (35, "length", "ft", 10.668),
        (35, "length", None, 35.0),
        (22, "current", "kA", 22000.0),
        (350, "real power", "W", 0.35),
        (1.5, "time", "h", 5400.0),
        (4100, "money", "USD", 4100.0),
        ("30..40", "length", "ft", None),
    ],
)
def test_a_bare_number_is_in_the_agreed_unit(
    given_number: object, kind: str, unit: str | None, value: float
) -> None:
    found = read(given_number, kind, bare_unit=unit)
    assert found.value == value
    assert found.unit_written == (unit or KINDS[kind].unit)


def test_a_written_unit_wins_over_the_agreed_one() -> None:
    assert read("35 m", "length", bare_unit="ft").value == 35.0


def test_an_agreed_unit_of_another_kind_is_a_defect_of_the_caller() -> None:
    with pytest.raises(LookupError, match="no unit of length"):
        read(35, "length", bare_unit="A")


@pytest.mark.parametrize(
    ("text", "kind", "value"), [("4 x", "multiple", 4.0), ("310 A", "current", 310.0), (4, "multiple", 4.0)]
)
def test_the_unit_decides_among_several_kinds(text: object, kind: str, value: float) -> None:
    found = read(text, ("multiple", "current"))
    assert (found.kind, found.value) == (kind, value)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("50/60 Hz", [50.0, 60.0]),
        ("50/60", [50.0, 60.0]),
        ("60 Hz", [60.0]),
        (50, [50.0]),
        ("unknown", [None]),
    ],
)
def test_a_plate_may_take_two_frequencies(text: object, expected: list[float | None]) -> None:
    assert [each.value for each in parse_frequencies(text, where=WHERE)] == expected


@pytest.mark.parametrize(
    "text", ["50/unknown", "unknown/60 Hz", "50/60/400 Hz", "/60 Hz", "50/", "50/60 A", "0/60 Hz", "/"]
)
def test_other_strokes_are_refused(text: str) -> None:
    with pytest.raises(InputError, match="QTY"):
        parse_frequencies(text, where=WHERE)


# Laws

SIGNED = ("temperature", "tap")
CASES = [(kind, symbol) for kind in KINDS for symbol in (symbols(kind) or ("USD" if kind in PRICES else "",))]
SIZES = st.floats(min_value=1e-3, max_value=90.0)


@pytest.mark.parametrize(("kind", "unit"), CASES)
@given(size=SIZES, sign=st.sampled_from([1.0, -1.0]))
def test_what_is_formatted_in_full_reads_back_the_same(
    kind: str, unit: str, size: float, sign: float
) -> None:
    value = size * (sign if kind in SIGNED else 1.0)
    inside = unit if kind in PRICES else KINDS[kind].unit
    assert read(format_quantity(value, kind, digits=None, unit=inside), kind).value == value
    if unit != inside:
        text = format_quantity(value, kind, digits=None, unit=unit or None)
        assert read(text, kind).value == pytest.approx(value, rel=1e-12, abs=1e-12)


@given(low=SIZES, high=SIZES)
def test_the_ends_of_a_range_stand_in_order_or_it_is_refused(low: float, high: float) -> None:
    text = f"{low!r}..{high!r} A"
    if low > high:
        with pytest.raises(InputError, match="QTY-10"):
            read(text, "current")
    else:
        found = read(text, "current")
        assert (found.low, found.high) == (low, high)


@given(size=SIZES)
def test_about_encloses_the_size(size: float) -> None:
    found = read(f"about {size!r} kVA", "apparent power")
    assert found.low is not None
    assert found.high is not None
    assert found.low < size < found.high
    assert found.high - found.low == pytest.approx(0.2 * size)


@given(size=SIZES)
def test_a_text_and_a_number_of_the_same_size_agree(size: float) -> None:
    assert (
        read(size, "current").value
        == read(f"{size!r} A", "current").value
        == read(repr(size), "current").value
    )
