"""What the pages show is run: files are written, commands answered, Python tried, in a folder made for the page.

A page has these blocks, in order; each sees what those before it left:

    ```{file} NAME       a file with this content
    ```{run} COMMAND     a command that answers; its body is lines that stand in the answer, in their order
    ```{refused} COMMAND the same for one that is refused
    ```pycon             Python, with what it prints
    ```{diff} FILE       a change of the source; the commands after it are those of a copy with all changes so far
    ```{diffs} PAGE      the changes of another page

The page that is built shows the whole answer, made anew each time.
"""

from __future__ import annotations

import doctest
import re
import shlex
import shutil
import tempfile
from contextlib import chdir, redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path
from typing import Any

from docs.made.changed_source import SOURCE, apply_change, run_changed
from turnwright.cli.main import main

ROOT = Path(__file__).parents[2]
PAGES = ROOT / "docs"
BLOCK = re.compile(
    r"^```(\{file\}|\{run\}|\{refused\}|\{diff\}|\{diffs\}|pycon) ?([^\n]*)\n(.*?)^```$",
    re.MULTILINE | re.DOTALL,
)
ANSWERED, REFUSED = (0, 3, 4), (2,)
LANGUAGES = {".toml": "toml", ".json": "json", ".csv": "text", ".txt": "text"}


class Stale(AssertionError):
    """A page shows what is not so."""


def shown(text: str) -> str:
    """Return a page with the whole answer to each of its commands.

    Raises:
        Stale: a command or an example does not do what the page says.
    """
    with tempfile.TemporaryDirectory(prefix="page-") as folder, chdir(folder):
        shutil.copytree(ROOT / "examples", "examples")
        names: dict[str, Any] = {}
        return BLOCK.sub(lambda found: _shown(found[1], found[2].strip(), found[3], names), text)


def _shown(kind: str, head: str, body: str, names: dict[str, Any]) -> str:
    if kind == "pycon":
        _try_python(body, names)
        return f"```pycon\n{body}```"
    if kind == "{file}":
        Path(head).write_text(body, encoding="utf-8")
        return f"```{{code-block}} {LANGUAGES[Path(head).suffix]}\n:caption: {head}\n\n{body}```"
    if kind == "{diff}":
        apply_change(head, body, ROOT)
        return f"```{{code-block}} diff\n:caption: {head}\n\n{body}```"
    if kind == "{diffs}":
        for found in BLOCK.finditer((PAGES / head).read_text(encoding="utf-8")):
            if found[1] == "{diff}":
                apply_change(found[2].strip(), found[3], ROOT)
        return ""
    answer = answer_of(head, ANSWERED if kind == "{run}" else REFUSED)
    _check_lines(head, body, answer)
    return f"```text\n$ {head}\n{answer}\n```"


def answer_of(command: str, statuses: tuple[int, ...]) -> str:
    """Return what a command prints.

    Raises:
        Stale: it ended otherwise.
    """
    words = shlex.split(command)
    if words[0] != "turnwright":
        raise Stale(f"{command}: only turnwright is run")
    status, answer = run_changed(words[1:]) if SOURCE.exists() else _run(words[1:])
    if status not in statuses:
        raise Stale(f"{command} ended with {status}:\n{answer}")
    return answer.rstrip()


def _run(words: list[str]) -> tuple[int, str]:
    out = StringIO()
    with redirect_stdout(out), redirect_stderr(out):
        status = main(words)
    return status, out.getvalue()


def _check_lines(command: str, body: str, answer: str) -> None:
    rest = " ".join(answer.split())
    for line in body.splitlines():
        wanted = " ".join(line.split())
        before, found, rest = rest.partition(wanted)
        if not found:
            raise Stale(f"{command}: '{wanted}' does not stand in the rest of its answer:\n{before}")


def _try_python(body: str, names: dict[str, Any]) -> None:
    out = StringIO()
    test = doctest.DocTestParser().get_doctest(body, names, "page", None, 0)
    runner = doctest.DocTestRunner(verbose=False, optionflags=doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE)
    runner.run(test, out=out.write, clear_globs=False)
    names.update(test.globs)
    if runner.failures:
        raise Stale(out.getvalue())
