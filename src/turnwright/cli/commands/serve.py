"""`turnwright serve`: the pages on this machine."""

from __future__ import annotations

import sys
from importlib.util import find_spec
from typing import TYPE_CHECKING

from turnwright.cli.outcome import ANSWERED, Outcome
from turnwright.errors import MissingExtra

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

NEEDS = ("starlette", "jinja2", "uvicorn", "python_multipart", "tomlkit")
"""Modules that the pages need beyond the core."""


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `serve`."""
    parser.add_argument(
        "--port", metavar="N", type=int, default=0, help="port of 127.0.0.1 (default: any that is free)"
    )
    parser.add_argument(
        "--store", metavar="URL", help="where jobs are kept (default: the user's data folder)"
    )
    parser.add_argument("--no-browser", action="store_true", help="do not open the page in a browser")


def run(arguments: Namespace) -> Outcome:
    """Serve the pages until Ctrl-C."""
    if any(find_spec(name) is None for name in NEEDS):
        fix = "pip install 'turnwright[web]'."
        raise MissingExtra("WEB-21", "turnwright serve", "a part is not installed.", fix)
    from turnwright.web.serve import serve

    def say(address: str) -> None:
        text = f"The pages are at {address} (this machine only). Ctrl-C ends them."
        print(
            f'{{"address": "{address}"}}' if arguments.format == "json" else text, file=sys.stdout, flush=True
        )

    serve(arguments.port, not arguments.no_browser, say, arguments.store)
    return Outcome(ANSWERED, "")
