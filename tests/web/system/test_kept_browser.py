"""Jobs kept, put together, compared, and a stock list, as a person does it in the Chromium of the system."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.system
expect.set_options(timeout=30_000)
EXAMPLES = Path(__file__).parents[3] / "examples"
PHONE = {"width": 390, "height": 844}


@pytest.fixture(scope="module")
def kept_address(tmp_path_factory):
    """Pages with a store of their own."""
    url = f"sqlite:///{tmp_path_factory.mktemp('kept') / 'jobs.sqlite'}"
    words = [sys.executable, "-m", "turnwright", "serve", "--no-browser", "--format", "json", "--store", url]
    with subprocess.Popen(
        words, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, start_new_session=True
    ) as process:
        assert process.stdout is not None
        yield json.loads(process.stdout.readline())["address"]
        process.send_signal(signal.SIGINT)


@pytest.fixture
def someone(browser, kept_address):
    """Open the pages as one more person; nothing may go wrong in their browser."""
    contexts, trouble = [], []

    def come(path: str = "", *, scripts: bool = True, size: dict[str, int] | None = None) -> Page:
        context = browser.new_context(
            java_script_enabled=scripts, viewport=size or {"width": 1100, "height": 900}
        )
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(60_000)
        page.on("pageerror", lambda error: trouble.append(str(error)))
        page.on("console", lambda said: said.type == "error" and trouble.append(said.text))
        page.goto(kept_address + path)
        return page

    yield come
    for context in contexts:
        context.close()
    assert trouble == []


def opened(page: Page, name: str) -> Page:
    page.set_input_files("#file", EXAMPLES / f"{name}.toml")
    page.get_by_role("button", name="Open", exact=True).click()
    page.wait_for_selector("#h-answer")
    return page


def keep(page: Page, name: str, by: str) -> None:
    page.fill('[name="kept_name"]', name)
    page.fill('[name="kept_by"]', by)
    page.get_by_role("button", name="Keep as a revision").click()


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_two_people_keep_one_job_and_put_it_together(someone, scripts: bool) -> None:
    name = f"quay {scripts}"
    first = opened(someone(scripts=scripts), "pump-house")
    keep(first, name, "Ines")
    expect(first.locator("#kept-said")).to_contain_text("Kept as revision 1")
    second = someone("jobs", scripts=scripts)
    second.get_by_role("link", name=name, exact=True).click()
    second.get_by_role("button", name="Go on from this revision").click()
    second.fill('[name="f.choices.growth"]', "20 %")
    keep(second, name, "Olav")
    expect(second.locator("#kept-said")).to_contain_text("Kept as revision 2")
    first.fill('[name="f.load[0].size"]', "180 A")
    keep(first, name, "Ines")
    expect(first.locator("h1")).to_contain_text("somebody saved meanwhile")
    first.get_by_role("button", name="Keep both put together").click()
    expect(first.locator("#kept-said")).to_contain_text("Kept as revision 3")
    first.goto(first.url.rpartition("/jobs")[0] + f"/jobs/history?job={name}")
    first.get_by_role("button", name="Compare the two").click()
    expect(first.locator(".lead").first).to_contain_text("1 fact changed")


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_stock_list_beside_the_job(someone, scripts: bool) -> None:
    page = opened(someone(scripts=scripts), "gatehouse")
    page.get_by_role("button", name="Look through a stock list").click()
    page.set_input_files("#file", EXAMPLES / "yard.csv")
    page.get_by_role("button", name="Read the list").click()
    page.get_by_role("button", name="Judge this list").click()
    expect(page.locator(".lead").first).to_contain_text("would do this job")
    expect(page.locator("table.kept").first).to_contain_text("Q-01")


def test_no_page_is_too_wide_or_hard_to_use(someone) -> None:
    """Width on a phone, and what axe-core finds by the rules of WCAG."""
    page = opened(someone(size=PHONE), "gatehouse")
    keep(page, "for the phone", "Ines")
    page.wait_for_selector("#kept-said")
    home = page.url.rpartition("/jobs")[0]
    found = []
    for path in (
        "/jobs",
        "/jobs/history?job=for the phone",
        "/jobs/revision?job=for the phone",
        "/jobs/recheck",
        "/compare",
        "/stock",
        "/offer",
    ):
        page.goto(home + path)
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"], path
        for finding in Axe().run(page).response["violations"]:
            if finding["impact"] in ("serious", "critical"):
                found.append((path, finding["id"], finding["nodes"][0]["html"][:160]))
    assert found == []
