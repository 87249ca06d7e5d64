"""The commands, and what may stand behind each."""

from __future__ import annotations

import argparse
from importlib import import_module
from types import ModuleType
from typing import Any, NoReturn

from msgspec import Struct

from turnwright.errors import InputError, nearest

WIDTH = 80
WHERE = "turnwright"


class Command(Struct, frozen=True):
    """One command: its name, which is also the module in `turnwright.cli.commands`, and what it does."""

    name: str
    says: str

    @property
    def module(self) -> ModuleType:
        """The module of the command, imported when it is asked for."""
        return import_module(f"turnwright.cli.commands.{self.name}")


COMMANDS = (
    Command("ask", "guided intake in plain words; writes the job file"),
    Command("read", "a request in plain words, as it came, made a job file"),
    Command("select", "the answer to a job, findings, and the next question"),
    Command("explain", "how one number of the answer came about"),
    Command("vet", "whether a unit that exists, an offer, or anything on a list does a job"),
    Command("examine", "one question in depth: faults, motor starts, unbalance, harmonics, heat, cost"),
    Command("fleet", "many units over metered time: hot spot, life used, losses, the worst first"),
    Command("document", "the papers of a job: memo, specification, schedule, diagrams, labels, …"),
    Command("verify", "whether a paper still stands: reads the job back out of it and computes again"),
    Command("compare", "what changed between two jobs, and what each change moved"),
    Command("job", "jobs kept: save, list, show, history, recheck"),
    Command("tables", "the reference tables carried, with source and edition"),
    Command("rules", "the rules carried, by clause, and how each clause is known"),
    Command("serve", "the pages: the same in a browser; this machine only, unless told otherwise"),
    Command("password", "who may open the pages where they answer to more than this machine"),
)
"""Every command. A new one is a line here and a module of its name beside the others."""


class HelpAsked(Exception):
    """Somebody asked for help; `text` is it."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.text = text


def _formatter(prog: str) -> argparse.HelpFormatter:
    return argparse.RawDescriptionHelpFormatter(prog, max_help_position=24, width=WIDTH)


class Parser(argparse.ArgumentParser):
    """A parser that neither prints nor leaves: it raises what has to be said."""

    def __init__(self, command: Command) -> None:
        super().__init__(
            prog=f"turnwright {command.name}",
            description=command.says[:1].upper() + command.says[1:] + ".",
            formatter_class=_formatter,
            allow_abbrev=False,
        )
        self.usage_help = f"'turnwright {command.name} --help' says what goes with it."

    def error(self, message: str) -> NoReturn:
        """Turn what argparse found into a sentence."""
        head, _, word = message.partition("unrecognized arguments: ")
        close = nearest(word.split("=")[0].split(" ")[0], self._option_string_actions) if not head else None
        fix = f"Did you mean '{close}'? {self.usage_help}" if close else self.usage_help
        raise InputError("CLI-02", self.prog, f"{message.rstrip('.')}.", fix)

    def print_help(self, file: Any = None) -> NoReturn:
        """Hand the help text to whoever started the parser."""
        raise HelpAsked(self.format_help())


def add_format(parser: argparse.ArgumentParser) -> None:
    """Add `--format text|json`, which every command takes."""
    parser.add_argument(
        "--format",
        choices=("text", "json"),
        default="text",
        help="text to read, or JSON for other programs (default: text)",
    )


def overview() -> str:
    """Return what `turnwright --help` says."""
    lines = [
        "Which low-voltage dry-type transformer belongs between a supply and its loads,",
        "and why.",
        "",
        "  turnwright COMMAND … [--format text|json]",
        "",
        *(f"  {command.name:10} {command.says}" for command in COMMANDS),
        "",
        "  turnwright COMMAND --help   what goes with a command",
        "  turnwright --version        version of the tool and digest of its tables",
        "",
        "Exit status: 0 answered, 1 defect of the tool, 2 bad input, 3 answered no,",
        "4 not enough known.",
    ]
    return "\n".join(lines) + "\n"


def find_command(words: list[str]) -> Command:
    """Return the command that the first word names.

    Raises:
        InputError: CLI-01, no command, or none of that name.
    """
    names = [command.name for command in COMMANDS]
    known = f"Commands: {', '.join(names)}. 'turnwright --help' says what each does."
    if not words:
        raise InputError("CLI-01", WHERE, "no command given.", known)
    word = words[0]
    if word.startswith("-"):
        raise InputError("CLI-01", WHERE, f"'{word}' stands before a command.", f"Write it after. {known}")
    for command in COMMANDS:
        if command.name == word:
            return command
    close = nearest(word, names)
    hint = f"Did you mean '{close}'? {known}" if close else known
    raise InputError("CLI-01", WHERE, f"there is no command '{word}'.", hint)


def parse(words: list[str]) -> tuple[Command, argparse.Namespace]:
    """Return the command and its arguments.

    Raises:
        InputError: CLI-01 or CLI-02, not usable as they stand.
        HelpAsked: with the text of the help.
    """
    command = find_command(words)
    parser = Parser(command)
    command.module.add_arguments(parser)
    add_format(parser)
    return command, parser.parse_args(words[1:])
