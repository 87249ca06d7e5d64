"""A list of units on hand: uploaded, its columns as they are meant, then what of it does the job."""

from __future__ import annotations

import csv
import tempfile
from io import StringIO
from pathlib import Path
from typing import Any, NamedTuple

from turnwright.documents.words import phrases
from turnwright.documents.words.figures import bare, clean
from turnwright.errors import InputError, nearest
from turnwright.intake.list_file import ListFile, list_of, load_list
from turnwright.model.keys import UNIT
from turnwright.quantities import fixed
from turnwright.vetting import read_stock_list, vet_stock
from turnwright.vetting.stock_list import NEEDED, StockList, key_of_column
from turnwright.vetting.stock_records import StockFit, StockVetting
from turnwright.web.job import answer
from turnwright.web.job.form import lines, read_form
from turnwright.web.job.merge import TEXT, Draft, Problem, merge, problem_of
from turnwright.web.kept.jobs import Pairs
from turnwright.web.render import page
from turnwright.web.reply import Reply, html

COLUMN = "column."
LEFT_OUT = "-"
ROWS_SHOWN = 6
FITS_SHOWN = 20
REJECTED_SHOWN = 200
KEYS = {key.name: key.says for key in UNIT}
NAME = "stock list"

File = tuple[str, bytes] | None


class ColumnView(NamedTuple):
    """A column: its head, what it is taken for, whether that was guessed, what stands in its first rows."""

    head: str
    key: str
    sure: bool
    cells: list[str]


class FitView(NamedTuple):
    """A unit that does the job, in words."""

    name: str
    verdict: str
    words: str
    decide: list[str]


def empty_page(_url: str | None, _query: Pairs) -> Reply:
    """Return the form, empty."""
    return html(page("stock", _context([], None)))


def sent_page(_url: str | None, pairs: Pairs, file: File) -> Reply:
    """Return the list as it was read with what each column is taken for, and what of it does the job."""
    return html(page("stock", _context(pairs, file)))


def _context(pairs: Pairs, file: File) -> dict[str, Any]:
    draft = merge(read_form(pairs))
    given = {name: lines(text) for name, text in pairs}
    problems: dict[str, Problem] = {}
    listed = _listed(given, file, problems)
    said = {name.removeprefix(COLUMN): key for name, key in given.items() if name.startswith(COLUMN)}
    meant = _meant(listed, {} if file else said) if listed else {}
    lacks = [key for key in NEEDED if key not in meant.values()] if listed else []
    found = None
    if listed and not lacks and "judge" in given and TEXT not in draft.problems:
        found = _judged(draft, listed, meant, problems)
    return {
        "draft": draft,
        "text": draft.by_hand if draft.by_hand is not None else draft.text,
        "job_words": answer.job_words(draft.text, draft.job),
        "text_problem": draft.problems.get(TEXT) or problems.get(TEXT),
        "list_problem": problems.get("list"),
        "name": (file[0] if file else given.get("name", ""))[:120],
        "listed": listed,
        "rows": len(listed.rows) if listed else 0,
        "list_text": _csv(listed) if listed else "",
        "columns": _columns(listed, meant) if listed else [],
        "keys": KEYS,
        "lacks": lacks,
        **_answer(found),
    }


def _listed(given: dict[str, str], file: File, problems: dict[str, Problem]) -> ListFile | None:
    try:
        if file:
            return _of_file(*file)
        text = given.get("list", "")
        return list_of(text, given.get("name") or NAME) if text.strip() else None
    except InputError as error:
        problems["list"] = problem_of(error)
        return None


def _of_file(name: str, data: bytes) -> ListFile:
    """Return the rows of an uploaded file; it is read as its content and the end of its name say."""
    is_book = data[:2] == b"PK" or name.casefold().endswith(".xlsx")
    suffix = ".xlsx" if is_book else Path(name).suffix[:8] or ".csv"
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"list{suffix if suffix.isascii() and suffix[1:].isalnum() else '.csv'}"
        path.write_bytes(data)
        return load_list(path, NAME)._replace(name=name)


def _csv(listed: ListFile) -> str:
    """The list as it travels in the form."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(listed.columns)
    for row in listed.rows:
        writer.writerow([*(row.cells.get(column, "") for column in listed.columns), *row.beyond])
    return out.getvalue()


def _meant(listed: ListFile, said: dict[str, str]) -> dict[str, str]:
    """Column -> key of a nameplate, as somebody said or as its head says; what is left out is not in it."""
    found: dict[str, str] = {}
    for column in filter(None, listed.columns):
        key = said.get(column, key_of_column(column))
        if key in KEYS and key not in found.values():
            found[column] = key
    if not said:
        for column in filter(None, listed.columns):
            near = nearest(key_of_column(column), KEYS)
            if column not in found and near and near not in found.values():
                found[column] = near
    return found


def _columns(listed: ListFile, meant: dict[str, str]) -> list[ColumnView]:
    return [
        ColumnView(
            head=column,
            key=meant.get(column, LEFT_OUT),
            sure=meant.get(column) in (None, key_of_column(column)),
            cells=[row.cells.get(column, "")[:40] for row in listed.rows[:ROWS_SHOWN]],
        )
        for column in listed.columns
        if column
    ]


def _judged(
    draft: Draft, listed: ListFile, meant: dict[str, str], problems: dict[str, Problem]
) -> StockVetting | None:
    try:
        units: StockList = read_stock_list(_csv(listed), listed.name, columns=meant)
    except InputError as error:
        problems["list"] = problem_of(error)
        return None
    try:
        return vet_stock(draft.job, units, in_full=FITS_SHOWN)
    except InputError as error:
        problems[TEXT] = problem_of(error)
        return None


def _answer(found: StockVetting | None) -> dict[str, Any]:
    if found is None:
        return {"found": None}
    alone = [one for one in found.fits if not one.joined]
    return {
        "found": found,
        "verdict": _verdict(found, len(alone)),
        "fits": [_fit(one) for one in found.fits[:FITS_SHOWN]],
        "more_fits": [one.unit for one in found.fits[FITS_SHOWN:]],
        "rejected": [one for one in found.rejected if one.read][:REJECTED_SHOWN],
        "more_rejected": max(0, sum(one.read for one in found.rejected) - REJECTED_SHOWN),
        "unread": [one for one in found.rejected if not one.read][:REJECTED_SHOWN],
        "remarks": [one.message for one in found.findings],
    }


def _verdict(found: StockVetting, alone: int) -> str:
    if found.questions:
        return f"Not enough is known yet of the job: {found.questions[0].ask}"
    joined = len(found.fits) - alone
    if not found.fits:
        return "Nothing on the list does this job."
    several = f"{joined} {'set' if joined == 1 else 'sets'} of several would do it together" if joined else ""
    if not alone:
        return f"No unit on the list does this job alone; {several}."
    return f"{alone} on the list would do this job{f'; {several}, for less' if joined else ''}."


def _fit(one: StockFit) -> FitView:
    blocks = None if one.vetting is None else one.vetting.blocks
    words = [] if blocks is None or one.joined == "parallel" else [phrases.unit_words(blocks.pick)]
    if one.loading_pct is not None:
        words.append(f"loaded to {fixed(one.loading_pct, 0, 'up')} %")
    if one.spare_kva is not None:
        words.append(f"{fixed(one.spare_kva, 1, 'down')} kVA to spare")
    if one.price is not None:
        words.append(f"{bare(one.price.amount)} {one.price.currency}")
    if one.on_hand is not None:
        words.append(f"{one.on_hand} on hand")
    pieces = " and ".join(
        f"{each.pieces} × {each.unit}" if each.pieces > 1 else each.unit for each in one.pieces
    )
    return FitView(
        name=f"{pieces}, {one.joined}" if one.joined else one.unit,
        verdict="fits" if one.verdict == "fit" else "with conditions",
        words=clean("; ".join(words)),
        decide=[clean(text) for text in _to_decide(one)],
    )


def _to_decide(one: StockFit) -> list[str]:
    if one.vetting is None:
        return []
    unmet = [f"{each.says} What mends it: {each.condition}." for each in one.vetting.criteria if not each.ok]
    return unmet + [each.message for each in one.vetting.findings if each.severity in ("stop", "caution")]
