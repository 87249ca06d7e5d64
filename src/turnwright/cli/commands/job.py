"""`turnwright job save|list|show|history|recheck`: jobs kept."""

from __future__ import annotations

import getpass
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from turnwright.cli.jobs import text_of
from turnwright.cli.outcome import ANSWERED, ANSWERED_NO, NOT_ENOUGH_KNOWN, Outcome
from turnwright.errors import InputError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from turnwright.store import Asked, Head, Recheck, Store

ACTIONS = ("save", "list", "show", "history", "recheck")
SIZES = ("least_kva", "most_kva", "least_load_kva", "most_load_kva")
FOUND = "list, recheck"


def add_arguments(parser: ArgumentParser) -> None:
    """Add what stands behind `job`."""
    parser.add_argument("action", choices=ACTIONS, help="what to do with the jobs kept")
    parser.add_argument(
        "what", metavar="JOB|NAME", nargs="?", help="save: a job file; show, history: the kept name"
    )
    parser.add_argument("number", type=int, nargs="?", help="show: the revision (default: the newest)")
    parser.add_argument(
        "--store", metavar="URL", help="where jobs are kept (default: the user's data folder)"
    )
    parser.add_argument("--name", help="save: the name it is kept under (default: that of the file)")
    parser.add_argument("--author", help="save: who saves (default: the user of this machine)")
    parser.add_argument("--based-on", type=int, metavar="N", help="save: the revision this one grew from")
    for option, says in (
        ("words", "name, title or loads"),
        ("place", "place"),
        ("finding", "findings: a code, or words"),
    ):
        parser.add_argument(f"--{option}", help=f"{FOUND}: only jobs with this in their {says}")
    for option, says in zip(
        SIZES, ("smallest pick", "largest pick", "smallest load", "largest load"), strict=True
    ):
        parser.add_argument(
            f"--{option.replace('_', '-')}", type=float, metavar="KVA", help=f"{FOUND}: {says}"
        )
    parser.add_argument(
        "--most", type=int, metavar="N", help="list: so many (default: 100), the newest first"
    )
    parser.add_argument("--after", metavar="NAME", default="", help="recheck: go on behind this name")


def run(arguments: Namespace) -> Outcome:
    """Save a job, or look at those kept."""
    from turnwright.store import Store, default_url

    needs = arguments.action in ("save", "show", "history")
    if needs != (arguments.what is not None):
        words = "needs the name of a job" if needs else "takes no name"
        raise InputError(
            "CLI-05", "turnwright job", f"'{arguments.action}' {words}.", "See 'turnwright job --help'."
        )
    with Store(arguments.store or default_url()) as store:
        status, data, text = _ACTIONS[arguments.action](store, arguments)
    if arguments.format == "json":
        from turnwright.model.as_json import dumps
        from turnwright.narrow.select import tool

        rest: dict[str, Any] = {"findings": [], "questions": [], "working": []}
        made = tool()
        return Outcome(
            status,
            dumps({"schema": 1, **data, **rest, "tool": {"version": made.version, "tables": made.tables}}),
        )
    return Outcome(status, text)


Answer = tuple[int, dict[str, Any], str]


def _asked(arguments: Namespace) -> Asked:
    from turnwright.store import Asked

    return Asked(
        words=arguments.words or "",
        place=arguments.place or "",
        finding=arguments.finding or "",
        **{name: getattr(arguments, name) for name in SIZES},
    )


def _user() -> str:
    """Return the user of this machine.

    Raises:
        InputError: CLI-06, it does not know any.
    """
    try:
        return getpass.getuser()
    except (ImportError, KeyError, OSError):  # by version and system of Python
        what = "who saves is not known on this machine."
        raise InputError("CLI-06", "turnwright job", what, "Name them with --author.") from None


def _save(store: Store, arguments: Namespace) -> Answer:
    text, origin = text_of(arguments.what)
    saved = store.save(
        arguments.name or origin.removesuffix(".toml"),
        text,
        author=arguments.author or _user(),
        saved_at=datetime.now(UTC).isoformat(timespec="seconds"),
        based_on=arguments.based_on,
    )
    assert saved.revision is not None
    lines = [f"Kept: {_line(saved.revision)}"]
    if saved.meanwhile:
        others = ", ".join(f"{r.number} by {r.author}" for r in saved.meanwhile)
        lines.append(
            f"Saved meanwhile by others, nothing is lost: revision {others}. Compare before you go on."
        )
    data = {"saved": _data(saved.revision), "meanwhile": [_data(r) for r in saved.meanwhile]}
    return ANSWERED, data, "\n".join(lines) + "\n"


def _list(store: Store, arguments: Namespace) -> Answer:
    from turnwright.store import MOST_LISTED

    most = MOST_LISTED if arguments.most is None else arguments.most
    if most < 1:
        raise InputError("CLI-05", "--most", f"{most} jobs cannot be listed.", "Give 1 or more.")
    found = store.jobs(_asked(arguments), most=most)
    lines = [_line(job.newest) for job in found.jobs] or ["No job is kept here that fits."]
    left = found.total - len(found.jobs)
    if left > 0:
        lines.append(f"… {left} more: narrow the search, or --most {found.total}.")
    jobs = [{**_data(job.newest), "revisions": job.revisions} for job in found.jobs]
    return ANSWERED, {"jobs": jobs, "total": found.total}, "\n".join(lines) + "\n"


def _show(store: Store, arguments: Namespace) -> Answer:
    revision = store.revision(arguments.what, arguments.number)
    return (
        ANSWERED,
        {"revision": _data(revision), "job": revision.job_text},
        revision.job_text.rstrip() + "\n",
    )


def _history(store: Store, arguments: Namespace) -> Answer:
    history = store.history(arguments.what)
    return ANSWERED, {"history": [_data(r) for r in history]}, "\n".join(map(_line, history)) + "\n"


def _recheck(store: Store, arguments: Namespace) -> Answer:
    asked = _asked(arguments)
    total = store.jobs(asked, most=0).total
    show = _progress(total)
    checked: list[Recheck] = []
    stopped = False
    try:
        for one in store.recheck(asked, after=arguments.after):
            checked.append(one)
            show(len(checked))
    except KeyboardInterrupt:
        stopped = True
    moved = [one for one in checked if not one.stands]
    lines = [f"{len(checked)} jobs computed again, {len(moved)} answer differently today."]
    if stopped and checked:
        lines.append(f'Stopped; --after "{checked[-1].revision.key}" goes on with the rest.')
    for one in moved:
        lines.append(f"  {one.revision.key}: {_moved_words(one)}")
    data = {
        "rechecked": [
            {
                "job": _data(one.revision),
                "changed": {path: list(pair) for path, pair in one.changed.items()},
                "findings_gone": list(one.gone),
                "findings_new": list(one.new),
                "error": one.error,
            }
            for one in checked
        ],
        "complete": not stopped,
    }
    status = ANSWERED_NO if moved else NOT_ENOUGH_KNOWN if stopped else ANSWERED
    return status, data, "\n".join(lines) + "\n"


def _progress(total: int) -> Callable[[int], None]:
    """Return what shows on a terminal how many are done; elsewhere it shows nothing."""
    if total == 0 or sys.stderr is None or not sys.stderr.isatty():
        return lambda done: None
    from turnwright.fleet.progress import bar_of

    def show(done: int) -> None:
        end = "\n" if done >= total else ""
        sys.stderr.write(f"\r{bar_of(min(done / total, 1.0))}  {done} of {total} jobs{end}")
        sys.stderr.flush()

    return show


def _moved_words(one: Recheck) -> str:
    if one.error:
        return one.error
    changes = [f"{path} {then} → {now}" for path, (then, now) in list(one.changed.items())[:6]]
    changes += [f"gone: {code}" for code in one.gone] + [f"new: {code}" for code in one.new]
    return ", ".join(changes)


_HEAD = (
    "key",
    "number",
    "based_on",
    "author",
    "saved_at",
    "title",
    "place",
    "verdict",
    "kva",
    "load_kva",
    "tool",
    "tables",
)
_ACTIONS = {"save": _save, "list": _list, "show": _show, "history": _history, "recheck": _recheck}


def _line(revision: Head) -> str:
    size = f"{revision.kva:g} kVA" if revision.kva is not None else revision.verdict
    title = f", {revision.title}" if revision.title else ""
    return (
        f"{revision.key}{title}: revision {revision.number}, {size}, {revision.author}, {revision.saved_at}"
    )


def _data(head: Head) -> dict[str, Any]:
    return {name: getattr(head, name) for name in _HEAD}
