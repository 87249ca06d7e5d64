"""The command line, as its own parser tells it."""

from __future__ import annotations

from collections.abc import Iterator

from docs.made.markdown import block, page, plain
from turnwright.cli.arguments import COMMANDS, HelpAsked, overview, parse


def help_of(command: str) -> str:
    """Return what `turnwright COMMAND --help` says."""
    try:
        parse([command, "--help"])
    except HelpAsked as asked:
        return asked.text
    raise AssertionError(f"{command} has no help")


def commands_page() -> str:
    """Return the page of all commands."""
    return page(
        "Commands", block(overview()), *(part for each in COMMANDS for part in _command(each.name, each.says))
    )


def _command(name: str, says: str) -> Iterator[str]:
    yield f"## `{name}`"
    yield plain(says[:1].upper() + says[1:]) + "."
    yield block(help_of(name))
