"""The jobs kept: found, with their history, one revision, computed again."""

from __future__ import annotations

import json
from time import monotonic
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from turnwright.documents.words.phrases import SEVERITY_WORDS
from turnwright.quantities import figure
from turnwright.web.job.answer import moved_words
from turnwright.web.render import page
from turnwright.web.reply import Reply, html

if TYPE_CHECKING:
    from turnwright.store import Asked, Head, Recheck, Store

ON_A_PAGE = 50
MOST_IN_HISTORY = 500
SECONDS_OF_A_RECHECK = 8.0
WORDS = ("words", "place", "finding")
SIZES = ("least_kva", "most_kva", "least_load_kva", "most_load_kva")

Pairs = list[tuple[str, str]]


def opened(url: str | None) -> Store:
    """Return the store of these pages.

    Raises:
        InputError: it cannot be used.
        MissingExtra: the extra is not installed.
    """
    from turnwright.store import Store, default_url

    return Store(url or default_url())


def jobs_page(url: str | None, query: Pairs) -> Reply:
    """Return the list of the jobs that fit what is asked."""
    given = dict(query)
    asked, problems = asked_of(given)
    number = max(whole(given.get("page")) or 1, 1)
    with opened(url) as store:
        found = store.jobs(asked, most=ON_A_PAGE, skip=(number - 1) * ON_A_PAGE)
    kept = {name: text for name, text in given.items() if name in (*WORDS, *SIZES) and text.strip()}
    return html(
        page(
            "kept_jobs",
            {
                "jobs": [_row(job.newest, revisions=job.revisions) for job in found.jobs],
                "total": found.total,
                "given": given,
                "asked": bool(kept),
                "problems": problems,
                "first": (number - 1) * ON_A_PAGE + 1,
                "earlier": _link("/jobs", {**kept, "page": number - 1}) if number > 1 else "",
                "later": _link("/jobs", {**kept, "page": number + 1})
                if number * ON_A_PAGE < found.total
                else "",
                "recheck": _link("/jobs/recheck", kept),
            },
        )
    )


def asked_of(given: dict[str, str]) -> tuple[Asked, dict[str, str]]:
    """Return what is asked for, and what of it cannot be used, by field."""
    from turnwright.store import Asked

    problems: dict[str, str] = {}
    sizes: dict[str, float | None] = {}
    for name in SIZES:
        text = given.get(name, "").casefold().removesuffix("kva").strip()
        try:
            sizes[name] = float(text) if text else None
            if sizes[name] is not None and not abs(sizes[name] or 0.0) < 1e9:
                raise ValueError(text)
        except ValueError:
            sizes[name] = None
            problems[name] = f"“{given[name][:40]}” is no number of kVA: write it as 75."
    words = {name: given.get(name, "")[:200] for name in WORDS}
    return Asked(**words, **sizes), problems  # type: ignore[arg-type]


def history_page(url: str | None, query: Pairs) -> Reply:
    """Return every revision of a job, the newest first.

    Raises:
        UnknownKey: STO-03.
    """
    key = dict(query).get("job", "")
    with opened(url) as store:
        history = store.history(key)
    rows = [_row(head) for head in reversed(history)]
    shown = rows[:MOST_IN_HISTORY]
    return html(
        page("kept_history", {"key": key, "rows": shown, "total": len(rows), "title": history[-1].title})
    )


def revision_page(url: str | None, query: Pairs) -> Reply:
    """Return one revision: what was asked, what came out, whether it still stands.

    Raises:
        UnknownKey: STO-03, STO-04.
    """
    from turnwright.store.recheck import rechecked

    given = dict(query)
    with opened(url) as store:
        revision = store.revision(given.get("job", ""), whole(given.get("number")))
        newest = store.history(revision.key)[-1].number
    result = json.loads(revision.result)
    return html(
        page(
            "kept_revision",
            {
                "one": _row(revision),
                "revision": revision,
                "newest": newest,
                "findings": [
                    (SEVERITY_WORDS.get(each["severity"], each["severity"]), each["message"])
                    for each in result.get("findings", ())
                ],
                "again": _again(rechecked(revision)),
            },
        )
    )


def recheck_page(url: str | None, query: Pairs) -> Reply:
    """Return which of the jobs that fit what is asked answer differently today; so many as a page has time for."""
    given = dict(query)
    asked, _ = asked_of(given)
    kept = {name: text for name, text in given.items() if name in (*WORDS, *SIZES) and text.strip()}
    done, moved_before = (max(whole(given.get(name)) or 0, 0) for name in ("done", "moved"))
    moved: list[dict[str, Any]] = []
    after, count, complete, end = given.get("after", ""), 0, True, monotonic() + SECONDS_OF_A_RECHECK
    with opened(url) as store:
        total = store.jobs(asked, most=0).total
        for one in store.recheck(asked, after=after):
            count, after = count + 1, one.revision.key
            if not one.stands:
                moved.append({**_row(one.revision), "again": _again(one)})
            if monotonic() > end:
                complete = done + count >= total
                break
    onward = {**kept, "after": after, "done": done + count, "moved": moved_before + len(moved)}
    return html(
        page(
            "kept_recheck",
            {
                "moved": moved,
                "count": count,
                "done": done + count,
                "moved_in_all": moved_before + len(moved),
                "total": total,
                "onward": "" if complete else _link("/jobs/recheck", onward),
            },
        )
    )


def _again(one: Recheck) -> str:
    """What a recheck says; "" where the revision stands."""
    from turnwright.narrow.compare import Move

    if one.stands:
        return ""
    if one.error:
        return f"It can no longer be computed: {one.error}"
    move = Move(fact="today", result=one.changed, gone=one.gone, new=one.new)
    return moved_words(move) or f"{len(one.changed)} values are others."


def _row(head: Head, revisions: int = 0) -> dict[str, Any]:
    """A revision as a row shows it."""
    size = f"{figure(head.kva)} kVA" if head.kva is not None else head.verdict
    return {
        "key": head.key,
        "number": head.number,
        "based_on": head.based_on,
        "title": head.title,
        "place": head.place,
        "size": size,
        "load": "" if head.load_kva is None else f"{figure(head.load_kva)} kVA",
        "author": head.author,
        "saved_at": at_words(head.saved_at),
        "tool": head.tool,
        "revisions": revisions,
        "history": _link("/jobs/history", {"job": head.key}),
        "address": _link("/jobs/revision", {"job": head.key, "number": head.number}),
    }


def at_words(saved_at: str) -> str:
    """Return when something was saved as people read it.

    Example:
        >>> at_words("2026-03-04T12:00:31+00:00")
        '2026-03-04 12:00 UTC'
    """
    day, _, time = saved_at.partition("T")
    zone = " UTC" if time.endswith(("+00:00", "Z")) else ""
    return f"{day} {time[:5]}{zone}".strip()


def whole(text: str | None) -> int | None:
    """Return a whole number, or None where a text is none.

    Example:
        >>> whole("3"), whole("x"), whole(None)
        (3, None, None)
    """
    return int(text) if text and text.isascii() and text.isdecimal() and len(text) < 10 else None


def _link(address: str, query: dict[str, Any]) -> str:
    return f"{address}?{urlencode(query)}" if query else address
