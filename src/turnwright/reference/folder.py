"""The files that describe the tables: which there are, what their columns mean, where values were read."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import get_args

from turnwright.errors import TableError, UnknownKey, nearest
from turnwright.reference.records import Column, Description, Provenance
from turnwright.working import Known

KNOWN = tuple(word for word in get_args(Known) if word != "given")
KINDS = ("number", "text", "yes/no")
EDITION_IS = ("code", "date", "any")
EVERY_TABLE = "*"


class Folder:
    """What is said of all tables; columns and sources are read when the first table asks for them."""

    def __init__(self, tables: str, columns: str, sources: str) -> None:
        self._columns_text = columns
        self._sources_text = sources
        self._described: dict[str, Description] = {}
        self.tables: dict[str, list[str]] = {}
        header = ("table", "title", "document", "summary", "regime", "edition_is", "editions")
        for where, cells in _described_lines("tables.csv", tables, header):
            _one_of(where, "edition_is", cells[5], EDITION_IS)
            if cells[0] in self.tables:
                raise TableError("TBL-04", where, f"'{cells[0]}' is described twice.", "Keep one.")
            self.tables[cells[0]] = cells

    @cached_property
    def columns(self) -> dict[str, list[Column]]:
        """The columns of each table, in the order of columns.csv; those of every table under `*`."""
        columns: dict[str, list[Column]] = {}
        header = ("table", "column", "key", "kind", "unit", "description")
        for where, cells in _described_lines("columns.csv", self._columns_text, header):
            table, name, key, kind, unit, description = cells
            _one_of(where, "key", key, ("yes", "no"))
            _one_of(where, "kind", kind, KINDS)
            said = columns.setdefault(table, [])
            if any(column.name == name for column in said):
                raise TableError("TBL-04", where, f"'{name}' of {table} is described twice.", "Keep one.")
            said.append(Column(name, kind, unit, description, key == "yes"))
        return columns

    @cached_property
    def sources(self) -> dict[str, list[Provenance]]:
        """What is said of each source, by id."""
        sources: dict[str, list[Provenance]] = {}
        header = ("source", "document", "clause", "edition_from", "edition_to", "known", "seen_at")
        for where, cells in _described_lines("sources.csv", self._sources_text, header):
            source, document, clause, first, last, known, seen_at = cells
            if not (document and seen_at):
                fix = "Name the document, and where it was read or that no text was found."
                raise TableError("TBL-01", where, f"source '{source}' has no document or no place.", fix)
            said = sources.setdefault(source, [])
            if any(overlap(first, last, other.edition_from, other.edition_to) for other in said):
                fix = "Give each edition to one line: mend edition_from and edition_to."
                raise TableError(
                    "TBL-13", where, f"source '{source}' has two lines for the same edition.", fix
                )
            said.append(Provenance(document, clause, first, last, _known(where, known), seen_at))
        return sources

    def described(self, name: str) -> Description:
        """Return the description of a table.

        Raises: UnknownKey TBL-16 when there is no such table.
        """
        found = self._described.get(name)
        if found is None:
            cells = self.tables.get(name)
            if cells is None:
                fix = did_you_mean(name, self.tables) or "See `turnwright tables` for the names."
                raise UnknownKey("TBL-16", "tables.csv", f"there is no table '{name}'.", fix)
            _, title, document, summary, regime, edition_is, editions = cells
            columns = (*self.columns.get(name, ()), *self.columns.get(EVERY_TABLE, ()))
            found = Description(
                name, title, document, summary, regime, edition_is, tuple(editions.split()), columns
            )
            self._described[name] = found
        return found

    def provenance(self, source: str, edition: str) -> Provenance | None:
        """Return what is said of a source in an edition, or None when nothing is."""
        for said in self.sources.get(source, ()):
            if said.holds(edition):
                return said
        return None


def numbered(file: str, lines: Iterable[list[str]], width: int) -> Iterator[tuple[str, int, list[str]]]:
    """Yield place in words, line number and cells of each line under the header; each has `width` cells."""
    for number, cells in enumerate(lines, start=2):
        where = f"{file}, line {number}"
        if len(cells) != width:
            what = f"the row has {len(cells)} cells instead of {width}."
            raise TableError("TBL-14", where, what, "Put texts with a comma in quotes; leave no cell out.")
        yield where, number, cells


def overlap(first: str, last: str, other_first: str, other_last: str) -> bool:
    """Tell whether two ranges of editions share one; both ends belong to a range, an empty end is open."""
    return (not last or other_first <= last) and (not other_last or first <= other_last)


def did_you_mean(word: str, words: Iterable[str]) -> str:
    """Return the sentence that names the nearest known word, or an empty one."""
    close = nearest(word, words)
    return f"Did you mean '{close}'?" if close else ""


def _described_lines(file: str, text: str, header: tuple[str, ...]) -> Iterator[tuple[str, list[str]]]:
    lines = csv.reader(text.splitlines())
    found = tuple(next(lines, ()))
    if found != header:
        what = f"the columns are {', '.join(found)}."
        raise TableError("TBL-05", f"{file}, line 1", what, f"Write {', '.join(header)}.")
    return ((where, cells) for where, _, cells in numbered(file, lines, len(header)))


def _known(where: str, word: str) -> Known:
    _one_of(where, "known", word, KNOWN, "TBL-06")
    return word  # type: ignore[return-value]  # one of the words of the literal


def _one_of(where: str, column: str, word: str, words: tuple[str, ...], code: str = "TBL-11") -> None:
    if word not in words:
        fix = f"Write one of: {', '.join(words)}. {did_you_mean(word, words)}".strip()
        raise TableError(code, where, f"'{word}' is no word of column {column}.", fix)
