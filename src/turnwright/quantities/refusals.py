"""What to say when a quantity cannot be read: one function for each thing that goes wrong.

==========  ==========================================================================
code        what is wrong
==========  ==========================================================================
``QTY-01``  it is not a size of this kind: words around it, or no number at all
``QTY-02``  nothing is written
``QTY-03``  the unit is not known
``QTY-04``  the unit belongs to another kind of quantity
``QTY-05``  a number without the unit that is needed here
``QTY-06``  a comma, which one reader takes for a decimal mark and another for thousands
``QTY-07``  below zero, where only sizes exist
``QTY-08``  not a finite number
``QTY-09``  beyond anything that exists
``QTY-10``  a range that does not run from the smaller to the larger size
``QTY-11``  a range whose ends are of different kinds
``QTY-12``  two numbers, or a range written with a hyphen
``QTY-13``  neither a text nor a number
``QTY-14``  zero, where zero is no size
``QTY-15``  "about" something that has no tenth part
``QTY-16``  only one end of a range
==========  ==========================================================================
"""

import re

from msgspec import Struct

from turnwright.errors import InputError, nearest
from turnwright.quantities.spelling import LONGEST, plain, quoted, tidy
from turnwright.quantities.units import KINDS, PRICES, KindName, home_of, symbols, unit_of, words


class Asked(Struct, frozen=True):
    """What was given, where, and what is accepted there."""

    where: str
    given: object
    kinds: tuple[KindName, ...]
    bare_unit: str | None
    allow_bare: bool
    zero: bool


_SIZE_KEYS: dict[KindName, str] = {
    "current": "current",
    "apparent power": "kva",
    "real power": "kw",
    "motor power": "hp",
}
_PIECES = {"each", "ea", "pc", "pcs", "piece", "pieces", "apiece", "per", "units"}
_NOT_KNOWN = {"?", "??", "???", "-", "--", "n/a", "na", "tbd", "tba", "none", "not known", "don't know"}

# Patterns stay texts: they are compiled by `re`, and kept there, when something is refused.
_TIMES = r"[0-9]+ ?[x×*@] ?[0-9]"
_NO_END = r"[+-]?(?:nan|inf|infinity|infinite)\b"
_BOUND_WORDS = "max|min|maximum|minimum"
_BOUND = (
    rf"[<>≤≥=]|(?:up to|at least|at most|less than|more than|under|over|below|above|{_BOUND_WORDS})\b"
    rf"|.*[0-9].*\b(?:{_BOUND_WORDS}|or less|or more)\.?$"
)
_POINT = r"(?<!\.)\.(?!\.)"
_COMMA = r"[0-9], ?[0-9]"
_TWO = r"([0-9.]+)([^0-9.]+)([0-9.]+)([^0-9]*)"
_WITH_TAIL = r"[+-]?[0-9.]+\s*(\S+)\s+(\D+)"


def _refuse(asked: Asked, code: str, what: str, fix: str) -> InputError:
    return InputError(code, asked.where, what, fix)


def _phrase(asked: Asked) -> str:
    return " or ".join(KINDS[kind].phrase for kind in asked.kinds)


def _write(asked: Asked) -> str:
    """Return the sentence that every fix comes back to, without its full stop."""
    texts = [text for kind in asked.kinds for text in KINDS[kind].samples]
    return "Write " + ", ".join(f'"{text}"' for text in texts) + ' or "unknown"'


def _sample_range(asked: Asked) -> str:
    return quoted(KINDS[asked.kinds[0]].samples[1])


def empty(asked: Asked) -> InputError:
    """Refuse a text without a character."""
    what = f"nothing is written where {_phrase(asked)} is expected."
    return _refuse(asked, "QTY-02", what, f"{_write(asked)}; a key that does not apply is left out.")


def too_long(asked: Asked) -> InputError:
    """Refuse a text that is longer than any quantity."""
    what = f"{quoted(asked.given)} is too long for {_phrase(asked)} ({LONGEST} characters at most)."
    return _refuse(asked, "QTY-01", what, f"{_write(asked)}; anything else goes under note.")


def wrong_type(asked: Asked) -> InputError:
    """Refuse what is neither a text nor a number."""
    names = {list: "a list", tuple: "a list", dict: "a table", type(None): "nothing"}
    shown = f"this is {names.get(type(asked.given), 'no text and no number')}"
    if isinstance(asked.given, bool):
        shown = f"{quoted(asked.given)} is yes or no"
    return _refuse(asked, "QTY-13", f"{shown}, not {_phrase(asked)}.", f"{_write(asked)}.")


def not_finite(asked: Asked) -> InputError:
    """Refuse NaN and infinity."""
    return _refuse(asked, "QTY-08", f"{quoted(asked.given)} is not a finite number.", f"{_write(asked)}.")


def no_unit(asked: Asked) -> InputError:
    """Refuse a number without a unit, where none is agreed."""
    return _refuse(asked, "QTY-05", f"{quoted(asked.given)} has no unit.", f"{_write(asked)}.")


def negative(asked: Asked) -> InputError:
    """Refuse a size below zero."""
    what = f"{quoted(asked.given)} is below zero, which {_phrase(asked)} cannot be."
    return _refuse(asked, "QTY-07", what, f"{_write(asked)}.")


def zero(asked: Asked) -> InputError:
    """Refuse zero where only a size above it makes sense."""
    what = f"{quoted(asked.given)} is zero, and zero is no size here."
    return _refuse(asked, "QTY-14", what, f"{_write(asked)}; what is not known is never 0.")


def absurd(asked: Asked, kind: KindName) -> InputError:
    """Refuse a size beyond anything that exists."""
    entry = KINDS[kind]
    least = plain(entry.least) if entry.least else "0.000001"
    ends = f"{least} to {entry.most:.0f} {entry.unit}".strip()
    what = f"{quoted(asked.given)} cannot be {entry.phrase}: sizes run from {ends}."
    return _refuse(asked, "QTY-09", what, f"Check the unit and the decimal point. {_write(asked)}.")


def wrong_unit(asked: Asked, word: str) -> InputError:
    """Refuse the word behind a number: a unit of another kind, a unit with words behind it, or no unit."""
    text = tidy(str(asked.given))
    if word.startswith("..") or word.endswith(".."):
        return bad_range(asked)
    first, *rest = word.split()
    if _says_pieces(text) or (rest and any(unit_of(first, kind) for kind in asked.kinds)):
        return unreadable(asked)
    home = home_of(word) or home_of(first)
    return _no_such_unit(asked, word) if home is None or home in asked.kinds else _other_kind(asked, home)


def _other_kind(asked: Asked, home: KindName) -> InputError:
    fix = _write(asked)
    if home in _SIZE_KEYS and any(kind in _SIZE_KEYS for kind in asked.kinds):
        fix += f"; a load stated in {KINDS[home].unit} has its size under {_SIZE_KEYS[home]}"
        if home == "real power" and "motor power" in asked.kinds:
            fix += ", with shaft = true for the output of a motor"
    if home == "temperature difference" and "temperature" in asked.kinds:
        fix += "; K is kept for differences"
    return _refuse(
        asked, "QTY-04", f"{quoted(asked.given)} is {KINDS[home].phrase}, not {_phrase(asked)}.", f"{fix}."
    )


def _no_such_unit(asked: Asked, word: str) -> InputError:
    allowed = tuple(dict.fromkeys(symbol for kind in asked.kinds for symbol in symbols(kind)))
    shown = ", ".join(allowed)
    what = f"{quoted(asked.given)}: {quoted(word)} is not a unit for {_phrase(asked)}."
    if any(symbol.casefold() == word.casefold() for symbol in allowed):
        fix = f"A small m is a thousandth, a capital M a million. Units allowed: {shown}."
        return _refuse(asked, "QTY-03", what, fix)
    if set(PRICES).intersection(asked.kinds):
        fix = f"A currency is three capital letters, as in {quoted(KINDS[asked.kinds[0]].samples[0])}."
        return _refuse(asked, "QTY-03", what, fix)
    near = nearest(word.casefold(), [known for kind in asked.kinds for known in words(kind)])
    found = next(filter(None, (unit_of(near or "", kind) for kind in asked.kinds)), None)
    hint = f"Did you mean {quoted(found.symbol)}? " if near and found and found.symbol else ""
    return _refuse(
        asked, "QTY-03", what, hint + (f"Units allowed: {shown}." if shown else f"{_write(asked)}.")
    )


def _comma(asked: Asked, text: str) -> InputError:
    """Refuse a comma, with the readings written out where they can be told."""
    what = f"{quoted(asked.given)} has a comma, which can mark decimals or thousands."
    plainly = text.replace(",", "")
    point = re.search(_POINT, text)
    if point:
        point_first = point.start() < text.find(",")
        readings = [re.sub(_POINT, "", text).replace(",", ".") if point_first else plainly]
    elif re.search(r"[0-9],[0-9]{3}(?![0-9])", text):
        readings = [plainly, text.replace(",", ".")][: 3 - min(text.count(","), 2)]
    else:
        readings = [text.replace(",", ".")]
    shown = " or ".join(quoted(reading) for reading in readings)
    return _refuse(asked, "QTY-06", what, f"Write {shown}: a point for decimals, nothing for thousands.")


def _says_pieces(text: str) -> bool:
    folded = text.casefold()
    return bool(_PIECES.intersection(re.split(r"[\s/]+", folded)) or re.match(_TIMES, folded))


def unreadable(asked: Asked) -> InputError:
    """Refuse a text that is no quantity, and say what stands in the way."""
    text = tidy(str(asked.given))
    folded = text.casefold()
    what = f"{quoted(asked.given)} is not {_phrase(asked)}."
    if re.search(_COMMA, text):
        return _comma(asked, text)
    if re.match(_NO_END, folded):
        return not_finite(asked)
    if folded in _NOT_KNOWN:
        return _refuse(asked, "QTY-01", what, f'What is not known is written "unknown". {_write(asked)}.')
    if _says_pieces(text):
        return _refuse(asked, "QTY-01", what, f"{_write(asked)}; for several pieces use quantity.")
    if re.match(_BOUND, folded):
        what = f"{quoted(asked.given)} has only one end."
        return _refuse(asked, "QTY-16", what, f"Give both ends, as in {_sample_range(asked)}.")
    two = re.fullmatch(_TWO, text)
    if two:
        return _two_numbers(asked, *two.groups())
    tail = re.fullmatch(_WITH_TAIL, text)
    if tail and any(unit_of(tail.group(1), kind) for kind in asked.kinds):
        fix = f"{_write(asked)}; leave out {quoted(tail.group(2).strip())}, or keep it under note."
        return _refuse(asked, "QTY-01", what, fix)
    return _refuse(asked, "QTY-01", what, f"{_write(asked)}.")


def _two_numbers(asked: Asked, first: str, between: str, second: str, unit: str) -> InputError:
    what = f"{quoted(asked.given)} holds two numbers."
    fix = f"{_write(asked)}."
    unit = unit.strip()
    if (between.isspace() or between in ("_", "'")) and len(second) == 3:
        fix = f"Write {quoted(f'{first}{second} {unit}'.strip())}, with nothing between the digits."
    elif between.split()[-1:] in (["-"], ["to"]):
        fix = f"Two points make a range: {quoted(f'{first}..{second} {unit}'.strip())}."
    return _refuse(asked, "QTY-12", what, fix)


def bad_range(asked: Asked) -> InputError:
    """Refuse a range of which one end cannot be read."""
    text = tidy(str(asked.given))
    if re.search(_COMMA, text):
        return _comma(asked, text)
    what = f"{quoted(asked.given)} is not a range of two sizes."
    return _refuse(
        asked, "QTY-10", what, f"Write the smaller, two points, the larger, as in {_sample_range(asked)}."
    )


def mixed_range(asked: Asked, units: tuple[str, str]) -> InputError:
    """Refuse a range whose ends are of different kinds."""
    what = (
        f"{quoted(asked.given)} has ends in {quoted(units[0])} and {quoted(units[1])}, which do not compare."
    )
    return _refuse(asked, "QTY-11", what, f"Use one unit for both ends, as in {_sample_range(asked)}.")


def reversed_range(asked: Asked, left: str, right: str, units: tuple[str, str]) -> InputError:
    """Refuse a range that runs from the larger to the smaller size."""
    swapped = f"{right}..{left}"
    if any(units) and not all(units):
        unit = units[0] or units[1]
        swapped = f"{right.removesuffix(unit).strip()}..{left.removesuffix(unit).strip()} {unit}"
    what = f"{quoted(asked.given)} runs from the larger size to the smaller."
    return _refuse(asked, "QTY-10", what, f"Write {quoted(swapped)}.")


def bad_about(asked: Asked) -> InputError:
    """Refuse "about" before anything that is not one size."""
    text = tidy(str(asked.given))
    if re.search(_COMMA, text):
        return _comma(asked, text)
    what = f"{quoted(asked.given)} is not one size with about before it."
    sample = quoted(KINDS[asked.kinds[0]].samples[2])
    return _refuse(asked, "QTY-15", what, f"Write {sample}, or a range, {_sample_range(asked)}.")


def about_zero(asked: Asked) -> InputError:
    """Refuse "about 0": a tenth of nothing is no width."""
    what = f"{quoted(asked.given)} has no width: about means a tenth to either side."
    return _refuse(asked, "QTY-15", what, f"Write a range, as in {_sample_range(asked)}.")
