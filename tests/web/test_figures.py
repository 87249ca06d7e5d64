"""Numbers of sentences and cells are found and lead to their working."""

import pytest

from turnwright.intake import read_job
from turnwright.narrow import select
from turnwright.web.job.answer import explained, unit_view
from turnwright.web.job.figures import numbers_in, only_explained, parts_of
from turnwright.web.job.names import step_words
from turnwright.web.job.working import Explainer


def linked(pieces):
    return {piece.text: piece.why for piece in pieces if piece.why}


def names_in(pieces):
    return {piece.why for piece in pieces if piece.why}


def test_the_pieces_make_the_text_again() -> None:
    text = "They carry 1.19 kVA (7 %). 1000 A breaker before them, 15 A after them."
    pieces = numbers_in(text, [("kva", 1.181), ("pct", 6.4), ("a", 1000.0), ("b", 15.0)])
    assert "".join(piece.text for piece in pieces) == text
    assert linked(pieces) == {"1.19 kVA": "kva", "7 %": "pct", "1000 A": "a", "15 A": "b"}


def test_a_number_inside_another_is_not_taken_for_it() -> None:
    assert linked(numbers_in("208Y/120 and 4120 A, 12.0 A", [("a", 12.0)])) == {"12.0 A": "a"}


def test_a_cell_with_a_limit_has_two_numbers() -> None:
    assert linked(parts_of("250 A (≤ 300)", ("device", "limit"))) == {"250 A": "device", "300": "limit"}
    assert linked(parts_of("150 A + 100 A", ("one", "two"))) == {"150 A": "one", "100 A": "two"}


def test_only_what_has_a_working_is_linked() -> None:
    pieces = parts_of("18.0 kA", ("fault.primary_a|supply.fault_current",))
    assert only_explained(pieces, {"supply.fault_current"})[0].why == "supply.fault_current"
    assert only_explained(pieces, {"instead[0].fault.primary_a"}, "instead[0].")[0].why.startswith("instead")
    assert only_explained(pieces, ())[0].why == ""


@pytest.fixture(scope="module")
def answered(gatehouse: str):
    result = select(read_job(gatehouse))
    return result, unit_view(result.blocks, result.job, explained(result.working, result.job))


def test_the_numbers_of_an_answer_open(answered) -> None:
    """All figures that a result has a step for; a new wording that hides one is told here."""
    result, unit = answered
    said = {name for sentence in unit.sentences for name in names_in(sentence)}
    assert {"demand.kva", "demand.kva_with_growth", "demand.loading_pct", "protection.primary_a"} <= said
    cells = {
        name for row in unit.rows for cell in (row.supply, row.load) for name in names_in(cell.pieces)
    } | {name for row in unit.below for name in names_in(row.cell.pieces)}
    expected = {
        line.name
        for line in result.working
        if line.name.startswith(
            ("currents.", "protection.", "fault.", "grounding.", "voltage.", "efficiency.")
        )
        and line.name.count(".") == 1
    }
    shown_otherwise = {
        "fault.secondary_a",
        "fault.line_ground_a",
        "fault.infinite_source_a",
        "protection.primary_only_max_a",
        "currents.neutral_load_a",
    }
    assert expected - shown_otherwise <= cells | said


def test_every_link_of_an_answer_unfolds(answered) -> None:
    result, unit = answered
    explainer = Explainer(result.to_json())
    for row in unit.rows:
        for cell in (row.supply, row.load):
            for name in linked(cell.pieces).values():
                view = explainer.view(name)
                assert view is not None
                assert view.value


def test_a_working_reaches_table_cells_with_their_source(answered) -> None:
    view = Explainer(answered[0].to_json()).view("protection.primary_a")

    def every(step):
        yield step
        for inner in step.steps:
            yield from every(inner)

    cells = {step.row: step for step in every(view) if step.table == "nec_450_3b"}
    assert "450.3(B)" in cells["P1"].source
    assert cells["P1"].known == "from memory"


def test_no_code_name_stands_in_a_working(answered) -> None:
    result, _ = answered
    for line in result.working:
        assert "_" not in step_words(line.name).replace("drive_6pulse", ""), line.name


def test_a_number_that_is_none_has_no_working(answered) -> None:
    explainer = Explainer(answered[0].to_json())
    assert explainer.view("pick.colour") is None
    assert explainer.view("") is None
