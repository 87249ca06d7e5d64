"""The pages, until Ctrl-C: a free port of 127.0.0.1, or what the setting says.

==========  ==========================================
code        what is wrong
==========  ==========================================
``WEB-20``  the port is taken, or not one
==========  ==========================================
"""

from __future__ import annotations

import contextlib
import logging
import socket
import threading
import webbrowser
from collections.abc import Callable

import uvicorn

from turnwright.errors import InputError
from turnwright.web.access.setting import LOOPBACK, Setting
from turnwright.web.app import make_app, options

WAITING = 100


def serve(
    setting: Setting, port: int, browser: bool, say: Callable[[str], None], store: str | None = None
) -> None:
    """Serve the pages until somebody stops it.

    Args:
        setting: the address to listen on, and who may come in.
        port: of that address; 0 is any that is free.
        browser: open the page in the browser of this machine.
        say: takes the address, once the pages answer.
        store: URL of the kept jobs; None: those of the user.

    Raises:
        InputError: WEB-20.
    """
    with listening(port, setting.host) as door:
        scheme = "https" if setting.certificate else "http"
        address = f"{scheme}://{setting.shown_host}:{door.getsockname()[1]}/"
        say(address)
        if browser:
            threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
        how = options() | {"ssl_certfile": setting.certificate, "ssl_keyfile": setting.private_key}
        logging.getLogger("asyncio").addFilter(_of_interest)
        server = uvicorn.Server(uvicorn.Config(make_app(setting=setting, store=store), **how))
        with contextlib.suppress(KeyboardInterrupt):
            server.run(sockets=[door])


def _of_interest(record: logging.LogRecord) -> bool:
    """Tell whether a record is worth a line: not that a worker, ended when the pages close, is gone already."""
    return not str(record.msg).startswith("Unknown child process pid")


def listening(port: int, host: str = LOOPBACK) -> socket.socket:
    """Return a socket of one address; as it stands, of this machine only.

    Raises:
        InputError: WEB-20.
    """
    if not 0 <= port <= 65535:
        raise InputError(
            "WEB-20", "--port", f"{port} is no port.", "Name one from 1 to 65535, or leave it out."
        )
    # With the protocol named, asyncio sends what is short at once; without, half of the answers wait 40 ms.
    door = socket.socket(
        socket.AF_INET6 if ":" in host else socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP
    )
    try:
        door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        door.bind((host, port))
        door.listen(WAITING)
    except OSError as error:
        door.close()
        what = f"port {port} of {host} cannot be used: {error.strerror or error}."
        raise InputError("WEB-20", "--port", what, "Name another one, or leave it out.") from None
    return door
