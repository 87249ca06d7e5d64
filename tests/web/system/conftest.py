"""Pages served by a process of their own, seen in the Chromium of the system."""

from __future__ import annotations

import json
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

EXAMPLES = Path(__file__).parents[3] / "examples"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
DESK = {"width": 1100, "height": 900}
PHONE = {"width": 390, "height": 844}


class Served:
    """`turnwright serve` on one port; it can be ended and started again there."""

    def __init__(self) -> None:
        self.port = 0
        self.start()

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}/"

    def start(self) -> None:
        words = [sys.executable, "-m", "turnwright", "serve", "--no-browser", "--format", "json"]
        self.process = subprocess.Popen(
            [*words, "--port", str(self.port)], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        )
        assert self.process.stdout is not None
        self.port = int(json.loads(self.process.stdout.readline())["address"].rpartition(":")[2].strip("/"))

    def end(self) -> None:
        self.process.send_signal(signal.SIGINT)
        assert self.process.wait(timeout=20) == 0
        assert self.process.stdout is not None
        self.process.stdout.close()


@pytest.fixture(scope="session")
def served() -> Iterator[Served]:
    served = Served()
    yield served
    served.end()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    if CHROMIUM is None:
        pytest.skip("needs the program chromium")
    with sync_playwright() as playwright:
        # Chromium as root has no sandbox of its own.
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture
def seen(browser: Browser, served: Served) -> Iterator[Callable[..., Page]]:
    """Open the pages in a window of a size, with or without JavaScript; nothing may be fetched from elsewhere."""
    contexts: list[BrowserContext] = []
    trouble: list[str] = []

    def open_page(
        path: str = "", *, scripts: bool = True, size: dict[str, int] = DESK, dark: bool = False
    ) -> Page:
        context = browser.new_context(
            viewport=size,
            java_script_enabled=scripts,
            color_scheme="dark" if dark else "light",
            accept_downloads=True,
        )
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(15_000)
        page.on("request", lambda asked: asked.url.startswith(served.address) or trouble.append(asked.url))
        page.on("pageerror", lambda error: trouble.append(str(error)))
        page.on("console", lambda said: said.type == "error" and trouble.append(said.text))
        page.goto(served.address + path)
        return page

    open_page.trouble = trouble  # type: ignore[attr-defined]
    yield open_page
    for context in contexts:
        context.close()
    assert trouble == []


@pytest.fixture
def with_job(seen: Callable[..., Page]) -> Callable[..., Page]:
    """Open the pages with an example job."""

    def open_job(name: str, **how: object) -> Page:
        page = seen(**how)
        page.set_input_files("#file", EXAMPLES / f"{name}.toml")
        page.get_by_role("button", name="Open", exact=True).click()
        page.wait_for_selector("#h-answer")
        return page

    return open_job
