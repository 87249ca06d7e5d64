"""Stands before the application and lets in whoever may come in.

==========  ====================================================  ======
code        what is wrong                                         status
==========  ====================================================  ======
``ACC-20``  nobody is signed in                                   401
``ACC-21``  the proxy does not say who asks                       403
``ACC-22``  too many tries                                        429
``ACC-23``  the name or the password is wrong                     401
==========  ====================================================  ======
"""

from __future__ import annotations

import base64
import binascii
import logging
import math
from ipaddress import IPv6Address, ip_address, ip_network
from urllib.parse import quote

from anyio import CapacityLimiter, to_thread
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from turnwright.errors import InputError
from turnwright.web.access.attempts import Attempts
from turnwright.web.access.sessions import HOURS, Sessions
from turnwright.web.access.setting import Setting
from turnwright.web.forms import FOR_PROGRAMS, FORM, Refuse, kind_of_body, pairs_of, shown
from turnwright.web.render import page

SIGN_IN = "/sign-in"
OPEN = ("/static/",)
"""Addresses that hold nothing of anybody's."""
MOST_HASHES = 2
"""Passwords that are checked at once; each takes 64 MiB for a moment."""
MOST_NAME = 64
WHO = "turnwright.who"
"""Where the application finds the name of who asks."""
CHALLENGE = 'Basic realm="turnwright", charset="UTF-8"'
_LOG = logging.getLogger("turnwright.web")


class Refused(Exception):
    """Somebody who may not come in."""

    def __init__(self, status: int, error: InputError, wait_s: float = 0.0) -> None:
        super().__init__(status, error)
        self.status = status
        self.error = error
        self.wait_s = wait_s


class Door:
    """Knows who may come in. `setting` says how they say who they are."""

    def __init__(self, setting: Setting) -> None:
        self.setting = setting
        self.sessions = Sessions()
        self.attempts = Attempts()
        self.limiter: CapacityLimiter | None = None

    @property
    def cookie(self) -> str:
        """Name of the cookie; one that is sent encrypted only is bound to this host by its name."""
        return "__Host-turnwright" if self.setting.scheme == "https" else "turnwright"

    def signed_in(self, request: Request) -> str | None:
        """Return who is signed in; None where nobody is."""
        if self.setting.passwords is None:
            return None
        return self.sessions.name_of(
            request.cookies.get(self.cookie, ""), self.setting.passwords.current().mark
        )

    def named_by_proxy(self, request: Request) -> str:
        """Return whom the proxy names.

        Raises:
            Refused: ACC-21.
        """
        client = request.client.host if request.client else ""
        named = request.headers.getlist(self.setting.proxy_header)
        if not any(_in(client, network) for network in self.setting.proxies):
            what = "this is not asked through the proxy before these pages."
            raise Refused(403, InputError("ACC-21", "who asks", what, "Open the address of the proxy."))
        if len(named) != 1 or not named[0].strip() or not named[0].isprintable():
            fix = f"Let it set {self.setting.proxy_header} once on every request."
            raise Refused(
                403, InputError("ACC-21", "who asks", "the proxy before these pages does not say.", fix)
            )
        return named[0].strip()

    async def begin(self, request: Request, name: str, password: str) -> str:
        """Return the word of a new session.

        Raises:
            Refused: ACC-22, ACC-23.
        """
        assert self.setting.passwords is not None
        known = self.setting.passwords.current()
        await self.check(request, name, password)
        return self.sessions.begin(name, known.mark(name) or "")

    async def check(self, request: Request, name: str, password: str) -> None:
        """Check a password; a try is counted before it is looked at.

        Raises:
            Refused: ACC-22, ACC-23.
        """
        assert self.setting.passwords is not None
        address, counted = _address_of(request), name[:MOST_NAME]
        wait_s = self.attempts.wait_s(address, counted)
        if wait_s > 0:
            _LOG.warning("too many tries to sign in from %s", address)
            minutes = math.ceil(wait_s / 60)
            fix = f"Wait {minutes} minute{'s' if minutes > 1 else ''}."
            raise Refused(429, InputError("ACC-22", "password", "too many tries.", fix), wait_s)
        self.limiter = self.limiter or CapacityLimiter(MOST_HASHES)
        known = self.setting.passwords.current()
        if not await to_thread.run_sync(known.check, name, password, limiter=self.limiter):
            _LOG.warning("a try to sign in from %s failed", address)
            what = "the name or the password is not right."
            raise Refused(401, InputError("ACC-23", "password", what, "Type both again."))
        self.attempts.succeeded(address, counted)


class Gate:
    """Stands before the application; `refuse` makes the answer to what may not pass."""

    def __init__(self, app: ASGIApp, door: Door, refuse: Refuse) -> None:
        self.app = app
        self.door = door
        self.refuse = refuse

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request pass, or answer it."""
        if scope["type"] != "http" or self.door.setting.is_local or scope["path"].startswith(OPEN):
            await self.app(scope, receive, send)
            return
        request = Request(scope, receive)
        try:
            who = await self._who(request)
        except Refused as refused:
            await _told(self.refuse(request, refused.error, refused.status), refused)(scope, receive, send)
            return
        if who is None and scope["path"] != SIGN_IN:
            await (await self._sign_in_first(request))(scope, receive, send)
            return
        await self.app({**scope, WHO: who}, receive, send)

    async def _who(self, request: Request) -> str | None:
        """Return who asks; None where nobody has signed in.

        Raises:
            Refused: whoever may not come in.
        """
        if self.door.setting.proxy_header:
            return self.door.named_by_proxy(request)
        given = request.headers.get("authorization", "")
        if not request.url.path.startswith(FOR_PROGRAMS) or not given:
            return self.door.signed_in(request)
        name, password = _basic(given)
        await self.door.check(request, name, password)
        return name

    async def _sign_in_first(self, request: Request) -> Response:
        """Answer a request of nobody: with the way to sign in, and what was typed carried along."""
        path = request.url.path
        if path.startswith(FOR_PROGRAMS):
            error = InputError(
                "ACC-20", "who asks", "nobody is signed in.", "Send a name and a password (Basic)."
            )
            return _told(self.refuse(request, error, 401), Refused(401, error))
        if request.headers.get("hx-request"):
            fix = "Open the pages in another window, sign in there, and press the button here once more."
            error = InputError(
                "ACC-20", "who asks", "you are signed out; what you typed still stands here.", fix
            )
            return self.refuse(request, error, 401)
        if request.method in ("GET", "HEAD"):
            return RedirectResponse(f"{SIGN_IN}?to={quote(path)}", 303)
        is_form = kind_of_body(request) == FORM
        kept = await pairs_of(request) if is_form else []
        return sign_in_page(path if is_form else "/", kept, status=401)


def sign_in_page(
    to: str, kept: list[tuple[str, str]], error: InputError | None = None, name: str = "", status: int = 200
) -> Response:
    """Return the page to sign in on; `kept` is what was typed before, and goes on to `to`."""
    text = page("sign_in", {"to": to, "kept": kept, "error": error, "name": name})
    return shown(text, status)


def with_session(response: Response, door: Door, word: str | None) -> Response:
    """Give a browser the word of its session to keep; None takes it away."""
    response.set_cookie(
        door.cookie,
        word or "",
        max_age=int(HOURS * 3600) if word else 0,
        path="/",
        secure=door.setting.scheme == "https",
        httponly=True,
        samesite="strict",
    )
    return response


def _told(response: Response, refused: Refused) -> Response:
    if refused.wait_s:
        response.headers["Retry-After"] = str(math.ceil(refused.wait_s))
    if refused.status == 401:
        response.headers["WWW-Authenticate"] = CHALLENGE
    return response


def _basic(given: str) -> tuple[str, str]:
    """Return name and password of a header (RFC 7617).

    Raises:
        Refused: ACC-20.
    """
    scheme, _, word = given.partition(" ")
    try:
        text = base64.b64decode(word.strip(), validate=True).decode("utf-8")
    except (binascii.Error, UnicodeDecodeError, ValueError):
        text = ""
    name, colon, password = text.partition(":")
    if scheme.casefold() != "basic" or not colon:
        what = "the header Authorization cannot be read."
        raise Refused(401, InputError("ACC-20", "who asks", what, "Send a name and a password (Basic)."))
    return name, password


def _in(client: str, network: object) -> bool:
    try:
        return ip_address(client) in network  # type: ignore[operator]
    except ValueError:
        return False


def _address_of(request: Request) -> str:
    """Return where a request comes from; whoever has one address of IPv6 has a whole network of them."""
    client = request.client.host if request.client else ""
    try:
        address = ip_address(client)
    except ValueError:
        return "an unknown address"
    is_wide = isinstance(address, IPv6Address) and address.ipv4_mapped is None
    return str(ip_network(f"{client}/64", strict=False)) if is_wide else client
