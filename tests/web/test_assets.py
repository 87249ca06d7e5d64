"""What the pages are made of: shipped, licensed, small, readable."""

import hashlib
import re
from pathlib import Path

import pytest

import turnwright.web
from turnwright.web.render import HTMX

WEB = Path(turnwright.web.__file__).parent
STATIC = WEB / "static"
FIRST_PAGE_BYTES = 100_000
READABLE = 4.5
"""Contrast of text: WCAG 2.2, success criterion 1.4.3, level AA."""


def test_the_shipped_library_is_the_one_named_with_its_licence() -> None:
    digest = hashlib.sha256((STATIC / "htmx.min.js").read_bytes()).hexdigest()
    assert digest in (STATIC / "README.md").read_text(encoding="utf-8")
    assert "Zero-Clause BSD" in (STATIC / "htmx.LICENSE.txt").read_text(encoding="utf-8")


def test_it_evaluates_nothing_and_injects_nothing() -> None:
    assert not HTMX["allowEval"]
    assert not HTMX["includeIndicatorStyles"]
    assert not HTMX["allowScriptTags"]
    assert HTMX["selfRequestsOnly"]


def test_nothing_is_fetched_from_elsewhere() -> None:
    for path in [*STATIC.glob("*.css"), *STATIC.glob("*.js"), *(WEB / "templates").glob("*.html")]:
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"(?:https?:)?//[a-z]+\.[a-z]", text), path.name
        assert "@import" not in text
        assert "url(" not in text


def test_the_first_page_is_small(client) -> None:
    addresses = ("/", "/static/pages.css", "/static/pages.js", "/static/htmx.min.js", "/static/mark.svg")
    assert sum(len(client.get(address).content) for address in addresses) < FIRST_PAGE_BYTES


def luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.2."""
    digits = colour.removeprefix("#")
    digits = "".join(digit * 2 for digit in digits) if len(digits) == 3 else digits
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("scheme", [0, 1, 2])
def test_text_can_be_read_in_light_in_dark_and_on_paper(scheme: int) -> None:
    css = (STATIC / "pages.css").read_text(encoding="utf-8")
    blocks = [
        dict(re.findall(r"--(\w+): (#[0-9a-f]{3,6})", block))
        for block in re.findall(r":root \{([^}]*)\}", css)
    ]
    colours = blocks[0] | blocks[scheme]
    for text in ("ink", "quiet", "strong"):
        for ground in ("paper", "faint"):
            if scheme < 2 or ground == "paper":
                assert contrast(colours[text], colours[ground]) >= READABLE, (text, ground)
