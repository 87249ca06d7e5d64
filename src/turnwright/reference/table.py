"""A table in the editions it carries, and what of it holds in one of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from math import inf

from turnwright.errors import TableError, UnknownKey, nearest
from turnwright.reference.folder import Folder
from turnwright.reference.records import Description, Source
from turnwright.reference.row import Cell, Layout, Line, Row
from turnwright.working import Number, Word

Named = tuple[tuple[str, Cell], ...]


class EditionTable:
    """The rows of a table that hold in one edition, in the order of the file."""

    __slots__ = ("_bands", "_found", "_groups", "_layout", "_sorted", "edition", "rows")

    def __init__(self, layout: Layout, edition: str, rows: Iterable[Row]) -> None:
        self._layout = layout
        self.edition = edition
        self.rows = tuple(rows)
        self._groups: dict[tuple[str, ...], dict[tuple[Cell, ...], list[Row]]] = {}
        self._found: dict[Named, EditionTable] = {}
        self._sorted: dict[str, tuple[list[float], list[Row]]] = {}
        self._bands: dict[tuple[str, str], list[tuple[float, float, Row]]] = {}

    @property
    def name(self) -> str:
        """The name of the table."""
        return self._layout.name

    @property
    def header(self) -> tuple[str, ...]:
        """The names of the columns, in the order of `Row.cells`."""
        return tuple(self._layout.places)

    def row(self, **match: Cell) -> Row:
        """Return the one row whose cells are those of `match`.

        Raises: UnknownKey TBL-10 when no row matches, or several do.

        Example:
            >>> from turnwright.reference import load
            >>> load("nec_310_16").at("2023").row(size="4/0 AWG").number("cu_75c_a")
            230.0
        """
        rows = self._matching(match)
        if len(rows) != 1:
            raise self._no_row(match, len(rows))
        return rows[0]

    def where(self, **match: Cell) -> EditionTable:
        """Return the table cut down to the rows whose cells are those of `match`.

        Raises: UnknownKey TBL-10 when no row matches.
        """
        asked = tuple(match.items())
        found = self._found.get(asked)
        if found is None:
            rows = self._matching(match)
            if not rows:
                raise self._no_row(match, 0)
            found = self._found[asked] = EditionTable(self._layout, self.edition, rows)
        return found

    def column(self, name: str) -> tuple[Number, ...]:
        """Return the numbers of a column, in its unit and the order of the file, without the empty cells."""
        return tuple(number for row in self.rows if (number := row.optional(name)) is not None)

    def words(self, name: str) -> tuple[Word, ...]:
        """Return the texts of a column in the order of the file, without the empty cells."""
        return tuple(word for row in self.rows if (word := row.optional_text(name)) is not None)

    def ascending(self, column: str) -> tuple[list[float], list[Row]]:
        """Return the filled values of a number column from small to large, and their rows."""
        found = self._sorted.get(column)
        if found is None:
            pairs = [(value, row) for row in self.rows if (value := row.optional(column)) is not None]
            pairs.sort(key=lambda pair: pair[0])
            found = self._sorted[column] = [float(value) for value, _ in pairs], [row for _, row in pairs]
        return found

    def bands(self, low_column: str, high_column: str) -> list[tuple[float, float, Row]]:
        """Return low end, high end and row of each band; an empty end is infinite."""
        found = self._bands.get((low_column, high_column))
        if found is None:
            ends = [(row.optional(low_column), row.optional(high_column), row) for row in self.rows]
            found = [
                (-inf if low is None else float(low), inf if high is None else float(high), row)
                for low, high, row in ends
            ]
            self._bands[low_column, high_column] = found
        return found

    def _matching(self, match: dict[str, Cell]) -> list[Row]:
        columns = tuple(match)
        groups = self._groups.get(columns)
        if groups is None:
            groups = self._groups[columns] = self._group(columns)
        return groups.get(tuple(match.values()), [])

    def _group(self, columns: tuple[str, ...]) -> dict[tuple[Cell, ...], list[Row]]:
        places = [self._layout.place(column, "number", "text", "yes/no") for column in columns]
        groups: dict[tuple[Cell, ...], list[Row]] = {}
        for row in self.rows:
            groups.setdefault(tuple(row.line.values[place] for place in places), []).append(row)
        return groups

    def _no_row(self, match: dict[str, Cell], count: int) -> UnknownKey:
        asked = ", ".join(f"{column} = {value}" for column, value in match.items())
        where = f"{self._layout.file}, edition {self.edition}" if self.edition else self._layout.file
        if count:
            what = f"{count} rows have {asked}."
            return UnknownKey("TBL-10", where, what, "Name the other key columns too.")
        known = {", ".join(map(_plain, values)): None for values in self._group(tuple(match))}
        close = nearest(", ".join(map(_plain, match.values())), known)
        fix = f"Did you mean '{close}'?" if close else f"It has {'; '.join(known)}."
        return UnknownKey("TBL-10", where, f"no row has {asked}.", fix)

    def __repr__(self) -> str:
        return f"<{self.name} {self.edition}: {len(self.rows)} rows>"


class Table:
    """A table in all the editions it carries."""

    __slots__ = ("_at", "_folder", "_layout", "_lines", "description")

    def __init__(
        self, layout: Layout, lines: Sequence[Line], description: Description, folder: Folder
    ) -> None:
        self._layout = layout
        self._lines = tuple(lines)
        self._folder = folder
        self._at: dict[str, EditionTable] = {}
        self.description = description

    @property
    def name(self) -> str:
        """The name of the table."""
        return self._layout.name

    @property
    def editions(self) -> tuple[str, ...]:
        """The editions carried, oldest first; empty when the table holds in any edition."""
        return self.description.editions

    def at(self, edition: str) -> EditionTable:
        """Return the rows that hold in `edition`: a year of the code, or a date of manufacture as 2027-05-01.

        Raises: TableError TBL-08 when the edition is not carried.

        Example:
            >>> from turnwright.reference import load
            >>> load("us_doe_lvdt_efficiency").at("2027-05-01").edition
            '2016-01-01'
        """
        found = self._at.get(edition)
        if found is None:
            level = self._level(edition)
            found = self._at.get(level) or self._make(level)
            self._at[level] = found
        return found

    def newest(self) -> EditionTable:
        """Return the rows of the newest edition carried."""
        return self.at(self.editions[-1] if self.editions else "")

    def _level(self, edition: str) -> str:
        if self.description.edition_is == "any":
            return ""
        where, carried = self._layout.file, ", ".join(self.editions)
        if self.description.edition_is == "code":
            if edition in self.editions:
                return edition
            what = f"edition '{edition}' is not carried."
            raise TableError("TBL-08", where, what, f"Carried: {carried}.")
        if not _is_date(edition):
            what = f"'{edition}' is not a date."
            raise TableError("TBL-08", where, what, "Write the full date, as 2027-05-01.")
        levels = [level for level in self.editions if level <= edition]
        if not levels:
            what = f"nothing is carried for {edition}."
            raise TableError("TBL-08", where, what, f"Carried from these dates: {carried}.")
        return levels[-1]

    def _make(self, edition: str) -> EditionTable:
        sources: dict[str, Source] = {}
        rows = []
        for line in self._lines:
            if not line.holds(edition):
                continue
            source = sources.get(line.source)
            if source is None:
                source = sources[line.source] = self._source(line, edition)
            rows.append(Row(self._layout, line, source))
        return EditionTable(self._layout, edition, rows)

    def _source(self, line: Line, edition: str) -> Source:
        said = self._folder.provenance(line.source, edition)
        if said is None:
            where = f"{self._layout.file}, line {line.number}"
            what = f"source '{line.source}' says nothing of edition {edition}."
            raise TableError("TBL-07", where, what, "Add a line to sources.csv.")
        dated = bool(said.edition_from or said.edition_to)
        return Source(said.document, said.clause, edition if dated else "", said.known, said.seen_at)

    def __repr__(self) -> str:
        return f"<{self.name}: {', '.join(self.editions) or 'any edition'}>"


def _plain(value: Cell) -> str:
    return f"{value:g}" if isinstance(value, float | int) else value


def _is_date(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False
