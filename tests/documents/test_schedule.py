"""Schedules: rows from the result, formulas that come to the same, texts that are never run."""

import csv
import io
import re
from collections.abc import Callable

import pytest
from msgspec.structs import replace

from turnwright.documents.brief import Brief
from turnwright.documents.papers.schedule import schedule, sheets
from turnwright.documents.sheets import Formula, Num, Sheet, formula_text
from turnwright.documents.writers.csv import csv_of, write

from .conftest import brief_of


def sheet_of(brief: Brief, name: str) -> Sheet:
    return next(sheet for sheet in sheets(brief) if sheet.name == name)


def column(sheet: Sheet, name: str) -> list[object]:
    at = [title for title, _ in sheet.columns].index(name)
    return [row[at] for row in sheet.rows]


def test_every_row_is_as_wide_as_its_columns(any_brief: Brief) -> None:
    for sheet in sheets(any_brief):
        for row in (*sheet.rows, *sheet.foot):
            assert len(row) == len(sheet.columns)


def test_rated_currents_are_formulas_that_come_to_the_answer(gatehouse: Brief) -> None:
    units = sheet_of(gatehouse, "transformers")
    blocks = gatehouse.result.blocks
    assert blocks is not None
    (primary,), (secondary,) = column(units, "primary rated A"), column(units, "secondary rated A")
    assert primary == Formula(
        "=C{r}*1000/(G{r}*IF(D{r}=3,SQRT(3),1))", float(blocks.currents.primary_rated_a)
    )
    assert isinstance(secondary, Formula) and secondary.value == float(blocks.currents.secondary_rated_a)
    assert column(units, "kVA") == [Num(75.0, 0)] and column(units, "primary V") == [Num(480.0, 0)]


def test_a_rated_current_that_does_not_follow_from_kva_and_volts_is_a_number(
    made_by_hand: Callable[..., Brief],
) -> None:
    blocks = made_by_hand().result.blocks
    assert blocks is not None
    currents = replace(blocks.currents, primary_rated_a=123.0)  # an input current of an autotransformer
    brief = made_by_hand(blocks=replace(blocks, currents=currents))
    assert column(sheet_of(brief, "transformers"), "primary rated A") == [Num(123.0, 1)]


def test_loads_stand_on_their_phases_as_the_working_spread_them(gatehouse: Brief) -> None:
    loads = sheet_of(gatehouse, "loads")
    steps = {line.name: line.value for line in gatehouse.result.working}
    for at, row in enumerate(loads.rows):
        phases = [entry.value for entry in row[6:9] if isinstance(entry, Num | Formula)]
        running = row[4]
        assert isinstance(running, Num)
        assert running.value == pytest.approx(steps[f"load[{at}].running_kva"], abs=0.01)
        assert sum(phases) == pytest.approx(running.value, abs=0.03)
    assert [row[5] for row in loads.rows][:2] == ["three-phase", "three-phase"]


def test_one_piece_that_could_stand_anywhere_stands_somewhere() -> None:
    brief = brief_of(
        '[supply]\nsystem = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = "20 kVA"\n'
        '[[load]]\nsystem = "120 1ph"\ncurrent = "5 A"\n'
    )
    loads = sheet_of(brief, "loads")
    assert [row[5] for row in loads.rows] == ["three-phase", "A"]
    total = [entry.value for entry in loads.foot[0][6:9] if isinstance(entry, Formula)]
    assert sum(total) == pytest.approx(20.6, abs=0.02)


def test_sums_are_formulas_over_all_rows(gatehouse: Brief) -> None:
    loads = sheet_of(gatehouse, "loads")
    total = loads.foot[0]
    last = 4 + len(loads.rows)
    for at, letter in ((4, "E"), (6, "G"), (7, "H"), (8, "I")):
        entry = total[at]
        assert isinstance(entry, Formula)
        assert formula_text(entry, last + 1, len(loads.rows)) == f"=SUM({letter}5:{letter}{last})"
        rows = [row[at] for row in loads.rows]
        assert entry.value == pytest.approx(sum(one.value for one in rows if isinstance(one, Num | Formula)))


def test_demands_are_shown_up_and_limits_down(made_by_hand: Callable[..., Brief]) -> None:
    blocks = made_by_hand().result.blocks
    assert blocks is not None and blocks.conductors.primary is not None
    run = replace(blocks.conductors.primary, ampacity_a=118.19)
    brief = made_by_hand(blocks=replace(blocks, conductors=replace(blocks.conductors, primary=run)))
    circuits = sheet_of(brief, "circuits")
    assert column(circuits, "load A")[0] == Num(317.6, 1)  # 317.5426…
    assert column(circuits, "ampacity A")[0] == Num(118.1, 1)


@pytest.mark.parametrize("start", ["=", "+", "-", "@"])
def test_a_name_that_looks_like_a_formula_stays_text(start: str) -> None:
    name = f"{start}HYPERLINK(1)"
    text = (
        f'[supply]\nsystem = "480Y/277"\n[[load]]\nname = "{name}"\nsystem = "240 3ph"\ncurrent = "150 A"\n'
    )
    brief = brief_of(f'{text}note = "{name}"\n')
    rows = list(csv.reader(io.StringIO(csv_of(sheet_of(brief, "loads")))))
    assert not any(
        cell.startswith(start) and cell != "-" and not re.fullmatch(r"-?[\d.]+", cell)
        for row in rows[1:]
        for cell in row
    )
    assert rows[1][-1] == f"'{name}"


def test_csv_files_open_in_spreadsheets_as_utf_8(gatehouse: Brief) -> None:
    files = write(schedule(gatehouse), gatehouse, "schedule")
    assert sorted(files) == ["schedule-circuits.csv", "schedule-loads.csv", "schedule-transformers.csv"]
    for content in files.values():
        assert content.startswith(b"\xef\xbb\xbf")
        rows = list(csv.reader(io.StringIO(content.decode("utf-8-sig"))))
        assert len({len(row) for row in rows}) == 1


def test_csv_numbers_have_a_point_and_no_thousands(gatehouse: Brief) -> None:
    rows = list(csv.reader(io.StringIO(csv_of(sheet_of(gatehouse, "circuits")))))
    at = rows[0].index("interrupting at least A")
    assert re.fullmatch(r"\d{4}", rows[2][at])
