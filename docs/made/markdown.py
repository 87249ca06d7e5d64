"""Text as Markdown: what is plain stays plain, whatever signs are in it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from textwrap import dedent

_SIGNS = re.compile(r"([\\`*_{}\[\]<>#|$~^])")
_LISTS = re.compile(r"^([-+]|\d+[.)])(?=\s)")


def plain(text: str) -> str:
    """Return a text of one paragraph, none of whose signs mean anything.

    Example:
        >>> plain("a * b_1 [kVA]")
        'a \\\\* b\\\\_1 \\\\[kVA\\\\]'
    """
    return _LISTS.sub(r"\\\1", _SIGNS.sub(r"\\\1", " ".join(text.split())))


def code(text: str) -> str:
    """Return a name or value as it is typed.

    Example:
        >>> code("site.place")
        '`site.place`'
    """
    return f"`{' '.join(text.split())}`" if text.strip() else ""


def block(text: str, language: str = "text") -> str:
    """Return lines that stay as they are."""
    return f"````{language}\n{text.rstrip()}\n````"


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a table of cells that are Markdown already."""
    lines = ["| " + " | ".join(cells) + " |" for cells in (head, ["---"] * len(head), *rows)]
    return "\n".join(lines)


def prose(docstring: str) -> str:
    """Return a docstring: paragraphs as such, tables, drawings and examples as they stand.

    Example:
        >>> prose("One line.\\n\\n    >>> 1 + 1\\n    2")
        'One line.\\n\\n````text\\n>>> 1 + 1\\n2\\n````'
    """
    parts = []
    for paragraph in re.split(r"\n{2,}(?=\S)", docstring.strip()):
        text, _, drawn = paragraph.partition("\n\n")
        drawing = text.startswith("==") or re.search(r"\n +\S", text) is not None
        parts.append(
            block(text) if drawing else plain(re.sub(r"::$", ":", text).strip(": ") and text.rstrip(":"))
        )
        if drawn.strip():
            parts.append(block(dedent(drawn)))
    return "\n\n".join(part for part in parts if part)


def page(title: str, *parts: str) -> str:
    """Return a page."""
    return "\n\n".join((f"# {title}", *(part for part in parts if part))) + "\n"
