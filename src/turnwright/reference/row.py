"""The columns of a table, its lines as read, and a row whose values know where they come from."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from turnwright.errors import TableError, UnknownKey, nearest
from turnwright.reference.records import Column, Description, Source
from turnwright.working import Number, Step, Word

Cell = str | float


class Layout:
    """The columns of one file, by name and place."""

    __slots__ = ("columns", "file", "key_places", "name", "places")

    def __init__(self, description: Description, header: Sequence[str]) -> None:
        self.name = description.name
        self.file = f"{description.name}.csv"
        self.places = {name: place for place, name in enumerate(header)}
        self.columns: dict[str, Column] = {c.name: c for c in description.columns if c.name in self.places}
        self.key_places = tuple(self.places[column.name] for column in description.columns if column.key)

    def place(self, column: str, *kinds: str) -> int:
        """Return where `column` stands, or raise when the table has none of that name and kind."""
        found = self.columns.get(column)
        if found is None:
            close = nearest(column, self.columns)
            fix = f"Did you mean '{close}'?" if close else f"It has {', '.join(self.columns)}."
            raise UnknownKey("TBL-17", self.file, f"the table has no column '{column}'.", fix)
        if found.kind not in kinds:
            fix = "Ask for it with the method of its kind: number, text, yes."
            raise TableError("TBL-18", self.file, f"column '{column}' is a {found.kind} column.", fix)
        return self.places[column]


class Line(Struct, frozen=True):
    """One line of a file as read: its cells, the numbers among them, and the editions in which it holds."""

    number: int
    cells: tuple[str, ...]
    values: tuple[Cell, ...]
    key: str
    source: str
    first: str
    last: str

    def holds(self, edition: str) -> bool:
        """Tell whether the line holds in `edition`; an empty end is open."""
        return self.first <= edition and (not self.last or edition <= self.last)


class Row:
    """One row in one edition. Its values know their table cell, source and how they are known."""

    __slots__ = ("_layout", "_made", "line", "source")

    def __init__(self, layout: Layout, line: Line, source: Source) -> None:
        self._layout = layout
        self.line = line
        self._made: dict[str, Number | Word] = {}
        self.source = source

    @property
    def key(self) -> str:
        """The key of the row as text, as `3, 75`."""
        return self.line.key

    @property
    def cells(self) -> tuple[str, ...]:
        """The cells as they stand in the file, for listing; calculations ask for `number` or `text`."""
        return self.line.cells

    def number(self, column: str) -> Number:
        """Return the number in `column`, in the unit of the column.

        Raises: TableError TBL-09 when the cell is empty.
        """
        found = self.optional(column)
        if found is None:
            raise self._empty(column)
        return found

    def optional(self, column: str) -> Number | None:
        """Return the number in `column`, in the unit of the column, or None when the cell is empty."""
        made = self._made.get(column)
        if type(made) is Number:
            return made
        place = self._layout.place(column, "number")
        if not self.line.cells[place]:
            return None
        value = float(self.line.values[place])
        number = Number(value, self._step(column, value))
        self._made[column] = number
        return number

    def text(self, column: str) -> Word:
        """Return the text in `column`.

        Raises: TableError TBL-09 when the cell is empty.
        """
        found = self.optional_text(column)
        if found is None:
            raise self._empty(column)
        return found

    def optional_text(self, column: str) -> Word | None:
        """Return the text in `column`, or None when the cell is empty."""
        made = self._made.get(column)
        if type(made) is Word:
            return made
        text = self.line.cells[self._layout.place(column, "text")]
        if not text:
            return None
        word = Word(text, self._step(column, text))
        self._made[column] = word
        return word

    def yes(self, column: str) -> bool:
        """Return whether `column` says yes.

        Raises: TableError TBL-09 when the cell is empty.
        """
        text = self.line.cells[self._layout.place(column, "yes/no")]
        if not text:
            raise self._empty(column)
        return text == "yes"

    def _step(self, column: str, value: Cell) -> Step:
        unit = self._layout.columns[column].unit
        if unit.startswith("@"):
            unit = self.line.cells[self._layout.places[unit[1:]]]
        name = f"{self._layout.name}[{self.line.key}].{column}"
        return Step(name, value, unit, source=self.source.cite(), known=self.source.known)

    def _empty(self, column: str) -> TableError:
        where = f"{self._layout.file}, line {self.line.number}"
        what = f"'{self.line.key}' has no {column}."
        return TableError("TBL-09", where, what, "Use `optional` where the table leaves cells empty.")

    def __repr__(self) -> str:
        return f"<{self._layout.name}[{self.line.key}], {self.source.cite()}>"
