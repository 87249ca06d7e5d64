"""Addresses of these pages."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from starlette.exceptions import HTTPException
from starlette.formparsers import MultiPartException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from turnwright.errors import InputError
from turnwright.web.kept import comparing, jobs, offers, saving, stock
from turnwright.web.reply import Reply

MOST_FIELDS = 3_000
FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")
FILE = "file"

Run = Callable[..., Awaitable[Reply]]
Respond = Callable[[Reply], Response]
Handler = Callable[[Request], Awaitable[Response]]


def kept_routes(run: Run, respond: Respond) -> list[Route]:
    """Return the routes.

    run     : runs an answer for a request, in a worker of its own
    respond : makes a response of what comes back
    """

    def asked(answer: Callable[..., Reply]) -> Handler:
        """Answer an address by its query."""

        async def endpoint(request: Request) -> Response:
            query = list(request.query_params.multi_items())
            return respond(await run(request, answer, _store(request), query))

        return endpoint

    def sent(answer: Callable[..., Reply]) -> Handler:
        """Answer a form, with the file in it if there is one."""

        async def endpoint(request: Request) -> Response:
            pairs, file = await _form(request)
            return respond(await run(request, answer, _store(request), pairs, file))

        return endpoint

    return [
        Route("/jobs", asked(jobs.jobs_page), methods=["GET"]),
        Route("/jobs/history", asked(jobs.history_page), methods=["GET"]),
        Route("/jobs/revision", asked(jobs.revision_page), methods=["GET"]),
        Route("/jobs/recheck", asked(jobs.recheck_page), methods=["GET"]),
        Route("/jobs/save", sent(saving.save_page), methods=["POST"]),
        Route("/compare", asked(comparing.asked_page), methods=["GET"]),
        Route("/compare", sent(comparing.sent_page), methods=["POST"]),
        Route("/stock", asked(stock.empty_page), methods=["GET"]),
        Route("/stock", sent(stock.sent_page), methods=["POST"]),
        Route("/offer", asked(offers.empty_page), methods=["GET"]),
        Route("/offer", sent(offers.sent_page), methods=["POST"]),
    ]


def _store(request: Request) -> str | None:
    found: str | None = getattr(request.app.state, "store", None)
    return found


async def _form(request: Request) -> tuple[list[tuple[str, str]], tuple[str, bytes] | None]:
    """Return the texts of a form, and the name and content of its file.

    Raises:
        HTTPException: 415.
        InputError: FILE-05.
    """
    kind = request.headers.get("content-type", "").partition(";")[0].strip().casefold()
    if kind not in FORMS:
        raise HTTPException(415)
    file: tuple[str, bytes] | None = None
    pairs: list[tuple[str, str]] = []
    try:
        async with request.form(max_files=1, max_fields=MOST_FIELDS, max_part_size=1_000_000) as form:
            for name, value in form.multi_items():
                if isinstance(value, str):
                    pairs.append((name, value))
                elif name == FILE and value.filename:
                    file = value.filename, await value.read()
    except MultiPartException as error:
        raise InputError("FILE-05", "form", f"cannot be read ({error.message}).", "Send it again.") from None
    return pairs, file
