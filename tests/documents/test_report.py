"""The model of a paper, and its plain recording."""

import pytest

from turnwright.documents.report import (
    Cell,
    Column,
    Paragraph,
    Report,
    Section,
    cells,
    on_new_page,
    section,
    table,
)
from turnwright.documents.writers.record import record, texts


def test_a_row_of_another_width_is_refused() -> None:
    with pytest.raises(ValueError, match="row 2 of 'Sides' has 1 cells for 2 columns"):
        table("Sides", (Column("a"), Column("b")), (cells("1", "2"), cells("1")))


def test_a_table_without_rows_is_none() -> None:
    assert table("Sides", (Column("a"),), ()) is None


def test_a_section_keeps_the_parts_that_are_there() -> None:
    assert section("Answer", None, Paragraph("one"), None).parts == (Paragraph("one"),)


def test_the_first_section_with_something_in_it_begins_the_page() -> None:
    found = on_new_page(section("empty"), section("first", Paragraph("a")), section("second", Paragraph("b")))
    assert [(one.title, one.new_page) for one in found] == [("first", True), ("second", False)]
    assert on_new_page(section("empty"), section("too")) == ()


def test_a_recording_has_every_text_in_order() -> None:
    rows = table("Sides", (Column("name"), Column("value")), (cells("kVA", Cell("75", "assumed")),))
    page = Report(
        kind="Memo",
        title="Mill",
        marks=("NEC 2023",),
        stamp=(("Date", ""),),
        page="A4",
        sections=(Section("Answer", (rows,) if rows else ()),),
    )
    assert record(page)[-3:] == [
        ("caption", "Sides"),
        ("columns", "name", "value"),
        ("row", "kVA", "75 (assumed)"),
    ]
    assert texts(page).splitlines()[:3] == ["Memo Mill", "NEC 2023", "Date "]
