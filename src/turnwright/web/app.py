"""Addresses and what answers them."""

from __future__ import annotations

import contextlib
from collections.abc import AsyncIterator, Awaitable, Callable
from pathlib import Path
from typing import Any

import anyio
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from turnwright.errors import InputError, TurnwrightError, UnknownKey
from turnwright.model.as_json import dumps
from turnwright.web import api, loads_page, paper_page, papers, reference_pages, vet_page
from turnwright.web.access import pages as access
from turnwright.web.access.gate import Door, Gate
from turnwright.web.access.setting import Setting
from turnwright.web.answering import run
from turnwright.web.fleet.addresses import fleet_routes
from turnwright.web.fleet.runs import Runs
from turnwright.web.forms import FOR_PROGRAMS, FORM, kind_of_body, pairs_of, response_of
from turnwright.web.guard import Guard
from turnwright.web.job import page as job
from turnwright.web.kept.routes import kept_routes
from turnwright.web.openapi import openapi
from turnwright.web.patience import Patience
from turnwright.web.render import page
from turnwright.web.reply import JSON, Reply, html, refusal
from turnwright.web.study import page as study
from turnwright.web.study.api import api_examine
from turnwright.web.work import MOST_SECONDS_OF_PAPERS, Defect, Work

STATIC = Path(__file__).with_name("static")
MOST_PARTS = 10
WORDS = {
    401: "Sign in first",
    403: "Not from there",
    404: "Nothing here",
    405: "Not this way",
    413: "Too long",
    415: "Another kind",
    429: "Too often",
}

Handler = Callable[[Request], Awaitable[Response]]


def make_app(
    work: Work | None = None,
    setting: Setting | None = None,
    store: str | None = None,
    runs: Runs | None = None,
) -> Starlette:
    """Return the application.

    `work` runs its answers; `setting` says to whom it answers; `store` is the URL of the kept jobs, the user's own if
    None; `runs` holds its fleets.
    """
    running, door = work or Work(), Door(setting or Setting())
    made = Starlette(
        routes=_routes(),
        middleware=[
            Middleware(Guard, refuse=_refused, hosts=door.setting.hosts, scheme=door.setting.scheme),
            Middleware(Gate, refuse=_refused, door=door),
        ],
        exception_handlers={TurnwrightError: _told, HTTPException: _unknown, Exception: _defect},
        lifespan=_warm,
    )
    made.state.work, made.state.door, made.state.store = running, door, store
    made.state.runs = runs or Runs()
    return made


@contextlib.asynccontextmanager
async def _warm(app: Starlette) -> AsyncIterator[None]:
    """Warm a worker up while the first page is still being asked for; leave nothing of the fleets behind."""
    runs: Runs = app.state.runs
    try:
        async with anyio.create_task_group() as tasks:
            tasks.start_soon(_warm_up, app.state.work)
            runs.open(tasks)
            yield
            tasks.cancel_scope.cancel()
    finally:
        runs.close()


async def _warm_up(work: Work) -> None:
    with contextlib.suppress(TurnwrightError):
        await work.warm_up()


def _routes() -> list[Route | Mount]:
    return [
        Route("/", _answered(job.empty_page), methods=["GET"]),
        Route("/", _of_form(job.job_page), methods=["POST"]),
        Route("/open", _open, methods=["POST"]),
        Route("/loads", _loads, methods=["POST"]),
        Route("/job.toml", _of_form(papers.job_file), methods=["POST"]),
        Route("/papers/{paper}.{form}", _paper, methods=["POST"]),
        Route("/paper", _answered(paper_page.empty_paper_page), methods=["GET"]),
        Route("/paper", _verify, methods=["POST"]),
        Route("/vet", _answered(vet_page.empty_vet_page), methods=["GET"]),
        Route("/vet", _of_form(vet_page.vet_page), methods=["POST"]),
        *kept_routes(run, response_of),
        Route("/study", _answered(study.studies_page), methods=["GET"]),
        Route("/study/{question}", _named(study.empty_study_page, "question"), methods=["GET"]),
        Route("/study/{question}", _of_form(study.study_page, "question"), methods=["POST"]),
        *fleet_routes(),
        Route("/tables", _answered(reference_pages.tables_page)),
        Route("/tables/{name}", _named(reference_pages.table_page, "name", "?edition")),
        Route("/rules", _answered(reference_pages.rules_page)),
        Route("/rules/{name}", _named(reference_pages.rule_page, "name")),
        Route("/cautions", _answered(reference_pages.cautions_page)),
        Route("/access", access.access),
        Route("/sign-in", access.sign_in, methods=["GET", "POST"]),
        Route("/sign-out", access.sign_out, methods=["POST"]),
        Route("/api/select", _of_body(api.api_select), methods=["POST"]),
        Route("/api/explain", _of_body(api.api_explain, "name"), methods=["POST"]),
        Route("/api/vet", _of_body(api.api_vet), methods=["POST"]),
        Route("/api/examine/{question}", _of_body(api_examine, "question"), methods=["POST"]),
        Route("/api/verify", _of_body(paper_page.api_verify, only=api.PDF), methods=["POST"]),
        Route(
            "/api/read",
            _of_body(api.api_read, "system", "supply", "columns", also=(api.PLAIN, *api.SHEETS)),
            methods=["POST"],
        ),
        Route("/api/compare", _of_body(api.api_compare), methods=["POST"]),
        Route("/api/tables", _named(api.api_tables, "-", "?edition")),
        Route("/api/tables/{name}", _named(api.api_tables, "name", "?edition")),
        Route("/api/rules", _named(api.api_rules, "-", "?edition")),
        Route("/api/rules/{name}", _named(api.api_rules, "name", "?edition")),
        Route("/api/openapi.json", _description),
        Mount("/static", StaticFiles(directory=STATIC)),
    ]


def _answered(answer: Callable[[], Reply]) -> Handler:
    """Answer without anything from the request."""

    async def endpoint(request: Request) -> Response:
        return response_of(await run(request, answer))

    return endpoint


def _named(answer: Callable[..., Reply], *names: str) -> Handler:
    """Answer with parts of the address: of its path, of its query (with a question mark), or nothing ("-")."""

    async def endpoint(request: Request) -> Response:
        given = [
            None
            if name == "-"
            else request.query_params.get(name[1:])
            if name[0] == "?"
            else request.path_params[name]
            for name in names
        ]
        return response_of(await run(request, answer, *given))

    return endpoint


def _of_form(answer: Callable[..., Reply], *names: str) -> Handler:
    """Answer a form, and parts of the path."""

    async def endpoint(request: Request) -> Response:
        pairs = await pairs_of(request)
        given = [request.path_params[name] for name in names]
        return response_of(await run(request, answer, pairs, *given))

    return endpoint


async def _paper(request: Request) -> Response:
    pairs = await pairs_of(request)
    wanted = request.path_params["paper"], request.path_params["form"]
    return response_of(await run(request, papers.paper_file, pairs, *wanted, seconds=MOST_SECONDS_OF_PAPERS))


async def _open(request: Request) -> Response:
    """Answer a job that somebody brought."""
    data, _, _ = await _upload(request, "Choose a job file and press Open.")
    return response_of(await run(request, paper_page.opened_file, data))


async def _verify(request: Request) -> Response:
    """Answer a paper that somebody brought."""
    data, _, _ = await _upload(request, "Choose a paper and press Check.")
    return response_of(await run(request, paper_page.paper_page, data, seconds=MOST_SECONDS_OF_PAPERS))


async def _loads(request: Request) -> Response:
    """Answer a load list that somebody brought, or the form of its preview."""
    if kind_of_body(request) == FORM:
        return response_of(await run(request, loads_page.loads_page, await pairs_of(request)))
    given = await _upload(request, "Choose a load list and press Read.")
    return response_of(await run(request, loads_page.list_page, *given))


async def _upload(request: Request, fix: str) -> tuple[bytes, str, str]:
    """Return the content and the name of an upload, and the job file that came beside it.

    An upload is read as what it holds, whatever it is called.

    Raises:
        InputError: FILE-01, FILE-05.
    """
    try:
        async with request.form(max_files=1, max_fields=MOST_PARTS) as form:
            file, base = form.get("file"), form.get("base")
            if file is None or isinstance(file, str):
                raise InputError("FILE-01", "file", "no file came.", fix)
            name = (file.filename or "").replace("\\", "/").rpartition("/")[2][:80]
            return await file.read(), name, base if isinstance(base, str) else ""
    except HTTPException as error:
        raise InputError("FILE-05", "file", f"cannot be read ({error.detail}).", "Send it again.") from None


def _of_body(
    answer: Callable[..., Reply], *names: str, also: tuple[str, ...] = (), only: str = ""
) -> Handler:
    """Answer a program: a body, and parts of path and query.

    also  kinds of bodies besides TOML and JSON
    only  the kind in their place
    """

    async def endpoint(request: Request) -> Response:
        kind = api.kind_of(request.headers.get("content-type", ""), also, only)
        given = [request.path_params.get(name) or request.query_params.get(name) for name in names]
        return response_of(await run(request, answer, kind, await request.body(), *given))

    return endpoint


async def _description(request: Request) -> Response:
    return Response(dumps(openapi()), headers={"Content-Type": JSON})


_STATUS_OF_CODE = {
    "API-01": 415,
    "CLI-05": 404,
    "EXM-01": 404,
    "STO-03": 404,
    "STO-04": 404,
    "TBL-16": 404,
    "WEB-04": 413,
    "WEB-05": 422,
    "WEB-06": 422,
    "WEB-07": 500,
    "WEB-32": 404,
    "WEB-33": 429,
}


def _told(request: Request, error: Exception) -> Response:
    """Say in one sentence what is wrong."""
    assert isinstance(error, TurnwrightError)
    return _refused(request, error, _STATUS_OF_CODE.get(error.code, 400))


def _refused(request: Request, error: TurnwrightError, status: int) -> Response:
    if request.url.path.startswith(FOR_PROGRAMS):
        return response_of(refusal(error, status))
    words = WORDS.get(status, "A defect" if isinstance(error, Defect) else "That cannot be used")
    return response_of(html(page("error", {"error": error, "words": words}), status))


def _unknown(request: Request, error: Exception) -> Response:
    """Answer an address that is none, or is asked in another way."""
    assert isinstance(error, HTTPException)
    if error.status_code == 415:
        told: TurnwrightError = InputError(
            "API-01", "Content-Type", "is no form.", "Send the form of the page."
        )
    elif error.status_code == 405:
        told = InputError("WEB-09", "address", "is not asked in this way.", "/api/openapi.json says how.")
    else:
        told = UnknownKey("WEB-01", "address", "there is nothing here.", "The pages start at /.")
    sent = _refused(request, told, error.status_code)
    sent.headers.update(error.headers or {})
    return sent


def _defect(request: Request, error: Exception) -> Response:
    return _refused(request, Defect(type(error).__name__), 500)


def options() -> dict[str, Any]:
    """Return how the server is run: bounded, quiet, and without a word about itself."""
    return {
        "log_level": "error",
        "access_log": False,
        "server_header": False,
        "proxy_headers": False,
        "http": Patience,
        "ws": "none",
        "limit_concurrency": 200,
        "timeout_keep_alive": 15,
        "timeout_graceful_shutdown": 3,
        "h11_max_incomplete_event_size": 32_768,
    }
