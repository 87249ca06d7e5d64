"""What is said about a table besides its values: columns, documents, where each value was read."""

from __future__ import annotations

from msgspec import Struct

from turnwright.working import Known


class Column(Struct, frozen=True):
    """A column: `kind` is number, text or yes/no; a unit `@unit` stands in the column `unit` of the row."""

    name: str
    kind: str
    unit: str
    description: str
    key: bool


class Description(Struct, frozen=True):
    """A table as a whole. `edition_is` tells how editions are named: code (a year), date (of make), any."""

    name: str
    title: str
    document: str
    summary: str
    regime: str
    edition_is: str
    editions: tuple[str, ...]
    columns: tuple[Column, ...]


class Provenance(Struct, frozen=True):
    """One line of sources.csv: what is said of a source for a range of editions, both ends included."""

    document: str
    clause: str
    edition_from: str
    edition_to: str
    known: Known
    seen_at: str

    def holds(self, edition: str) -> bool:
        """Tell whether the line speaks of `edition`; an empty end is open."""
        return self.edition_from <= edition and (not self.edition_to or edition <= self.edition_to)


class Source(Struct, frozen=True):
    """Where a row of one edition comes from, and how that is known."""

    document: str
    clause: str
    edition: str
    known: Known
    seen_at: str

    def cite(self) -> str:
        """Return the citation as it is printed beside a value.

        Example:
            >>> Source("NEC", "Table 310.16", "2023", "seen", "a transcription").cite()
            'NEC 2023 Table 310.16'
            >>> Source("10 CFR", "431.196(a)(2)", "2016-01-01", "seen", "the CFR").cite()
            '10 CFR 431.196(a)(2) (from 2016-01-01)'
        """
        if "-" in self.edition:
            return f"{self.document} {self.clause} (from {self.edition})"
        return " ".join(part for part in (self.document, self.edition, self.clause) if part)
