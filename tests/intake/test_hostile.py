"""Whatever is given, either a job comes out or one clear refusal; nothing else is ever raised."""

import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnwright.errors import InputError
from turnwright.intake import (
    case_of,
    job_as_understood,
    job_from_mapping,
    load_job,
    read_job,
    read_unit,
    unit_from_mapping,
)
from turnwright.model.case import Case, Defaults, NeedsInput
from turnwright.model.job import Job
from turnwright.model.keys import JOB_TABLES, UNIT

JOBS = Path(__file__).parent / "data" / "jobs"
TEXTS = [path.read_text(encoding="utf-8") for path in sorted(JOBS.glob("*.toml"))]
MARKS = """ " ' [ ] [[ { } = , . # \\ - .. about unknown 0 nan inf 1e999 1_000 0x1F 1979-05-27 true A kVA Y/ load """
PIECES = st.sampled_from(
    [
        *MARKS.split(),
        '"""',
        "'''",
        "[load]",
        "[[unit]]",
        " 3ph",
        "\n",
        "\r",
        "9" * 400,
        "\u00e9",
        "\u202e",
        "\x00",
        "\x7f",
        "\ud800",
        "\ufeff",
    ]
)
ENDLESS = 10**5000
ODD: list[Any] = [
    *(
        None,
        True,
        False,
        0,
        -1,
        1,
        10**30,
        ENDLESS,
        1e308,
        -0.0,
        float("nan"),
        float("inf"),
        "",
        " ",
        "unknown",
    ),
    *("150 A", "1..2 kVA", "about 3", "480Y/277", "480", "x" * 20_000, "\ud800", "\x00", b"150 A", [], [[]]),
    *(["150 A"], [ENDLESS], {"5": ENDLESS}, {ENDLESS: 1}, {}, {"5": 30}, {"on": "10 %"}, {"length": "3 m"}),
    *({1: 2}, (), object(), 3 + 4j, "1,5 A", "A" * 81, "5 A; 6 A", "2027-05", "us", "AB"),
]


def defaults() -> Defaults:
    return Defaults(
        regime="us",
        edition="2023",
        frequency_hz=60.0,
        manufactured="2026",
        insulation="THWN-2",
        nominal_v={460.0: 480.0},
        power_factor_kw=0.85,
        x_over_r=6.0,
    )


def follow(job: Job) -> None:
    """A job that was read becomes a case of finite numbers, or says what is missing."""
    try:
        case = case_of(job, defaults())
    except InputError as error:
        assert error.code == "JOB-16"
        return
    assert isinstance(case, Case | NeedsInput)
    job_as_understood(case)
    if isinstance(case, Case):
        for record in (case.supply, case.site, case.circuit, case.choices, *case.loads):
            for name in record.__struct_fields__:
                value = getattr(record, name)
                assert not isinstance(value, float) or math.isfinite(value)
                assert not isinstance(value, float) or value >= 0 or name.startswith("ambient")


def refused_in_one_sentence(error: InputError) -> None:
    message = str(error)
    assert error.code.startswith(("JOB-", "QTY-", "SYS-", "FILE-"))
    assert message and "\n" not in message
    assert len(message) < 3000


@st.composite
def mutated(draw: st.DrawFn) -> str:
    text = draw(st.sampled_from(TEXTS))
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(text)))
        end = draw(st.integers(start, min(len(text), start + 12)))
        text = text[:start] + draw(PIECES) + text[end:]
    return text


@given(mutated())
def test_a_damaged_file(text: str) -> None:
    try:
        follow(read_job(text, "job.toml"))
    except InputError as error:
        refused_in_one_sentence(error)
    try:
        read_unit(text, "unit.toml")
    except InputError as error:
        refused_in_one_sentence(error)


@given(st.text(max_size=200))
def test_any_text(text: str) -> None:
    with pytest.raises(InputError) as caught:
        read_job(text)
    refused_in_one_sentence(caught.value)


@given(content=st.binary(max_size=200))
def test_any_bytes(content: bytes, tmp_path_factory: pytest.TempPathFactory) -> None:
    path = tmp_path_factory.mktemp("bytes") / "job.toml"
    path.write_bytes(content)
    with pytest.raises(InputError) as caught:
        load_job(path)
    refused_in_one_sentence(caught.value)


def table_of(name: str) -> st.SearchStrategy[dict[Any, Any]]:
    keys = [key.name for key in JOB_TABLES[name]]
    return st.dictionaries(st.sampled_from([*keys, "odd", 3, ENDLESS]), st.sampled_from(ODD), max_size=4)


@given(
    top=table_of(""),
    supply=table_of("supply"),
    load=table_of("load"),
    site=table_of("site"),
    circuit=table_of("circuit"),
    choices=table_of("choices"),
)
def test_any_mapping(**tables: dict[Any, Any]) -> None:
    top = tables.pop("top")
    data = {**top, **tables, "load": [tables["load"], {"system": "208Y/120", "kva": 3}]}
    try:
        follow(job_from_mapping(data))
    except InputError as error:
        refused_in_one_sentence(error)


@given(st.sampled_from([name for name in JOB_TABLES if name]), st.data())
def test_one_odd_value_under_each_key(table: str, data: st.DataObject) -> None:
    key = data.draw(st.sampled_from([key.name for key in JOB_TABLES[table]]))
    inner: Any = {key: data.draw(st.sampled_from(ODD))}
    if "." in table:
        table, _, name = table.partition(".")
        inner = {name: inner}
    job: dict[str, Any] = {"load": [{}]}
    job[table] = [inner] if table in ("load", "offer") else inner
    try:
        follow(job_from_mapping(job))
    except InputError as error:
        refused_in_one_sentence(error)


@given(st.dictionaries(st.sampled_from([key.name for key in UNIT]), st.sampled_from(ODD), max_size=5))
def test_any_row_of_a_list(row: dict[str, Any]) -> None:
    try:
        unit_from_mapping(row, "stock.csv, row 3")
    except InputError as error:
        refused_in_one_sentence(error)
