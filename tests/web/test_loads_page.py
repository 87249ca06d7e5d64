"""The page of a load list: uploaded, shown with its mapping, changed, taken into the job."""

import io
import re
from html import unescape

from openpyxl import Workbook
from starlette.testclient import TestClient

ROWS = [
    ["Machine", "Zeta", "Volts", "Ph", "kVA"],
    ["Oven", 7, 208, 3, 12],
    ["<b>Saw</b>", 5, 208, 3, 8],
    ["Total", None, None, None, 20],
]


def book() -> bytes:
    made = Workbook()
    sheet = made.active
    assert sheet is not None
    for row in ROWS:
        sheet.append(row)
    content = io.BytesIO()
    made.save(content)
    return content.getvalue()


def upload(client: TestClient, data: bytes, name: str, base: str = "") -> str:
    answer = client.post("/loads", files={"file": (name, data)}, data={"base": base})
    assert answer.status_code == 200, answer.text
    return answer.text


def hidden(text: str) -> dict[str, str]:
    found = re.findall(r'<input type="hidden" name="(sheet|base)" value="([^"]*)">', text)
    return {name: unescape(value) for name, value in found}


def test_a_workbook_is_shown_before_it_is_taken(client: TestClient, gatehouse: str) -> None:
    text = upload(client, book(), "loads.xlsx", gatehouse)
    assert "Loads of loads.xlsx" in text and "kva in kVA" in text and "a sum, no load" in text
    assert "&lt;b&gt;Saw&lt;/b&gt;" in text and "<b>Saw" not in text
    taken = client.post("/loads", data={**hidden(text), "take": "1"})
    assert taken.status_code == 200 and "Oven" in taken.text and "heat pump" in taken.text


def test_a_column_is_changed_and_shown_again(client: TestClient) -> None:
    text = upload(client, book(), "loads.xlsx")
    again = client.post(
        "/loads", data={**hidden(text), "c.E": "-", "c.B": "kw", "supply": "480Y/277", "show": "1"}
    )
    assert (
        again.status_code == 200
        and "left out, as you said" in again.text
        and 'value="480Y/277"' in again.text
    )
    taken = client.post(
        "/loads", data={**hidden(again.text), "c.E": "-", "c.B": "kw", "supply": "480Y/277", "take": "1"}
    )
    assert "15 kVA" in taken.text


def test_what_cannot_be_used_is_told_on_the_page(client: TestClient) -> None:
    text = upload(client, book(), "loads.xlsx")
    again = client.post("/loads", data={**hidden(text), "system": "mauve", "show": "1"})
    assert again.status_code == 200 and "mauve" in again.text and "Not used" in again.text
    assert client.post("/loads", files={"file": ("a.csv", b"\xff\xfe\x00")}).status_code == 400
    assert client.post("/loads", files={"file": ("a.csv", b"nothing here")}).status_code == 400
    assert client.post("/loads", data={"sheet": "[", "take": "1"}).status_code == 400
    assert client.post("/loads", data={"take": "1"}).status_code == 400
