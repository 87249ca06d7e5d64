"""Build the pages into build/docs: python -m docs. Warnings are errors, and so is anything fetched at view time."""

from __future__ import annotations

import re
import shutil
import sys
from pathlib import Path

from sphinx.cmd.build import main as sphinx

from docs.made.pages import made_pages
from docs.made.shown import shown

PAGES = Path(__file__).parent
BUILD = PAGES.parent / "build"
FETCHED = re.compile(
    r"""<(?:script|img|iframe|source|link)\b[^>]*\b(?:src|href)=["'](?:https?:)?//[^"']+["'][^>]*>"""
)
IMPORTED = re.compile(r"""(?:url\(|@import\s+)["']?(?:https?:)?//[^)"']+""")


def main() -> int:
    """Return 1 where a page is wrong."""
    source, out = BUILD / "docs-source", BUILD / "docs"
    for folder in (source, out):
        shutil.rmtree(folder, ignore_errors=True)
    _write_pages(source)
    status = sphinx(["-q", "-W", "--keep-going", "-n", "-b", "html", str(source), str(out)])
    fetched = [
        f"{path.relative_to(out)}: {what}" for path in sorted(out.rglob("*")) for what in _fetched(path)
    ]
    print("\n".join(fetched) or f"{len(list(out.rglob('*.html')))} pages in {out.relative_to(BUILD.parent)}")
    return int(bool(status or fetched))


def _write_pages(source: Path) -> None:
    """Write what Sphinx reads: pages by hand with the answers of their commands, pages made from the code."""
    shutil.copytree(PAGES, source, ignore=shutil.ignore_patterns("made", "__pycache__", "__*.py"))
    for path in sorted(source.rglob("*.md")):
        path.write_text(shown(path.read_text(encoding="utf-8")), encoding="utf-8")
    for name, text in made_pages().items():
        path = source / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")


def _fetched(path: Path) -> list[str]:
    """Return what a file of the built pages would fetch from elsewhere."""
    if path.suffix not in (".html", ".css"):
        return []
    text = path.read_text(encoding="utf-8")
    return FETCHED.findall(text) if path.suffix == ".html" else IMPORTED.findall(text)


if __name__ == "__main__":
    sys.exit(main())
