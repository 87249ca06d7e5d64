"""The units a job is written in: which kind each belongs to, and its exact factor to the unit used inside.

Inside, every kind has one unit (`KINDS[kind].unit`), and names that end in it: `current_a`, `load_kva`.
Factors are definitions, not measurements: 1 ft = 0.3048 m and 1 lb = 0.45359237 kg exactly (international
yard and pound agreement, 1959), kilo, mega and milli (SI), 0 °C = 32 °F with 5 K = 9 °F. Horsepower stay hp.
"""

from typing import Literal

from msgspec import Struct

KindName = Literal[
    "voltage",
    "current",
    "apparent power",
    "real power",
    "motor power",
    "reactive power",
    "frequency",
    "length",
    "temperature",
    "temperature difference",
    "percent",
    "tap",
    "per unit",
    "time",
    "sound",
    "mass",
    "floor load",
    "money",
    "energy price",
    "number",
    "multiple",
]


class Unit(Struct, frozen=True):
    """One unit: value inside = (value written - zero) * times / per.

    Times and per are kept apart so that each conversion is one correctly rounded division:
    12 ft is 12 * 381 / 1250 = 3.6576 m, not 3.6576000000000004.
    """

    symbol: str
    kind: KindName
    times: int = 1
    per: int = 1
    zero: int = 0

    def to_inside(self, written: float) -> float:
        """Return the value in the unit of the kind: (written - zero) * times / per. [any]"""
        if self.times == self.per:
            return written - self.zero
        return (written - self.zero) * self.times / self.per

    def from_inside(self, value: float) -> float:
        """Return the value in this unit: value * per / times + zero. [any]"""
        if self.times == self.per:
            return value + self.zero
        return value * self.per / self.times + self.zero


class Kind(Struct, frozen=True):
    """One kind of quantity: how it is called, its unit inside, samples for messages, and how far it can go.

    Least and most are no rule of any standard: beyond them a size can only be a slip of the pen.
    """

    phrase: str
    unit: str
    samples: tuple[str, str, str]
    most: float
    least: float = 0.0


KINDS: dict[KindName, Kind] = {
    "voltage": Kind("a voltage", "V", ("478 V", "470..490 V", "about 480 V"), 1e6),
    "current": Kind("a current", "A", ("150 A", "110..140 A", "about 120 A"), 1e6),
    "apparent power": Kind("an apparent power", "kVA", ("31 kVA", "25..35 kVA", "about 30 kVA"), 1e6),
    "real power": Kind("a real power", "kW", ("24 kW", "20..25 kW", "about 24 kW"), 1e6),
    "motor power": Kind("a motor power", "hp", ("15 hp", "10..15 hp", "about 15 hp"), 1e5),
    "reactive power": Kind("a reactive power", "kvar", ("10 kvar", "8..12 kvar", "about 10 kvar"), 1e6),
    "frequency": Kind("a frequency", "Hz", ("60 Hz", "50..60 Hz", "about 60 Hz"), 1e4),
    "length": Kind("a length", "m", ("12 ft", "10..15 ft", "about 4 m"), 1e5),
    "temperature": Kind(
        "a temperature", "degC", ("-10 degC", "20..30 degC", "about 30 degC"), 2000.0, -273.15
    ),
    "temperature difference": Kind(
        "a temperature difference", "K", ("150 K", "80..115 K", "about 80 K"), 2000.0
    ),
    "percent": Kind("a percentage", "%", ("20 %", "10..20 %", "about 15 %"), 1e4),
    "tap": Kind("a tap", "%", ("-2.5 %", "-5..5 %", "about -5 %"), 100.0, -100.0),
    "per unit": Kind("a per-unit value", "", ("0.85", "0.8..0.9", "about 0.85"), 100.0),
    "time": Kind("a time", "s", ("60 s", "1..2 h", "about 1.5 h"), 1e9),
    "sound": Kind("a sound level", "dB", ("50 dB", "45..50 dB", "about 50 dB"), 200.0),
    "mass": Kind("a mass", "kg", ("250 kg", "500..600 lb", "about 250 kg"), 1e6),
    "floor load": Kind("a floor load", "kPa", ("5 kPa", "2.4..5 kN/m²", "about 100 psf"), 1e5),
    "money": Kind("a price", "", ("4100 USD", "4000..4500 USD", "about 4100 USD"), 1e9),
    "energy price": Kind("a price of energy", "", ("0.12 USD", "0.10..0.15 USD", "about 0.12 USD"), 1e6),
    "number": Kind("a number", "", ("6", "4..8", "about 6"), 1e9),
    "multiple": Kind("a multiple", "x", ("4 x", "4..6 x", "about 5 x"), 1e3),
}

# Symbol, kind, times, per, zero | words in this very spelling | words in any letter case.
# Only the first column is exact for units where a small m (thousandth) and a capital M (million) differ.
_ROWS: tuple[tuple[Unit, str, str], ...] = (
    (Unit("V", "voltage"), "", "v|volt|volts|vac|v ac"),
    (Unit("kV", "voltage", 1000), "", "kv|kilovolt|kilovolts"),
    (Unit("mV", "voltage", 1, 1000), "mV", "millivolt|millivolts"),
    (Unit("A", "current"), "", "a|amp|amps|ampere|amperes"),
    (Unit("kA", "current", 1000), "", "ka|kiloamp|kiloamps|kiloampere|kiloamperes"),
    (Unit("mA", "current", 1, 1000), "mA", "milliamp|milliamps|milliampere|milliamperes"),
    (Unit("kVA", "apparent power"), "", "kva|kv·a"),
    (Unit("VA", "apparent power", 1, 1000), "", "va|v·a"),
    (Unit("MVA", "apparent power", 1000), "MVA", ""),
    (Unit("kW", "real power"), "", "kw|kilowatt|kilowatts"),
    (Unit("W", "real power", 1, 1000), "", "w|watt|watts"),
    (Unit("MW", "real power", 1000), "MW", "megawatt|megawatts"),
    (Unit("hp", "motor power"), "", "hp|horsepower"),
    (Unit("kvar", "reactive power"), "", "kvar"),
    (Unit("var", "reactive power", 1, 1000), "", "var"),
    (Unit("Mvar", "reactive power", 1000), "Mvar|MVAr|MVAR", ""),
    (Unit("Hz", "frequency"), "", "hz|hertz"),
    (Unit("m", "length"), "", "m|metre|metres|meter|meters"),
    (Unit("mm", "length", 1, 1000), "", "mm|millimetre|millimetres|millimeter|millimeters"),
    (Unit("cm", "length", 1, 100), "", "cm|centimetre|centimetres|centimeter|centimeters"),
    (Unit("ft", "length", 381, 1250), "", "ft|foot|feet|'|′"),
    (Unit("in", "length", 127, 5000), "", 'in|inch|inches|"|″'),
    (Unit("degC", "temperature"), "", "degc|deg c|°c|° c|c|celsius|degrees c"),
    (Unit("degF", "temperature", 5, 9, 32), "", "degf|deg f|°f|° f|f|fahrenheit|degrees f"),
    (Unit("K", "temperature difference"), "", "k|kelvin|kelvins"),
    (Unit("%", "percent"), "", "%|percent|per cent|pct"),
    (Unit("", "per unit"), "", "pu|p.u.|per unit"),
    (Unit("s", "time"), "", "s|sec|secs|second|seconds"),
    (Unit("min", "time", 60), "", "min|mins|minute|minutes"),
    (Unit("h", "time", 3600), "", "h|hr|hrs|hour|hours"),
    (Unit("dB", "sound"), "", "db|dba|db(a)|db a|decibel|decibels"),
    (Unit("kg", "mass"), "", "kg|kilogram|kilograms"),
    (Unit("lb", "mass", 45359237, 100000000), "", "lb|lbs|pound|pounds"),
    (Unit("kPa", "floor load"), "", "kpa|kn/m²|kn/m2|kn/sq m"),
    (Unit("psf", "floor load", 44482216152605, 929030400000000), "", "psf|lb/ft²|lb/ft2|lbs/ft²|lbs/sq ft|lb/sq ft"),
    (Unit("x", "multiple"), "", "x|×|times"),
)  # fmt: skip

PRICES: tuple[KindName, ...] = ("money", "energy price")
"""Kinds whose unit is a currency, kept as written: prices are never converted."""

# A second kind that a word of another kind may stand for, where the key leaves no doubt:
# a 150 °C rise is 150 K, a power factor of 85 % is 0.85, an impedance of 0.04 per unit is 4 %.
_LOANS: dict[str, tuple[Unit, ...]] = {
    "degC": (Unit("K", "temperature difference"),),
    "degF": (Unit("degF", "temperature difference", 5, 9),),
    "%": (Unit("%", "per unit", 1, 100), Unit("%", "tap")),
    "": (Unit("pu", "percent", 100), Unit("pu", "tap", 100)),
}

_UNITS: dict[KindName, list[Unit]] = {kind: [] for kind in KINDS}
_EXACT: dict[KindName, dict[str, Unit]] = {kind: {} for kind in KINDS}
_FOLDED: dict[KindName, dict[str, Unit]] = {kind: {} for kind in KINDS}


def _enter(unit: Unit, exact: str, folded: str) -> None:
    _UNITS[unit.kind].append(unit)
    _EXACT[unit.kind].update(dict.fromkeys(filter(None, exact.split("|")), unit))
    _FOLDED[unit.kind].update(dict.fromkeys(filter(None, folded.split("|")), unit))


for _unit, _exact, _folded in _ROWS:
    _enter(_unit, _exact, _folded)
    for _loan in _LOANS.get(_unit.symbol, ()):
        _enter(_loan, _exact, _folded)
for _kind in ("number", "per unit"):
    _EXACT[_kind][""] = Unit("", _kind)


def _currency(word: str, kind: KindName) -> Unit | None:
    """A currency is three capital letters that name no unit; a price of energy may add what it is per."""
    code = word[:3]
    if not (len(code) == 3 and code.isascii() and code.isalpha() and code.isupper()):
        return None
    rest = word[3:].replace(" ", "").casefold()
    if rest and not (kind == "energy price" and rest in ("/kwh", "perkwh")):
        return None
    return Unit(code, kind) if home_of(code) is None else None


def unit_of(word: str, kind: KindName) -> Unit | None:
    """Return the unit that a word stands for in one kind of quantity, or None when it stands for none.

    Letter case matters only where a small m and a capital M differ (mA, MVA, MW, mV).

    Example:
        >>> unit_of("amps", "current").symbol, unit_of("MA", "current")
        ('A', None)
    """
    found = _EXACT[kind].get(word)
    if found is None:
        found = _FOLDED[kind].get(word.casefold())
    if found is None and kind in PRICES:
        found = _currency(word, kind)
    return found


def home_of(word: str) -> KindName | None:
    """Return the kind that a unit word belongs to by itself, or None for a word that is no unit.

    Example:
        >>> home_of("kVA"), home_of("degC"), home_of("furlong")
        ('apparent power', 'temperature', None)
    """
    if not word:
        return None
    return next((unit.kind for unit, _, _ in _ROWS if unit_of(word, unit.kind) is not None), None)


def symbols(kind: KindName) -> tuple[str, ...]:
    """Return the usual spellings of the units that a kind may be written in.

    Example:
        >>> symbols("current")
        ('A', 'kA', 'mA')
    """
    return tuple(unit.symbol for unit in _UNITS[kind] if unit.symbol)


def words(kind: KindName) -> tuple[str, ...]:
    """Return every word that is read as a unit of a kind, in the letter case in which it is looked up."""
    return tuple(word for word in (*_EXACT[kind], *_FOLDED[kind]) if word)


def convert(value: float, kind: KindName, *, to: str, of: str | None = None) -> float:
    """Return a value of one kind in another unit of the same kind, `to`. [any]

    value_to = ((value - zero_of) * times_of / per_of) * per_to / times_to + zero_to

    Args:
        value: size in the unit `of`, a float.
        kind: the kind of quantity.
        to: unit word wanted.
        of: unit word of `value`; None means the unit used inside.

    Raises:
        LookupError: a word is no unit of the kind.

    Example:
        >>> convert(12.0, "length", of="ft", to="m"), convert(-40.0, "temperature", to="degF")
        (3.6576, -40.0)
    """
    source = unit_of(KINDS[kind].unit if of is None else of, kind)
    target = unit_of(to, kind)
    if source is None or target is None:
        raise LookupError(f"no unit of {kind}: {of if source is None else to}")
    if source.symbol == target.symbol:
        return value
    return target.from_inside(source.to_inside(value))
