"""The application as a client on this machine sees it, and jobs to give it."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import anyio
import pytest
from httpx2 import Response
from starlette.testclient import TestClient

from turnwright.web.app import make_app
from turnwright.web.job.form import Pairs
from turnwright.web.job.page import job_page

ADDRESS = "http://127.0.0.1"
EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="session")
def client() -> Iterator[TestClient]:
    with TestClient(make_app(), base_url=ADDRESS, raise_server_exceptions=False) as client:
        yield client


@pytest.fixture
def in_a_loop() -> Callable[..., Any]:
    """`anyio.run` in a thread of its own: that of the tests holds the loop of a browser, once one was started."""

    def run(function: Callable[..., Any], *arguments: Any) -> Any:
        with ThreadPoolExecutor(1) as threads:
            return threads.submit(anyio.run, function, *arguments).result()

    return run


@pytest.fixture
def own_log(monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture) -> pytest.LogCaptureFixture:
    """What the pages log; a server started before may have turned that off."""
    for name in [name for name in logging.root.manager.loggerDict if name.startswith("turnwright")]:
        monkeypatch.setattr(logging.getLogger(name), "disabled", False)
        monkeypatch.setattr(logging.getLogger(name), "propagate", True)
    return caplog


@pytest.fixture(scope="session")
def gatehouse() -> str:
    return (EXAMPLES / "gatehouse.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def bakery() -> str:
    return (EXAMPLES / "bakery.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def pump_house() -> str:
    return (EXAMPLES / "pump-house.toml").read_text(encoding="utf-8")


class Page(HTMLParser):
    """The parts of a page that tests look at: tags with their attributes, and the text a person reads."""

    VOID = frozenset(("meta", "link", "input", "br", "hr", "img", "col"))

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.words: list[str] = []
        self.unbalanced: list[str] = []
        self.inside: list[str] = []
        self.areas: dict[str, str] = {}
        self.area = ""
        self.feed(html)
        self.close()
        self.unbalanced += self.inside

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = {name: value or "" for name, value in attrs}
        self.tags.append((tag, found))
        if tag not in self.VOID:
            self.inside.append(tag)
        if tag == "textarea":
            self.area = found["name"]
            self.areas[self.area] = ""

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        if not self.inside or self.inside.pop() != tag:
            self.unbalanced.append(tag)
        if tag == "textarea":
            self.area = ""

    def handle_data(self, data: str) -> None:
        if self.area:
            self.areas[self.area] += data
        else:
            self.words.append(data)

    def all(self, tag: str, **attributes: str) -> list[dict[str, str]]:
        return [
            found
            for name, found in self.tags
            if name == tag and all(found.get(key) == value for key, value in attributes.items())
        ]

    def form(self) -> list[tuple[str, str]]:
        """Return what a browser would send, without the button."""
        pairs = [
            (each["name"], each.get("value", ""))
            for each in self.all("input")
            if "name" in each and each.get("type") != "file"
        ]
        chosen: dict[str, str] = {}
        name = ""
        for tag, found in self.tags:
            if tag == "select":
                name = found["name"]
            elif tag == "option" and "selected" in found:
                chosen[name] = found["value"]
        pairs += [(each["name"], chosen.get(each["name"], "")) for each in self.all("select")]
        return pairs + [(name, text.removeprefix("\n")) for name, text in self.areas.items()]

    def with_(self, *typed: tuple[str, str]) -> list[tuple[str, str]]:
        """Return the same with other texts in some fields, and what else is sent."""
        names = {name for name, _ in typed}
        return [pair for pair in self.form() if pair[0] not in names] + list(typed)


@pytest.fixture(scope="session")
def page_of() -> Callable[[Pairs], Page]:
    """Return what the working page makes of a form, without a server in between."""

    def make(pairs: Pairs = ()) -> Page:
        return Page(job_page(pairs).body.decode())

    return make


@pytest.fixture(scope="session")
def read_page() -> Callable[[str], Page]:
    return Page


@pytest.fixture(scope="session")
def send(client: TestClient) -> Callable[..., Response]:
    """Send a form to an address of the application."""

    def sent(address: str, pairs: Pairs) -> Response:
        fields: dict[str, list[str]] = {}
        for name, value in pairs:
            fields.setdefault(name, []).append(value)
        return client.post(address, data=fields)

    return sent
