"""Characters that the fonts of the papers have, what stands for others, and where long words may break."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import msgspec

FONTS = Path(__file__).parents[1] / "fonts"
COVERAGE = FONTS / "coverage.txt"
MAY_BREAK = "\u200b"
LONGEST_WORD, PIECE = 18, 12
"""Characters of the longest word that never breaks, and of the pieces that a longer one without joints breaks into."""
MOST_TRIALS = 200
NOT_TEXT = ("svg", "alt", "kind", "page", "date", "language", "style", "align")
"""Fields of a report that are no running text."""

_UNITS = "kVA|kA|kW|kV|A|V|W|Hz|hp|K|%|dB|mm²|mm|m|ft|in|kg|lb|AWG|kcmil|°C|°F|s|ms|h|ohm|Mohm|min|times|×"
_WITH_UNIT = re.compile(rf"(?<=\d) (?=(?:{_UNITS})(?![\w]))")
_LONG = re.compile(rf"\S{{{LONGEST_WORD + 1},}}")
_JOINTS = re.compile(r"[._\[\]/·,;:?&=-](?=.)")
_RUN = re.compile(rf"[^\u200b]{{{PIECE}}}(?=[^\u200b])")
_REFUSED = re.compile(r'the text `"(.+)"` could not be displayed', re.DOTALL)


@cache
def covered() -> frozenset[int]:
    """Return the code points of the characters that the font of the papers has."""
    found: set[int] = set()
    for line in COVERAGE.read_text(encoding="ascii").split():
        first, _, last = line.partition("-")
        found.update(range(int(first, 16), int(last, 16) + 1))
    return frozenset(found)


def by_number(text: str, lacking: frozenset[str]) -> str:
    """Return a text with characters that no font has written by their number.

    Example:
        >>> by_number("変 1", frozenset("変"))
        '[U+5909] 1'
    """
    if lacking.isdisjoint(text):
        return text
    return "".join(f"[U+{ord(char):04X}]" if char in lacking else char for char in text)


def set_for_print(text: str) -> str:
    """Return a text whose numbers keep their unit on the line, and whose long words may break.

    Example:
        >>> set_for_print("45 kVA of 8 loads, 35 % each").split(" ")
        ['45\\xa0kVA', 'of', '8', 'loads,', '35\\xa0%', 'each']
    """
    return breakable(_WITH_UNIT.sub("\u00a0", text))


def breakable(text: str) -> str:
    """Return a text whose long words may break: at their joints, else anywhere.

    Example:
        >>> breakable("nec_310_16[2 AWG].cu_75c_a of it").count(MAY_BREAK), breakable("2 × 4/0 AWG Cu")
        (0, '2 × 4/0 AWG Cu')
        >>> breakable("x" * 30).split(MAY_BREAK) == ["x" * 12, "x" * 12, "x" * 6]
        True
    """
    return _LONG.sub(lambda word: _RUN.sub(_break_after, _JOINTS.sub(_break_after, word[0])), text)


def _break_after(found: re.Match[str]) -> str:
    return f"{found[0]}{MAY_BREAK}"


def texts_changed(value: Any, change: Callable[[str], str]) -> Any:
    """Return a report, or a part of one, with all its running text changed."""
    if isinstance(value, str):
        return change(value)
    if isinstance(value, tuple):
        return tuple(texts_changed(each, change) for each in value)
    if isinstance(value, msgspec.Struct):
        fields = {name: getattr(value, name) for name in value.__struct_fields__}
        return type(value)(**{k: v if k in NOT_TEXT else texts_changed(v, change) for k, v in fields.items()})
    return value


def lacking_in(texts: Any, fonts: Any) -> frozenset[str]:
    """Return the characters of a report that neither its font nor another one of the typesetter has.

    Args:
        texts: the report.
        fonts: the fonts of the typesetter.
    """
    import typst

    found: set[str] = set()
    texts_changed(texts, lambda text: found.update(text) or text)  # type: ignore[func-returns-value]
    doubtful = {char for char in found if ord(char) not in covered() and not char.isspace()}
    lacking: set[str] = set()
    for _ in range(MOST_TRIALS):
        trial = " ".join(sorted(doubtful - lacking))
        if not trial:
            break
        try:
            typst.compile(
                _PROBE,
                font_paths=fonts,
                ignore_system_fonts=True,
                sys_inputs={"text": trial},
                pdf_standards=["ua-1"],
            )
        except typst.TypstError as error:
            refused = _REFUSED.search(str(error.message))
            lacking |= set(refused[1]) & doubtful if refused else doubtful
        else:
            break
    else:
        lacking = doubtful
    return frozenset(lacking)


_PROBE = b"""
#set document(title: "t", date: none)
#set text(font: "Inter")
#sys.inputs.text

#strong(sys.inputs.text)
"""
