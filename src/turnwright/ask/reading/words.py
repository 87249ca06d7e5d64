"""Numbers as words, and the marks that qualify them."""

from __future__ import annotations

COUNTS = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10,
    "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17,
    "eighteen": 18, "nineteen": 19, "twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60,
    "seventy": 70, "eighty": 80, "ninety": 90,
}  # fmt: skip
LOOSE_COUNTS = {"dozen": 12, "pair": 2, "couple": 2}
ONLY_GLUED = frozenset(("a", "c", "f", "m", "s", "h", "k", "x"))
"""Units of one letter that are words or marks of their own when they stand apart in small letters."""
