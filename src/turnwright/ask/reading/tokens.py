"""A request cut into words, numbers and marks, each with its place; what only looks like a fact is set aside.

Telephone numbers, dates, times, prices, addresses and the numbers of orders, rooms and drawings are full of figures
that are no facts: they become tokens of the kind "code", which nothing reads.
"""

from __future__ import annotations

import re
from typing import Literal, NamedTuple

from turnwright.ask.reading.grammar import short_forms, words
from turnwright.ask.reading.spelling import corrected

Kind = Literal["number", "word", "mark", "break", "code"]

_UNIT_AHEAD = (
    r"(?![\s-]?(?:%|°|(?:v|vac|volts?|kv|kva|va|mva|a|amps?|amperes?|aic|ka|kaic|hp|kw|w|watts?|hz|ft|feet|m|meters?|metres?"
    r"|mm|cm|in|inch|yards?|x|phases?|ph|wires?|deg|c|f|kg|lbs?|s|sec|seconds?|min|minutes?|h|hours?|poles?|p|ea|pcs|k|percent)\b))"
)
_CODES = re.compile(
    r"""
      [\w.+-]{1,64}@[\w.-]{1,80} | (?:https?://|www\.)\S{1,200}
    | \+\d[\d\s().-]{6,18}\d                                  # telephone
    | \(?\b\d{3}\)?[\s.-]\d{3}[\s.-]\d{4}\b | \b\d{3}-\d{4}\b
    | \b\d{4}-\d{2}(?:-\d{2})?\b | \b\d{1,2}[/.]\d{1,2}[/.](?:\d{4}|\d{2})\b   # dates
    | \b\d{1,2}:\d{2}(?:\s?[ap]m)?\b | \b\d{1,2}\s?(?:am|pm|a\.m\.|p\.m\.)(?![a-z])
    | \b(?:january|february|march|april|may|june|july|august|september|october|november|december|jan|feb|mar|apr|jun
        |jul|aug|sept?|oct|nov|dec)\.?\s\d{1,2}(?:st|nd|rd|th)?\b(?:,?\s\d{4}\b)?
    | [$€£]\s?\d[\d,.]*\s?(?:k|m)?\b | \b\d[\d,.]*\s?(?:usd|eur|gbp|cad|dollars?|euros?|bucks|€|£)(?!\w)
    | \b(?:p\.?o\.?|order\sno|ref|reference|quote\sno|quotation|invoice|ticket|rfq|drawing|dwg|sheet|item|page|section
        |article|part|model|serial|s/n|p/n|sn|pn|room|rm|suite|apt|ext\.?|extension|job\sno|project\sno|unit|tag|highway
        |project|route|cat|catalog|catalogue|id|sku|zip|bay|gate)\s?(?:no\.?|nr\.?|number|\#|:)?\s?
        (?:\#|[a-z]{0,3}-?)\d[\w/.-]*\bUNIT_AHEAD
    | \#\s?\d[\w-]*
    | \b(?:lp|dp|pp|rp|ep|mp|msb|mdp|mcc|ahu|rtu|ckt|cct|tb|sb)-?\d{1,3}[a-z]{0,2}\b(?!\s?(?:v|a|kva|amps?|hp|kw)\b)
    | \b(?:level|floor|phase|stage|step|type|part|line|row|aisle|bldg|building|wing|option|rev|version|grade|tier)
        [ \t-]\d{1,2}\bUNIT_AHEAD(?![/.])
    | (?-i:\b[A-Z]{2,6}-\d{1,4}[A-Z]{0,2}\b(?!\s?(?:V\b|A\b|kVA\b|W\b|[Hh]z\b|%|/)))(?<!NEMA-\d)(?<!PH-\d)(?<!TN-\d)
    | (?-i:\b(?!NEMA|PH|PF|FLA|LRA|RLA|MCA|MOP|COS|KVA|CAT|UP|AIC|SCCR|QTY|HP|FLC|TO|AT|OF|PRI|SEC|HV|LV|XFMR|THD|UK)
        [A-Z]{2,6}\d{2,5}[A-Z]{0,2}\b)                          # UL508A
    | \b\d[\d.,]*[\s-]?(?:tons?|gallons?|gal|psi|bar|btuh?|mbh|cfm|gpm|rpm|lit(?:re|er)s?|stor(?:e?y|eys|ies)|years?
        |yrs?|axis|bit|ports?|channels?|seats?|beds?|persons?|people|sq\.?\s?(?:ft|m)|square\s(?:feet|foot|met(?:re|er)s?))\b
    | \b[te]-\d{1,3}\b | \b\d[lh][a-d]\b                       # T-3, 2LA
    | \b(?!(?:delta|wye|primary|secondary|star)-\d)(?=[a-z-]{2,20}\d)
      [a-z]{2,12}[\d-][\w-]{0,24}\d{3,12}[\w-]{0,24}\b # PX-4471, SN48022
    | \b(?!\d{3}-[13]-(?:50|60)\b)\d{1,12}-\d{1,12}-[\d-]{1,24}\b
    | \b\d{5,}(?:[-/]\d{1,12}){0,4}\b
    | \b(?:\d+\s)(?:[a-z]+\s){1,2}(?:street|st|road|rd|avenue|ave|lane|ln|drive\sway|boulevard|blvd|highway)\b
    """.replace("UNIT_AHEAD", _UNIT_AHEAD),
    re.IGNORECASE | re.VERBOSE,
)
_TOKEN = re.compile(
    r"""
      (?P<always>24\s?[/x]\s?7\b)
    | (?P<ports>\b[io]/p\b)
    | (?P<number>\d{1,3}(?:,\d{3})+(?:\.\d+)?(?![\d,]) | \d+(?:[.,]\d+)?(?!\d) | \.\d+)
    | (?P<arrow>[-=]>|→)
    | (?P<dotted>(?<![a-z])
        (?:h\.\s?p|p\.\s?f|k\.\s?v\.\s?a|a\.\s?c|e\.\s?g|i\.\s?e|f\.\s?l\.\s?a|v\.\s?a\.\s?c)\.?(?![a-z]))
    | (?P<word>[^\W\d_]+(?:['’][^\W\d_]+)*)
    | (?P<newline>[^\S\n]*\n\s*)
    | (?P<mark>[^\s\w])
    """,
    re.IGNORECASE | re.VERBOSE,
)
_UNITS = frozenset(("ft", "hp", "amp", "amps", "volt", "volts", "pf", "ph"))
_SHORT_LINE = 45
_MARKS = {
    "–": "-",
    "—": "-",
    "−": "-",
    "‑": "-",
    "‐": "-",
    "×": "x",
    "∗": "*",
    "≈": "~",
    "Ø": "ø",
    "′": "'",
    "’": "'",
}
_BREAKS = ";?!|•*"


class Token(NamedTuple):
    """A word, a number or a mark of a request.

    text        folded, with a slip of the pen mended
    start, end  where it stands
    value       of a number
    glued       no space before it
    capital     written with a capital letter
    """

    kind: Kind
    text: str
    start: int
    end: int
    value: float | None = None
    glued: bool = False
    capital: bool = False


def tokens_of(text: str) -> list[Token]:
    """Return the tokens of a request.

    Example:
        >>> [token.text for token in tokens_of("480V, 22 kVA. Call 555-0142")]
        ['480', 'v', ',', '22', 'kva', '.', 'call', '555-0142']
    """
    codes = [(found.start(), found.end()) for found in _CODES.finditer(text)]
    found: list[Token] = []
    place = end = 0
    for match in _TOKEN.finditer(text):
        start = match.start()
        while place < len(codes) and codes[place][1] <= start:
            place += 1
        inside = place < len(codes) and codes[place][0] <= start < codes[place][1]
        if inside:
            low, high = codes[place]
            if not found or found[-1].start != low:
                found.append(Token("code", text[low:high].casefold(), low, high))
            end = high
            continue
        token = _token(text, match, found, glued=bool(found) and start == end)
        end = match.end()
        if token is not None:
            found.append(token)
    return found


def _token(text: str, match: re.Match[str], before: list[Token], *, glued: bool) -> Token | None:
    kind, word, start, end = match.lastgroup, match.group(), match.start(), match.end()
    if kind == "number":
        return Token("number", word, start, end, number_of(word), glued)
    if kind in ("arrow", "always"):
        return Token("word", "to" if kind == "arrow" else "24/7", start, end, None, glued)
    if kind == "ports":
        return Token("word", {"i": "input", "o": "output"}[word[0].casefold()], start, end, None, glued)
    if kind == "newline":
        return Token("break", "\n", start, end) if _ends_line(text, start, end) else None
    if kind == "dotted":
        return Token("word", re.sub(r"[\s.]", "", word).casefold(), start, end, None, glued)
    if kind == "word":
        folded = word.casefold().replace("’", "'")
        return Token("word", _said(folded, before, glued), start, end, None, glued, word[0].isupper())
    mark = _MARKS.get(word, word)
    if mark in _BREAKS or (mark == "." and _ends_sentence(text, end, before)):
        return Token("break", mark, start, end, None, glued)
    return Token("mark", mark, start, end, None, glued)


def _said(word: str, before: list[Token], glued: bool) -> str:
    """Return a word without slips and short forms; behind a number a short form is a unit, a glued d a delta."""
    number = bool(before) and before[-1].kind == "number"
    if number and glued and word == "d":
        return "delta"
    return corrected(word if number else short_forms().get(word, word))


def number_of(word: str) -> float:
    """Return the value of a number as written; a comma before three digits marks thousands, else decimals. [any]

    Example:
        >>> number_of("6,200"), number_of("0,85"), number_of(".5")
        (6200.0, 0.85, 0.5)
    """
    if re.fullmatch(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?", word):
        return float(word.replace(",", ""))
    return float(word.replace(",", "."))


def _ends_sentence(text: str, end: int, before: list[Token]) -> bool:
    if end < len(text) and not text[end].isspace() and text[end] not in "\"')":
        return False
    last = before[-1] if before else None
    if last is None or last.kind != "word" or last.text not in words("abbreviations"):
        return True
    after = text[end : end + 3].lstrip(" ")
    if not after or after[0] in "\r\n":
        return True
    return (after[0].isupper() and last.text not in words("titles")) or (
        after[0].isdigit() and last.text in _UNITS
    )


def _ends_line(text: str, start: int, end: int) -> bool:
    """A line break ends a thought where a line is short, a blank one follows, or the next begins a list."""
    if text.count("\n", start, end) > 1:
        return True
    line = text[text.rfind("\n", 0, start) + 1 : start]
    if len(line.strip()) < _SHORT_LINE:
        return True
    return re.match(r"[-*•\d(]|\w+\s?:", text[end : end + 30]) is not None
