"""Who may ask, how much, and what a browser may do with the answer."""

from collections.abc import Callable
from typing import ClassVar

import anyio
import pytest
from starlette.responses import PlainTextResponse

from turnwright.errors import TurnwrightError
from turnwright.web import guard
from turnwright.web.guard import MOST_BODY_BYTES, Guard

EVERY_KIND = (
    "/",
    "/vet",
    "/fleet",
    "/tables",
    "/rules/bond-once",
    "/nothing",
    "/static/pages.css",
    "/api/openapi.json",
)


@pytest.mark.parametrize("address", EVERY_KIND)
def test_every_answer_is_bound_by_a_strict_policy(client, address: str) -> None:
    headers = client.get(address).headers
    policy = headers["content-security-policy"]
    assert "default-src 'self'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert "server" not in headers


def test_no_page_holds_script_or_style_of_its_own(client, send, gatehouse: str, read_page) -> None:
    pages = [
        client.get(address).text for address in ("/", "/vet", "/fleet", "/tables", "/rules", "/cautions")
    ]
    pages.append(send("/", [("text", gatehouse), ("why", "answer demand.kva")]).text)
    for text in pages:
        page = read_page(text)
        for tag, found in page.tags:
            assert tag != "style"
            assert tag != "script" or found["src"].startswith("/static/")
            assert not any(name == "style" or name.startswith("on") for name in found)
            for name in ("src", "href", "action", "formaction", "hx-post"):
                assert found.get(name, "/").startswith(("/", "#")) and not found.get(name, "/").startswith(
                    "//"
                )


@pytest.mark.parametrize(
    "host",
    [
        "example.com",
        "127.0.0.1.example.com",
        "localhost.example.com:80",
        "192.168.0.2",
        "",
        "[::1]",
        "[::1",
        "127.0.0.1@x",
    ],
)
def test_a_name_that_only_leads_here_is_refused(client, host: str) -> None:
    answer = client.get("/", headers={"host": host})
    assert answer.status_code == 421
    assert "this machine only" in answer.text


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "localhost:8123", "127.0.0.1:8123", "LOCALHOST"])
def test_this_machine_is_answered(client, host: str) -> None:
    assert client.get("/cautions", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://example.com"},
        {"origin": "null"},
        {"origin": "https://127.0.0.1"},
        {"origin": "http://127.0.0.1:99"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
@pytest.mark.parametrize("address", ["/", "/vet", "/job.toml", "/api/select"])
def test_a_form_of_another_site_is_refused(client, headers: dict[str, str], address: str) -> None:
    assert client.post(address, headers=headers, data={"text": ""}).status_code == 403


def test_these_pages_may_send_their_own_forms(client, pump_house: str) -> None:
    headers = {"origin": "http://127.0.0.1", "sec-fetch-site": "same-origin"}
    assert client.post("/", headers=headers, data={"text": pump_house}).status_code == 200


@pytest.mark.parametrize("address", ["/", "/open", "/api/select", "/api/vet", "/papers/memo.html"])
def test_a_long_body_is_refused(client, address: str) -> None:
    answer = client.post(
        address, content=b"x" * (2 * MOST_BODY_BYTES), headers={"content-type": "application/toml"}
    )
    assert answer.status_code == 413
    assert "WEB-04" in answer.text


class Asked:
    """The guard asked directly: what it receives is made up, what it sends is kept."""

    SCOPE: ClassVar[dict] = {
        "type": "http",
        "method": "POST",
        "path": "/",
        "headers": [(b"host", b"localhost")],
        "query_string": b"",
        "server": ("localhost", 80),
        "scheme": "http",
    }

    def __init__(self, pause: float, part: bytes) -> None:
        self.pause, self.part = pause, part
        self.received = 0
        self.sent: list[dict] = []

    async def receive(self) -> dict:
        if self.received:
            await anyio.sleep(self.pause)
        self.received += len(self.part)
        return {"type": "http.request", "body": self.part, "more_body": True}

    async def send(self, message: dict) -> None:
        self.sent.append(message)

    async def never(self, scope: dict, receive: object, send: object) -> None:
        raise AssertionError

    def answer(self, in_a_loop: Callable[..., None]) -> tuple[int, bytes]:
        def refuse(request: object, error: TurnwrightError, status: int) -> PlainTextResponse:
            return PlainTextResponse(error.code, status)

        in_a_loop(Guard(self.never, refuse), self.SCOPE, self.receive, self.send)
        return self.sent[0]["status"], self.sent[1]["body"]


def test_a_long_body_without_a_length_is_refused_as_it_comes(in_a_loop: Callable[..., None]) -> None:
    asked = Asked(pause=0.0, part=b"x" * 65536)
    assert asked.answer(in_a_loop) == (413, b"WEB-04")
    assert asked.received < MOST_BODY_BYTES + 2 * 65536


def test_a_body_that_does_not_end_is_given_up(
    monkeypatch: pytest.MonkeyPatch, in_a_loop: Callable[..., None]
) -> None:
    monkeypatch.setattr(guard, "MOST_BODY_SECONDS", 0.05)
    assert Asked(pause=60.0, part=b"a").answer(in_a_loop) == (408, b"WEB-08")


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/%2e%2e/app.py",
        "/static/..%2fapp.py",
        "/static//etc/passwd",
        "/tables/..%2f..",
        "/rules/%00",
    ],
)
def test_no_path_leads_out(client, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 404
    assert "import" not in answer.text
