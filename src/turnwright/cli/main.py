"""`turnwright`: finds the command, writes its text, and turns whatever goes wrong into one sentence."""

from __future__ import annotations

import gc
import os
import sys
from typing import TextIO

import turnwright.cli.lean_start  # noqa: F401  # before anything else loads msgspec
from turnwright.cli.outcome import ANSWERED, BAD_INPUT, DEFECT, Outcome
from turnwright.errors import TurnwrightError, place_in_package

GARBAGE_THRESHOLD = 100_000
"""New objects after which the interpreter looks for garbage."""
_PLAINER = str.maketrans(
    {
        "≤": "<=", "≥": ">=", "×": "x", "·": "-", "–": "-", "—": "-", "−": "-", "…": "...", "√": "sqrt",
        "²": "2", "°": "deg ", "Σ": "sum", "→": "->", "±": "+/-", "Ω": "ohm", "π": "pi",
    }
)  # fmt: skip
"""What is written where the terminal has not the sign: a limit must stay a limit."""


def _version() -> str:
    from turnwright.reference import digest
    from turnwright.version import __version__

    return f"turnwright {__version__}\ntables {digest()}\n"


def _answer(words: list[str]) -> Outcome:
    """Return what a command line comes to.

    Raises:
        TurnwrightError: it cannot be answered as it stands.
    """
    if words[:1] in (["--help"], ["-h"], ["help"]):
        from turnwright.cli.arguments import overview

        return Outcome(ANSWERED, overview())
    if words[:1] == ["--version"]:
        return Outcome(ANSWERED, _version())
    from turnwright.cli.arguments import HelpAsked, parse

    try:
        command, arguments = parse(words)
    except HelpAsked as asked:
        return Outcome(ANSWERED, asked.text)
    outcome: Outcome = command.module.run(arguments)
    return outcome


def _writable(text: str, encoding: str) -> str:
    """Return the text in characters that the encoding has.

    Example:
        >>> _writable("450 A (≤ 800), 漢", "ascii")
        '450 A (<= 800), ?'
    """
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        return text.translate(_PLAINER).encode(encoding, "replace").decode(encoding)
    return text


def _write(text: str, stream: TextIO) -> None:
    stream.write(_writable(text, stream.encoding or "utf-8"))
    stream.flush()


def _abandon(stream: TextIO | None) -> None:
    """Let the interpreter flush into nothing when it ends: what could not be written is told already."""
    if stream is None:
        return
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
    except (OSError, ValueError):  # no file behind the stream: nothing will be flushed
        return


def _say(message: str) -> None:
    """Write one line to standard error, if there is one."""
    if sys.stderr is None:
        return
    line = " ".join("".join(c if c.isprintable() else " " for c in message).split())
    try:
        _write(line + "\n", sys.stderr)
    except (OSError, ValueError):
        _abandon(sys.stderr)


def _outcome(words: list[str]) -> Outcome:
    try:
        return _answer(words)
    except TurnwrightError as error:
        _say(str(error))
        return Outcome(BAD_INPUT, "")
    except KeyboardInterrupt:
        _say("turnwright: stopped before there was an answer.")
        return Outcome(BAD_INPUT, "")
    except OSError as error:
        name = f"{error.filename}: " if error.filename else ""
        _say(f"turnwright: {name}{error.strerror or error}.")
        return Outcome(BAD_INPUT, "")
    except Exception as error:
        what = f"{type(error).__name__}: {error}".rstrip(": .")
        _say(
            f"turnwright: a defect of this tool ({what}{place_in_package(error)}); please report it with the job file "
            "and this line where you got turnwright from."
        )
        return Outcome(DEFECT, "")


def main(words: list[str] | None = None) -> int:
    """Run one command line and return its exit status.

    0 answered, 1 a defect of the tool, 2 bad input or nowhere to write, 3 answered no, 4 not enough known.
    """
    if words is not None:
        return _run(words)
    # One answer makes little garbage: looking for it while modules load, and once more at the end, costs a tenth of
    # the whole time.
    gc.set_threshold(GARBAGE_THRESHOLD)
    status = _run(sys.argv[1:])
    gc.freeze()
    return status


def _run(words: list[str]) -> int:
    outcome = _outcome(words)
    if not outcome.text:
        return outcome.status
    if sys.stdout is None:
        _say("turnwright: standard output is closed, the answer cannot be written.")
        return BAD_INPUT
    try:
        _write(outcome.text, sys.stdout)
    except BrokenPipeError:  # whoever was reading has left: nobody to tell
        _abandon(sys.stdout)
        return BAD_INPUT
    except (OSError, ValueError) as error:
        _abandon(sys.stdout)
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        _say(f"turnwright: the answer cannot be written to standard output: {reason}.")
        return BAD_INPUT
    except KeyboardInterrupt:
        _abandon(sys.stdout)
        return BAD_INPUT
    return outcome.status
