"""What a request carries, and the response that a reply becomes.

==========  ======================================
code        what is wrong
==========  ======================================
``WEB-12``  a form of more fields than are read
``WEB-15``  a file that is no text
==========  ======================================
"""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import parse_qsl, quote

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from turnwright.errors import InputError, TurnwrightError
from turnwright.web.job.form import MOST_FIELDS
from turnwright.web.reply import Reply, html

FORM = "application/x-www-form-urlencoded"
WITH_FILES = "multipart/form-data"
MOST_FILES = 4
FOR_PROGRAMS = "/api/"
MOST_PAIRS = MOST_FIELDS + 1000

Refuse = Callable[[Request, TurnwrightError, int], Response]


def kind_of_body(request: Request) -> str:
    """Return what kind of body a request says it has."""
    return request.headers.get("content-type", "").partition(";")[0].strip().casefold()


async def pairs_of(request: Request) -> list[tuple[str, str]]:
    """Return the names and texts of a form; a file in it is read as the text it holds, whatever it is called.

    Raises:
        HTTPException: 415.
        InputError: WEB-12, WEB-15.
    """
    if kind_of_body(request) == WITH_FILES:
        return await _pairs_with_files(request)
    if kind_of_body(request) != FORM:
        raise HTTPException(415)
    text = (await request.body()).decode("utf-8", "replace")
    try:
        return parse_qsl(text, keep_blank_values=True, errors="replace", max_num_fields=MOST_PAIRS)
    except ValueError:
        what = f"it has more than {MOST_PAIRS} fields."
        raise InputError("WEB-12", "form", what, "Give the job as its file.") from None


async def _pairs_with_files(request: Request) -> list[tuple[str, str]]:
    try:
        async with request.form(max_files=MOST_FILES, max_fields=MOST_PAIRS) as form:
            found = [
                (name, value if isinstance(value, str) else text_of(await value.read(), name))
                for name, value in form.multi_items()
            ]
    except HTTPException as error:
        raise InputError("FILE-05", "form", f"cannot be read ({error.detail}).", "Send it again.") from None
    return found


def text_of(data: bytes, where: str) -> str:
    """Return the text of a file that was sent.

    Raises:
        InputError: FILE-03, WEB-15.

    Example:
        >>> text_of(b"time,load_pu\\r\\n", "file")
        'time,load_pu\\n'
    """
    if b"\0" in data:
        fix = "Save what it holds as text: CSV, TOML or JSON."
        raise InputError("WEB-15", where, "this is no text.", fix)
    try:
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        place = f"{where}, line {data[: error.start].count(10) + 1}"
        raise InputError("FILE-03", place, "is not UTF-8 text.", "Save it as UTF-8.") from None


def response_of(reply: Reply) -> Response:
    """Return a reply as it goes to the browser."""
    response = Response(reply.body, reply.status, media_type=None, headers={"Content-Type": reply.kind})
    if reply.file_name:
        name = quote(reply.file_name, safe="")
        response.headers["Content-Disposition"] = f"attachment; filename=\"{name}\"; filename*=UTF-8''{name}"
    return response


def shown(text: str, status: int = 200) -> Response:
    """Return a page as it goes to the browser."""
    return response_of(html(text, status))
