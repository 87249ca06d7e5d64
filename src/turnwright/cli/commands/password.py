"""`turnwright password FILE NAME`: who may open the pages where they answer to more than this machine."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from turnwright.cli.outcome import ANSWERED, Outcome
from turnwright.errors import InputError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

MOST_CHARACTERS = 10_000


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `password`."""
    parser.epilog = "The password is typed twice and not shown, or is the first line of\nstandard input."
    parser.add_argument("file", metavar="FILE", help="file of names and hashed passwords; made where missing")
    parser.add_argument("name", metavar="NAME", help="name to sign in with")
    parser.add_argument("--remove", action="store_true", help="take the name out")


def run(arguments: Namespace) -> Outcome:
    """Write a name with its password into the file, or take it out."""
    from turnwright.web.access.passwords import hasher, put_password, refuse_name, refuse_password

    refuse_name(arguments.name)
    password = None
    if not arguments.remove:
        hasher()  # says what is missing before anything is typed
        password = _asked(arguments.name)
        refuse_password(password)
    put_password(arguments.file, arguments.name, password)
    done = "is taken out of" if arguments.remove else "may come in by"
    if arguments.format == "json":
        from turnwright.model.as_json import dumps

        return Outcome(ANSWERED, dumps({"name": arguments.name, "removed": arguments.remove}))
    return Outcome(ANSWERED, f"{arguments.name} {done} {arguments.file}.\n")


def _asked(name: str) -> str:
    """Return the password, from the keyboard without being shown, or from standard input."""
    if sys.stdin is None:
        raise InputError("ACC-04", "password", "standard input is closed.", "Run it in a terminal.")
    if not sys.stdin.isatty():
        return sys.stdin.readline(MOST_CHARACTERS).rstrip("\r\n")
    from getpass import getpass

    first = getpass(f"Password for {name}: ")
    if getpass("Once more: ") != first:
        raise InputError("ACC-04", "password", "the two are not the same.", "Type the same one twice.")
    return first
