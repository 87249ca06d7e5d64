"""Vector groups (IEC 60076-1): read one, and find the places of the windings that make its clock numbers.

Core k carries the phasor of one primary phase. A secondary winding is given its polarity, its terminal
number and its place in the star, delta or zig-zag so that the terminal lags the primary one by 30° times the
clock number.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import product

from msgspec import Struct

from turnwright.errors import InputError

Ends = tuple[str, str]
GROUP = re.compile(r"(D|YN|Y)(d|yn|y|zn|z)(\d{1,2})(?:(d|yn|y|zn|z)(\d{1,2}))?")
NEXT, PREVIOUS = 1, -1
# by how much the first phasor leads a line-to-star voltage, for the ways a winding can be joined to its
# neighbours
PRIMARY_LEAD = {"Y": {0: 0}, "D": {NEXT: 30, PREVIOUS: -30}}
SECONDARY_LEAD = {"Y": {0: 0}, "D": {NEXT: -30, PREVIOUS: 30}, "Z": {PREVIOUS: -30, NEXT: 30}}


class Group(Struct, frozen=True):
    """Letters of the sides, clock numbers of the secondaries, which star points are brought out."""

    letters: tuple[str, ...]
    clocks: tuple[int, ...]
    brought_out: tuple[bool, ...]


class Way(Struct, frozen=True):
    """How one side is joined: to the next or previous line, reversed or not, terminals moved on."""

    letter: str
    join: int
    reversed_: bool
    moved: int


def read_group(text: str) -> Group:
    """Return a vector group taken apart.

    Raises:
        InputError: CIR-09, no vector group, or a clock number that its letters cannot have.

    Example:
        >>> read_group("YNd11")
        Group(letters=('Y', 'D'), clocks=(11,), brought_out=(True, False))
    """
    match = GROUP.fullmatch(text)
    if match is None:
        raise InputError(
            "CIR-09", text, "is no vector group that is known here.", "Write for example Dyn1 or YNyn0."
        )
    words = [word for word in match.group(1, 2, 4) if word]
    letters = tuple(word[0].upper() for word in words)
    clocks = tuple(int(clock) for clock in match.group(3, 5) if clock)
    for letter, clock in zip(letters[1:], clocks, strict=True):
        odd = (letters[0] == "Y") != (letter == "Y")
        if clock > 11 or clock % 2 != odd:
            fix = f"With these letters it is {'odd' if odd else 'even'}, 0 to 11."
            raise InputError("CIR-09", text, f"the clock number {clock} cannot be.", fix)
    return Group(letters, clocks, tuple("n" in word.lower() for word in words))


def ways(group: Group) -> tuple[Way, ...]:
    """Return how the windings of each side are joined, with as little reversing and renumbering as possible.

    Example:
        >>> [(way.letter, way.join, way.reversed_, way.moved) for way in ways(read_group("Dyn1"))]
        [('D', -1, False, 0), ('Y', 0, False, 0)]
    """
    found = []
    for join, lead in PRIMARY_LEAD[group.letters[0]].items():
        sides = [
            _way(letter, 30 * clock, lead)
            for letter, clock in zip(group.letters[1:], group.clocks, strict=True)
        ]
        if None not in sides:
            found.append((Way(group.letters[0], join, False, 0), *[side for side in sides if side]))
    return min(found, key=lambda sides: [(side.reversed_, side.moved) for side in sides[1:]])


def _way(letter: str, lag_deg: int, primary_lead: int) -> Way | None:
    for reversed_, moved in product((False, True), (0, 1, 2)):
        for join, lead in SECONDARY_LEAD[letter].items():
            if (primary_lead + lead + 120 * moved + 180 * reversed_ + lag_deg) % 360 == 0:
                return Way(letter, join, reversed_, moved)
    return None


def winding_ends(way: Way, core: int, lines: Sequence[str], star: str, halfway: str) -> tuple[Ends, ...]:
    """Return dotted and other node of the windings of one side on core 0, 1 or 2; a zig-zag has two.

    halfway  start of the names of the nodes where the halves of a zig-zag meet
    """
    at = (core + way.moved) % 3
    if way.letter == "Y":
        pairs = [(lines[at], star)]
    elif way.letter == "D":
        pairs = [(lines[at], lines[(at + way.join) % 3])]
    else:
        # the second half on this core belongs to the line after (or before) and opposes it
        pairs = [(lines[at], f"{halfway}{at + 1}"), (star, f"{halfway}{(at - way.join) % 3 + 1}")]
    return tuple((b, a) for a, b in pairs) if way.reversed_ else tuple(pairs)
