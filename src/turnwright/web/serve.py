"""The pages on this machine: a free port of 127.0.0.1, until Ctrl-C.

==========  ==========================================
code        what is wrong
==========  ==========================================
``WEB-20``  the port is taken, or not one
==========  ==========================================
"""

from __future__ import annotations

import contextlib
import socket
import threading
import webbrowser
from collections.abc import Callable

import uvicorn

from turnwright.errors import InputError
from turnwright.web.app import make_app, options

HOST = "127.0.0.1"
WAITING = 100


def serve(port: int, browser: bool, say: Callable[[str], None], store: str | None = None) -> None:
    """Serve the pages until somebody stops it.

    Args:
        port: of 127.0.0.1; 0 is any that is free.
        browser: open the page in the browser of this machine.
        say: takes the address, once the pages answer.
        store: URL of the kept jobs; None: those of the user.

    Raises:
        InputError: WEB-20.
    """
    with listening(port) as door:
        address = f"http://{HOST}:{door.getsockname()[1]}/"
        say(address)
        if browser:
            threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
        server = uvicorn.Server(uvicorn.Config(make_app(store=store), **options()))
        with contextlib.suppress(KeyboardInterrupt):
            server.run(sockets=[door])


def listening(port: int) -> socket.socket:
    """Return a socket of this machine only.

    Raises:
        InputError: WEB-20.
    """
    if not 0 <= port <= 65535:
        raise InputError(
            "WEB-20", "--port", f"{port} is no port.", "Name one from 1 to 65535, or leave it out."
        )
    # With the protocol named, asyncio sends what is short at once; without, half of the answers wait 40 ms.
    door = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        door.bind((HOST, port))
        door.listen(WAITING)
    except OSError as error:
        door.close()
        what = f"port {port} cannot be used: {error.strerror or error}."
        raise InputError("WEB-20", "--port", what, "Name another one, or leave it out.") from None
    return door
