"""A voltage system, of a supply, a load or a winding, in the notation of ANSI C84.1 and IEC 60038.

The voltage between line conductors comes first; a wye is marked by Y, as in 480Y/277; C84.1 writes the
single-phase three-wire system 120/240 and the four-wire delta 240/120.

==========  ==========================================================================
code        what is wrong
==========  ==========================================================================
``SYS-01``  a word or mark that has no place in a system
``SYS-02``  no voltage is written
``SYS-03``  zero, or below
``SYS-04``  above 1000 V
``SYS-05``  two readings are possible
``SYS-06``  the two voltages do not belong to one system
``SYS-07``  more than one system, or a plate that takes either of two voltages
``SYS-08``  phases, wires and connection contradict each other
``SYS-09``  a neutral without its voltage
``SYS-10``  neither a text nor a number
``SYS-11``  a frequency, which has its own key
``SYS-12``  a grounding, which has its own key
==========  ==========================================================================
"""

import math
from typing import Literal

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.quantities.spelling import LONGEST, plain, quoted
from turnwright.quantities.system_words import DIRECT, FORMS, Words, scan
from turnwright.quantities.unknown import UNKNOWN, Unknown, is_unknown

HIGHEST_V = 1000.0
"""Low voltage ends here: what is above belongs to other equipment and other rules."""

_SLACK = 0.02
"""Written voltages are rounded (347 for 346.4); a neutral further off than this belongs to another system."""

_LARGEST_NUMBER = 1e9

_FIX = f"Write {FORMS}."


class VoltageSystem(Struct, frozen=True):
    """A voltage system.

    text               in the notation of this module: "480Y/277", "480 3ph", "480 delta", "240 delta corner",
                       "240/120 delta", "120/240 1ph", "240 1ph", "480"
    phases, wires      None where the text does not say
    line_v             volts between lines; of a two-wire system, between its two conductors
    neutral_v          volts from line to neutral: line_v / √3 of a wye, line_v / 2 of a divided winding (with
                       a high leg: of the other two lines); None without a neutral
    neutral_nominal_v  the same as written and called: 277, 347, 230
    connection         wye or delta where the text says so
    grounding          corner or mid-tap where the text says so
    has_neutral        None where the text does not say: two wires may be line and neutral
    direct             direct current: what a load may ask for, and no transformer gives
    high_leg           four-wire delta: one line stands higher above the neutral than the other two
    """

    text: str
    phases: Literal[1, 3] | None
    wires: Literal[2, 3, 4] | None
    line_v: float
    neutral_v: float | None = None
    neutral_nominal_v: float | None = None
    connection: Literal["wye", "delta", "unknown"] = "unknown"
    grounding: Literal["corner", "mid-tap"] | None = None
    has_neutral: bool | None = None
    high_leg: bool = False
    direct: bool = False


class _Text(Struct, frozen=True):
    """The text being judged, with its place: what every refusal needs."""

    where: str
    given: str

    def refuse(self, code: str, what: str, fix: str = _FIX) -> InputError:
        return InputError(code, self.where, f"{quoted(self.given)} {what}", fix)


def parse_system(given: object, *, where: str, direct: bool = False) -> VoltageSystem | Unknown:
    """Return the voltage system that a text names, or `UNKNOWN` for the word "unknown".

    Args:
        given: "480Y/277", "480 3ph", "120/240 1ph", …, also as people write them ("208/120",
            "3N~ 400/230 V"), or a number of volts.
        where: file, line and key, for the message.
        direct: direct current is read too, for a load that asks for it.

    Raises:
        InputError: SYS-01 to SYS-12, each with what was read and what to write instead.

    Example:
        >>> parse_system("120/208 V 3-phase", where="supply.system").text
        '208Y/120'
        >>> system = parse_system("240/120 delta", where="supply.system")
        >>> system.wires, system.neutral_v, system.high_leg
        (4, 120.0, True)
        >>> parse_system("Unknown", where="supply.system") is UNKNOWN
        True
    """
    if is_unknown(given):
        return UNKNOWN
    text = _Text(where, _as_text(given, where))
    words = scan(text.given, where=where)
    _check_words(text, words)
    _check_voltages(text, words)
    if DIRECT in words.flags:
        return _direct(text, words, direct)
    return _pair(text, words) if len(words.voltages) == 2 else _single(text, words)


def _as_text(given: object, where: str) -> str:
    if isinstance(given, int | float) and not isinstance(given, bool):
        if abs(given) < _LARGEST_NUMBER:
            return plain(given)
        raise InputError("SYS-10", where, f"{quoted(given)} is no voltage.", _FIX)
    if not isinstance(given, str):
        raise InputError("SYS-10", where, "this is not the text of a voltage system.", _FIX)
    if not given.strip():
        raise InputError("SYS-02", where, "nothing is written where a voltage system is expected.", _FIX)
    if len(given) > LONGEST:
        what = f"{quoted(given)} is too long for a voltage system ({LONGEST} characters at most)."
        raise InputError("SYS-01", where, what, _FIX)
    return given


def _check_words(text: _Text, words: Words) -> None:
    if len(words.voltages) > 2:
        fix = f"Write supply and load, primary and secondary each under its own key: {FORMS}."
        raise text.refuse("SYS-07", "holds more than one system.", fix)
    if len(words.voltages) == 2 and (not words.joined or "either" in words.flags):
        first, second = (plain(value) for value in words.voltages)
        what = "holds two voltages that are not one system."
        fix = f'Write one system, as in "{first} 3ph"; of a plate that takes either, the one connected.'
        raise text.refuse("SYS-07", what, fix if first != second else _FIX)
    if "either" in words.flags:
        raise text.refuse("SYS-01", 'is not a voltage system: an "x" stands between two voltages.')
    if len(words.phases) > 1 or len(words.wires) > 1 or {"wye", "delta"} <= words.flags:
        raise text.refuse("SYS-08", "says two things that exclude each other.")
    if 2 in words.phases:
        fix = 'Two lines of a three-phase system are written as one phase, "208 1ph".'
        raise text.refuse("SYS-08", "has two phases, which no system here has.", fix)
    if not words.phases <= {1, 3} or not words.wires <= {2, 3, 4}:
        raise text.refuse("SYS-08", "has a number of phases or wires that no system has.")
    if "grounded" in words.flags and not words.flags & {"corner", "middle", "high leg"}:
        raise text.refuse("SYS-12", "holds a grounding.", "Write it under its own key, grounding.")


def _check_voltages(text: _Text, words: Words) -> None:
    if not words.voltages:
        raise text.refuse("SYS-02", "has no voltage.")
    if max(words.voltages) > HIGHEST_V:
        limit = f"{plain(HIGHEST_V)} V"
        what = f"is above {limit}, and only systems up to {limit} are covered."
        raise text.refuse(
            "SYS-04", what, "Check the voltage; above it other equipment and other rules apply."
        )
    if min(words.voltages) < 1.0:
        raise text.refuse("SYS-03", "has a voltage below 1 V.", f"{_FIX} What is not known is never 0.")


def _direct(text: _Text, words: Words, allowed: bool) -> VoltageSystem:
    """Judge direct current: of a load a system that nothing here serves, elsewhere a refusal."""
    if not allowed or len(words.voltages) != 1 or words.flags != {DIRECT}:
        what = "is direct current, which no transformer passes."
        raise text.refuse("SYS-01", what, f"Write the alternating-current side: {FORMS}.")
    volts = words.voltages[0]
    return VoltageSystem(f"{plain(volts)} V DC", 1, 2, volts, has_neutral=False, direct=True)


def _near(value: float, expected: float) -> bool:
    return abs(value - expected) <= _SLACK * expected


def _pair(text: _Text, words: Words) -> VoltageSystem:
    """Judge two voltages: a wye (√3), or a divided winding (2), of one phase or of a delta."""
    high, low = max(words.voltages), min(words.voltages)
    is_wye, is_half = _near(low, high / math.sqrt(3)), _near(low, high / 2)
    of_delta = words.flags & {"delta", "corner", "high leg"}
    if is_wye and "wye" in words.flags:
        return _wye(text, words, high, low)
    if is_half and of_delta:
        return _four_wire_delta(text, words, high, low)
    if "wye" in words.flags or (of_delta and not is_half):
        raise _neutral_off(text, high, low)
    if is_half:
        return _half(text, words, high, low)
    if not is_wye:
        raise _neutral_off(text, high, low)
    if 1 in words.phases:
        what = "is part of a three-phase wye: two lines, or a line and the neutral."
        volts = plain(high), plain(low)
        fix = 'Write "{0}Y/{1}" for a supply, "{0} 1ph" or "{1} 1ph" for a load.'.format(*volts)
        raise text.refuse("SYS-08", what, fix)
    return _wye(text, words, high, low)


def _half(text: _Text, words: Words, high: float, low: float) -> VoltageSystem:
    """Judge two voltages of which one is half the other, without "delta"."""
    lighting = (high, low) == (240.0, 120.0)
    in_order = words.voltages == [low, high]
    if 1 in words.phases or (
        not words.phases and (3 in words.wires or (lighting and in_order and not words.wires))
    ):
        return _three_wire(text, words, high, low)
    if lighting and (3 in words.phases or 4 in words.wires):
        return _four_wire_delta(text, words, high, low)
    readings = [f'"{plain(high)}/{plain(low)} delta" (three phases, four wires, high leg)']
    if 3 not in words.phases and 4 not in words.wires:
        readings.insert(0, f'"{plain(low)}/{plain(high)} 1ph" (one phase, three wires)')
    readings.append(f'for a plate that takes either voltage the one connected, as in "{plain(high)} 3ph"')
    raise text.refuse("SYS-05", "has more than one reading.", f"Write {'; '.join(readings)}.")


def _neutral_off(text: _Text, high: float, low: float) -> InputError:
    what = (
        f"does not fit together: {plain(high)} V between lines gives {high / math.sqrt(3):.0f} V to the "
        f"neutral of a wye or {high / 2:.0f} V to the middle of a winding, not {plain(low)} V."
    )
    fix = f'Check both; of a plate that takes either voltage write the one connected, "{plain(high)} 3ph".'
    return text.refuse("SYS-06", what, fix)


def _check_counts(text: _Text, words: Words, phases: int, wires: int) -> None:
    """Phases and wires that are written must be those of the system."""
    if (words.phases or {phases}) != {phases} or (words.wires or {wires}) != {wires}:
        name = "three phases" if phases == 3 else "one phase"
        raise text.refuse("SYS-08", f"contradicts itself: a system like this has {name} and {wires} wires.")


def _wye(text: _Text, words: Words, line: float, neutral: float) -> VoltageSystem:
    _check_counts(text, words, 3, 4)
    if words.flags & {"corner", "middle", "high leg"}:
        raise text.refuse("SYS-08", "contradicts itself: only a delta has a corner or a high leg.")
    name = f"{plain(line)}Y/{plain(neutral)}"
    return VoltageSystem(name, 3, 4, line, line / math.sqrt(3), neutral, "wye", None, True)


def _four_wire_delta(text: _Text, words: Words, line: float, neutral: float) -> VoltageSystem:
    _check_counts(text, words, 3, 4)
    if "corner" in words.flags:
        what = "contradicts itself: a delta is grounded at a corner or at the middle of one side."
        raise text.refuse("SYS-08", what)
    name = f"{plain(line)}/{plain(neutral)} delta"
    return VoltageSystem(name, 3, 4, line, line / 2, neutral, "delta", "mid-tap", True, high_leg=True)


def _three_wire(text: _Text, words: Words, line: float, neutral: float) -> VoltageSystem:
    _check_counts(text, words, 1, 3)
    name = f"{plain(neutral)}/{plain(line)} 1ph"
    return VoltageSystem(name, 1, 3, line, line / 2, neutral, has_neutral=True)


def _single(text: _Text, words: Words) -> VoltageSystem:
    """Judge one voltage: three phases, a delta, one phase, or nothing known but the volts."""
    line = words.voltages[0]
    volts = plain(line)
    of_delta = words.flags & {"delta", "corner"}
    if words.flags & {"wye", "middle", "high leg"} or (of_delta and "neutral" in words.flags):
        raise _no_neutral_volts(text, words)
    if of_delta:
        _check_counts(text, words, 3, 3)
        corner: Literal["corner"] | None = "corner" if "corner" in words.flags else None
        name = f"{volts} delta corner" if corner else f"{volts} delta"
        return VoltageSystem(name, 3, 3, line, None, None, "delta", corner, False)
    if words.wires == {2} and not words.phases:
        return VoltageSystem(f"{volts} 1ph", 1, 2, line)
    if words.wires and not words.phases:
        raise _no_neutral_volts(text, words)
    if 1 in words.phases:
        if words.wires - {2}:
            raise _no_neutral_volts(text, words)
        return VoltageSystem(f"{volts} 1ph", 1, 2, line)
    if "neutral" in words.flags or 4 in words.wires:
        raise _no_neutral_volts(text, words)
    if 3 in words.phases:
        _check_counts(text, words, 3, 3)
        return VoltageSystem(f"{volts} 3ph", 3, 3, line, has_neutral=False)
    return VoltageSystem(volts, None, None, line)


def _no_neutral_volts(text: _Text, words: Words) -> InputError:
    """A fourth wire, a neutral or a Y, without the voltage that tells which system it is."""
    volts, half = plain(words.voltages[0]), plain(words.voltages[0] / 2)
    readings = []
    if 3 not in words.phases and not words.flags & {"wye", "delta"} and 4 not in words.wires:
        readings += [f'"{half}/{volts} 1ph" (one phase, three wires)', f'"{volts} 1ph" (two wires)']
    if 1 not in words.phases:
        neutral = words.voltages[0] / math.sqrt(3)
        readings += [f'"{volts}Y/{neutral:.0f}" (wye, its neutral volts as they are called)']
        readings += [] if "wye" in words.flags else [f'"{volts}/{half} delta" (high leg)']
        readings += [f'"{volts} 3ph" (without neutral)']
    return text.refuse("SYS-09", "does not give the voltage to neutral.", f"Write {', '.join(readings)}.")
