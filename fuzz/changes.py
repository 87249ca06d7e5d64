"""Small changes of a file, as people, programs and bad lines make them; the same draws make the same change."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

PIECES = (
    *(
        b'"',
        b"'",
        b"[",
        b"]",
        b"{",
        b"}",
        b"=",
        b",",
        b";",
        b"\t",
        b"#",
        b"\\",
        b"%",
        b"&",
        b"\n",
        b"\r\n",
        b"\x00",
    ),
    *(
        b"0",
        b"-1",
        b"1e999",
        b"nan",
        b"inf",
        b"-0",
        b"1_0",
        b"9" * 400,
        b"0.000001",
        b"1e-320",
        b"true",
        b"null",
    ),
    *(
        b"about ",
        b"unknown",
        b"1..2 kVA",
        b"3..1 A",
        b"150 A",
        b"480Y/277",
        b"240 1ph",
        b"600 V",
        b"0 V",
        b"75 kVA",
    ),
    *(
        b"50 Hz",
        b"-40 C",
        b"100 %",
        b"4/0 AWG",
        b"2026-02-30",
        b"2026-11-25",
        b"us",
        b"ca",
        b"iec",
        b"\xe2\x89\xa4",
    ),
    *(
        b"\xff\xfe",
        b"\xed\xa0\x80",
        b"\xe2\x80\xae",
        b"\xef\xbb\xbf",
        b"[[load]]\n",
        b"[site]\n",
        b'quantity = "3"\n',
    ),
)
"""What stands in files where it should not, and values at the ends of what is allowed."""
LONGEST = 200_000
MOST_CHANGES = 4


def changed(data: bytes, draw: Random, others: Sequence[bytes]) -> bytes:
    """Return the file with one to four changes.

    data    what is changed
    draw    where the draws come from
    others  files of the same kind, whose lines may be taken over
    """
    for _ in range(draw.randint(1, MOST_CHANGES)):
        data = draw.choice(_CHANGES)(data, draw, others)[:LONGEST]
    return data


def _piece(data: bytes, draw: Random, others: Sequence[bytes]) -> bytes:
    """Put a piece over a few bytes."""
    start = draw.randint(0, len(data))
    end = min(len(data), start + draw.randint(0, 12))
    return data[:start] + draw.choice(PIECES) + data[end:]


def _byte(data: bytes, draw: Random, others: Sequence[bytes]) -> bytes:
    """Change one byte."""
    at = draw.randrange(len(data) + 1)
    return data[:at] + bytes([draw.randrange(256)]) + data[at + 1 :]


def _cut(data: bytes, draw: Random, others: Sequence[bytes]) -> bytes:
    """Lose the end."""
    return data[: draw.randint(0, len(data))]


def _value(data: bytes, draw: Random, others: Sequence[bytes]) -> bytes:
    """Put another value between two marks that values stand between."""
    marks = [at for at, byte in enumerate(data) if byte in b'",=:;\n ']
    if len(marks) < 2:
        return _piece(data, draw, others)
    first = draw.randrange(len(marks) - 1)
    return data[: marks[first] + 1] + draw.choice(PIECES) + data[marks[first + 1] :]


def _line(data: bytes, draw: Random, others: Sequence[bytes]) -> bytes:
    """Lose a line, repeat it, or put in one of another file."""
    lines = data.split(b"\n")
    at = draw.randrange(len(lines))
    other = draw.choice(draw.choice(others).split(b"\n")) if others else lines[at]
    lines[at : at + 1] = draw.choice(([], [lines[at]] * 2, [lines[at], other], [other]))
    return b"\n".join(lines)


_CHANGES = (_piece, _byte, _cut, _value, _value, _line, _line)
