"""Texts as people and word processors write them: tidied for reading, quoted for messages."""

from collections.abc import Iterable

LONGEST = 80
"""No quantity, system or conductor size is longer than this many characters."""

MOST_NAMES = 24
"""So many names of one line are read; more only hide what is wrong."""

_LONGEST_BITS = 128

_TIDY = str.maketrans(
    {
        "\u00a0": " ",  # no-break space
        "\u2007": " ",  # figure space
        "\u2009": " ",  # thin space
        "\u202f": " ",  # narrow no-break space
        "\u2212": "-",  # minus
        "\u2010": "-",  # hyphen
        "\u2011": "-",  # no-break hyphen
        "\u2013": "-",  # en dash
        "\u2014": "-",  # em dash
        "\u2026": "..",  # ellipsis, made of dots by word processors
        "\u2103": "°C",  # degree Celsius as one character
        "\u2109": "°F",  # degree Fahrenheit as one character
        "\u00ba": "°",  # ordinal mark, beside the degree sign on many keyboards
        "\u02da": "°",  # ring above
        "\u22c5": "·",  # dot operator
        "\u2019": "'",  # typographic apostrophe, used for feet
        "\u201d": '"',  # typographic quotation mark, used for inches
    }
)


def tidy(text: str) -> str:
    """Return a text with the look-alikes of space, minus and degree replaced, and no space at its ends.

    Example:
        >>> tidy("\\u221240\\u00a0\\u00baC ")
        '-40 °C'
    """
    return text.strip() if text.isascii() else text.translate(_TIDY).strip()


def quoted(given: object) -> str:
    """Return what was given in quotes on one line, shortened when long, for a message.

    Example:
        >>> quoted("150 amp each"), quoted("a\\nb"), quoted(True)
        ('"150 amp each"', '"a b"', '"true"')
    """
    if isinstance(given, int) and given.bit_length() > _LONGEST_BITS:
        return '"a number of many digits"'
    text = str(given).lower() if isinstance(given, bool) else str(given)
    short = text[: LONGEST // 2]
    shown = "".join(letter if letter.isprintable() else " " for letter in short)
    return f'"{shown}…"' if len(text) > len(short) else f'"{shown}"'


def named(names: Iterable[str]) -> str:
    """Return names that stand in a file on one line, as many as can be read, for a message.

    Example:
        >>> named(["unit", "k\\nva", ""]), named([])
        ('unit, k va', 'none')
    """
    said = [quoted(name)[1:-1] for name in names if name]
    more = [f"{len(said) - MOST_NAMES} more"] if len(said) > MOST_NAMES else []
    return ", ".join(said[:MOST_NAMES] + more) or "none"


def plain(value: float) -> str:
    """Return a number in as few characters as give it back exactly.

    Example:
        >>> plain(480.0), plain(0.85), plain(7)
        ('480', '0.85', '7')
    """
    text = repr(value)
    return text.removesuffix(".0")
