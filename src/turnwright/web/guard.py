"""Who may ask, how much and how slowly, and what a browser may do with the answer.

==========  ==============================================================
code        what is wrong                                         status
==========  ==============================================================
``WEB-02``  another host than one of these pages                  421
``WEB-03``  a page of another site sends a form here              403
``WEB-04``  the body is too long                                  413
``WEB-08``  the body does not come to an end                      408
``WEB-13``  the address is not text                               400
``WEB-14``  the end of the body is told in two ways               400
==========  ==============================================================
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from urllib.parse import urlsplit

import anyio
from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from turnwright.errors import InputError, TurnwrightError
from turnwright.web.access.setting import LOCAL_NAMES
from turnwright.web.forms import Refuse

MOST_BODY_BYTES = 1_000_000
MOST_BODY_SECONDS = 20.0
STREAMED = frozenset(("/fleet",))
"""Addresses that read a long body themselves, as it comes, within bounds of their own."""
READING = frozenset(("GET", "HEAD", "OPTIONS"))
SAME_SITE = frozenset(("same-origin", "none"))
"""What a browser says of where a request comes from, when it comes from these pages or from whoever types."""
POLICY = "; ".join(
    (
        "default-src 'self'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "object-src 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "private, no-cache",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}


class Guard:
    """Stands before the application; `refuse` makes the answer to what may not pass."""

    def __init__(
        self, app: ASGIApp, refuse: Refuse, hosts: frozenset[str] = LOCAL_NAMES, scheme: str = "http"
    ) -> None:
        """Take the names under which the pages are asked for, and what a browser writes before them."""
        self.app = app
        self.refuse = refuse
        self.hosts = hosts
        self.scheme = scheme

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request pass, or answer it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        secured = _with_headers(send)
        try:
            headers = Headers(scope=scope)
            check_address(scope["query_string"])
            check_host(headers, self.hosts)
            check_ends(headers)
            if scope["method"] not in READING:
                check_origin(headers, self.scheme)
            if scope["path"] in STREAMED:
                await self.app(scope, receive, secured)
                return
            body = await _whole_body(headers, receive)
        except Turned as turned:
            asked = Request({**scope, "query_string": b""})
            response = self.refuse(asked, turned.error, turned.status)
            response.headers["Connection"] = "close"
            await response(scope, receive, secured)
            return
        await self.app(scope, _given(body, receive), secured)


class Turned(Exception):
    """A request that may not pass."""

    def __init__(self, status: int, error: TurnwrightError) -> None:
        super().__init__(status, error)
        self.status = status
        self.error = error


def check_address(query: bytes) -> None:
    """Refuse what stands behind the question mark where it is not UTF-8.

    Raises:
        Turned: WEB-13.
    """
    try:
        query.decode()
    except UnicodeDecodeError:
        fix = "Write other signs than those of ASCII with %."
        raise Turned(400, InputError("WEB-13", "address", "this address is not text.", fix)) from None


def check_host(headers: Headers, hosts: frozenset[str]) -> None:
    """Refuse a request that names another host: a page elsewhere whose name leads to this machine.

    Raises:
        Turned: WEB-02.
    """
    names = headers.getlist("host")
    try:
        name = urlsplit(f"//{names[0]}").hostname if len(names) == 1 and names[0].isprintable() else None
    except ValueError:
        name = None
    if name not in hosts:
        local = hosts == LOCAL_NAMES
        what = "these pages are for this machine only." if local else "these pages go by another name."
        raise Turned(421, InputError("WEB-02", "Host", what, f"Ask {' or '.join(sorted(hosts))}."))


def check_origin(headers: Headers, scheme: str) -> None:
    """Refuse a form or a call that a page of another site sends.

    A browser says where a request comes from; a program that says nothing is no browser.

    Raises:
        Turned: WEB-03.
    """
    site = headers.get("sec-fetch-site")
    origin = headers.get("origin")
    elsewhere = site is not None and site not in SAME_SITE
    if elsewhere or (origin is not None and origin != f"{scheme}://{headers.get('host')}"):
        what = "a page of another site sends this."
        raise Turned(
            403, InputError("WEB-03", "Origin", what, "Open these pages themselves and send it there.")
        )


def check_ends(headers: Headers) -> None:
    """Refuse a body whose end is told in two ways: a proxy and this server may each believe another one.

    Raises:
        Turned: WEB-14.
    """
    if "transfer-encoding" in headers and "content-length" in headers:
        what = "the end of the body is told in two ways."
        raise Turned(400, InputError("WEB-14", "body", what, "Send its length, or send it in chunks."))


async def _whole_body(headers: Headers, receive: Receive) -> bytes:
    """Return the body, as long as it is short and comes in time.

    Raises:
        Turned: WEB-04, WEB-08.
    """
    said = headers.get("content-length", "0")
    if said.isdigit() and len(said) < 19 and int(said) > MOST_BODY_BYTES:
        raise _too_long()
    parts: list[bytes] = []
    length = 0
    try:
        with anyio.fail_after(MOST_BODY_SECONDS):
            while True:
                message = await receive()
                if message["type"] != "http.request":
                    return b"".join(parts)
                parts.append(message.get("body", b""))
                length += len(parts[-1])
                if length > MOST_BODY_BYTES:
                    raise _too_long()
                if not message.get("more_body", False):
                    return b"".join(parts)
    except TimeoutError:
        what = f"the body did not come to an end within {MOST_BODY_SECONDS:g} seconds."
        raise Turned(408, InputError("WEB-08", "body", what, "Send it again.")) from None


def _too_long() -> Turned:
    what = f"the body is longer than {MOST_BODY_BYTES // 1_000_000} MB."
    return Turned(
        413, InputError("WEB-04", "body", what, "Give a job of that length to 'turnwright select'.")
    )


def _given(body: bytes, receive: Receive) -> Receive:
    """Return a source that gives the body once, then what comes after it."""
    given = False

    async def again() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return again


def _with_headers(send: Send) -> Callable[[Message], Awaitable[None]]:
    async def with_headers(message: Message) -> None:
        if message["type"] == "http.response.start":
            MutableHeaders(scope=message).update(HEADERS)
        await send(message)

    return with_headers
