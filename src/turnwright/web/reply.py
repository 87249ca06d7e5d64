"""What comes back for a request: a status, a kind of content, the content."""

from __future__ import annotations

from typing import Any, NamedTuple

from turnwright.errors import TurnwrightError
from turnwright.model.as_json import dumps

HTML = "text/html; charset=utf-8"
JSON = "application/json"
TOML = "application/toml; charset=utf-8"
KINDS = {
    "html": HTML,
    "pdf": "application/pdf",
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "zip": "application/zip",
    "svg": "image/svg+xml",
    "dxf": "image/vnd.dxf",
}
"""Form of a paper -> its content type."""
OTHER_KIND = "application/octet-stream"


class Reply(NamedTuple):
    """An answer, whole. `file_name` makes it a file to be saved."""

    status: int
    kind: str
    body: bytes
    file_name: str = ""


def html(text: str, status: int = 200) -> Reply:
    """Return a page."""
    return Reply(status, HTML, text.encode("utf-8", "replace"))


def as_json(data: dict[str, Any], status: int = 200) -> Reply:
    """Return a mapping as JSON."""
    return Reply(status, JSON, dumps(data).encode("utf-8", "replace"))


def refusal(error: TurnwrightError, status: int = 400) -> Reply:
    """Return an error as programs read it.

    Example:
        >>> refusal(TurnwrightError("WEB-04", "body", "is too long.", "Send less."), 413).status
        413
    """
    told = {"code": error.code, "where": error.where, "what": error.what, "fix": error.fix}
    return as_json({"error": told}, status)
