"""A request as it comes over a socket, put to the pages: METHOD, address and kind of body in its first line."""

from __future__ import annotations

import asyncio
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from typing import Any

from turnwright.web.app import make_app
from turnwright.web.reply import Reply
from turnwright.web.work import Answer, Work


class Here(Work):
    """Answers in this process, so that whatever goes wrong in them comes out here."""

    async def run(self, answer: Answer, *arguments: Any, seconds: float | None = None) -> Reply:
        """Return what `answer(*arguments)` comes to."""
        return answer(*arguments)


class Broken(AssertionError):
    """The pages answered that the defect is theirs."""


@cache
def _app() -> Any:
    return make_app(Here())


def asked(data: bytes) -> None:
    """Put a request to the pages; a defect of theirs is raised as it is."""
    head, _, body = data.partition(b"\n")
    words = head.split(b" ", 2)
    method, address, kind = (*words, *(b"",) * (3 - len(words)))
    path, _, query = address.partition(b"?")
    scope = {
        "type": "http",
        "asgi": {"version": "3.0", "spec_version": "2.3"},
        "http_version": "1.1",
        "method": method.decode("latin-1").upper(),
        "scheme": "http",
        "path": path.decode("utf-8", "replace") or "/",
        "raw_path": path,
        "query_string": query,
        "root_path": "",
        "headers": [
            (b"host", b"127.0.0.1:8000"),
            (b"content-type", kind.strip()),
            (b"content-length", str(len(body)).encode()),
        ],
        "client": ("127.0.0.1", 50000),
        "server": ("127.0.0.1", 8000),
    }
    with ThreadPoolExecutor(1) as apart:  # this thread may hold the loop of a browser
        status = apart.submit(asyncio.run, _status(scope, body)).result()
    if status >= 500:
        raise Broken(f"status {status}")


async def _status(scope: dict[str, Any], body: bytes) -> int:
    """Return the status of the answer."""
    statuses: list[int] = []
    sent = asyncio.Event()

    async def receive() -> dict[str, Any]:
        if sent.is_set():
            await asyncio.sleep(3600)
        sent.set()
        return {"type": "http.request", "body": body, "more_body": False}

    async def send(message: dict[str, Any]) -> None:
        if message["type"] == "http.response.start":
            statuses.append(message["status"])

    await _app()(scope, receive, send)
    return statuses[0]
