"""The addresses of the fleet page: files in, progress, result, one unit, papers, stop and delete."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from turnwright.errors import InputError
from turnwright.web.access.gate import WHO
from turnwright.web.answering import run
from turnwright.web.fleet import page
from turnwright.web.fleet.asked import Asked, asked_of, problems_of
from turnwright.web.fleet.follow import paper, progress_of
from turnwright.web.fleet.runs import Run, Runs
from turnwright.web.fleet.upload import keep_files, read_upload
from turnwright.web.forms import WITH_FILES, kind_of_body, response_of
from turnwright.web.reply import Reply
from turnwright.web.work import MOST_SECONDS_OF_PAPERS

SEE_OTHER = 303
PAGE = "/fleet"


def fleet_routes() -> list[Route]:
    """Return the addresses of the fleet page."""
    return [
        Route(PAGE, _empty, methods=["GET"]),
        Route(PAGE, _begin, methods=["POST"]),
        Route(f"{PAGE}/{{run}}", _look, methods=["GET"]),
        Route(f"{PAGE}/{{run}}/stop", _stop, methods=["POST"]),
        Route(f"{PAGE}/{{run}}/delete", _delete, methods=["POST"]),
        Route(
            f"{PAGE}/{{run}}/report.{{form}}", _done(paper, "form", MOST_SECONDS_OF_PAPERS), methods=["GET"]
        ),
        Route(f"{PAGE}/{{run}}/units.csv", _done(page.rows_file), methods=["GET"]),
        Route(f"{PAGE}/{{run}}/unit/{{rank}}", _unit, methods=["GET"]),
    ]


def _runs(request: Request) -> Runs:
    runs: Runs = request.app.state.runs
    return runs


def _who(request: Request) -> str:
    """Return who asks: each sees only what came from them; "" where nobody signs in."""
    return str(request.scope.get(WHO) or "")


def _known(request: Request) -> list[page.Known]:
    return [page.Known(run.name, run.asked, run.state) for run in _runs(request).kept(_who(request))]


async def _empty(request: Request) -> Response:
    return response_of(await run(request, page.form_page, Asked(typed={}), {}, _known(request)))


async def _begin(request: Request) -> Response:
    """Take files and begin; what cannot be used is told on the page."""
    if kind_of_body(request) != WITH_FILES:
        raise HTTPException(415)
    runs = _runs(request)
    coming = runs.coming(_who(request))
    try:
        form = await read_upload(request)
        try:
            given = [(name, value) for name, value in form.multi_items() if not isinstance(value, UploadFile)]
            asked = asked_of([(name, str(value)) for name, value in given])
            problems = problems_of(asked)
            if not problems:
                profiles, units = await keep_files(form, coming.folder)
                runs.start(coming, Asked(typed=asked.typed, profiles=profiles, units=units))
        except InputError as error:
            if error.code != "WEB-30":
                raise
            problems = {page.FILES: page.problem_of(error)}
        finally:
            await form.close()
    finally:
        if coming.state == "coming":
            runs.drop(coming.name, coming.owner)
    if problems:
        return response_of(await run(request, page.form_page, asked, problems, _known(request)))
    return RedirectResponse(f"{PAGE}/{coming.name}", SEE_OTHER)


async def _look(request: Request) -> Response:
    found = _runs(request).get(request.path_params["run"], _who(request))
    if found.state == "done":
        first = request.query_params.get("from", "1")
        return response_of(
            await run(request, page.done_page, found.name, str(found.folder), found.asked, first)
        )
    progress = progress_of(found.folder)
    return response_of(
        await run(request, page.under_way_page, found.name, found.asked, found.state, progress, found.error)
    )


async def _stop(request: Request) -> Response:
    found = _runs(request).stop(request.path_params["run"], _who(request))
    return RedirectResponse(f"{PAGE}/{found.name}", SEE_OTHER)


async def _delete(request: Request) -> Response:
    _runs(request).drop(request.path_params["run"], _who(request))
    return RedirectResponse(PAGE, SEE_OTHER)


def _finished(request: Request) -> Run:
    """Return a fleet that is done.

    Raises:
        InputError: WEB-32, also where it is not done.
    """
    found = _runs(request).get(request.path_params["run"], _who(request))
    if found.state != "done":
        raise InputError("WEB-32", "address", "this fleet has no result.", "Wait until it is done.")
    return found


async def _unit(request: Request) -> Response:
    found = _finished(request)
    given = found.name, str(found.folder), found.asked, request.path_params["rank"]
    return response_of(await run(request, page.unit_page, *given, seconds=MOST_SECONDS_OF_PAPERS))


def _done(answer: Callable[..., Reply], name: str = "", seconds: float | None = None) -> Any:
    """Answer from the folder of a fleet that is done."""

    async def endpoint(request: Request) -> Response:
        found = _finished(request)
        more = [request.path_params[name]] if name else []
        return response_of(await run(request, answer, str(found.folder), found.asked, *more, seconds=seconds))

    return endpoint
