"""Slips of the pen in the words that carry a request: one letter too many, too few, wrong, or swapped with the next."""

from __future__ import annotations

from functools import lru_cache

from turnwright.ask.reading.grammar import load_nouns, words

_LEAST = 5
"""Shorter words are left alone: too many are one letter apart."""
_SHORT_SLIPS = {
    "thre": "three",
    "phse": "phase",
    "phas": "phase",
    "ampz": "amps",
    "kav": "kva",
    "volst": "volts",
}


def _without_one(word: str) -> set[str]:
    return {word[:place] + word[place + 1 :] for place in range(len(word))}


@lru_cache(maxsize=1)
def _table() -> dict[str, str]:
    """Return every key word under itself with one letter less; what would stand for two words stands for none."""
    found: dict[str, str] = {}
    for word in words("key_words"):
        for short in (word, *_without_one(word)):
            found[short] = "" if found.get(short, word) != word else word
    return {short: word for short, word in found.items() if word} | {
        word: word for word in words("key_words")
    }


@lru_cache(maxsize=4096)
def corrected(word: str) -> str:
    """Return the key word that a word is one slip away from, else the word itself.

    Example:
        >>> corrected("pahse"), corrected("suply"), corrected("transfomer"), corrected("house")
        ('phase', 'supply', 'transformer', 'house')
    """
    if word in _SHORT_SLIPS:
        return _SHORT_SLIPS[word]
    if len(word) < _LEAST or word in words("plain_words") or word in load_nouns() or not word.isalpha():
        return word
    table = _table()
    if word in table:
        return table[word]
    near = {table[short] for short in _without_one(word) if short in table}
    near = {
        one for one in near if one[0] == word[0] and abs(len(one) - len(word)) <= 1 and _one_slip(word, one)
    }
    return near.pop() if len(near) == 1 else word


def _one_slip(word: str, known: str) -> bool:
    """One letter more, less or other, or two neighbours swapped."""
    if len(word) != len(known):
        longer, shorter = (word, known) if len(word) > len(known) else (known, word)
        return shorter in _without_one(longer)
    differ = [place for place in range(len(word)) if word[place] != known[place]]
    if len(differ) == 1:
        return True
    return (
        len(differ) == 2
        and differ[1] == differ[0] + 1
        and word[differ[0]] == known[differ[1]]
        and word[differ[1]] == known[differ[0]]
    )
