"""The grammar of requests: lexicon and patterns, read from the files of the folder `grammar`."""

from __future__ import annotations

import os
import re
import tomllib
from functools import lru_cache
from math import inf
from typing import Any, NamedTuple

_FOLDER = os.path.join(os.path.dirname(__file__), "grammar")  # noqa: PTH118, PTH120
_SIZE = re.compile(r"\{([A-Z]{1,2})\}")
_MACRO = re.compile(r"\{([A-Z_]{2,})\}")
_SIZE_FILES = ("factors", "places", "currents", "powers")
_SIZES = frozenset(("A", "F", "S", "P", "H", "C", "L", "T", "R", "D", "X", "N", "OR", "M", "B"))


class Rule(NamedTuple):
    """A pattern and the fact it reads: the size it marks, or a value of its own.

    key     path in the job file, "" for what is no fact; one that ends in "?" holds only beside the supply, in "!"
            only beside a load
    least   the smallest size it is meant for, in the unit used inside; `most` the largest, of bare numbers
    unless  words earlier in the sentence that make it something else
    """

    key: str
    pattern: re.Pattern[str]
    value: Any = None
    least: float = 0.0
    most: float = inf
    unless: re.Pattern[str] | None = None


class Cue(NamedTuple):
    """Words that speak for a side of the transformer, and how plainly."""

    side: str
    weight: int
    pattern: re.Pattern[str]


@lru_cache(maxsize=16)
def part(name: str) -> dict[str, Any]:
    """Return one file of the grammar."""
    with open(os.path.join(_FOLDER, f"{name}.toml"), "rb") as file:  # noqa: PTH118, PTH123
        return tomllib.load(file)


@lru_cache(maxsize=32)
def words(name: str) -> frozenset[str]:
    """Return a set of words of the lexicon.

    Example:
        >>> "kiln" in words("load_nouns") or "kiln" in kinds(), "supply" in words("supply_nouns")
        (True, True)
    """
    return frozenset(part("lexicon")[name].split())


@lru_cache(maxsize=1)
def short_forms() -> dict[str, str]:
    """Return short forms written out.

    Example:
        >>> short_forms()["pri"]
        'primary'
    """
    return {short: word for word, text in part("lexicon")["short"].items() for short in text.split()}


@lru_cache(maxsize=1)
def kinds() -> dict[str, str]:
    """Return the kind of load that a word says."""
    return {word: kind for kind, text in part("lexicon")["kinds"].items() for word in text.split()}


@lru_cache(maxsize=1)
def load_nouns() -> frozenset[str]:
    """Return the nouns a load may be called by; words that only say its kind are none."""
    return (frozenset(kinds()) - words("qualifiers")) | words("load_nouns")


@lru_cache(maxsize=1)
def units() -> dict[str, tuple[str, str]]:
    """Return the letter of a unit's kind, and the unit as the job file writes it, by its spellings."""
    found: dict[str, tuple[str, str]] = {}
    for name, spellings in part("lexicon")["units"].items():
        letter, unit = name.split()
        found |= dict.fromkeys(spellings.split(), (letter, unit))
    return found


def either(found: frozenset[str]) -> str:
    """Return a pattern for any of some words, the longest first.

    Example:
        >>> either(frozenset(["pump", "pumps"]))
        'pumps|pump'
    """
    return "|".join(sorted(found, key=lambda word: (-len(word), word)))


def expanded(pattern: str, macros: dict[str, str]) -> str:
    """Return a pattern with its macros and its marks of sizes written out.

    Example:
        >>> expanded("{ART}{A}", {"ART": "(?:the )?"})
        '(?:the )?<(?:A)(\\\\d+)>'
    """
    named = _MACRO.sub(lambda found: macros.get(found[1], found[0]), pattern)
    return _SIZE.sub(lambda found: rf"<(?:{found[1]})(\d+)>" if found[1] in _SIZES else found[0], named)


@lru_cache(maxsize=2)
def rules(name: str) -> tuple[Rule, ...]:
    """Return the rules of "sizes" or "words", in order."""
    macros = part(name).get("macros", {})
    files = _SIZE_FILES if name == "sizes" else (name,)
    return tuple(
        Rule(
            one["key"],
            re.compile(expanded(one["pattern"], macros)),
            one.get("value"),
            one.get("least", 0.0),
            one.get("most", inf),
            re.compile(expanded(one["unless"], macros)) if "unless" in one else None,
        )
        for file in files
        for one in part(file)["rule"]
    )


@lru_cache(maxsize=2)
def cues(place: str) -> tuple[Cue, ...]:
    """Return the cues that stand "before" or "after" a voltage."""
    file = part("roles")
    strong = load_nouns() - words("weak_nouns")
    macros = {
        **file["macros"],
        "LOAD_NOUN": either(strong),
        "WEAK_NOUN": either(words("weak_nouns")),
        "SUPPLY_NOUN": either(words("supply_nouns") - {"mill", "shop", "plant"}),
    }
    return tuple(
        Cue(one["side"], one["weight"], re.compile(expanded(one["pattern"], macros))) for one in file[place]
    )


@lru_cache(maxsize=2)
def modifiers(place: str) -> tuple[tuple[str, re.Pattern[str]], ...]:
    """Return what may stand "behind" or "ahead" of volts and belong to them."""
    file = part("systems")
    frame = file[place]["frame"]
    return tuple((name, re.compile(frame.replace("{ONE}", one))) for name, one in file[place]["say"].items())


@lru_cache(maxsize=1)
def scopes() -> tuple[tuple[re.Pattern[str], tuple[str, ...], bool], ...]:
    """Return the patterns of what is not said of this job, each with the keys that hold, and if it is a clause."""
    return tuple(
        (re.compile(one["pattern"]), tuple(one.get("holds", ())), one.get("whole", False))
        for one in part("scopes")["scope"]
    )
