"""The parts a request is made of: sizes with their units, counts, phases, wires, harmonics' orders.

An atom is a run of tokens with one meaning and no context: "about 120 A", "3-phase", "5th". What it is good for
(the load's current, the panel's rating) is decided later by the words around it.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from turnwright.ask.reading.grammar import units, words
from turnwright.ask.reading.tokens import Token
from turnwright.ask.reading.words import COUNTS, LOOSE_COUNTS, ONLY_GLUED
from turnwright.quantities.spelling import plain


class Atom(NamedTuple):
    """A run of tokens with one meaning.

    kind         one letter for sizes (see the lexicon), N a bare number, V volts, and PH phases, WI wires, NE
                 neutral, GR grounding, DL delta, WY wye, OR order of a harmonic, QT how many pieces
    first, last  tokens, the last one not included
    text         as the job file writes it
    low, high    ends of the number as written
    more         what else it says
    """

    kind: str
    first: int
    last: int
    text: str = ""
    low: float = 0.0
    high: float = 0.0
    more: Any = None


_LONGEST_LISTED = 12
"""Numbers that may share the unit behind the last of them."""
_LEAST_W = 5.0
"""A capital W apart from a smaller number counts wires."""
_LEAST_SMALL_W = 20.0
"""So does a small w."""


def spelled(tokens: list[Token], at: int) -> tuple[float, int] | None:
    """Return a number written in words from a token on, and the token after it: "forty-five", "one hundred and ten".

    Example:
        >>> from turnwright.ask.reading.tokens import tokens_of
        >>> spelled(tokens_of("one hundred and fifty amps"), 0)
        (150.0, 4)
    """
    total, part, here, seen = 0.0, 0.0, at, False
    while here < len(tokens):
        word = tokens[here].text
        if tokens[here].kind == "mark" and word == "-" and seen and _is_count(tokens, here + 1):
            here += 1
            continue
        if word in COUNTS and (not seen or _fits(part, COUNTS[word])):
            part += COUNTS[word]
        elif word == "hundred" and (part or not seen):
            part = (part or 1) * 100
        elif word == "thousand" and part:
            total, part = total + part * 1000, 0.0
        elif word == "and" and seen and part >= 100 and _is_count(tokens, here + 1):
            here += 1
            continue
        elif word == "half" and seen and tokens[here - 1].text == "a":
            part += 0.5
        else:
            break
        seen = True
        here += 1
    return (total + part, here) if seen else None


def _is_count(tokens: list[Token], at: int) -> bool:
    return at < len(tokens) and tokens[at].text in COUNTS


def _fits(part: float, more: int) -> bool:
    """Forty takes five, a hundred takes anything below; three does not take twenty."""
    if part % 100 == 0:
        return part > 0
    return part % 10 == 0 and part % 100 >= 20 and more < 10


def _plain_number(tokens: list[Token], at: int) -> tuple[float, int] | None:
    """Return one number in figures or words, fractions of motors included (7-1/2, 3/4)."""
    if at >= len(tokens):
        return None
    token = tokens[at]
    if token.kind != "number" or token.value is None:
        return spelled(tokens, at)
    whole, here = token.value, at + 1
    if _texts(tokens, here, 1) == ["-"] and _fraction(tokens, here + 1) is not None:
        here += 1
    fraction = _fraction(tokens, here)
    if fraction is not None and here > at:
        return whole + fraction, here + 3
    own = _fraction(tokens, at)
    return (own, at + 3) if own is not None else (whole, here)


def _fraction(tokens: list[Token], at: int) -> float | None:
    """Return a fraction of a horsepower at a token: 1/2, 3/4, 1/3."""
    texts = _texts(tokens, at, 3)
    if len(texts) == 3 and texts[1] == "/" and texts[0].isdigit() and texts[2] in ("2", "3", "4", "6", "8"):
        over, under = int(texts[0]), int(texts[2])
        follows = tokens[at + 3].text if at + 3 < len(tokens) else ""
        if 0 < over < under and units().get(follows, ("",))[0] == "H":
            return over / under
    return None


def _texts(tokens: list[Token], at: int, count: int) -> list[str]:
    return [token.text for token in tokens[at : at + count]]


def unit_at(tokens: list[Token], at: int) -> tuple[str, str, int] | None:
    """Return the unit at a token: letter of its kind, unit, token after it."""
    if at >= len(tokens):
        return None
    texts = _texts(tokens, at, 3)
    word = texts[0]
    if word in ("°", "deg", "degree", "degrees") and len(texts) > 1:
        letter = texts[1] if texts[1] in ("c", "f", "celsius", "fahrenheit", "centigrade") else ""
        return ("T", units()[letter][1], at + 2) if letter else ("T", "", at + 1)
    if word in ("'", "feet") and tokens[at].glued:
        return "L", "ft", at + 1
    if word == "per" and len(texts) > 1 and texts[1] == "cent":
        return "C", "%", at + 2
    if word == "k" and len(texts) > 1 and texts[1] in ("va", "w", "aic", "a"):
        return _joined(texts[1], at)
    if word == "w" and (
        tokens[at].glued
        or (tokens[at - 1].value or 0.0) >= (_LEAST_W if tokens[at].capital else _LEAST_SMALL_W)
    ):
        return "P", "W", at + 1
    if (
        word == "k"
        and tokens[at].glued
        and "aic" in (*_texts(tokens, at + 1, 1), *_texts(tokens, max(at - 2, 0), 1))
    ):
        return "F", "kA", at + 1
    found = units().get(word)
    if found is None or (word in ONLY_GLUED and not _stands_as_unit(tokens, at)):
        return None
    return found[0], found[1], at + 1


def _joined(second: str, at: int) -> tuple[str, str, int]:
    letter, unit = {"va": ("S", "kVA"), "w": ("P", "kW")}.get(second, ("F", "kA"))
    return letter, unit, at + 2


def _stands_as_unit(tokens: list[Token], at: int) -> bool:
    """A letter is a unit where it is glued to its number, a capital, or nothing follows that it could belong to."""
    token = tokens[at]
    if token.glued or token.capital or token.text == "×":
        return True
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    if token.text in ("c", "f", "k"):
        return False
    return after is None or after.kind in ("break", "mark") or token.text in ("m", "x", "h", "s")


def _hyphen(tokens: list[Token], at: int) -> int:
    """Step over the hyphen of "60-Hz", "15-hp"."""
    glued = at + 1 < len(tokens) and tokens[at].text == "-" and tokens[at].glued and tokens[at + 1].glued
    return at + 1 if glued else at


def size_at(tokens: list[Token], at: int) -> Atom | None:
    """Return the size that begins at a token: "22 kVA", "about 120 A", "110 to 130 amps", "15-20 hp".

    Example:
        >>> from turnwright.ask.reading.tokens import tokens_of
        >>> size_at(tokens_of("between 110 and 130 amps"), 0).text, size_at(tokens_of("~ 0,75 kW"), 0).text
        ('110..130 A', 'about 0.75 kW')
    """
    here, about, unsure = at, False, False
    below = _below_zero(tokens, at)
    here += below
    between = tokens[at].text == "between"
    while here < len(tokens) and tokens[here].text in words("about"):
        about, unsure = True, unsure or tokens[here].text in words("unsure")
        here += 1
    here += between
    first = _plain_number(tokens, here)
    if first is None:
        return None
    low, here = first
    unit = unit_at(tokens, _hyphen(tokens, here))
    here = unit[2] if unit else here
    if unit is None:
        speeds = _speeds(tokens, here)
        if speeds is not None:
            return _atom(speeds, at, speeds[2], low, low, "exact")
    last = _second_end(tokens, here, between)
    if last is not None:
        high, after = last
        second = unit_at(tokens, _hyphen(tokens, after))
        low = -low if below and second is not None and second[0] == "T" else low
        if second is not None and high > low and (unit is None or unit[:2] == second[:2]):
            return _atom(second, at, second[2], low, high, "range")
    if unit is None or between or (below and unit[0] != "T"):
        return None
    if below:
        return _atom(unit, at, here, -low, -low, "exact")
    trailing = _or_so(tokens, here)
    if unsure and unit[0] == "C":
        about = False
    form = "about" if about or trailing > here else "exact"
    return _atom(unit, at, trailing, low, low, form)


def _speeds(tokens: list[Token], at: int) -> tuple[str, str, int] | None:
    """Return the unit of a motor of two speeds behind its larger power: "30/7.5 hp"."""
    if _texts(tokens, at, 1) != ["/"] or at + 1 >= len(tokens) or tokens[at + 1].kind != "number":
        return None
    larger = tokens[at - 1].value or 0.0
    unit = unit_at(tokens, at + 2)
    is_power = unit is not None and unit[0] == "H" and larger > (tokens[at + 1].value or 0.0) > 0
    return unit if is_power and larger == int(larger) else None


def listed_at(tokens: list[Token], at: int) -> Atom | None:
    """Return the first of several numbers that share the unit behind the last: "10, 7.5 and 5 hp"."""
    here, numbers = at, 0
    while here + 1 < len(tokens) and tokens[here].kind == "number" and numbers < _LONGEST_LISTED:
        mark = tokens[here + 1].text
        if mark not in (",", "and", "+", "&"):
            break
        numbers += 1
        here += 3 if mark == "," and _texts(tokens, here + 2, 1) == ["and"] else 2
        if mark == "and" or tokens[here - 1].text == "and":
            break
    unit = unit_at(tokens, here + 1) if here < len(tokens) and tokens[here].kind == "number" else None
    value = tokens[at].value
    if unit is None or unit[0] not in "HPS" or (numbers < 2 and not _goes_on(tokens, at)) or value is None:
        return None
    return _atom(unit, at, at + 1, value, value, "exact")


def _goes_on(tokens: list[Token], at: int) -> bool:
    """Whether a number stands behind a comma and another number: the last but one of a list."""
    return at > 1 and tokens[at - 1].text in (",", "+", "&") and tokens[at - 2].kind == "number"


def _below_zero(tokens: list[Token], at: int) -> bool:
    """Whether a minus stands before a number: "-25 C", "minus 10"."""
    if tokens[at].text == "minus":
        return True
    follows = at + 1 < len(tokens) and tokens[at + 1].kind == "number" and tokens[at + 1].glued
    return tokens[at].text == "-" and not tokens[at].glued and follows


def _second_end(tokens: list[Token], at: int, between: bool) -> tuple[float, int] | None:
    """Return the other end of a range after "to", "-", "..", "or", or "and" of a between."""
    texts = _texts(tokens, at, 3)
    if texts[:2] == [".", "."]:
        return _plain_number(tokens, at + 2)
    joins = {"to", "-", "…", "or"} | ({"and"} if between else set())
    return _plain_number(tokens, at + 1) if texts and texts[0] in joins else None


def _or_so(tokens: list[Token], at: int) -> int:
    texts = _texts(tokens, at, 3)
    if texts[:2] == ["or", "so"]:
        return at + 2
    if texts[:2] == ["-", "ish"]:
        return at + 2
    if texts[:1] == ["ish"] or texts[:1] == ["approx"] or texts[:1] == ["approximately"]:
        return at + 1
    return at


def _atom(unit: tuple[str, str, int], first: int, last: int, low: float, high: float, form: str) -> Atom:
    letter, name, _ = unit
    numbers = plain(low) if low == high else f"{plain(low)}..{plain(high)}"
    text = f"{numbers} {name}".strip()
    if form == "about" and low:
        text = f"about {text}"
    return Atom(letter, first, last, text, low, high, form)


_PHASE = frozenset(("phase", "phases", "ph", "p", "φ", "ø", "phased"))
_WIRE = frozenset(("wire", "wires", "w"))
_ORDERS = {"third": 3, "fifth": 5, "seventh": 7, "ninth": 9, "eleventh": 11, "thirteenth": 13}


def counted_at(tokens: list[Token], at: int) -> Atom | None:
    """Return phases ("3-phase", "three ph", "1φ") or wires ("4W", "three-wire") at a token."""
    token = tokens[at]
    count = (
        token.value
        if token.kind == "number"
        else {**COUNTS, "single": 1, "split": 1, "poly": 3}.get(token.text)
    )
    if count is None or count not in (1, 2, 3, 4):
        return None
    here = at + 1
    if token.kind == "number" and count in (1, 3) and _texts(tokens, here, 2) == ["/", "n"]:
        last = here + 4 if _texts(tokens, here + 2, 2) == ["/", "pe"] else here + 2
        return Atom("PH", at, last, plain(count), count, count, "n")
    plate = (
        at > 0
        and tokens[at - 1].text in ("v", "volts")
        and _texts(tokens, here, 1) == ["n"]
        and tokens[here].glued
    )
    if token.kind == "number" and count in (1, 3) and plate:
        return Atom("PH", at, here + 1, plain(count), count, count, "n")
    if token.kind == "number" and count in (1, 3) and _texts(tokens, here, 2) in (["n", "~"], ["n", "ac"]):
        return Atom("PH", at, here + 2, plain(count), count, count, "n")
    if token.kind == "number" and _texts(tokens, here, 1) == ["~"] and tokens[here].glued and count in (1, 3):
        return Atom("PH", at, here + 1, plain(count), count, count, token.text)
    if here < len(tokens) and tokens[here].text == "-":
        here += 1
    if here >= len(tokens):
        return None
    word = tokens[here].text
    if word in _PHASE and not (word == "p" and not tokens[here].glued):
        return Atom("PH", at, here + 1, plain(count), count, count, token.text)
    if word in _WIRE and (word != "w" or (tokens[here].glued and count > 1)):
        last = here + 1
        plus_ground = _texts(tokens, last, 2) in (["and", "ground"], ["plus", "ground"], ["+", "ground"])
        return Atom("WI", at, last + 2 * plus_ground, plain(count), count, count, plus_ground)
    return None


def order_at(tokens: list[Token], at: int) -> Atom | None:
    """Return the order of a harmonic at a token: "5th", "H7", "eleventh harmonic"."""
    token, here, order = tokens[at], at + 1, None
    follows = tokens[here].text if here < len(tokens) else ""
    if token.kind == "number" and follows in ("st", "nd", "rd", "th") and tokens[here].glued:
        order, here = token.value, here + 1
    elif token.text in _ORDERS:
        order = float(_ORDERS[token.text])
    elif token.text == "h" and here < len(tokens) and tokens[here].kind == "number" and tokens[here].glued:
        order, here = tokens[here].value, here + 1
    if order is None or not 2 <= order <= 50 or order != int(order):
        return None
    if here < len(tokens) and tokens[here].text in ("harmonic", "harmonics"):
        here += 1
    return Atom("OR", at, here, plain(order), order, order)


def pieces_at(tokens: list[Token], at: int) -> Atom | None:
    """Return a count of pieces that says so by itself: "2 x", "(4)", "qty 3", "a dozen", "4 pcs", "x2"."""
    texts = _texts(tokens, at, 4)
    token = tokens[at]
    number = _small_count(tokens, at)
    says = texts[1:2] and texts[1] in ("x", "pcs", "pc", "off", "pieces", "nos", "ea", "@")
    if number == 3 and texts[1:2] == ["x"] and _amperes_follow(tokens, at + 2):
        return Atom("PH", at, at + 2, "3", 3.0, 3.0, "x")
    if number is not None and says and (texts[1] != "x" or at + 2 < len(tokens)):
        return Atom("QT", at, at + 2, plain(number), number, number)
    if texts[:1] == ["("] and len(texts) > 2 and texts[2] == ")":
        inner = _small_count(tokens, at + 1)
        if inner is not None:
            return Atom("QT", at, at + 3, plain(inner), inner, inner)
    if token.text in ("qty", "quantity"):
        here = at + 1 + (texts[1:2] == [":"])
        counted = _small_count(tokens, here)
        if counted is not None:
            return Atom("QT", at, here + 1, plain(counted), counted, counted)
    if texts[:2] and texts[0] == "a" and texts[1:2] and texts[1] in ("dozen", "pair", "couple"):
        count = float(LOOSE_COUNTS[texts[1]])
        return Atom("QT", at, at + 2 + (texts[2:3] == ["of"]), plain(count), count, count, "loose")
    return None


def _amperes_follow(tokens: list[Token], at: int) -> bool:
    """3 x 32 A is the current of a three-phase plate, not three pieces."""
    if at + 1 >= len(tokens) or tokens[at].kind != "number" or not tokens[at].glued:
        return False
    return units().get(tokens[at + 1].text, ("",))[0] == "A"


def _small_count(tokens: list[Token], at: int) -> float | None:
    if at >= len(tokens):
        return None
    token = tokens[at]
    value = token.value if token.kind == "number" else COUNTS.get(token.text)
    return float(value) if value is not None and 1 <= value <= 500 and value == int(value) else None
