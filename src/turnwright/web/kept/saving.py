"""A job kept from the working page. Where somebody saved meanwhile nothing is kept unseen: both sides are shown."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any, NamedTuple

from turnwright.documents.words.phrases import key_words
from turnwright.errors import InputError
from turnwright.web.job import edits
from turnwright.web.job.form import Form, read_form
from turnwright.web.job.merge import Draft, Problem, merge, problem_of, read
from turnwright.web.job.page import context
from turnwright.web.kept.jobs import Pairs, at_words, opened, whole
from turnwright.web.papers import file_name
from turnwright.web.render import page
from turnwright.web.reply import Reply, html

PICK = "pick."
MINE, THEIRS = "mine", "theirs"


class Difference(NamedTuple):
    """A fact that two people have differently since a revision both knew.

    who  "you", "they", or "both" where the two disagree
    """

    path: str
    words: str
    was: str
    mine: str
    theirs: str
    who: str


def save_page(url: str | None, pairs: Pairs, _file: object = None) -> Reply:
    """Keep what the working page holds as the next revision, and show the page again, or what others did meanwhile."""
    form = read_form(pairs)
    draft = merge(form)
    name = form.kept.get("name", "").strip() or file_name(draft.job.title)
    author = form.kept.get("by", "").strip()
    known = whole(form.kept.get("number"))
    problem = _not_kept(draft, author)
    if problem:
        return _working(form, draft, {**form.kept, "name": name}, problem=problem)
    given = dict(pairs)
    text, seen = draft.text, whole(given.get("seen"))
    with opened(url) as store:
        newest = _newest(store, name)
        if given.get("how") == "together" and newest and seen == newest.number:
            base = store.revision(name, known) if known else None
            text, unsettled = together(base.job_text if base else "", text, newest.job_text, given)
            if unsettled:
                return _merge_page(store, form, draft, name, newest, unsettled)
        if newest and newest.job_text == text:
            said = f"Nothing changed since revision {newest.number} of {name}, kept by {newest.author}."
            return _working(form, draft, {"name": name, "number": str(newest.number), "by": author}, said)
        saved = store.save(
            name,
            text,
            author=author,
            saved_at=datetime.now(UTC).isoformat(timespec="seconds"),
            based_on=seen if given.get("how") in ("mine", "together") else known,
            if_newest=True,
        )
        if saved.revision is None:
            return _merge_page(store, form, draft, name, store.revision(name), "")
    kept = {"name": name, "number": str(saved.revision.number), "by": author}
    return _working(
        form,
        draft,
        kept,
        f"Kept as revision {saved.revision.number} of {name}.",
        text if text != draft.text else "",
    )


def _not_kept(draft: Draft, author: str) -> str:
    if draft.problems:
        return "Not kept: some entries cannot be used. They are listed on top."
    if not author:
        return "Not kept: say who keeps it, so that others know whom to ask."
    return ""


def _newest(store: Any, name: str) -> Any:
    from turnwright.errors import UnknownKey

    try:
        return store.revision(name)
    except UnknownKey:
        return None


def _working(
    form: Form, draft: Draft, kept: dict[str, str], said: str = "", text: str = "", *, problem: str = ""
) -> Reply:
    """Return the working page with what became of the save."""
    shown = Form(text=text, base=text) if text else form
    found = context(shown)
    return html(page("job", {**found, "kept": kept, "kept_said": said, "kept_problem": problem}))


def _merge_page(store: Any, form: Form, draft: Draft, name: str, newest: Any, unsettled: str) -> Reply:
    known = whole(form.kept.get("number"))
    base = store.revision(name, known) if known else None
    since = [head for head in store.history(name) if head.number > (known or 0)]
    rows = differences(base.job_text if base else "", draft.text, newest.job_text)
    return html(
        page(
            "kept_merge",
            {
                "name": name,
                "known": known,
                "since": [(head.number, head.author, at_words(head.saved_at)) for head in since],
                "newest": newest,
                "rows": rows,
                "text": draft.text,
                "kept": {**form.kept, "name": name},
                "unsettled": unsettled,
                "fits_together": _fits_together(base.job_text if base else "", draft.text, newest.job_text),
                "title": draft.job.title or name,
            },
        )
    )


def differences(base: str, mine: str, theirs: str) -> list[Difference]:
    """Return the facts that either side changed, those first that both changed in different ways.

    Example:
        >>> one, other = "[site]\\nplace = 'roof'\\n", "[site]\\nplace = 'indoor'\\naltitude = '9 m'\\n"
        >>> [(each.path, each.who) for each in differences("[site]\\nplace = 'roof'\\n", one, other)]
        [('site.place', 'they'), ('site.altitude', 'they')]
    """
    was, my, their = (_flat(edits.data_of(text)) for text in (base, mine, theirs))
    found = []
    for path in {**was, **their, **my}:
        b, m, t = was.get(path), my.get(path), their.get(path)
        if m == t:
            continue
        who = "they" if m == b and base else "you" if t == b and base else "both"
        was_, mine_, theirs_ = (edits.written(each) or "–" for each in (b, m, t))
        found.append(Difference(path, key_words(path), was_, mine_, theirs_, who))
    return sorted(found, key=lambda one: one.who != "both")


def _flat(node: Any, path: str = "") -> dict[str, Any]:
    """The values of a file by key path."""
    if isinstance(node, dict):
        inner = ((f"{path}.{name}" if path else name, each) for name, each in node.items())
    elif isinstance(node, list) and node and all(isinstance(each, dict) for each in node):
        inner = ((f"{path}[{at}]", each) for at, each in enumerate(node))
    else:
        return {path: node}
    return {key: value for at, each in inner for key, value in _flat(each, at).items()}


def _fits_together(base: str, mine: str, theirs: str) -> bool:
    """Whether facts can be put together one by one: the loads are the same in number."""
    return (
        bool(base) and len({len(edits.data_of(text).get("load") or ()) for text in (base, mine, theirs)}) == 1
    )


def together(base: str, mine: str, theirs: str, given: dict[str, str]) -> tuple[str, str]:
    """Return the job of others with what was changed here put into it; and what stands in the way, or "".

    given : for each fact that both changed, under `pick.` and its path, whose is taken
    """
    if not _fits_together(base, mine, theirs):
        return mine, "Loads were added or taken out: put the two together by hand."
    values, text = _flat(edits.data_of(mine)), theirs
    try:
        for one in differences(base, mine, theirs):
            whose = (
                given.get(f"{PICK}{one.path}") if one.who == "both" else MINE if one.who == "you" else THEIRS
            )
            if whose not in (MINE, THEIRS):
                return mine, f"Say whose value is taken for {one.words}."
            if whose == MINE:
                text = edits.put_text(text, one.path, values.get(one.path))
        read(text)
    except InputError as error:
        told: Problem = problem_of(error)
        return mine, f"Put together the job cannot be used: {told.what} {told.fix}"
    except (KeyError, IndexError, TypeError):
        return mine, "The two do not go together fact by fact: put them together by hand."
    return text, ""
