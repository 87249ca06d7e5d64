"""The interface for programs: the job as TOML or JSON in, the JSON of the command line out.

==========  ==============================================================
code        what is wrong
==========  ==============================================================
``API-01``  a body of another kind than TOML or JSON
``API-02``  a body that is no JSON
``API-03``  a part that is missing
==========  ==============================================================
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import msgspec

from turnwright.ask import job_from_request, job_of_sheet
from turnwright.ask.load_list import column_said
from turnwright.documents.explanation import explain, find, steps_of
from turnwright.documents.rule_rows import rule_rows, standard_example
from turnwright.documents.table_rows import table_rows
from turnwright.documents.words.next_sizes import next_sizes_of
from turnwright.errors import InputError
from turnwright.intake import job_from_mapping, read_job, unit_from_mapping
from turnwright.intake.sheet_file import sheet_of_bytes
from turnwright.intake.toml_text import parse_toml
from turnwright.model.as_json import SCHEMA
from turnwright.model.job import Job, Nameplate
from turnwright.narrow import select
from turnwright.narrow.compare import compare
from turnwright.narrow.select import tool
from turnwright.reference import table_names
from turnwright.web import vetting
from turnwright.web.reply import Reply, as_json

ORIGIN = "body"
TOML = frozenset(("application/toml", "text/toml"))
JSON = "application/json"
PLAIN = "text/plain"
PDF = "application/pdf"
SHEETS = (
    "text/csv",
    "text/tab-separated-values",
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
)
LIST_NAME = "load list"
UNIT = "unit"
KINDS_TAKEN = f"Send a job as application/toml or {JSON}."


def api_select(kind: str, body: bytes) -> Reply:
    """Return the answer to a job."""
    return as_json(select(_job(kind, body), ledger_open=True).to_json())


def api_explain(kind: str, body: bytes, name: str | None) -> Reply:
    """Return how one number of the answer came about; without a name, the numbers there are."""
    job = _job(kind, body)
    result = select(job, ledger_open=True).to_json()
    steps = steps_of(result)
    kept = {"findings": result["findings"], "questions": result["questions"]}
    if not name:
        names = [
            {"name": each, "value": step["value"], "measure": step["unit"]} for each, step in steps.items()
        ]
        return as_json({"schema": SCHEMA, "names": names, **kept, "working": [], "tool": result["tool"]})
    tree = explain(find(name, steps), steps)
    turns = next_sizes_of(tree["name"], job)
    if turns is not None:
        kept["next_sizes"] = turns.to_json()
    used = dict.fromkeys(_names(tree))
    working = [steps[each] for each in used]
    return as_json({"schema": SCHEMA, **tree, **kept, "working": working, "tool": result["tool"]})


def _names(tree: Mapping[str, Any]) -> list[str]:
    return [tree["name"], *(name for inner in tree["steps"] for name in _names(inner))]


def api_vet(kind: str, body: bytes) -> Reply:
    """Return whether the unit in a body does the job in it: `[unit]`, or several `[[unit]]`, beside the job."""
    data = data_of_body(kind, body)
    plates = data.pop(UNIT, None)
    if plates is None:
        fix = "Put [unit] beside the job, with the keys of a nameplate."
        raise InputError("API-03", ORIGIN, "there is no unit in it.", fix)
    units = plates if isinstance(plates, list) else [plates]
    if not units:
        raise InputError(
            "API-03", ORIGIN, "there is no unit in it.", "Put at least one [unit] beside the job."
        )
    read = tuple(_unit(unit, number) for number, unit in enumerate(units))
    return as_json(vetting.judge(job_from_mapping(data, ORIGIN), read).to_json())


def _unit(data: Any, number: int) -> Nameplate:
    where = f"{ORIGIN}, unit[{number}]"
    if not isinstance(data, Mapping):
        raise InputError("JOB-02", where, "this is no table.", "Write the keys of a nameplate.")
    return unit_from_mapping(data, where)


def api_read(
    kind: str, body: bytes, system: str | None = None, supply: str | None = None, columns: str | None = None
) -> Reply:
    """Return the job of a request in plain words, a text or a JSON object with "request", or of a list of loads.

    system  : voltage system of loads whose row names none
    supply  : voltage system of the supply
    columns : what columns hold, "Load=kw;Type=-"
    """
    if kind in SHEETS:
        sheet = sheet_of_bytes(body, LIST_NAME, LIST_NAME)
        said = dict(_column(word) for word in (columns or "").split(";") if word.strip())
        return as_json(job_of_sheet(sheet, columns=said, system=system, supply=supply).to_json())
    if kind == PLAIN:
        return as_json(job_from_request(_text(body)).to_json())
    request = data_of_body(kind, body).get("request") if kind == JSON else None
    if not isinstance(request, str):
        fix = f'Send it as {PLAIN}, or {{"request": "…"}} as {JSON}.'
        raise InputError("API-03", ORIGIN, "there is no request in it.", fix)
    return as_json(job_from_request(request).to_json())


def _column(word: str) -> tuple[str, str]:
    said = column_said(word)
    if said is None:
        fix = 'Write the heading, "=", and what it holds: columns=Load=kw;Type=-'
        raise InputError("API-03", "columns", f'"{word[:60]}" says nothing of a column.', fix)
    return said


def api_compare(kind: str, body: bytes) -> Reply:
    """Return what changed between two jobs, `before` and `after`, and what each change moved."""
    from turnwright.model.as_json import plain, result_to_json

    if kind != JSON:
        raise _other_kind(f'Send {{"before": …, "after": …}} as {JSON}, each a job, or its TOML as a text.')
    data = data_of_body(kind, body)
    before, after = (_part(data, name) for name in ("before", "after"))
    found = compare(before, after)
    moves = [*found.moves, found.together]
    told = [
        {"fact": move.fact, "result": plain({path: list(pair) for path, pair in move.result.items()})}
        | {"gone": list(move.gone), "new": list(move.new)}
        for move in moves
    ]
    result = result_to_json(found.after)
    return as_json(
        {
            "schema": SCHEMA,
            "facts": [{"key": fact.key, "from": fact.from_, "to": fact.to} for fact in found.facts],
            "moves": told[:-1],
            "together": told[-1],
            "findings": result["findings"],
            "questions": [],
            "working": [],
            "tool": result["tool"],
        }
    )


def _part(data: Mapping[str, Any], name: str) -> Job:
    part = data.get(name)
    if isinstance(part, str):
        return read_job(part, name)
    if not isinstance(part, Mapping):
        raise InputError("API-03", ORIGIN, f'there is no job "{name}" in it.', "Put a job or its TOML there.")
    return job_from_mapping(part, name)


def api_tables(name: str | None, edition: str | None) -> Reply:
    """Return the reference tables, or one of them."""
    names = table_names() if name is None else (name,)
    return as_json({"schema": SCHEMA, "tables": [table_rows(each, edition) for each in names], **_rest()})


def api_rules(name: str | None, edition: str | None) -> Reply:
    """Return the rules, or those of one name."""
    rows = rule_rows(edition, name=name)
    examples = {regime: standard_example(regime) for regime in dict.fromkeys(row["regime"] for row in rows)}
    return as_json({"schema": SCHEMA, "rules": rows, "examples": examples, **_rest()})


def _rest() -> dict[str, Any]:
    made = tool()
    return {
        "findings": [],
        "questions": [],
        "working": [],
        "tool": {"version": made.version, "tables": made.tables},
    }


def kind_of(content_type: str, also: tuple[str, ...] = (), only: str = "") -> str:
    """Return the kind of a body; `also` are others that are taken, `only` the single one.

    Raises:
        InputError: API-01.

    Example:
        >>> kind_of("application/json; charset=utf-8")
        'application/json'
    """
    kind = content_type.partition(";")[0].strip().casefold()
    if only and kind != only:
        raise _other_kind(f"Send it as {only}.")
    if not only and kind not in TOML and kind != JSON and kind not in also:
        raise _other_kind(KINDS_TAKEN)
    return kind


def _other_kind(fix: str) -> InputError:
    return InputError("API-01", "Content-Type", "the body is of another kind than is read here.", fix)


def _job(kind: str, body: bytes) -> Job:
    return (
        read_job(_text(body), ORIGIN) if kind in TOML else job_from_mapping(data_of_body(kind, body), ORIGIN)
    )


def data_of_body(kind: str, body: bytes) -> dict[str, Any]:
    """Return what a body says.

    Raises:
        InputError: API-02, or that of TOML.
    """
    if kind in TOML:
        return parse_toml(_text(body), ORIGIN)
    try:
        data = msgspec.json.decode(_text(body))
    except (msgspec.DecodeError, RecursionError) as error:
        raise InputError("API-02", ORIGIN, f"this is no JSON ({error}).", KINDS_TAKEN) from None
    if not isinstance(data, dict):
        raise InputError("API-02", ORIGIN, "this is no JSON object.", KINDS_TAKEN)
    return data


def _text(body: bytes) -> str:
    try:
        return body.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = body[: error.start].count(b"\n") + 1
        raise InputError(
            "FILE-03", f"{ORIGIN}, line {line}", "is not UTF-8 text.", "Send it as UTF-8."
        ) from None
