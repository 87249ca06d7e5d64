"""Voltages in all the ways people write them: 480Y/277, 208Y120, 120/208, 3N~ 400/230 V, "four eighty", our 480."""

from __future__ import annotations

import math
from functools import lru_cache

from turnwright.ask.reading.atoms import Atom
from turnwright.ask.reading.grammar import units, words
from turnwright.ask.reading.notation import Volts, belong, is_half, near
from turnwright.ask.reading.tokens import Token
from turnwright.ask.reading.words import COUNTS
from turnwright.reference import load

_UNMISTAKABLE = frozenset((208.0, 277.0, 347.0, 415.0, 416.0, 460.0, 480.0, 575.0))
"""Volts that hardly any count of other things is."""
_TELLING = frozenset(("delta", "wye", "service", "mains", "single", "three", "phase", "ph", "bus"))
_COUNTED = frozenset(("phase", "ph", "wire", "delta", "single", "three", "φ", "ø", "w"))
_PLATES_HIGH = frozenset((660.0, 690.0))
_UNIT = frozenset(("v", "volt", "volts", "vac"))
_SYSTEMS = ("us_voltage_systems", "iec_voltage_systems")
_PLATES = ("us_nameplate_voltages", "iec_nameplate_voltages")
_ONE_PHASE_V = 277.0
_RANGE = 1.18
"""208 to 240 V is a range of one plate; 600 to 480 V are two sides."""


@lru_cache(maxsize=1)
def known_volts() -> frozenset[float]:
    """Return the volts of systems and nameplates in use, from the tables."""
    systems = [row for name in _SYSTEMS for row in load(name).newest().rows]
    plates = [row for name in _PLATES for row in load(name).newest().rows]
    return frozenset(float(row.number("line_v")) for row in systems) | frozenset(
        float(row.number("nameplate_v")) for row in plates
    )


@lru_cache(maxsize=1)
def _spoken() -> dict[tuple[str, ...], float]:
    """Return how volts are said: "four eighty", "two oh eight", "two seventy seven"."""
    ones = {value: word for word, value in COUNTS.items() if value < 20 and word != "fourty"}
    tens = {value: word for word, value in COUNTS.items() if value >= 20 and word != "fourty"}
    found: dict[tuple[str, ...], float] = {}
    for volts in known_volts():
        hundreds, rest = divmod(int(volts), 100)
        if rest == 0 or hundreds == 0:
            continue
        if rest in ones and rest < 10:
            for zero in ("oh", "o"):
                found[ones[hundreds], zero, ones[rest]] = volts
        elif rest in ones:
            found[ones[hundreds], ones[rest]] = volts
        else:
            ten, one = rest - rest % 10, rest % 10
            found[(ones[hundreds], tens[ten], *([ones[one]] if one else []))] = volts
    return found


def _texts(tokens: list[Token], at: int, count: int) -> list[str]:
    return [token.text for token in tokens[at : at + count]]


def _volts(tokens: list[Token], at: int) -> tuple[float, int] | None:
    """Return volts in figures at a token; kV becomes V."""
    if at >= len(tokens) or tokens[at].kind != "number":
        return None
    value = tokens[at].value or 0.0
    if at + 1 < len(tokens) and tokens[at + 1].text == "kv":
        return value * 1000, at + 2
    return value, at + 1


def volts_at(tokens: list[Token], at: int) -> Atom | None:
    """Return the voltage that begins at a token, with what stands in its own notation.

    Example:
    >>> from turnwright.ask.reading.tokens import tokens_of
    >>> [volts_at(tokens_of(text), 0).more.values for text in ("208Y120", "3N~ 400/230 V", "four eighty")]
    [(208.0, 120.0), (400.0, 230.0), (480.0,)]
    """
    prefixed = _prefix(tokens, at)
    if prefixed is not None:
        phases, neutral, here = prefixed
        found = _written(tokens, here, at, prefixed=True)
        if found is not None and found.more.phases is None:
            return found._replace(more=_with(found.more, phases, neutral))
        return found
    return _written(tokens, at, at) or _said(tokens, at)


def _with(volts: Volts, phases: int, neutral: bool) -> Volts:
    values = {name: getattr(volts, name) for name in volts.__struct_fields__}
    return Volts(**{**values, "phases": phases, "neutral": True if neutral else volts.neutral, "sure": True})


def _prefix(tokens: list[Token], at: int) -> tuple[int, bool, int] | None:
    """Read the prefix of European plates: 3~, 3N~, 3/N/PE ~, 1/N/PE ~, 3 x, 3AC."""
    token = tokens[at]
    if token.kind != "number" or token.value not in (1.0, 3.0):
        return None
    here, neutral, marked = at + 1, False, False
    while here < len(tokens) and here < at + 8:
        word = tokens[here].text
        if word in ("n", "npe"):
            neutral = marked = True
        elif word == "pe" or word in ("~", "ac", "x"):
            marked = True
        elif word not in ("/", "+"):
            break
        here += 1
    if not marked or here >= len(tokens) or tokens[here].kind != "number":
        return None
    return int(token.value), neutral, here


def _written(tokens: list[Token], at: int, first: int, *, prefixed: bool = False) -> Atom | None:
    start = _volts(tokens, at)
    if start is None:
        return None
    value, here = start
    kilo = here == at + 2
    unit = here < len(tokens) and tokens[here].text in _UNIT
    plate = _plate(tokens, here + unit, value)
    if plate is not None:
        phases, hz, here = plate
        return Atom("V", first, here, "", value, value, Volts(values=(value,), phases=phases, hz=hz))
    pair = _second(tokens, here + unit, value)
    if pair is not None:
        values, wye, either, here = pair
        here = _after_unit(tokens, here)
        return Atom("V", first, here, "", value, 0.0, Volts(values=values, wye=wye, either=either))
    if kilo or unit or prefixed:
        if prefixed and not (kilo or unit) and value not in known_volts():
            return None
        waved = unit and value <= _ONE_PHASE_V and _texts(tokens, here + 1, 1) == ["~"] and not prefixed
        here = _after_unit(tokens, here)
        if waved:  # the plate of a single-phase machine: 230 V~
            return Atom("V", first, here, "", value, value, Volts(values=(value,), phases=1))
        here, neutral = _with_neutral(tokens, here)
        return Atom("V", first, here, "", value, value, Volts(values=(value,), neutral=neutral))
    if value in known_volts() and _stands_bare(tokens, at):
        here, neutral = _with_neutral(tokens, here)
        return Atom("V", first, here, "", value, value, Volts(values=(value,), sure=False, neutral=neutral))
    return None


def _goes_on(tokens: list[Token], at: int) -> bool:
    """Whether a figure behind a stroke is the beginning of more: 460/3/60, 208/3 hp."""
    after = tokens[at] if at < len(tokens) else None
    if after is None or after.kind == "break":
        return False
    return (
        (after.glued and after.kind != "mark")
        or after.text == "/"
        or after.kind == "number"
        or after.text in units()
    )


def _plate(tokens: list[Token], at: int, value: float) -> tuple[int, float | None, int] | None:
    """Read phases and hertz behind volts, as plates of machines have them: 460/3/60, 380V-3-50, 208/3."""
    texts = _texts(tokens, at, 4)
    if texts[:2] in (["/", "1"], ["/", "3"]) and value in known_volts() and not _goes_on(tokens, at + 2):
        return int(texts[1]), None, at + 2
    if len(texts) < 4 or texts[0] not in ("/", "-") or texts[2] != texts[0] or value < 50:
        return None
    if texts[1] not in ("1", "3") or texts[3] not in ("50", "60"):
        return None
    here = at + 4
    return int(texts[1]), float(texts[3]), here + (_texts(tokens, here, 1) in (["hz"], ["hertz"]))


def _after_unit(tokens: list[Token], at: int) -> int:
    while at < len(tokens) and tokens[at].text in (*_UNIT, "ac") and tokens[at].kind == "word":
        at += 1
    if _texts(tokens, at, 1) == ["~"] and at + 1 < len(tokens) and tokens[at - 1].text in _UNIT:
        at += 1
    return _after_tolerance(tokens, at)


def _after_tolerance(tokens: list[Token], at: int) -> int:
    """Step over a tolerance: "±10%", "+/- 5 %"."""
    here = at + 1 if _texts(tokens, at, 1) == ["±"] else at
    here = at + 3 if _texts(tokens, at, 3) == ["+", "/", "-"] else here
    is_share = here > at and here < len(tokens) and tokens[here].kind == "number"
    return here + 2 if is_share and _texts(tokens, here + 1, 1) in (["%"], ["percent"]) else at


def _with_neutral(tokens: list[Token], at: int) -> tuple[int, bool | None]:
    """Read "+ N", "+N+PE" behind volts."""
    if _texts(tokens, at, 2) == ["+", "n"]:
        at += 2
        return (at + 2 if _texts(tokens, at, 2) == ["+", "pe"] else at), True
    return at, None


def _second(tokens: list[Token], at: int, first: float) -> tuple[tuple[float, ...], bool, bool, int] | None:
    """Return both volts of a pair, whether a Y is written, whether a plate takes either, and the token after.

    "480Y/277", "208Y120", "120/208", "230/460", "208-230"; not "480-208Y/120", which names two systems.
    """
    texts = _texts(tokens, at, 4)
    wye = texts[:1] and texts[0] in ("y", "wye", "star")
    here = at + 1 if wye else at
    if here < len(tokens) and tokens[here].text == "/":
        here += 1
    elif not wye:
        return _hyphened(tokens, at, first)
    second = _volts(tokens, here)
    if second is None or not tokens[here].value or min(first, second[0]) < 50:
        return None
    values, after = (first, second[0]), second[1]
    if not belong(*values):
        if first == second[0]:
            return None
        if (
            here > at + 1
            and _texts(tokens, at - 1, 1) in (["v"], ["volts"])
            and _texts(tokens, second[1], 1) in (["v"], ["volts"])
        ):
            return None  # a unit behind each: two sides
        both = {first, second[0]} <= known_volts()
        if not both or not _near_enough(*values):
            return None
        third = _volts(tokens, after + 1) if _texts(tokens, after, 1) == ["/"] else None
        if third is not None and third[0] in known_volts():
            return (*values, third[0]), False, True, third[1]
        return values, False, True, after
    plate = first < second[0] and second[0] in _PLATES_HIGH  # delta for the lower, star for the higher
    either = not wye and ((is_half(*values) and 120.0 not in values) or plate)
    return values, bool(wye), either, after


def _near_enough(first: float, second: float) -> bool:
    """208/230, 380/415: a plate for neighbouring voltages."""
    return max(first, second) < 1.4 * min(first, second)


def _hyphened(tokens: list[Token], at: int, first: float) -> tuple[tuple[float, ...], bool, bool, int] | None:
    """ "208-230 V", "208-230/460 V" name a plate for several voltages; "120-208 V" a wye."""
    if _texts(tokens, at, 1) == ["x"]:
        second = _volts(tokens, at + 1)
        if second is None or not {first, second[0]} <= known_volts() or _texts(tokens, second[1], 1) == ["/"]:
            return None
        return (first, second[0]), False, True, second[1]
    if _texts(tokens, at, 1) not in (["-"], ["to"]):
        return None
    hyphen = tokens[at].text == "-"
    second = _volts(tokens, at + 1)
    if second is None or first < 50:
        return None
    value, here = second
    if _texts(tokens, here, 1) in (["y"], ["wye"], ["delta"], ["δ"]):
        return None
    third = _volts(tokens, here + 1) if _texts(tokens, here, 1) == ["/"] else None
    spread = 1.4 if hyphen else _RANGE
    if {first, value} <= known_volts() and max(first, value) < spread * min(first, value) and first != value:
        if third is not None and third[0] in known_volts():
            return (first, value, third[0]), False, True, third[1]
        return ((first, value), False, True, here) if third is None else None
    wye = hyphen and third is None and near(min(first, value), max(first, value) / math.sqrt(3))
    return ((first, value), False, False, here) if wye else None


def _stands_bare(tokens: list[Token], at: int) -> bool:
    """Return whether a number without a unit is meant as volts, by the words before and behind it."""
    before, after = _text_at(tokens, at - 1), _text_at(tokens, at + 1)
    ratio = after in ("-", "to", "/", "x") and _volts_behind(tokens, at + 2)
    if after == "-" and not ratio:
        after = _text_at(tokens, at + 2)
    if before and not before[0].isalnum() and before not in ",(:->=/'~":
        return False
    if ratio and before not in ("-", "/", "#"):
        return True
    follows = not after or after in ",?().:" or after in words("after_bare_volts")
    leads = not before or before in ",(:->=" or before in words("before_bare_volts")
    telling = after in _TELLING or (after in ("3", "1") and _phase_follows(tokens, at + 1))
    unmistakable = tokens[at].value in _UNMISTAKABLE
    plain_enough = unmistakable and (
        (before in ("from", "off", "our") and after.isalpha()) or after in ("in", "out")
    )
    return telling or plain_enough or (follows and (leads or before in _COUNTED))


def _text_at(tokens: list[Token], at: int) -> str:
    """Return the text of a token; nothing at the ends, at a break, and for a code."""
    if not 0 <= at < len(tokens) or tokens[at].kind in ("break", "code"):
        return ""
    return tokens[at].text


def _volts_behind(tokens: list[Token], at: int) -> bool:
    """Whether volts follow, so that the number before them is the other side: 480-208Y/120, 480 to 240."""
    first = _volts(tokens, at)
    if first is None or first[0] not in known_volts():
        return False
    after = _texts(tokens, first[1], 1)
    return not after or after[0] not in ("a", "amps", "amp", "kva", "kw", "hp", "ft", "%", "hz", "x")


def _phase_follows(tokens: list[Token], at: int) -> bool:
    return any(text in ("phase", "ph", "φ", "ø", "p") for text in _texts(tokens, at + 1, 2))


def _said(tokens: list[Token], at: int) -> Atom | None:
    """Return volts that are said: "four eighty", "one twenty two oh eight"."""
    first = _one_said(tokens, at)
    if first is None:
        return None
    value, here = first
    second = _one_said(tokens, here + (_texts(tokens, here, 1) in (["/"], ["-"], ["slash"], ["over"])))
    if second is not None and belong(value, second[0]):
        here = _after_unit(tokens, second[1])
        return Atom("V", at, here, "", value, second[0], Volts(values=(value, second[0])))
    end = _after_unit(tokens, here)
    return Atom("V", at, end, "", value, value, Volts(values=(value,), sure=end > here))


@lru_cache(maxsize=1)
def _first_said() -> frozenset[str]:
    return frozenset(said[0] for said in _spoken())


def _one_said(tokens: list[Token], at: int) -> tuple[float, int] | None:
    if at >= len(tokens) or tokens[at].text not in _first_said():
        return None
    for length in (3, 2):
        words: list[str] = []
        here = at
        while here < len(tokens) and len(words) < length:
            if tokens[here].text != "-":
                words.append(tokens[here].text)
            here += 1
        volts = _spoken().get(tuple(words)) if len(words) == length else None
        if volts is not None:
            return volts, here
    return None
