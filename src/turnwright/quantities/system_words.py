"""The words of a voltage system: voltages, phases, wires and connection, picked out but not yet judged."""

import re

from msgspec import Struct

from turnwright.errors import InputError, nearest
from turnwright.quantities.spelling import quoted, tidy

FORMS = '"480Y/277", "480 3ph", "480 delta", "240/120 delta", "120/240 1ph", "240 1ph" or "unknown"'
_FIX = f"Write {FORMS}."

_TOKEN = re.compile(r"([0-9]+(?:\.[0-9]+)?|\.[0-9]+)|([a-zφøδ]+)|(\S)")
# Patterns that few texts need stay texts: `re` compiles and keeps them when they are used.
# The prefix of European nameplates: 3N~, 3/N/PE ~, 1~.
_IEC_PREFIX = r"(?<![0-9.])([123])\s?[/+]?\s?(n)?\s?(?:[/+]?\s?pe)?\s?~"
# Air-conditioning plates: volts/phases/hertz.
_PLATE = r"([0-9]+)\s?[/-]\s?([13])\s?[/-]\s?(50|60)"
_HERTZ = r"([0-9]+(?:/[0-9]+)?)\s?hz"

_Token = tuple[str, str, str]
_COUNTS = {"single": 1, "one": 1, "split": 1, "two": 2, "three": 3, "four": 4}
_JOINING = {"y", "wye", "star", "x"}
_PHASE = {"p", "ph", "phase", "phases", "φ", "ø"}
_WIRE = {"w", "wire", "wires"}
DIRECT = "direct current"
_DIRECT = ("dc", "vdc")
_FLAGS = {
    "y": "wye",
    "wye": "wye",
    "star": "wye",
    "delta": "delta",
    "δ": "delta",
    "d": "delta",
    "corner": "corner",
    "mid": "middle",
    "midtap": "middle",
    "center": "middle",
    "centre": "middle",
    "high": "high leg",
    "wild": "high leg",
    "stinger": "high leg",
    "leg": "high leg",
    "tap": "middle",
    "tapped": "middle",
    "ground": "grounded",
    "grounded": "grounded",
    "earthed": "grounded",
    "solidly": "grounded",
    "ungrounded": "grounded",
    "unearthed": "grounded",
    "n": "neutral",
    "neutral": "neutral",
    "kv": "kilo",
    "x": "either",
}
_SILENT = {"v", "volt", "volts", "vac", "ac", "with", "pe"}


class Words(Struct):
    """What one text says: voltages in the order written, and the rest as sets of what was mentioned.

    joined  whether a stroke or a Y stands between each two voltages
    """

    voltages: list[float]
    phases: set[int]
    wires: set[int]
    flags: set[str]
    joined: bool = True


def _refuse(where: str, text: str, code: str, what: str, fix: str) -> InputError:
    return InputError(code, where, f"{quoted(text)} {what}", fix)


def scan(text: str, *, where: str) -> Words:
    """Return the words of a system text, voltages in V.

    Raises:
        InputError: SYS-01 for a word that has no place here, SYS-03 for a minus, SYS-11 for a frequency.

    Example:
        >>> found = scan("480 V three-phase", where="supply.system")
        >>> found.voltages, found.phases
        ([480.0], {3})
    """
    clean = tidy(text).casefold()
    _check_frequency(clean, text, where)
    found = Words([], set(), set(), set())
    if "~" in clean:
        for match in re.finditer(_IEC_PREFIX, clean):
            found.phases.add(int(match.group(1)))
            found.flags.update(["neutral"] if match.group(2) else [])
        clean = re.sub(_IEC_PREFIX, " ", clean)
    tokens = _TOKEN.findall(clean)
    _walk(found, tokens, text, where)
    if "kilo" in found.flags:
        found.voltages = [round(volts * 1000, 6) for volts in found.voltages]
    return found


def _check_frequency(clean: str, text: str, where: str) -> None:
    plate = re.fullmatch(_PLATE, clean) if clean.endswith("0") else None
    hertz = re.search(_HERTZ, clean) if "hz" in clean else None
    if plate:
        fix = 'Write system = "{} {}ph" and frequency = "{} Hz".'.format(*plate.groups())
    elif hertz:
        fix = f'Write it under its own key: frequency = "{hertz.group(1)} Hz".'
    else:
        return
    raise _refuse(where, text, "SYS-11", "holds a frequency.", fix)


def _walk(found: Words, tokens: list[_Token], text: str, where: str) -> None:
    here = last = 0
    while here < len(tokens):
        number, word, mark = tokens[here]
        taken = _count(found, tokens, here) if number or word in _COUNTS else 0
        if number and not taken:
            _voltage(found, tokens[last:here], float(number))
            last = here + 1
        elif word and not taken:
            _word(found, word, text, where)
        elif mark and _is_misplaced(mark, tokens, here):
            raise _unknown_mark(text, mark, where)
        here += 1 + taken


def _is_misplaced(mark: str, tokens: list[_Token], here: int) -> bool:
    """A stroke or hyphen stands between two words; a comma that is not between numbers separates them too."""
    if mark == ",":
        return bool(tokens[max(0, here - 1)][0] and tokens[min(here + 1, len(tokens) - 1)][0])
    return mark not in "/-()" or (mark in "/-" and here in (0, len(tokens) - 1))


def _count(found: Words, tokens: list[_Token], here: int) -> int:
    """Read "3ph", "3-phase", "three phase", "4w"; return how many more tokens it took, 0 for none."""
    number, word, _ = tokens[here]
    ahead = here + 1
    if ahead < len(tokens) and tokens[ahead][2] == "-":
        ahead += 1
    if ahead >= len(tokens):
        return 0
    count = _COUNTS.get(word) if word else {"1": 1, "2": 2, "3": 3, "4": 4}.get(number)
    what = tokens[ahead][1]
    if count is None or what not in _PHASE | _WIRE:
        return 0
    (found.phases if what in _PHASE else found.wires).add(count)
    if word == "split":
        found.wires.add(3)
    return ahead - here


def _voltage(found: Words, between: list[_Token], volts: float) -> None:
    if found.voltages and not any(mark == "/" or word in _JOINING for _, word, mark in between):
        found.joined = False
    found.voltages.append(volts)


def _word(found: Words, word: str, text: str, where: str) -> None:
    if word in _FLAGS:
        found.flags.add(_FLAGS[word])
    elif word in _DIRECT:
        found.flags.add(DIRECT)
    elif word not in _SILENT:
        raise _unknown_word(text, word, where)


def _unknown_word(text: str, word: str, where: str) -> InputError:
    near = nearest(word, [*_FLAGS, *_COUNTS, "phase", "wire", "unknown"])
    hint = f"; did you mean {quoted(near)}?" if near else "."
    return _refuse(where, text, "SYS-01", f"is not a voltage system: {quoted(word)} is not read{hint}", _FIX)


def _unknown_mark(text: str, mark: str, where: str) -> InputError:
    if mark == "-" and tidy(text).startswith("-"):
        return _refuse(where, text, "SYS-03", "is below zero.", _FIX)
    if mark == ",":
        return _refuse(where, text, "SYS-01", "has a comma, which can mark decimals or thousands.", _FIX)
    return _refuse(where, text, "SYS-01", f"is not a voltage system: {quoted(mark)} is not read.", _FIX)
