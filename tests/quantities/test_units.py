"""Units: factors against pint, an independent units library; words and letter case."""

import pint
import pytest

from turnwright.quantities import KINDS, convert, symbols, unit_of
from turnwright.quantities.units import PRICES, home_of, words

# Our symbol -> pint's name, where they differ. Reactive power and horsepower stay in their own unit inside.
PINT = {
    "kVA": "kilovolt_ampere",
    "VA": "volt_ampere",
    "MVA": "megavolt_ampere",
    "hp": "horsepower",
    "kvar": "kilovolt_ampere",
    "var": "volt_ampere",
    "Mvar": "megavolt_ampere",
    "in": "inch",
    "x": "",
    "pu": "",
    "psf": "pound_force / foot ** 2",
    "%": "percent",
}
COMPARED = [(kind, symbol) for kind in KINDS for symbol in symbols(kind) if kind not in ("sound", "multiple")]


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def pint_name(kind: str, symbol: str) -> str:
    if kind == "temperature difference" and symbol == "degF":
        return "delta_degF"
    return PINT.get(symbol, symbol)


@pytest.mark.parametrize(("kind", "symbol"), COMPARED)
@pytest.mark.parametrize("size", [1.0, 12.0, 0.85])
def test_every_factor_agrees_with_pint(
    registry: pint.UnitRegistry, kind: str, symbol: str, size: float
) -> None:
    inside = pint_name(kind, KINDS[kind].unit)
    expected = registry.Quantity(size, pint_name(kind, symbol)).to(inside).magnitude
    assert convert(size, kind, of=symbol, to=KINDS[kind].unit or "pu") == pytest.approx(expected, rel=1e-12)


def test_the_comparison_reaches_every_unit_that_has_a_factor() -> None:
    skipped = {kind for kind in KINDS if not any(kind == compared for compared, _ in COMPARED)}
    assert skipped == {"sound", "multiple", "number", *PRICES}


@pytest.mark.parametrize(
    ("size", "kind", "of", "to", "expected"),
    [
        # International yard and pound agreement, 1959: exact definitions.
        (1.0, "length", "ft", "m", 0.3048),
        (1.0, "length", "in", "mm", 25.4),
        (1.0, "mass", "lb", "kg", 0.45359237),
        # Fixed points of the Fahrenheit scale, and where the two scales meet.
        (32.0, "temperature", "degF", "degC", 0.0),
        (212.0, "temperature", "degF", "degC", 100.0),
        (-40.0, "temperature", "degF", "degC", -40.0),
        (100.0, "temperature", "degC", "degF", 212.0),
        (180.0, "temperature difference", "degF", "K", 100.0),
        (150.0, "temperature difference", "degC", "K", 150.0),
        (1.5, "time", "h", "s", 5400.0),
        (5.0, "percent", "%", "pu", 0.05),
        (30.0, "energy price", "USD", "USD", 30.0),
    ],
)
def test_definitions(size: float, kind: str, of: str, to: str, expected: float) -> None:
    assert convert(size, kind, of=of, to=to) == expected


def test_a_conversion_is_rounded_once() -> None:
    assert convert(12.0, "length", of="ft", to="m") == 3.6576
    assert 12 * 0.3048 != 3.6576  # what a decimal factor would give


@pytest.mark.parametrize(
    ("kind", "to"), [("current", "V"), ("current", "MA"), ("money", "kVA"), ("mass", "")]
)
def test_no_conversion_across_kinds(kind: str, to: str) -> None:
    with pytest.raises(LookupError, match="no unit of"):
        convert(1.0, kind, of=None if kind not in PRICES else "USD", to=to)


@pytest.mark.parametrize(
    ("word", "kind", "symbol"),
    [
        ("amps", "current", "A"),
        ("Amp", "current", "A"),
        ("AMPERES", "current", "A"),
        ("volts", "voltage", "V"),
        ("VAC", "voltage", "V"),
        ("watts", "real power", "W"),
        ("KVA", "apparent power", "kVA"),
        ("Kva", "apparent power", "kVA"),
        ("HP", "motor power", "hp"),
        ("KVAR", "reactive power", "kvar"),
        ("FT", "length", "ft"),
        ("°c", "temperature", "degC"),
        ("Milliamps", "current", "mA"),
        ("MVAR", "reactive power", "Mvar"),
    ],
)
def test_words_in_any_letter_case(word: str, kind: str, symbol: str) -> None:
    found = unit_of(word, kind)
    assert found is not None
    assert found.symbol == symbol


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("MA", "current"),
        ("ma", "current"),
        ("mw", "real power"),
        ("mW", "real power"),
        ("mva", "apparent power"),
        ("MV", "voltage"),
        ("mvar", "reactive power"),
    ],
)
def test_a_small_and_a_capital_m_are_never_mixed_up(word: str, kind: str) -> None:
    assert unit_of(word, kind) is None


def test_every_word_has_one_home_or_is_lent_on_purpose() -> None:
    lent = {
        "temperature": {"temperature difference"},
        "percent": {"per unit", "tap"},
        "per unit": {"percent", "tap"},
    }
    for kind in KINDS:
        for word in words(kind):
            home = home_of(word)
            assert home is not None
            assert kind == home or kind in lent[home], (word, kind, home)


@pytest.mark.parametrize("kind", list(KINDS))
def test_samples_of_the_messages_are_of_their_kind(kind: str) -> None:
    entry = KINDS[kind]
    assert entry.phrase.startswith(("a ", "an "))
    assert entry.least <= 0.0 < entry.most
    assert kind in PRICES or unit_of(entry.unit, kind) is not None


@pytest.mark.parametrize(
    ("word", "kind"), [("USD", "money"), ("USD/kWh", "energy price"), ("EUR per kWh", "energy price")]
)
def test_currencies_are_three_capital_letters(word: str, kind: str) -> None:
    found = unit_of(word, kind)
    assert found is not None
    assert found.symbol == word[:3]


@pytest.mark.parametrize("word", ["usd", "US", "KVA", "VAR", "USD/kWh", "$", "ÄÖÜ"])
def test_other_words_are_no_currency(word: str) -> None:
    assert unit_of(word, "money") is None
