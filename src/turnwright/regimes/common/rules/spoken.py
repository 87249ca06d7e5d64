"""The same rules in the words of another trade: earth for ground, star for wye; names that users gave stay."""

from __future__ import annotations

import re
from collections.abc import Iterator

from msgspec.structs import replace

from turnwright.regimes.rule import Check, Facts, Lacks, Rule, Said
from turnwright.regimes.traits import Words


def spoken(rules: tuple[Rule, ...], words: Words) -> tuple[Rule, ...]:
    """Return rules whose findings use the words of a trade."""
    return tuple(replace(rule, check=_in_words(rule.check, words)) for rule in rules)


def _in_words(check: Check, words: Words) -> Check:
    def same(facts: Facts) -> Iterator[Said | Lacks]:
        names = tuple(one.name for one in facts.case.loads if one.name)
        for one in check(facts):
            yield replace(one, message=in_words(one.message, words, names)) if isinstance(one, Said) else one

    return same


def in_words(text: str, words: Words, names: tuple[str, ...] = ()) -> str:
    """Return a text in the words of a trade; what stands in `names` stays as it is.

    Example:
        >>> from turnwright.regimes.iec.traits import WORDS
        >>> in_words("Ask the utility: ground floor board on a grounded wye", WORDS, ("ground floor board",))
        'Ask the network operator: ground floor board on an earthed star'
    """
    said = {
        "ground": words.ground,
        "grounded": words.grounded,
        "ungrounded": words.ungrounded,
        "grounding": words.grounding,
        "wye": words.wye,
        "utility": words.utility,
        "X0": words.neutral_mark,
    }
    pattern = re.compile(rf"\b(a )?({'|'.join(sorted(said, key=len, reverse=True))})\b")

    def put(found: re.Match[str]) -> str:
        word = said[found[2]]
        article = "an " if found[1] and word[0] in "aeiou" else (found[1] or "")
        return article + word

    kept = sorted(set(names), key=len, reverse=True)
    pieces = re.split(f"({'|'.join(map(re.escape, kept))})", text) if kept else [text]
    return "".join(piece if at % 2 else pattern.sub(put, piece) for at, piece in enumerate(pieces))
