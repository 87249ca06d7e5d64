"""The pages in a real browser: mouse, keyboard, phone, no JavaScript, paper, a server that was started again."""

from __future__ import annotations

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

pytestmark = [
    pytest.mark.system,
    pytest.mark.filterwarnings("ignore::ResourceWarning"),
    pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning"),
]
PHONE = {"width": 390, "height": 844}
LEAD = ".answer .lead"
SCRIPTS = pytest.mark.parametrize("scripts", [True, False], ids=["with-scripts", "without-scripts"])


def typed(page: Page, field: str, text: str) -> None:
    """Type a fact into its field and press Enter, as a person does."""
    page.fill(f'[name="{field}"]', text)
    page.press(f'[name="{field}"]', "Enter")


@SCRIPTS
def test_a_new_user_takes_a_job_from_nothing_to_a_pdf(seen, tmp_path: Path, scripts: bool) -> None:
    page = seen(scripts=scripts)
    typed(page, "f.supply.system", "480Y/277")
    expect(page.locator(LEAD)).to_contain_text("Not enough is known")
    typed(page, "f.load[0].system", "240 3ph")
    page.wait_for_selector('input[name="base"][value*="240 3ph"]', state="attached")
    typed(page, "f.load[0].size", "150 A")
    expect(page.locator(LEAD)).to_contain_text("One three-phase 75 kVA unit")
    with page.expect_download() as started:
        page.get_by_role("button", name="PDF of the selection memo").click()
    path = tmp_path / "memo.pdf"
    started.value.save_as(path)
    assert path.read_bytes().startswith(b"%PDF")
    assert started.value.suggested_filename == "job-memo.pdf"
    expect(page.locator(LEAD)).to_contain_text("75 kVA")


@SCRIPTS
def test_a_pasted_request_becomes_facts(seen, scripts: bool) -> None:
    page = seen(scripts=scripts)
    page.fill("#f-note", "Supply is 480Y/277. The pumps want 240 V three-phase, 150 A.")
    page.get_by_role("button", name="Read it").click()
    expect(page.locator(LEAD)).to_contain_text("75 kVA")
    expect(page.locator("#d-load-0--size")).to_contain_text("from the request: “150 A”")


@SCRIPTS
def test_a_half_known_job_goes_through_its_questions(with_job, scripts: bool) -> None:
    page = with_job("pump-house", scripts=scripts)
    asked = page.locator(".question").inner_text()
    page.locator(".choices button", has_text="25 %").click()
    expect(page.locator(".moved")).to_contain_text("The size went from 75 to 112.5 kVA")
    expect(page.locator(".question")).not_to_have_text(asked)
    for _ in range(3):
        before = page.locator(".question").inner_text()
        page.get_by_role("button", name="Nobody knows").click()
        expect(page.locator(".story li").last).to_contain_text("unknown")
        if page.locator(".question").count() == 0 or page.locator(".question").inner_text() == before:
            break
    expect(page.locator(LEAD)).to_contain_text("kVA")


@SCRIPTS
def test_wrong_input_is_told_at_its_field_and_stays(with_job, scripts: bool) -> None:
    page = with_job("gatehouse", scripts=scripts)
    typed(page, "f.load[0].size", "52 volts")
    expect(page.locator("#p-load-0--size")).to_contain_text("Cannot be used")
    expect(page.locator('[name="f.load[0].size"]')).to_have_value("52 volts")
    expect(page.locator(LEAD)).to_contain_text("75 kVA")
    typed(page, "f.load[0].size", "54 A")
    expect(page.locator("#p-load-0--size")).to_have_count(0)
    expect(page.locator(".moved")).to_contain_text("The size stays")


@SCRIPTS
def test_a_number_opens_down_to_its_table_cell(with_job, scripts: bool) -> None:
    page = with_job("gatehouse", scripts=scripts)
    page.locator('button.why[value="sides.device protection.primary_a"]').click()
    working = page.locator(".unfolds .working")
    expect(working).to_contain_text("450.3(B)")
    link = working.locator('a[href="/tables/nec_450_3b#r-P1"]')
    with page.context.expect_page() as opened:
        link.click()
    expect(opened.value.locator("tr#r-P1")).to_contain_text("125")
    page.get_by_role("button", name="Fold up").click()
    expect(working).to_have_count(0)


@SCRIPTS
def test_undo_and_the_story(with_job, scripts: bool) -> None:
    page = with_job("gatehouse", scripts=scripts)
    typed(page, "f.choices.growth", "60 %")
    expect(page.locator(".story")).to_contain_text("growth: 60 %")
    page.locator(".story button", has_text="undo").click()
    expect(page.locator(".story")).to_have_count(0)
    expect(page.locator('[name="f.choices.growth"]')).to_have_value("20 %")


def test_a_choice_counts_at_once_and_the_focus_stays(with_job) -> None:
    page = with_job("gatehouse")
    page.focus('[name="f.site.place"]')
    page.select_option('[name="f.site.place"]', "outdoor")
    expect(page.locator(".story")).to_contain_text("place: outdoor")
    expect(page.locator('[name="f.site.place"]')).to_be_focused()
    assert "kVA" in page.locator("#said").inner_text()


def test_two_windows_do_not_mix(with_job) -> None:
    one, other = with_job("gatehouse"), with_job("pump-house")
    typed(one, "f.choices.growth", "60 %")
    expect(one.locator(".moved")).to_be_visible()
    other.locator(".choices button", has_text="25 %").click()
    expect(other.locator(".moved")).to_contain_text("112.5")
    expect(one.locator("h1")).to_contain_text("gatehouse")
    expect(other.locator("h1")).to_contain_text("pump house")


def test_going_back_shows_the_state_before_and_goes_on_from_there(with_job) -> None:
    page = with_job("gatehouse", scripts=False)
    typed(page, "f.choices.growth", "60 %")
    expect(page.locator(".moved")).to_be_visible()
    page.go_back()
    expect(page.locator("h1")).to_contain_text("gatehouse")
    typed(page, "f.load[0].power_factor", "0.9")
    expect(page.locator(".story")).to_contain_text("power factor: 0.9")
    expect(page.locator(".story")).not_to_contain_text("60 %")


def test_a_server_started_again_in_between_loses_nothing(with_job, served, seen) -> None:
    page = with_job("gatehouse")
    served.end()
    page.fill('[name="f.choices.growth"]', "60 %")
    page.press('[name="f.choices.growth"]', "Enter")
    expect(page.locator("#trouble")).to_contain_text("What you typed still stands here")
    expect(page.locator('[name="f.choices.growth"]')).to_have_value("60 %")
    seen.trouble.clear()  # the browser has said that nobody answered
    served.start()
    page.press('[name="f.choices.growth"]', "Enter")
    expect(page.locator(".moved")).to_contain_text("its loading went from 63 % to 84 %")
    expect(page.locator("#trouble")).to_be_hidden()


def test_everything_can_be_done_with_the_keyboard(seen) -> None:
    page = seen()
    page.keyboard.press("Tab")
    expect(page.locator(".skip")).to_be_focused()
    reached: list[str] = []
    for _ in range(40):
        page.keyboard.press("Tab")
        name = page.evaluate("document.activeElement.name || document.activeElement.textContent.trim()")
        reached.append(name)
        if name == "f.supply.system":
            page.keyboard.type("480Y/277")
        if name == "f.load[0].system":
            page.keyboard.type("240 3ph")
        if name == "f.load[0].size":
            page.keyboard.type("150 A")
            page.keyboard.press("Enter")
            break
    expect(page.locator(LEAD)).to_contain_text("75 kVA")
    assert reached.index("f.note") < reached.index("f.supply.system") < reached.index("f.load[0].size")
    page.locator(".choices button").first.focus()
    page.keyboard.press("Enter")
    expect(page.locator(".story")).to_contain_text("growth")
    page.wait_for_load_state("networkidle")
    page.wait_for_timeout(500)  # the page puts the focus on the next question first
    page.locator("button.why").first.focus()
    page.keyboard.press("Space")
    expect(page.locator(".working")).to_be_visible()
    assert page.evaluate("document.activeElement.getAttribute('aria-expanded')") == "true"


def test_the_focus_can_be_seen(with_job) -> None:
    page = with_job("gatehouse")
    for selector in ("button.why", 'input[name="f.title"]', "nav a"):
        page.keyboard.press("Tab")
        page.locator(selector).first.focus()
        outline = page.evaluate("getComputedStyle(document.activeElement).outlineWidth")
        assert outline == "3px", selector


@pytest.mark.parametrize("name", ["gatehouse", "bakery", "pump-house"])
@pytest.mark.parametrize(
    "size", [PHONE, {"width": 320, "height": 640}, {"width": 1920, "height": 1080}], ids=str
)
def test_no_window_is_too_narrow(with_job, name: str, size: dict[str, int]) -> None:
    page = with_job(name, size=size)
    page.locator("button[name=more]").first.click()
    page.wait_for_selector('button[name=more][aria-expanded="true"]')
    if page.locator("button.why").count():
        page.locator("button.why").first.click()
        page.wait_for_selector(".working")
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]


@pytest.mark.parametrize(
    "path",
    [
        "vet",
        "study",
        "study/year",
        "study/network",
        "paper",
        "access",
        "tables",
        "tables/nec_450_3b",
        "rules",
        "rules/bond-once",
        "cautions",
        "nothing",
    ],
)
def test_no_other_page_is_too_wide_for_a_phone(seen, path: str) -> None:
    page = seen(path, size=PHONE)
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    seen.trouble[:] = [each for each in seen.trouble if "404" not in each]


def states(with_job, seen):
    """Yield the main states of the pages with their name."""
    yield "empty", seen()
    for dark in (False, True):
        page = with_job("gatehouse", dark=dark)
        typed(page, "f.choices.growth", "60 %")
        page.wait_for_selector(".moved")
        page.locator("button.why").nth(4).click()
        page.wait_for_selector(".working")
        yield f"answer, moved, unfolded, {'dark' if dark else 'light'}", page
        typed(page, "f.load[0].size", "52 volts")
        page.wait_for_selector(".wrong")
        yield "error", page
    page = with_job("pump-house")
    page.locator("button[name=more]").nth(1).click()
    page.wait_for_selector('button[name=more][aria-expanded="true"]')
    yield "opened", page
    yield "refused", with_job("bakery", size=PHONE)
    page = with_job("gatehouse", dark=True, size=PHONE)
    page.get_by_role("button", name="Short circuits").click()
    page.wait_for_selector("#h-grid-1")
    page.locator("button.why").first.click()
    page.wait_for_selector(".working")
    yield "in depth", page
    others = ("vet", "study", "study/year", "study/network", "paper", "access", "tables", "tables/nec_450_3b")
    for path in (*others, "rules/bond-once", "cautions"):
        yield path, seen(path)


def test_no_serious_finding_of_accessibility(with_job, seen) -> None:
    """By axe-core, which checks WCAG rules; a finding names the rule and the element."""
    found = []
    for name, page in states(with_job, seen):
        for finding in Axe().run(page).response["violations"]:
            if finding["impact"] in ("serious", "critical"):
                found.append((name, finding["id"], finding["nodes"][0]["html"][:160]))
    assert found == []


def test_it_prints_in_black_without_buttons(with_job) -> None:
    page = with_job("gatehouse")
    page.emulate_media(media="print")
    assert page.locator(".lead").first.is_visible()
    for selector in (".acts", ".choices", "nav", ".papers", "button[name=more]", ".open"):
        for each in page.locator(selector).all():
            assert not each.is_visible(), selector
    assert page.evaluate("getComputedStyle(document.body).color") in ("rgb(0, 0, 0)", "rgb(17, 17, 17)")
    assert len(page.pdf(format="Letter")) > 10_000


def test_a_unit_is_judged_beside_the_job(with_job) -> None:
    page = with_job("gatehouse")
    page.get_by_role("button", name="Check a unit that exists").click()
    page.wait_for_selector("#h-plate")
    for name, text in (("kva", "45 kVA"), ("primary", "480 delta"), ("secondary", "208Y/120")):
        page.fill(f'[name="u.{name}"]', text)
    page.get_by_role("button", name="Judge it").last.click()
    expect(page.locator(LEAD)).to_contain_text("does not do this job")
    page.get_by_role("button", name="Back to the job").click()
    expect(page.locator(LEAD)).to_contain_text("75 kVA")


@SCRIPTS
def test_a_question_in_depth_and_back_with_nothing_lost(with_job, scripts: bool) -> None:
    page = with_job("gatehouse", scripts=scripts)
    typed(page, "f.choices.growth", "60 %")
    expect(page.locator(".story")).to_contain_text("growth: 60 %")
    page.get_by_role("button", name="Short circuits").click()
    expect(page.locator(LEAD)).to_contain_text("short circuit after the unit")
    said = page.locator(LEAD).inner_text()
    page.fill('[name="o.voltage_factor"]', "1.1")
    page.get_by_role("button", name="Examine").last.click()
    expect(page.locator(LEAD)).not_to_have_text(said)
    page.get_by_role("button", name="Back to the job").click()
    expect(page.locator(".story")).to_contain_text("growth: 60 %")


def test_the_answer_stays_in_sight(with_job) -> None:
    page = with_job("gatehouse", size={"width": 1280, "height": 900})
    page.locator('[name="f.choices.growth"]').scroll_into_view_if_needed()
    page.evaluate("window.scrollTo(0, 1500)")
    assert page.locator(LEAD).evaluate("each => each.getBoundingClientRect().top") < 60


def test_markup_in_a_job_does_nothing(seen, tmp_path: Path) -> None:
    markup = "<img src=x onerror=alert(1)></textarea><script>alert(2)</script>"
    job = tmp_path / "job.toml"
    job.write_text(
        f'title = "{markup}"\nnote = "{markup}"\nsupply.system = "480Y/277"\n[[load]]\nname = "{markup}"\n'
        'system = "208Y/120"\nkva = "22 kVA"\n',
        encoding="utf-8",
    )
    page = seen()
    page.on("dialog", lambda dialog: seen.trouble.append(dialog.message))
    page.set_input_files("#file", job)
    page.get_by_role("button", name="Open", exact=True).click()
    expect(page.locator("h1")).to_have_text(markup)
    typed(page, "f.choices.growth", "20 %")
    expect(page.locator(".story")).to_contain_text("growth")
    assert page.locator("img").count() == 0
