"""`turnwright job save|list|show|history|recheck`: jobs kept."""

from __future__ import annotations

import getpass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from turnwright.cli.jobs import text_of
from turnwright.cli.outcome import ANSWERED, ANSWERED_NO, Outcome
from turnwright.errors import InputError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from turnwright.store import Revision, Store

ACTIONS = ("save", "list", "show", "history", "recheck")


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
        ("words", "name or title"),
        ("place", "place"),
        ("finding", "code or words of a finding"),
    ):
        parser.add_argument(f"--{option}", help=f"list: only jobs with this in their {says}")
    parser.add_argument("--least-kva", type=float, help="list: smallest pick")
    parser.add_argument("--most-kva", type=float, help="list: largest pick")


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


def _save(store: Store, arguments: Namespace) -> Answer:
    text, origin = text_of(arguments.what)
    saved = store.save(
        arguments.name or origin.removesuffix(".toml"),
        text,
        author=arguments.author or getpass.getuser(),
        saved_at=datetime.now(UTC).isoformat(timespec="seconds"),
        based_on=arguments.based_on,
    )
    lines = [f"Kept: {_line(saved.revision)}"]
    if saved.meanwhile:
        others = ", ".join(f"{r.number} by {r.author}" for r in saved.meanwhile)
        lines.append(
            f"Saved meanwhile by others, nothing is lost: revision {others}. Compare before you go on."
        )
    data = {"saved": _data(saved.revision), "meanwhile": [_data(r) for r in saved.meanwhile]}
    return ANSWERED, data, "\n".join(lines) + "\n"


def _list(store: Store, arguments: Namespace) -> Answer:
    kept = store.jobs(
        words=arguments.words,
        place=arguments.place,
        least_kva=arguments.least_kva,
        most_kva=arguments.most_kva,
        finding=arguments.finding,
    )
    lines = [_line(job.newest) for job in kept] or ["No job is kept here that fits."]
    jobs = [{**_data(job.newest), "revisions": job.revisions} for job in kept]
    return ANSWERED, {"jobs": jobs}, "\n".join(lines) + "\n"


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


def _recheck(store: Store, _arguments: Namespace) -> Answer:
    checked = list(store.recheck())
    moved = [one for one in checked if one.changed or one.error]
    lines = [f"{len(checked)} jobs computed again, {len(moved)} answer differently today."]
    for one in moved:
        changes = one.error or ", ".join(
            f"{path} {a} → {b}" for path, (a, b) in list(one.changed.items())[:6]
        )
        lines.append(f"  {one.revision.key}: {changes}")
    data = [
        {
            "job": _data(one.revision),
            "changed": {path: list(pair) for path, pair in one.changed.items()},
            "error": one.error,
        }
        for one in checked
    ]
    return (ANSWERED_NO if moved else ANSWERED), {"rechecked": data}, "\n".join(lines) + "\n"


_ACTIONS = {"save": _save, "list": _list, "show": _show, "history": _history, "recheck": _recheck}


def _line(revision: Revision) -> str:
    size = f"{revision.kva:g} kVA" if revision.kva is not None else revision.verdict
    title = f", {revision.title}" if revision.title else ""
    return (
        f"{revision.key}{title}: revision {revision.number}, {size}, {revision.author}, {revision.saved_at}"
    )


def _data(revision: Revision) -> dict[str, Any]:
    kept = (
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
    return {name: getattr(revision, name) for name in kept}
