"""The fleet page as a person uses it in the Chromium of the system: files in, progress, rank, one unit, papers."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from datetime import datetime, timedelta
from math import cos, pi
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.system
PHONE = {"width": 390, "height": 844}
UNITS = (
    "unit,kva,secondary,rise,insulation,no_load_loss,load_loss,time_constant\n"
    "Quay,75,208Y/120,150 K,220 degC,350 W,1950 W,1.5 h\n"
    "Crane,45,208Y/120,115 K,220 degC,250 W,1300 W,1 h\n"
    "Kiosk,30,208Y/120,150 K,220 degC,,,1 h\n"
)
PEAKS = {"Quay": 0.8, "Crane": 1.25, "Kiosk": 0.5}
SECONDS = 90_000


def metered(days: int, step_min: int = 15) -> str:
    """Return loads that come and go with the day, evenly stepped."""
    out = io.StringIO()
    rows = csv.writer(out)
    rows.writerow(("unit", "time", "load_pu", "ambient_c"))
    for unit, peak in PEAKS.items():
        for step in range(days * 24 * 60 // step_min):
            at = datetime(2025, 6, 1) + timedelta(minutes=step_min * step)
            day = 0.5 - 0.5 * cos(2 * pi * (at.hour + at.minute / 60) / 24)
            rows.writerow(
                (unit, f"{at:%Y-%m-%d %H:%M}", f"{peak * (0.3 + 0.7 * day):.3f}", f"{22 + 9 * day:.1f}")
            )
    return out.getvalue()


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[Path], Path]:
    folder = tmp_path_factory.mktemp("fleet")
    good, bad, units = folder / "june.csv", folder / "broken.csv", folder / "units.csv"
    good.write_text(metered(14))
    bad.write_text("nothing of use\n1\n")
    units.write_text(UNITS)
    return [good, bad], units


def send(page: Page, profiles: list[Path], units: Path, title: str) -> Page:
    page.set_input_files("#f-profiles", profiles)
    page.set_input_files("#f-units", units)
    page.fill('[name="o.title"]', title)
    page.fill('[name="o.price_kwh"]', "0.14 USD")
    page.get_by_role("button", name="Follow the units").click()
    return page


def ranked(page: Page) -> Page:
    expect(page.locator("#h-ranked")).to_be_visible(timeout=SECONDS)
    return page


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_files_are_followed_ranked_and_one_unit_is_looked_at(
    seen: Callable[..., Page], files: tuple[list[Path], Path], scripts: bool
) -> None:
    page = ranked(send(seen("fleet", scripts=scripts), *files, f"Ferry harbour {scripts}"))
    names = page.locator("table.ranked tbody th").all_inner_texts()
    assert names[0] == "Crane" and sorted(names) == ["Crane", "Kiosk", "Quay"]
    expect(page.locator(".lead").first).to_contain_text("Crane aged most")
    expect(page.locator("#h-left ~ .body")).to_contain_text("broken.csv")
    page.get_by_role("link", name="Crane", exact=True).click()
    expect(page.locator("h1")).to_have_text("Crane")
    drawings = page.locator("figure.drawing svg")
    assert drawings.count() >= 2
    for number in range(drawings.count()):
        box = drawings.nth(number).bounding_box()
        assert box is not None and box["width"] > 300 and box["height"] > 80
    page.go_back()
    with page.expect_download() as taken:
        page.get_by_role("link", name=re.compile("CSV of all units")).click()
    rows = list(csv.DictReader(Path(taken.value.path()).read_text().splitlines()))
    assert [row["unit"] for row in rows] == names
    page.get_by_role("button", name="Delete these files and their result").click()
    expect(page.get_by_role("link", name=f"Ferry harbour {scripts}")).to_have_count(0)


def test_progress_is_seen_and_a_long_run_can_be_stopped(seen: Callable[..., Page], tmp_path: Path) -> None:
    """A year in minutes: long enough to be seen under way."""
    profiles, units = tmp_path / "long.csv", tmp_path / "units.csv"
    profiles.write_text(metered(365, step_min=1))
    units.write_text(UNITS)
    page = seen("fleet")
    page.set_default_timeout(SECONDS)
    send(page, [profiles], units, "Long one")
    expect(page.locator("#h-state")).to_be_visible(timeout=SECONDS)
    bar = page.get_by_role("progressbar", name="Steps followed")
    expect(bar).to_be_visible(timeout=SECONDS)
    expect(page.locator(".lead").first).to_contain_text("is being followed", timeout=SECONDS)
    page.get_by_role("button", name="Stop").click()
    expect(page.locator(".lead").first).to_contain_text("was stopped", timeout=SECONDS)
    expect(bar).to_have_count(0)


def test_what_is_not_read_is_said_beside_the_files(
    seen: Callable[..., Page], files: tuple[list[Path], Path]
) -> None:
    _, units = files
    page = seen("fleet")
    page.set_input_files("#f-profiles", {"name": "load.txt", "mimeType": "text/plain", "buffer": b"1"})
    page.set_input_files("#f-units", units)
    page.get_by_role("button", name="Follow the units").click()
    expect(page.locator("#p-files")).to_contain_text("of a kind that is not read")


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_no_page_is_too_wide_or_hard_to_use(
    seen: Callable[..., Page], files: tuple[list[Path], Path], dark: bool
) -> None:
    """Width on a phone, and what axe-core finds by the rules of WCAG."""
    page = ranked(send(seen("fleet", size=PHONE, dark=dark), *files, "For the phone"))
    done = page.url
    found = []
    for path in ("/fleet", done, f"{done}/unit/1"):
        page.goto(path if path.startswith("http") else f"{done.partition('/fleet')[0]}{path}")
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"], path
        found += [
            (path, one["id"], one["nodes"][0]["html"][:200]) for one in Axe().run(page).response["violations"]
        ]
    assert found == []
