"""The packages as the import contract orders them: a picture and a table."""

from __future__ import annotations

import configparser
import inspect
import re
from importlib import import_module
from pathlib import Path

from docs.made.markdown import code, page, plain, table

CONTRACT = Path(__file__).parents[2] / ".importlinter"
WIDTH, ROW, GAP, BOX = 640, 44, 12, 30


def layers() -> tuple[tuple[str, ...], ...]:
    """Return the packages, those that may import the most first; those of one row do not import each other."""
    read = configparser.ConfigParser()
    read.read(CONTRACT, encoding="utf-8")
    rows = read["importlinter:contract:one-way"]["layers"].strip().splitlines()
    return tuple(tuple(re.findall(r"\w+", row)) for row in rows)


def packages_page() -> str:
    """Return the page of the packages."""
    rows = ([code(name), plain(_says(name))] for row in layers() for name in row)
    return page(
        "The one-way picture",
        "A package may import what stands below it and nothing else. `make check` holds this; "
        "where several stand side by side, none of them imports another unless the contract says so.",
        "![The packages, each above those it may import](packages.svg)",
        table(("package", "what it is"), rows),
    )


def _says(name: str) -> str:
    return (inspect.getdoc(import_module(f"turnwright.{name}")) or "").partition("\n\n")[0].rstrip(".")


def picture() -> str:
    """Return the picture of the packages."""
    rows = layers()
    height = ROW * len(rows) + GAP
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" width="{WIDTH}" height="{height}" '
        'font-family="sans-serif" font-size="14" role="img">',
        "<title>The packages, each above those it may import</title>",
    ]
    for number, row in enumerate(rows):
        width = (WIDTH - GAP * (len(row) + 1)) / len(row)
        for place, name in enumerate(row):
            parts.append(_box(GAP + place * (width + GAP), GAP + number * ROW, width, name))
        if number:
            parts.append(_arrow(GAP + number * ROW))
    return "\n".join((*parts, "</svg>")) + "\n"


def _box(x: float, y: float, width: float, name: str) -> str:
    return (
        f'<rect x="{x:.0f}" y="{y}" width="{width:.0f}" height="{BOX}" rx="3" fill="#f2efe6" stroke="#4a4a4a"/>'
        f'<text x="{x + width / 2:.0f}" y="{y + 20}" text-anchor="middle" fill="#1d1d1d">{name}</text>'
    )


def _arrow(y: int) -> str:
    """Return an arrow from the row above to the one that begins at `y`."""
    middle = WIDTH // 2
    return f'<path d="M{middle} {y - ROW + BOX} V{y - 1} m-4 -5 l4 5 l4 -5" fill="none" stroke="#4a4a4a"/>'
