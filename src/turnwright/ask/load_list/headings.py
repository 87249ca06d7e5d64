"""The head of a load list: in which row it stands, and what each of its columns says."""

from __future__ import annotations

import re
import tomllib
from functools import lru_cache
from importlib.resources import files
from typing import Any, NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from turnwright.errors import InputError, UnknownKey, nearest
from turnwright.intake.sheet_file import Sheet
from turnwright.quantities.spelling import quoted

SIZES = ("kva", "kw", "hp", "current", "size")
UNITS = {"kva": "kVA", "kw": "kW", "hp": "hp", "current": "A"}
LINES = ("line A", "line B", "line C")
NOT_READ = "-"
_LOOKED_AT = 60
_LINE = re.compile(
    r"(?:(?:ph|phase|line|leg|load|va|kva|w) )*([abc]|l ?[123])(?: (?:ph|phase|va|kva|kw|w|watts|load))*"
)
_FIX = "Write a row of headings above the loads, such as: load, quantity, voltage, phases, kVA."


class Column(Struct, frozen=True, kw_only=True):
    """One column of a list.

    place    its number from 0
    heading  as it is written, a heading above it included
    role     the key of the load it holds, `name`, `circuit`, `phases`, `poles`, `wires`, `size`, `line A`, `total`;
             "" where it is not read
    unit     of a number without one: kVA, VA, kW, W, hp, A
    why      why it is not read, or how it is
    """

    place: int
    heading: str
    role: str
    unit: str = ""
    why: str = ""

    @property
    def holds(self) -> str:
        """What it was taken for, in words."""
        if not self.role:
            return "not read"
        return f"{self.role.replace('_', ' ')}{f' in {self.unit}' if self.unit else ''}"

    @property
    def letter(self) -> str:
        """The column as spreadsheets call it."""
        place, found = self.place, ""
        while place >= 0:
            place, rest = divmod(place, 26)
            found, place = chr(65 + rest) + found, place - 1
        return found


class Head(NamedTuple):
    """The head of a list: its first row, the first row behind it, and the columns of each half side by side."""

    first: int
    after: int
    halves: tuple[tuple[Column, ...], ...]


class _Aside(NamedTuple):
    pattern: re.Pattern[str]
    why: str
    fallback: str


@lru_cache(maxsize=1)
def _file() -> dict[str, Any]:
    return tomllib.loads(files(__package__).joinpath("headings.toml").read_text(encoding="utf-8"))


@lru_cache(maxsize=1)
def _roles() -> tuple[tuple[str, re.Pattern[str]], ...]:
    return tuple((one["key"], re.compile(one["pattern"])) for one in _file()["role"])


@lru_cache(maxsize=1)
def _asides() -> tuple[_Aside, ...]:
    return tuple(
        _Aside(re.compile(one["pattern"]), one["why"], one.get("fallback", "")) for one in _file()["aside"]
    )


def roles() -> tuple[str, ...]:
    """Return what a column may be said to hold."""
    return (*dict.fromkeys(key for key, _ in _roles()), *LINES)


def folded(heading: str) -> str:
    """Return a heading ready for the patterns.

    Example:
        >>> folded("F.L.A. (Amps)"), folded("Cos φ"), folded("No. of Units")
        ('fla amps', 'cos ph', 'no of units')
    """
    text = heading.casefold().replace(".", "").replace("φ", "ph").replace("ø", "ph").replace("№", "no")
    return " ".join(re.sub(r"[^a-z0-9%#]+", " ", text).split())


def unit_in(heading: str) -> str:
    """Return the unit a heading names, the last one it has; "" for none."""
    found = [_file()["units"][word] for word in folded(heading).split() if word in _file()["units"]]
    return str(found[-1]) if found else ""


def column_of(place: int, heading: str) -> Column:
    """Return what a heading by itself says.

    Example:
        >>> column_of(2, "Connected Load (VA)").role, column_of(2, "Connected Load (VA)").unit
        ('kva', 'VA')
        >>> column_of(3, "Breaker").why
        'a device, not what the load draws'
    """
    text = folded(heading)
    if not text:
        return Column(place=place, heading=heading, role="", why="no heading")
    for one in _asides():
        if one.pattern.fullmatch(text):
            role = f"{one.fallback}?" if one.fallback else ""
            return Column(place=place, heading=heading, role=role, unit=unit_in(heading), why=one.why)
    role = next((key for key, pattern in _roles() if pattern.fullmatch(text)), "")
    if not role:
        return Column(
            place=place, heading=heading, role="", why="the heading says nothing that is known here"
        )
    unit = unit_in(heading) or UNITS.get(role, "") if role in SIZES else ""
    return Column(place=place, heading=heading, role=role, unit=unit)


def head_of(sheet: Sheet, said: dict[str, str] | None = None) -> Head:
    """Return the head of a sheet.

    said : role by heading, where somebody says what a column holds; "-" leaves it out

    Raises:
        InputError: LST-01 for a sheet without a head, LST-02 for a heading or a role that is none.
    """
    best, most = None, 0
    for number, row in enumerate(sheet.rows[:_LOOKED_AT]):
        score = _score(row)
        if score > most:
            best, most = number, score
    if best is not None and _is_lower_head(sheet.rows, best + 1):
        best += 1
    if best is None:
        raise InputError("LST-01", sheet.name, "no row of this list says what its columns hold.", _FIX)
    first, after, headings = _with_neighbours(sheet, best)
    columns = tuple(column_of(place, heading) for place, heading in enumerate(headings))
    columns = tuple(_by_cells(one, sheet.rows[after:]) for one in columns)
    columns = _as_said(sheet.name, columns, said or {})
    halves = tuple(_with_lines(half, headings) for half in _halves(columns))
    return Head(first, after, halves)


def _by_cells(column: Column, rows: tuple[tuple[str, ...], ...]) -> Column:
    """A column called "Load" or "Unit" holds sizes or names: its cells tell."""
    if column.role not in ("size", "quantity") or column.unit:
        return column
    cells = [row[column.place] for row in rows if column.place < len(row) and row[column.place]]
    texts = [cell for cell in cells if not re.search(r"\d", cell) or re.search(r"[a-z]{4}", cell.casefold())]
    return replace(column, role="name") if len(texts) > len(cells) / 2 else column


def _is_lower_head(rows: tuple[tuple[str, ...], ...], number: int) -> bool:
    """Whether a row below the head goes on with it: each of its cells is a heading and no mere unit."""
    cells = [cell for cell in rows[number] if cell] if number < len(rows) else []
    return bool(cells) and all(column_of(0, cell).role for cell in cells) and not all(map(_is_unit, cells))


def _score(row: tuple[str, ...]) -> int:
    """Return how many different facts the cells of a row name; a head names a size, and more than that."""
    cells = [cell for cell in row if cell]
    if any(len(cell) > 60 for cell in cells):
        return 0
    named = {column_of(0, cell).role or column_of(0, cell).why for cell in cells}
    known = {one for one in named if one and "nothing that is known" not in one}
    lines = len({found[1] for cell in cells if (found := _LINE.fullmatch(folded(cell)))})
    sized = any(one.rstrip("?") in (*SIZES, "total") for one in known) or lines > 1
    numbers = sum(cell.replace(".", "").isdigit() for cell in cells)
    return len(known) + lines - numbers if sized and len(known) > 1 else 0


def _with_neighbours(sheet: Sheet, best: int) -> tuple[int, int, list[str]]:
    """Join headings over several columns above, and units below, to the row that says most."""
    width = max(len(row) for row in sheet.rows)
    own = _padded(sheet.rows[best], width)
    first, after = best, best + 1
    above = _spread(sheet, best - 1, width) if best else [""] * width
    if any(above):
        first = best - 1
    below = _padded(sheet.rows[after], width) if after < len(sheet.rows) else [""] * width
    if any(below) and all(_is_unit(cell) for cell in below if cell):
        after += 1
    else:
        below = [""] * width
    return first, after, [_joined(*parts) for parts in zip(above, own, below, strict=True)]


def _joined(upper: str, cell: str, lower: str) -> str:
    """Return a heading with what stands above and below it where that says more: "Load" over "kVA", "(V)" below."""
    upper = upper if _helps(upper, cell) else ""
    options = [(upper, cell, lower), (cell, lower), (upper, cell), (cell,)]
    texts = [" ".join(part for part in parts if part) for parts in options]
    return next((text for text in texts if column_of(0, text).role), texts[2])


def _padded(row: tuple[str, ...], width: int) -> list[str]:
    return [*row, *[""] * (width - len(row))]


def _spread(sheet: Sheet, number: int, width: int) -> list[str]:
    """Return a row of headings with those that reach over several columns written into each."""
    row = _padded(sheet.rows[number], width)
    found = [cell if column_of(0, cell).role else "" for cell in row]
    for span in sheet.merged:
        if span.top <= number <= span.bottom and span.right > span.left:
            for place in range(span.left, min(span.right + 1, width)):
                found[place] = row[span.left] if span.right - span.left < width // 2 + 1 else ""
    return found


def _helps(upper: str, cell: str) -> bool:
    """Whether the heading above says what the one below does not: "Load" over "kVA" does, over "kVA each" too."""
    if not upper:
        return False
    alone, joined = column_of(0, cell), column_of(0, f"{upper} {cell}")
    return bool(joined.role) and (
        not alone.role or joined.role == alone.role or _LINE.fullmatch(folded(cell)) is not None
    )


def _is_unit(cell: str) -> bool:
    return bool(
        re.fullmatch(r"\W*(?:k?va|k?w|watts?|hp|a|amps?|v|volts?|hz|%|pu|ea|each|-)\W*", cell.casefold())
    )


def _as_said(name: str, columns: tuple[Column, ...], said: dict[str, str]) -> tuple[Column, ...]:
    """Put what somebody says of a column in the place of what its heading says."""
    found = list(columns)
    for heading, role in said.items():
        key, _, unit = role.partition(" in ")
        if key not in (*roles(), NOT_READ):
            near = nearest(key, roles())
            hint = f'Did you mean "{near}"? ' if near else ""
            what = f"{quoted(key)} is nothing that a column of a load list holds."
            raise UnknownKey("LST-02", name, what, f"{hint}Known here: {', '.join(roles())}, {NOT_READ}.")
        places = [one.place for one in found if heading.strip() in (one.heading, one.letter)]
        if not places:
            seen = ", ".join(f'{one.letter} "{one.heading}"' for one in found if one.heading) or "none"
            raise InputError("LST-02", name, f"there is no column {quoted(heading)}.", f"There are: {seen}.")
        for place in places:
            old = found[place]
            if key == NOT_READ:
                found[place] = replace(old, role="", why="left out, as you said")
            else:
                own = unit or old.unit or unit_in(old.heading) or UNITS.get(key, "")
                found[place] = replace(
                    old, role=key, unit=own if key in (*SIZES, *LINES) else "", why="as you said"
                )
    return tuple(found)


def _halves(columns: tuple[Column, ...]) -> list[tuple[Column, ...]]:
    """Cut a panel schedule in two where its headings begin again, mirrored or not."""
    twice: list[int] = []
    for role in ("name", "circuit"):
        same = [one for one in columns if one.role == role]
        if len(same) == 2 and folded(same[0].heading) == folded(same[1].heading):
            twice = [one.place for one in same]
            break
    if not twice:
        return [columns]
    left, right = twice
    lines = [one.place for one in columns if _LINE.fullmatch(folded(one.heading))]
    middle = {one for one in lines if left < one < right and len(lines) in (2, 3)}
    cut = _cut(columns, left, right)
    return [
        tuple(one for one in columns if one.place < cut or one.place in middle),
        tuple(one for one in columns if one.place >= cut or one.place in middle),
    ]


def _cut(columns: tuple[Column, ...], left: int, right: int) -> int:
    """Return where the second half begins: before the first heading that stands on both sides."""
    seen: dict[str, int] = {}
    for one in columns:
        said = folded(one.heading)
        if said in seen and one.place > left:
            mirrored = seen[said] > left and one.place < right
            return (left + right + 1) // 2 if mirrored and one.place - seen[said] == 1 else one.place
        if said:
            seen[said] = one.place
    return (left + right + 1) // 2


def _with_lines(half: tuple[Column, ...], headings: list[str]) -> tuple[Column, ...]:
    """Columns called A, B and C, at least two of them, hold what hangs on each line, not amperes."""
    found = {one.place: match[1] for one in half if (match := _LINE.fullmatch(folded(one.heading)))}
    letters = {{"1": "A", "2": "B", "3": "C"}.get(said[-1], said[-1].upper()) for said in found.values()}
    if (
        len(found) != len(letters)
        or not {"A", "B"} <= letters
        or any(one.why == "as you said" for one in half)
    ):
        return half
    own_size = any(one.role in ("kva", "kw", "size") and one.place not in found for one in half)
    if own_size:
        why = "sums by line; the size of each load was read"
        return tuple(replace(one, role="", why=why) if one.place in found else one for one in half)
    units = [unit for heading in headings for unit in re.findall(r"\b(kva|va|kw|watts)\b", folded(heading))]
    unit = {"kva": "kVA", "va": "VA", "kw": "kW", "watts": "W"}[units[0]] if units else "VA"
    why = "" if units else "no unit is written: read as VA"

    def lined(one: Column) -> Column:
        letter = found[one.place][-1]
        name = {"1": "A", "2": "B", "3": "C"}.get(letter, letter.upper())
        return replace(one, role=f"line {name}", unit=unit, why=why)

    return tuple(lined(one) if one.place in found else one for one in half)
