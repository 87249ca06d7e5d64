"""Signing in and out, and the page that says who may come in."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from turnwright.web.access.gate import WHO, Door, Refused, sign_in_page, with_session
from turnwright.web.forms import pairs_of, shown
from turnwright.web.render import page

KEPT = "kept."
"""What stands before the names of fields that were typed before signing in."""
LONGEST_PATH = 200


async def sign_in(request: Request) -> Response:
    """Show the page to sign in on, or sign in."""
    door: Door = request.app.state.door
    if door.setting.passwords is None:
        return RedirectResponse("/access", 303)
    if request.method != "POST":
        to = _local(request.query_params.get("to", "/"))
        return RedirectResponse(to, 303) if door.signed_in(request) else sign_in_page(to, [])
    pairs = await pairs_of(request)
    given = dict(pairs)
    to, name = _local(given.get("to", "/")), given.get("name", "").strip()
    kept = [(each.removeprefix(KEPT), text) for each, text in pairs if each.startswith(KEPT)]
    try:
        word = await door.begin(request, name, given.get("password", ""))
    except Refused as refused:
        response = sign_in_page(to, kept, refused.error, name, refused.status)
        if refused.wait_s:
            response.headers["Retry-After"] = str(round(refused.wait_s))
        return response
    if kept:
        return with_session(shown(page("signed_in", {"to": to, "kept": kept, "name": name})), door, word)
    return with_session(RedirectResponse(to, 303), door, word)


def _local(path: str) -> str:
    """Return an address of these pages; the first page for anything that leads elsewhere.

    Example:
        >>> _local("/tables/nec_450_3b"), _local("//example.com"), _local("/\\\\example.com"), _local("https://x")
        ('/tables/nec_450_3b', '/', '/', '/')
    """
    plain = path.isascii() and path.isprintable() and " " not in path and len(path) <= LONGEST_PATH
    leads_here = path.startswith("/") and not path.startswith(("//", "/\\", "/sign-"))
    return path if plain and leads_here and "\\" not in path else "/"


async def sign_out(request: Request) -> Response:
    """End the session."""
    door: Door = request.app.state.door
    door.sessions.end(request.cookies.get(door.cookie, ""))
    return with_session(RedirectResponse("/sign-in", 303), door, None)


async def access(request: Request) -> Response:
    """Say who may come in, and who has."""
    setting = request.app.state.door.setting
    way = "passwords" if setting.passwords is not None else "proxy" if setting.proxy_header else "local"
    return shown(
        page("access", {"way": way, "who": request.scope.get(WHO) or "", "names": sorted(setting.hosts)})
    )
