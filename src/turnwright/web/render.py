"""Templates to HTML. Everything that is put into one is escaped."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

import jinja2
import msgspec

from turnwright.documents.words.figures import short_digest
from turnwright.documents.words.phrases import CAUTION, shown
from turnwright.reference import digest
from turnwright.version import __version__

HTMX = {
    "includeIndicatorStyles": False,
    "allowEval": False,
    "allowScriptTags": False,
    "selfRequestsOnly": True,
    "historyEnabled": False,
    "timeout": 120_000,
}
"""Settings of htmx: nothing evaluated, nothing injected, nothing sent elsewhere."""


@cache
def _environment() -> jinja2.Environment:
    made = jinja2.Environment(
        loader=jinja2.PackageLoader("turnwright.web"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    made.filters["shown"] = shown
    made.filters["slug"] = slug
    made.globals.update(
        htmx=msgspec.json.encode(HTMX).decode(),
        caution=CAUTION,
        version=__version__,
        tables_digest=short_digest(digest()),
    )
    return made


def page(name: str, context: Mapping[str, Any]) -> str:
    """Return a template filled in."""
    return _environment().get_template(f"{name}.html").render(context)


def slug(text: object) -> str:
    """Return a text as a part of an address inside a page.

    Example:
        >>> slug("load[0].current"), slug("4/0 AWG")
        ('load-0--current', '4-0-AWG')
    """
    return "".join(letter if letter.isascii() and letter.isalnum() else "-" for letter in str(text)).strip(
        "-"
    )
