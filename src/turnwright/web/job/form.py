"""What a form of the working page carries. All of it is text that somebody could have made up."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from turnwright.web.job.edits import NEW_JOB
from turnwright.web.job.story import Story, read_story

ACTIONS = ("update", "read", "why", "answer", "own", "undo", "add", "drop", "more")
"""Names of the buttons."""
FIELD = "f."
STAMP = ("date", "by", "revision")
KEPT = ("name", "number", "by")
"""What the form says of the job kept, each behind `kept_`."""
MOST_OPEN = 12
MOST_FIELDS = 3000
MOST_NAME = 120
MOST_KEPT = 201

Pairs = Iterable[tuple[str, str]]


class Form(Struct, frozen=True, kw_only=True):
    """One state of the page, as it was sent.

    text    the job file as it stands in its field, perhaps edited by hand
    base    the job file as it was when the page was made; the fields are held against it
    typed   what stands in the fields, by key path
    own     the answer typed below the next question
    story   what was given so far
    open    numbers whose working is unfolded
    more    tables of which all keys are shown
    stamp   what goes on the papers: date, by, revision
    kept    name and revision that the job was kept as, and who keeps it
    action  the button that was pressed, and its value
    """

    text: str = NEW_JOB
    base: str = NEW_JOB
    typed: dict[str, str] = {}
    own: str = ""
    story: Story = ()
    open: tuple[str, ...] = ()
    more: tuple[str, ...] = ()
    stamp: dict[str, str] = {}
    kept: dict[str, str] = {}
    action: str = "update"
    value: str = ""


def lines(text: str) -> str:
    """Return a text with the line ends of the job file; a form sends others."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def read_form(pairs: Pairs) -> Form:
    """Return the state a form carries.

    Example:
        >>> read_form([("base", ""), ("f.load[0].kva", "22"), ("why", "pick.kva")]).typed
        {'load[0].kva': '22'}
    """
    single: dict[str, str] = {}
    typed: dict[str, str] = {}
    several: dict[str, list[str]] = {"open": [], "shown": []}
    action, value = "update", ""
    for name, given in pairs:
        if name.startswith(FIELD) and len(name) < MOST_NAME and len(typed) < MOST_FIELDS:
            typed[name.removeprefix(FIELD)] = lines(given)
        elif name in several:
            several[name].append(given[:MOST_NAME])
        elif name in ACTIONS:
            action, value = name, given
        else:
            single[name] = given
    text = lines(single.get("text", NEW_JOB))
    return Form(
        text=text,
        base=lines(single["base"]) if "base" in single else text,
        typed=typed if "base" in single else {},
        own=single.get("own_text", ""),
        story=read_story(single.get("story", "")),
        open=tuple(dict.fromkeys(several["open"]))[-MOST_OPEN:],
        more=tuple(dict.fromkeys(several["shown"])),
        stamp={name: single.get(name, "")[:MOST_NAME] for name in STAMP},
        kept={name: single.get(f"kept_{name}", "")[:MOST_KEPT] for name in KEPT},
        action=action,
        value=value,
    )
