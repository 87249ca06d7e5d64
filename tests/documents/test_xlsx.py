"""The workbook: formulas as formulas, texts as texts, same bytes."""

import io
import re
import zipfile
from collections.abc import Callable

import pytest
from msgspec.structs import replace

from turnwright.documents.brief import Brief
from turnwright.documents.papers.schedule import schedule

from .conftest import brief_of

pytest.importorskip("xlsxwriter")

from turnwright.documents.writers.xlsx import write


def parts_of(content: bytes) -> dict[str, str]:
    with zipfile.ZipFile(io.BytesIO(content)) as book:
        return {name: book.read(name).decode() for name in book.namelist()}


def book_of(brief: Brief) -> bytes:
    return write(schedule(brief), brief, "schedule")["schedule.xlsx"]


def test_sums_and_currents_are_real_formulas_with_their_value(gatehouse: Brief) -> None:
    parts = parts_of(book_of(gatehouse))
    units = parts["xl/worksheets/sheet1.xml"]
    assert re.search(r"<f>C5\*1000/\(G5\*IF\(D5=3,SQRT\(3\),1\)\)</f><v>90\.2109", units)
    assert re.search(r"<f>SUM\(E5:E8\)</f><v>39\.3", parts["xl/worksheets/sheet2.xml"])


def test_hostile_names_stay_text() -> None:
    text = '[supply]\nsystem = "480Y/277"\n[[load]]\nname = "=1+1"\nsystem = "240 3ph"\ncurrent = "150 A"\n'
    brief = brief_of(f'title = "http://example.org & <b>"\n{text}note = "{"n" * 9000}"\n')
    parts = parts_of(book_of(brief))
    assert "<f>1+1</f>" not in "".join(parts.values())
    assert "load 1, =1+1" in parts["xl/sharedStrings.xml"]
    assert "&lt;b&gt;" in parts["xl/sharedStrings.xml"]
    assert not any("hyperlink" in name for name in parts)


def test_findings_assumptions_and_the_caution_are_on_the_last_sheet(gatehouse: Brief) -> None:
    strings = parts_of(book_of(gatehouse))["xl/sharedStrings.xml"]
    for finding in gatehouse.result.findings:
        assert finding.message.replace("&", "&amp;").replace("<", "&lt;")[:60] in strings
    assert "no generator, UPS or inverter is named" in strings
    assert strings.count("Check with local code and a licensed electrician") == 1


def test_same_job_same_bytes_and_no_clock(gatehouse: Brief) -> None:
    first = book_of(gatehouse)
    assert first == book_of(gatehouse)
    with zipfile.ZipFile(io.BytesIO(first)) as book:
        assert {info.date_time for info in book.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert "2000-01-01T00:00:00Z" in parts_of(first)["docProps/core.xml"]
    dated = parts_of(book_of(replace(gatehouse, date="2026-11-30")))
    assert "2026-11-30T00:00:00Z" in dated["docProps/core.xml"]


def test_a_long_load_list_is_written_whole(made_by_hand: Callable[..., Brief]) -> None:
    facts = [
        {"key": f"load[{at}].system", "value": "120 1ph", "known": "given", "reason": "", "where": ""}
        for at in range(500)
    ]
    brief = made_by_hand(job={**made_by_hand().result.job, "facts": facts})
    assert "load 500" in parts_of(book_of(brief))["xl/sharedStrings.xml"]


def test_a_number_stands_apart_from_the_text_after_it(gatehouse: Brief) -> None:
    """One set of 6 AWG is not 16 AWG."""
    styles = parts_of(book_of(gatehouse))["xl/styles.xml"]
    formats = re.findall(r'formatCode="([^"]*)"', styles)
    assert formats and all(one.endswith("_)_)") for one in formats)
    assert 'indent="1"' in styles
