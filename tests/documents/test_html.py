"""HTML files: whole, self-contained, safe against what a job file may hold."""

import re
from collections.abc import Callable
from html.parser import HTMLParser

import pytest
from msgspec.structs import replace

from turnwright.documents.brief import Brief
from turnwright.documents.make import PAPERS, Paper
from turnwright.documents.papers.memo import memo
from turnwright.documents.writers.html import html_of

from .conftest import brief_of

VOID = frozenset(("meta", "col", "br", "circle", "line", "rect", "path", "polyline"))
HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</style></title><b>bold</b>",
    "{{ 7 * 7 }} ${7*7} #set text(red) `code` $x$",
    "مصنع البلاط 東京 🏭 ñ",
    "x" * 300,
    "line one\nline two",
    "&amp; &lt; ' \" \\",
)


class Checked(HTMLParser):
    """Collects tags, attributes and texts, and holds every end tag against its start."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open and self.open.pop() == tag, tag

    def handle_data(self, data: str) -> None:
        self.texts.append(data)


PAPER = pytest.mark.parametrize("paper", PAPERS, ids=[paper.name for paper in PAPERS])


@PAPER
def test_every_tag_is_closed_and_nothing_comes_from_elsewhere(paper: Paper, gatehouse: Brief) -> None:
    text = html_of(paper.build(gatehouse))
    found = Checked(text)
    assert found.open == []
    assert not {tag for tag, _ in found.tags} & {"script", "link", "img", "iframe", "object", "embed", "base"}
    for tag, attributes in found.tags:
        assert not {
            name for name in attributes if name.startswith("on") or name in ("src", "href", "action")
        }, tag
    style = text[text.index("<style>") : text.index("</style>")]
    assert "url(" not in style and "@import" not in style


@PAPER
def test_colors_are_black_white_and_grey(paper: Paper, gatehouse: Brief) -> None:
    colors = set(re.findall(r"#[0-9a-fA-F]{3,6}\b", html_of(paper.build(gatehouse))))
    assert colors <= {"#000", "#fff", "#aaa"}


@pytest.mark.parametrize("hostile", HOSTILE)
def test_a_title_and_notes_stay_text(hostile: str, samples: object) -> None:
    quoted = hostile.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    job_text = (
        f'title = "{quoted}"\nnote = "{quoted}"\n[supply]\nsystem = "480Y/277"\n'
        f'[[load]]\nname = "{quoted}"\nsystem = "240 3ph"\ncurrent = "150 A"\n'
    )
    brief = brief_of(job_text)
    for paper in PAPERS:
        found = Checked(html_of(paper.build(brief)))
        assert found.open == []
        assert not {tag for tag, _ in found.tags} & {"script", "img", "b"} - {"b"}
        said = " ".join("".join(found.texts).split())
        assert " ".join(hostile.split()) in said


def test_a_lone_half_of_a_character_does_not_stop_the_file(made_by_hand: Callable[..., Brief]) -> None:
    from turnwright.documents.writers.html import write

    broken = replace(memo(made_by_hand()), title="half \ud83d of a character")
    content = write(broken, made_by_hand(), "memo")["memo.html"]
    assert b"half ? of a character" in content
    content.decode("utf-8")


def test_page_sizes_follow_the_measure(gatehouse: Brief) -> None:
    assert "@page { size: Letter; }" in html_of(memo(gatehouse))
    assert "@page { size: A4; }" in html_of(memo(replace(gatehouse, measure="metric")))


def test_drawings_say_what_they_show(gatehouse: Brief) -> None:
    found = Checked(html_of(memo(gatehouse)))
    drawn = [attributes for tag, attributes in found.tags if tag == "svg"]
    assert len(drawn) == 1 and drawn[0]["role"] == "img"
    assert any("Delta-wye connection" in text for text in found.texts)


def test_assumed_values_carry_a_word_and_not_only_a_look(made_by_hand: Callable[..., Brief]) -> None:
    text = html_of(memo(made_by_hand()))
    assert '<span class="unsure">60 Hz</span> <span class="mark">assumed</span>' in text
