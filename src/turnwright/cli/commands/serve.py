"""`turnwright serve`: the pages on this machine, or for those who may come in."""

from __future__ import annotations

import json
from importlib.util import find_spec
from typing import TYPE_CHECKING

from turnwright.cli.outcome import ANSWERED, Outcome
from turnwright.errors import MissingExtra

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from turnwright.web.access.setting import Setting

NEEDS = ("starlette", "jinja2", "uvicorn", "python_multipart", "tomlkit")
"""Modules that the pages need beyond the core."""
BEYOND = """beyond this machine:
  Bound to another address, or asked for under another name, the pages start
  only with --passwords or --proxy-header. Passwords need encryption:
  --certificate and --private-key, or --behind-tls where a proxy encrypts. Such
  a proxy passes the header Host on as it came, sets the header of
  --proxy-header on every request, and takes it out where a browser sent it."""


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `serve`."""
    parser.epilog = BEYOND
    parser.add_argument("--port", metavar="N", type=int, default=0, help="port (default: any that is free)")
    parser.add_argument(
        "--store", metavar="URL", help="where jobs are kept (default: the user's data folder)"
    )
    parser.add_argument("--no-browser", action="store_true", help="do not open the page in a browser")
    parser.add_argument(
        "--host", metavar="ADDRESS", default="127.0.0.1", help="address to listen on (default: 127.0.0.1)"
    )
    parser.add_argument(
        "--name",
        metavar="NAME",
        action="append",
        help="name that browsers ask for, without port; may stand several times (default: the address)",
    )
    parser.add_argument(
        "--passwords", metavar="FILE", help="who may come in: a file made with 'turnwright password'"
    )
    parser.add_argument(
        "--proxy-header", metavar="HEADER", help="who may come in: whom the proxy names in this header"
    )
    parser.add_argument(
        "--proxy",
        metavar="ADDRESS",
        action="append",
        help="address or network the proxy asks from; may stand several times (default: this machine)",
    )
    parser.add_argument("--certificate", metavar="FILE", help="certificate with its chain, PEM")
    parser.add_argument("--private-key", metavar="FILE", help="key of the certificate, PEM")
    parser.add_argument("--behind-tls", action="store_true", help="something before the pages encrypts")


def run(arguments: Namespace) -> Outcome:
    """Serve the pages until Ctrl-C."""
    if any(find_spec(name) is None for name in NEEDS):
        fix = "pip install 'turnwright[web]'."
        raise MissingExtra("WEB-21", "turnwright serve", "a part is not installed.", fix)
    from turnwright.web.serve import serve

    setting = _setting(arguments)
    to_whom = "this machine only" if setting.is_local else "whoever signs in"

    def say(address: str) -> None:
        text = f"The pages are at {address} ({to_whom}). Ctrl-C ends them."
        print(json.dumps({"address": address}) if arguments.format == "json" else text, flush=True)

    serve(setting, arguments.port, not arguments.no_browser, say, arguments.store)
    return Outcome(ANSWERED, "")


def _setting(arguments: Namespace) -> Setting:
    from turnwright.web.access.setting import Told, setting_of

    return setting_of(
        Told(
            host=arguments.host,
            names=tuple(arguments.name or ()),
            passwords=arguments.passwords,
            proxy_header=arguments.proxy_header,
            proxies=tuple(arguments.proxy or ()),
            certificate=arguments.certificate,
            private_key=arguments.private_key,
            behind_tls=arguments.behind_tls,
        )
    )
