"""A size as a person wrote it, read into a kind of quantity and the unit used inside."""

import math
import re
from typing import Literal

from msgspec import Struct

from turnwright.quantities import refusals
from turnwright.quantities.refusals import Asked
from turnwright.quantities.spelling import LONGEST, plain, tidy
from turnwright.quantities.units import KINDS, PRICES, KindName, Unit, home_of, unit_of

Form = Literal["exact", "range", "about", "unknown"]

# One number with what follows it. Every part is bounded or excludes the next one's characters: linear time.
_SIZE = re.compile(r"([+-]?) ?([0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[eE]([+-]?[0-9]{1,3}))?([^0-9]*)")
_FRACTION = r"(?:([0-9]{1,4})(?: |-| - ))?([0-9]{1,3})/([0-9]{1,3})([^0-9]*)"
_SMALLEST = 1e-6
"""A millionth of the unit used inside: what is smaller and not zero is a slip of the pen."""
_LARGEST_INTEGER = 10**18
_ABOUT = r"(?i:(?:about|approximately|approx\.?|around|circa|ca\.?)\s|[~≈])\s*"


class Quantity(Struct, frozen=True):
    """A size as given: exact, somewhere in a range, about so much, or unknown.

    text          as written
    kind          kind of quantity, a key of `KINDS`
    form          exact, range, about (10 % to either side) or unknown
    low, high     the ends, in the unit used inside for the kind; None only when unknown
    unit_written  the unit it was written in, in its usual spelling; the currency of money
    """

    text: str
    kind: KindName
    form: Form
    low: float | None
    high: float | None
    unit_written: str

    @property
    def value(self) -> float | None:
        """The size of an exact quantity; None for every other form."""
        return self.low if self.form == "exact" else None

    @property
    def is_known(self) -> bool:
        """Whether it is one exact size."""
        return self.form == "exact"

    def cautious(self, side: Literal["high", "low"]) -> float | None:
        """Return the end that is safe where `side` is the dangerous one; None when unknown. [any]

        Example:
            >>> amps = parse_quantity("110..140 A", "current", where="load[0].current")
            >>> amps.cautious("high"), amps.cautious("low"), amps.value
            (140.0, 110.0, None)
        """
        return self.high if side == "high" else self.low


def parse_quantity(
    given: object,
    kind: KindName | tuple[KindName, ...],
    *,
    where: str,
    bare_unit: str | None = None,
    allow_bare: bool = True,
    zero: bool = True,
) -> Quantity:
    """Return a quantity as a person gave it, in the unit used inside for its kind.

    Args:
        given: a text such as "150 A", "110..140 A", "about 120 A", "unknown", or a number.
        kind: the kind of quantity, or the kinds among which the unit decides.
        where: file, line and key, for the message.
        bare_unit: unit of a number without one; None means the unit used inside of the (first) kind.
        allow_bare: False refuses a number without a unit.
        zero: False refuses 0.

    Raises:
        InputError: QTY-01 to QTY-16, each with what was read and what to write instead.

    Example:
        >>> parse_quantity("12 ft", "length", where="circuit.secondary_length").value
        3.6576
        >>> about = parse_quantity("about 120 A", "current", where="load[0].current")
        >>> about.form, about.low, about.high
        ('about', 108.0, 132.0)
        >>> parse_quantity("4 x", ("multiple", "current"), where="load[0].start_current").kind
        'multiple'
    """
    kinds = (kind,) if isinstance(kind, str) else kind
    asked = Asked(where, given, kinds, bare_unit, allow_bare, zero)
    text = _as_text(asked)
    clean = tidy(text)
    match = _SIZE.fullmatch(clean)
    if match is not None:
        unit = _unit(asked, match.group(4).strip())
        value = _inside(asked, _written(match), unit)
        return Quantity(text, unit.kind, "exact", value, value, unit.symbol)
    if clean.casefold() == "unknown":
        return Quantity(text, kinds[0], "unknown", None, None, "")
    about = re.match(_ABOUT, clean)
    if about is not None:
        return _about(asked, text, clean[about.end() :])
    if ".." in clean:
        return _range(asked, text, clean)
    written, unit = _fraction(asked, clean)
    value = _inside(asked, written, unit)
    return Quantity(text, unit.kind, "exact", value, value, unit.symbol)


def parse_frequencies(given: object, *, where: str) -> tuple[Quantity, ...]:
    """Return the frequency of a nameplate, or both of a plate that takes two [Hz each].

    Example:
        >>> [each.value for each in parse_frequencies("50/60 Hz", where="load[0].frequency")]
        [50.0, 60.0]
    """
    if isinstance(given, str) and given.count("/") == 1 and len(given) <= LONGEST:
        first, second = (part.strip() for part in given.split("/"))
        last = parse_quantity(second, "frequency", where=where, zero=False)
        bare = last.unit_written or None
        both = (parse_quantity(first, "frequency", where=where, bare_unit=bare, zero=False), last)
        if not all(each.is_known for each in both):
            raise refusals.unreadable(Asked(where, given, ("frequency",), None, True, False))
        return both
    return (parse_quantity(given, "frequency", where=where, zero=False),)


def _as_text(asked: Asked) -> str:
    given = asked.given
    if isinstance(given, str):
        if len(given) > LONGEST:
            raise refusals.too_long(asked)
        if not given.strip():
            raise refusals.empty(asked)
        return given
    if isinstance(given, bool) or not isinstance(given, int | float):
        raise refusals.wrong_type(asked)
    if isinstance(given, int) and abs(given) > _LARGEST_INTEGER:
        raise refusals.absurd(asked, asked.kinds[0])
    if not math.isfinite(given):
        raise refusals.not_finite(asked)
    return plain(given)


def _written(match: re.Match[str]) -> float:
    sign, digits, power, _ = match.groups()
    written = float(digits if power is None else f"{digits}e{power}")
    return -written if sign == "-" else written


def _unit(asked: Asked, word: str) -> Unit:
    """Return the unit of a number: the word behind it, or for a number without one the agreed unit."""
    if not word:
        return _bare_unit(asked)
    for kind in asked.kinds:
        found = unit_of(word, kind)
        if found is not None:
            return found
    plainer = " ".join(word.split())
    if plainer[-1] == "." and plainer[-2:] != "..":
        plainer = plainer[:-1]
    if plainer and plainer != word:
        return _unit(asked, plainer)
    raise refusals.wrong_unit(asked, word)


def _bare_unit(asked: Asked) -> Unit:
    word = KINDS[asked.kinds[0]].unit if asked.bare_unit is None else asked.bare_unit
    found = next(filter(None, (unit_of(word, kind) for kind in asked.kinds)), None)
    if not asked.allow_bare or (found is None and asked.bare_unit is None):
        raise refusals.no_unit(asked)
    if found is None:
        raise LookupError(f"no unit of {' or '.join(asked.kinds)}: {word}")
    return found


def _inside(asked: Asked, written: float, unit: Unit) -> float:
    """Return the value in the unit used inside, after the checks that every end of every form must pass."""
    value = unit.to_inside(written)
    kind = KINDS[unit.kind]
    if value < kind.least == 0.0:
        raise refusals.negative(asked)
    if not kind.least <= value <= kind.most or (0.0 < abs(value) < _SMALLEST and kind.least == 0.0):
        raise refusals.absurd(asked, unit.kind)
    if value == 0.0 and not asked.zero:
        raise refusals.zero(asked)
    return value + 0.0  # no negative zero


def _range(asked: Asked, text: str, clean: str) -> Quantity:
    left, _, right = clean.partition("..")
    first, last = _SIZE.fullmatch(left.strip()), _SIZE.fullmatch(right.strip())
    # With three points the second size could be 140 or .140.
    if first is None or last is None or "..." in clean:
        raise refusals.bad_range(asked)
    words = (first.group(4).strip(), last.group(4).strip())
    low_unit, high_unit = _range_units(asked, words)
    low, high = _inside(asked, _written(first), low_unit), _inside(asked, _written(last), high_unit)
    if low > high:
        raise refusals.reversed_range(asked, left.strip(), right.strip(), words)
    return Quantity(text, high_unit.kind, "exact" if low == high else "range", low, high, high_unit.symbol)


def _range_units(asked: Asked, words: tuple[str, str]) -> tuple[Unit, Unit]:
    """Return the units of both ends, which must compare; a unit written once holds for both."""
    if not all(words):
        unit = _unit(asked, words[0] or words[1])
        return unit, unit
    homes = [home_of(word) for word in words]
    readable = all(any(unit_of(word, kind) for kind in asked.kinds) for word in words)
    if None not in homes and homes[0] != homes[1] and not readable:
        raise refusals.mixed_range(asked, words)
    low_unit, high_unit = _unit(asked, words[0]), _unit(asked, words[1])
    if low_unit.kind != high_unit.kind or (low_unit != high_unit and high_unit.kind in PRICES):
        raise refusals.mixed_range(asked, words)
    return low_unit, high_unit


def _about(asked: Asked, text: str, rest: str) -> Quantity:
    """About: 10 % of the number as written to either side."""
    match = _SIZE.fullmatch(rest)
    if match is None:
        raise refusals.bad_about(asked)
    written, unit = _written(match), _unit(asked, match.group(4).strip())
    _inside(asked, written, unit)
    if written == 0.0:
        raise refusals.about_zero(asked)
    low, high = (unit.to_inside(end) for end in sorted((written * 9 / 10, written * 11 / 10)))
    return Quantity(text, unit.kind, "about", low, high, unit.symbol)


def _fraction(asked: Asked, clean: str) -> tuple[float, Unit]:
    """Motors below and around one horsepower are stamped in fractions: 3/4 hp, 7-1/2 hp."""
    match = re.fullmatch(_FRACTION, clean) if "motor power" in asked.kinds else None
    if match is None or not int(match.group(3)):
        raise refusals.unreadable(asked)
    whole, over, under, word = match.groups()
    return int(whole or 0) + int(over) / int(under), _unit(asked, word.strip())
