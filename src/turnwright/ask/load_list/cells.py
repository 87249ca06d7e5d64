"""What the cells of a load list say: sizes with and without a unit, voltages, yes and no, the kind of a load."""

from __future__ import annotations

import re
from typing import NamedTuple

from turnwright.ask.reading.grammar import kinds
from turnwright.ask.reading.notation import system_text
from turnwright.ask.reading.stream import stream_of
from turnwright.ask.reading.systems import systems_of
from turnwright.ask.reading.tokens import number_of
from turnwright.errors import InputError
from turnwright.intake import read_value
from turnwright.model.keys import key_of
from turnwright.quantities.spelling import plain, tidy

_KEYS = {"A": "current", "S": "kva", "P": "kw", "H": "hp"}
_BARE = re.compile(r"(?:~|about |approx\.? |ca\.? )?\d[\d.,/ -]*(?:\.\.\d[\d.]*)?")
_OPEN = re.compile(r"\?+|tb[acd]|unknown|not known|n ?/ ?k|open|by others|later|pending", re.IGNORECASE)
_NOTHING = re.compile(r"[-–—_.\s]*|n ?/ ?a|none|nil", re.IGNORECASE)
_DITTO = re.compile(r"(?:[\"″〃”']{1,2}|do\.?|ditto|same|as above|dto\.?)", re.IGNORECASE)
_YES = ("y", "yes", "c", "cont", "continuous", "x", "true", "1", "✓", "✔", "√")
_NO = ("n", "no", "nc", "non", "non-cont", "non-continuous", "noncontinuous", "intermittent", "false", "0")
_CODES = {
    "l": "lighting",
    "ltg": "lighting",
    "r": "general",
    "rec": "general",
    "recp": "general",
    "recept": "general",
    "g": "general",
    "m": "motor",
    "mtr": "motor",
    "h": "heating",
    "htr": "heating",
    "htg": "heating",
}
_STARTS = (
    (r"vfd|vsd|asd|drive|inverter|variable.*", "drive"),
    (r"soft.*|rvss|ss", "soft starter"),
    (r"star ?/? ?-?delta|wye ?-?delta|y ?-?[dδ]|s ?/ ?d", "star delta"),
    (r"part ?-?winding|pws?", "part winding"),
    (r"dol|d\.o\.l\.?|across the line|full voltage|fvnr|atl|direct.*", "across the line"),
)


class Size(NamedTuple):
    """The size a cell states: its key and value; pieces and further words where it states them, too."""

    key: str
    value: str
    pieces: int | None = None
    rest: str = ""


def is_nothing(text: str) -> bool:
    """Return whether a cell only shows that it is empty: "", "-", "n/a"."""
    return _NOTHING.fullmatch(text) is not None


def is_open(text: str) -> bool:
    """Return whether a cell says that nobody knows yet: "TBD", "?"."""
    return _OPEN.fullmatch(text.strip()) is not None


def is_ditto(text: str) -> bool:
    """Return whether a cell repeats the one above: a ditto mark, "same"."""
    return _DITTO.fullmatch(text.strip()) is not None


def number_in(text: str) -> float | None:
    """Return the number that a cell is, None for anything more or less. [any]

    Example:
        >>> number_in("1,250"), number_in("12.5 kW")
        (1250.0, None)
    """
    clean = tidy(text).replace(" ", "")
    if re.fullmatch(r"\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+(?:[.,]\d+)?|\.\d+", clean) is None:
        return None
    return number_of(clean)


def size_in(text: str, unit: str) -> Size | None:
    """Return the size a cell states; the unit of its heading counts where it has none of its own.

    Example:
        >>> size_in("12,5", "kW"), size_in("7-1/2 HP", "kW").value, size_in("2 x 15 kVA", "").pieces
        (Size(key='kw', value='12.5 kW', pieces=None, rest=''), '7.5 hp', 2)
        >>> size_in("40", "") is None
        True
    """
    clean = tidy(text)
    bare = _BARE.fullmatch(clean) is not None
    if bare and not unit:
        return None
    if bare:
        clean = f"{clean}{unit}"
    clean = re.sub(r"(?<=\d) (?=[wW]\b)", "", clean)
    stream = stream_of(clean)
    found = [one for one in stream.atoms if one.kind in _KEYS]
    counts = [one for one in stream.atoms if one.kind == "QT"]
    if len(found) != 1 or len(counts) > 1:
        return None
    words = re.sub(r"<[A-Z]+\d+>|\bx\b|[(),.;|]", " ", stream.line).split()
    pieces = int(counts[0].low) if counts else None
    return Size(_KEYS[found[0].kind], found[0].text, pieces, " ".join(words))


def system_in(volts: str, phases: str, wires: str, *, motor: bool) -> str | None:
    """Return the voltage system that the cells of a row state together, None where they do not.

    Example:
        >>> system_in("208", "3", "", motor=False), system_in("120/208V", "3φ", "4", motor=False)
        ('208 3ph', '208Y/120')
        >>> system_in("460/3/60", "", "", motor=True), system_in("230/460", "3", "", motor=True) is None
        ('460 3ph', True)
    """
    parts = [_with_volts(volts)]
    phase = re.search(r"[123]", phases)
    if phase and not re.search(r"ph|φ|ø|~|/[13]/", tidy(volts).casefold()):
        parts.append(f"{'1' if phase[0] == '2' else phase[0]} phase")
    wire = re.search(r"[234]", wires)
    if wire:
        parts.append(f"{wire[0]} wire")
    found = systems_of(stream_of(" ".join(parts)))
    return system_text(found[0].volts, motors=motor) if len(found) == 1 else None


def _with_volts(text: str) -> str:
    clean = tidy(text)
    number = number_in(clean)
    clean = re.sub(r"\b([13]) ?~", r"\1 phase", clean)
    return clean if number is None else f"{plain(number)} V"


def hertz_in(volts: str) -> str | None:
    """Return the frequency written into a voltage: "460/3/60"."""
    found = systems_of(stream_of(tidy(volts)))
    hertz = found[0].volts.hz if len(found) == 1 else None
    return None if hertz is None else f"{plain(hertz)} Hz"


def yes_no(text: str) -> bool | None:
    """Return yes or no, None for anything else."""
    said = text.strip().casefold()
    return True if said in _YES else False if said in _NO else None


def start_in(text: str) -> str | None:
    """Return how a motor is started, None for what is not known here."""
    said = text.strip().casefold()
    return next((value for pattern, value in _STARTS if re.fullmatch(pattern, said)), None)


def kind_in(text: str) -> str | None:
    """Return the kind of load that a word or a letter of a schedule says."""
    said = text.strip().casefold()
    return _CODES.get(said) or kind_named(said)


def kind_named(name: str) -> str | None:
    """Return the kind of load that a name says, its last telling word counting; pumps and fans are no kind."""
    said = re.sub(r"[^a-z ]", " ", name.casefold()).split()
    found = [kinds()[word] for word in reversed(said) if word in kinds()]
    return next((kind for kind in found if kind != "motor"), found[0] if found else None)


def accepted(path: str, value: object) -> str | None:
    """Return what is wrong with a value of a key, None where the key takes it."""
    key = key_of(path)
    assert key is not None, path
    try:
        read_value(key, value, path)
    except InputError as error:
        return f"{error.what} {error.fix}"
    return None
