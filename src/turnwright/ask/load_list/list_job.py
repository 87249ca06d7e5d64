"""A load list or a panel schedule made a job: its columns as mapped, the fate of every row, what was assumed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from turnwright.ask.from_request import missing_of
from turnwright.ask.job_text import Line, job_text
from turnwright.ask.load_list.entries import Entry, entries_of
from turnwright.ask.load_list.headings import LINES, Column, Head, head_of
from turnwright.ask.load_list.load_facts import Context, load_read, panel_of
from turnwright.ask.load_list.poles import joined
from turnwright.ask.load_list.sums import checked_sums
from turnwright.ask.load_list.surroundings import Around, around
from turnwright.ask.reading.mention import ReadQuestion
from turnwright.errors import InputError
from turnwright.intake import read_job
from turnwright.intake.sheet_file import Sheet, load_sheet
from turnwright.model.job import Job
from turnwright.quantities import parse_system

MOST_LOADS = 1000
_FALLBACKS = {
    "current": "the only size there is; it may hold a quarter more",
    "size": "the only size there is; a factor may be in it",
    "total": "",
}
HEAD = "Read from a load list; behind each line stand the row and the cell it came from."


class LoadList(Struct, frozen=True, kw_only=True):
    """A job read from a list of loads.

    name       of the file
    text       the job file, TOML
    job        the same, read back
    lines      its facts, each with the row and the cell it came from
    columns    what each column was taken for
    rows       what became of every row that is not empty
    assumed    what nobody wrote and was taken for granted
    unread     cells and words that were not read, and why
    questions  what a job cannot do without
    """

    name: str
    text: str
    job: Job
    lines: tuple[Line, ...]
    columns: tuple[Column, ...]
    rows: tuple[Entry, ...]
    assumed: tuple[str, ...]
    unread: tuple[str, ...]
    questions: tuple[ReadQuestion, ...]

    def to_json(self) -> dict[str, Any]:
        """Return the reading as a dict of plain values."""
        return {
            "schema": 1,
            "job": self.text,
            "facts": [
                {"key": line.path, "value": line.value, "words": line.remark, "from": None, "to": None}
                for line in self.lines
            ],
            "columns": [_column_json(one) for one in self.columns],
            "rows": [_row_json(one) for one in self.rows],
            "assumed": list(self.assumed),
            "unread": list(self.unread),
            "questions": [
                {"key": one.key, "ask": one.ask, "why": one.why, "words": one.words} for one in self.questions
            ],
            "unit": None,
        }


def _column_json(one: Column) -> dict[str, Any]:
    holds, unit = one.role or None, one.unit or None
    return {"column": one.letter, "heading": one.heading, "holds": holds, "unit": unit, "why": one.why}


def _row_json(one: Entry) -> dict[str, Any]:
    place = {"row": one.number, "side": one.side, "fate": one.fate, "load": one.load}
    return {**place, "words": one.words, "why": one.why}


def load_list_job(
    path: str | Path,
    *,
    columns: Mapping[str, str] | None = None,
    system: str | None = None,
    supply: str | None = None,
) -> LoadList:
    """Return the job that a CSV or XLSX file lists the loads of.

    path    : a load list or a panel schedule, with headings of any kind
    columns : heading or letter -> what it holds ("kw", "name", "phases"; "kw in W"; "-" leaves it out)
    system  : voltage system of loads whose row names none
    supply  : voltage system of the supply

    Raises:
        InputError: FILE-01 to FILE-11, LST-01 to LST-03.
        MissingExtra: FILE-12 where XLSX files cannot be read.
    """
    return job_of_sheet(load_sheet(path, "load list"), columns=columns, system=system, supply=supply)


def job_of_sheet(
    sheet: Sheet,
    *,
    columns: Mapping[str, str] | None = None,
    system: str | None = None,
    supply: str | None = None,
) -> LoadList:
    """Return the job of a sheet that lists loads.

    Example:
        >>> from turnwright.intake.sheet_file import sheet_of_csv
        >>> rows = "Equipment;Qty;Volts;Ph;kW\\nOven;2;208;3;12,5\\nTotal;;;;25\\n"
        >>> found = job_of_sheet(sheet_of_csv(rows, "kitchen.csv"))
        >>> found.job.load[0].kw.text, found.job.load[0].quantity.text, [row.fate for row in found.rows]
        ('12.5 kW', '2', ['load', 'sum'])
    """
    for name, given in (("system", system), ("supply", supply)):
        if given is not None:
            parse_system(given, where=name)
    head = _with_fallbacks(head_of(sheet, dict(columns or {})))
    entries = joined(entries_of(sheet, head))
    beside = around(sheet, head, entries)
    lines, rows, assumed, unread = _loads(sheet.name, head, entries, beside, system)
    lines = [*beside.lines(supply), *lines]
    assumed = [*_of_columns(head), *assumed, *checked_sums(rows, _columns(head))]
    unread = [*unread, *_of_sheet(sheet), *beside.unread]
    text = _written(sheet.name, head, lines, rows, assumed, unread, ())
    job = read_job(text, sheet.name)
    questions = tuple(missing_of(job))
    return LoadList(
        name=sheet.name,
        text=_written(sheet.name, head, lines, rows, assumed, unread, questions),
        job=job,
        lines=tuple(lines),
        columns=tuple(_columns(head)),
        rows=tuple(rows),
        assumed=tuple(assumed),
        unread=tuple(unread),
        questions=questions,
    )


def _columns(head: Head) -> list[Column]:
    found = {one.place: one for half in reversed(head.halves) for one in half if one.heading}
    return [found[place] for place in sorted(found)]


def _with_fallbacks(head: Head) -> Head:
    """Read a column that is better left alone where it is the only one that holds a size."""
    return Head(head.first, head.after, tuple(_fallen_back(half) for half in head.halves))


def _fallen_back(half: tuple[Column, ...]) -> tuple[Column, ...]:
    sized = any(one.role in ("kva", "kw", "hp", "current", "size", "total", *LINES) for one in half)
    by_unit = {"kVA": "kva", "VA": "kva", "kW": "kw", "W": "kw", "hp": "hp", "A": "current"}
    found: list[Column] = []
    for one in half:
        wanted = one.role.rstrip("?")
        if one.role.endswith("?") and not sized:
            role = wanted if wanted == "total" else by_unit.get(one.unit, wanted)
            why = _FALLBACKS[wanted]
            found.append(
                replace(one, role=role, unit=one.unit or ("A" if role == "current" else ""), why=why)
            )
            sized = True
        else:
            found.append(replace(one, role="") if one.role.endswith("?") else one)
    return tuple(found)


def _loads(
    name: str, head: Head, entries: list[Entry], beside: Around, system: str | None
) -> tuple[list[Line], list[Entry], list[str], list[str]]:
    """Return the lines of the loads, the rows with the numbers of their loads, what was assumed and not read."""
    lines: list[Line] = []
    rows: list[Entry] = []
    assumed: list[str] = []
    unread: list[str] = []
    is_panel = any(one.role in ("poles", *LINES) for half in head.halves for one in half)
    stands = system or beside.system
    if system is None and beside.system is not None:
        assumed.append(f'{beside.system} is taken for rows without a voltage: "{beside.words}".')
    panel = panel_of(stands) if is_panel else None
    count = 0
    for entry in entries:
        if entry.fate != "load":
            rows.append(entry)
            continue
        if count == MOST_LOADS:
            raise InputError("LST-03", name, f"this list has more than {MOST_LOADS} loads.", "Split it.")
        half = head.halves[1 if entry.side == "right" else 0]
        by_role = {one.role: one for one in reversed(half) if one.role}
        context = Context(by_role, stands, panel)
        read = load_read(entry, count, context)
        lines += read.lines
        assumed += read.assumed
        unread += read.unread
        rows.append(replace(entry, load=count))
        count += 1
    if not count:
        raise InputError(
            "LST-03", name, "no row below the headings is a load.", "Give each load a size with a unit."
        )
    return lines, rows, assumed, unread


def _of_columns(head: Head) -> list[str]:
    by_why: dict[str, list[str]] = {}
    for one in _columns(head):
        if one.role and one.why:
            by_why.setdefault(one.why, []).append(f'{one.letter} "{one.heading}"')
    return [f"column{'s' * (len(each) > 1)} {', '.join(each)}: {why}." for why, each in by_why.items()]


def _of_sheet(sheet: Sheet) -> Iterable[str]:
    for row, column in sheet.unsolved:
        letter = Column(place=column, heading="", role="").letter
        fix = "open the list in its program and save it"
        yield f"cell {letter}{row + 1}: a formula whose value was never computed; {fix}"
    if sheet.hidden:
        rows = ", ".join(str(number) for number in sheet.hidden[:20])
        yield f"rows {rows} are hidden in the sheet and were read like the others"
    if sheet.others:
        yield f"sheets that were not read: {', '.join(sheet.others)}"


def _told(one: Entry) -> str:
    side = f" {one.side}" if one.side else ""
    return f"row {one.number}{side}, {one.fate}: {one.words} ({one.why or 'no load'})"


def _written(
    name: str,
    head: Head,
    lines: list[Line],
    rows: list[Entry],
    assumed: list[str],
    unread: list[str],
    questions: tuple[ReadQuestion, ...],
) -> str:
    above = [f"{HEAD} ({name})"]
    for one in _columns(head):
        above.append(f'column {one.letter} "{one.heading}": {one.holds}{f" ({one.why})" if one.why else ""}')
    below = [f"assumed: {one}" for one in assumed]
    below += [f"ask: {one.ask}" for one in questions]
    below += [_told(one) for one in rows if one.fate not in ("load", "part")]
    below += [f"not read: {one}" for one in unread]
    return job_text(lines, head=above, foot=below)
