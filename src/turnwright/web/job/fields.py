"""The facts of a job as lines to be edited, made from the list of keys: a new key appears by itself."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any

from msgspec import Struct

from turnwright.documents.words.phrases import load_label
from turnwright.model.key import Key
from turnwright.model.keys import JOB_TABLES, SIZE_KEYS
from turnwright.web.job import edits
from turnwright.web.job.merge import NOTE, ORIGIN, Draft, Problem
from turnwright.web.job.paths import SIZE, field_of
from turnwright.web.reading import Understood

MOST_LOADS = 25
"""Loads shown as lines; further ones stand in the job file."""
LONGEST_TEXT = 100_000
"""Characters of a job file above which there are no lines at all: it is edited as a text."""
ALWAYS = frozenset(("title", "supply.system", "load.name", "load.system", "load.size"))
"""Lines that are there for a job of which nothing is known yet."""
SIZE_KEY = Key(
    SIZE,
    "size",
    "of one piece, from its nameplate: amperes, kVA, kW or hp",
    "150 A, 31 kVA, 24 kW or 15 hp",
)
TITLES = {
    "": "Job",
    "supply": "Supply",
    "load": "Load",
    "site": "Site",
    "circuit": "Circuit",
    "choices": "Choices",
}
_INNER = {"load": ("load.duty",), "site": ("site.room",)}
"""Tables whose keys are shown among those of the table around them."""
_HIDDEN = frozenset(("schema", NOTE))
SHORT_SOURCE = len("line 100000")
LONG = frozenset(("title", "name", NOTE))
"""Keys whose text is usually a long one."""
NOT_SAID = "not said"


class Line(Struct, frozen=True, kw_only=True):
    """One fact: its path and name, what stands in its field, and where that comes from.

    choices  value and word of each thing that can be chosen; none: a text is typed
    mark     "assumed", "half-known", or ""
    is_long  its text is usually a long one
    value    what stands in where nobody said, or what is used of a half-known one
    source   where it comes from, or why it stands in
    """

    path: str
    label: str
    text: str
    choices: tuple[tuple[str, str], ...] = ()
    mark: str = ""
    value: str = ""
    source: str = ""
    problem: Problem | None = None
    is_long: bool = False

    @property
    def is_short(self) -> bool:
        """Whether there is room for another one beside it."""
        noted = self.problem or self.mark or self.value or self.is_long
        return not noted and len(self.source) <= SHORT_SOURCE


class Group(Struct, frozen=True, kw_only=True):
    """The facts of one table: its lines, what is assumed in one sentence, how many keys are not shown."""

    path: str
    title: str
    lines: tuple[Line, ...]
    assumed: tuple[str, ...]
    hidden: int
    opened: bool
    number: int | None = None


def groups(
    draft: Draft,
    facts: Iterable[Mapping[str, Any]],
    asked: Collection[str],
    more: Collection[str],
    understood: Understood | None,
) -> tuple[Group, ...]:
    """Return the facts of a job, table by table.

    draft       the job file, and what could not be used of what was typed
    facts       the job as understood
    asked       keys that are asked for
    more        tables of which every key is to be shown
    understood  what the request says
    """
    if len(draft.text) > LONGEST_TEXT:
        return ()
    maker = _Maker(draft, facts, asked, understood)
    loads = maker.data.get("load") or ()
    found = [maker.group("", "", "", more), maker.group("supply", "supply", TITLES["supply"], more)]
    for index in range(min(len(loads), MOST_LOADS)):
        name = loads[index].get("name")
        title = load_label(index, name if isinstance(name, str) else None)
        found.append(maker.group("load", f"load[{index}]", title[:1].upper() + title[1:], more, index))
    found += [maker.group(table, table, TITLES[table], more) for table in ("site", "circuit", "choices")]
    offers = maker.data.get("offer") or ()
    for index in range(min(len(offers), MOST_LOADS)):
        found.append(maker.group("offer", f"offer[{index}]", f"Offer {index + 1}", more))
    return tuple(found)


class _Maker:
    """Makes the lines of one job."""

    def __init__(
        self,
        draft: Draft,
        facts: Iterable[Mapping[str, Any]],
        asked: Collection[str],
        understood: Understood | None,
    ) -> None:
        self.draft = draft
        self.data = edits.data_of(draft.text)
        self.facts = {field_of(fact["key"]): fact for fact in facts}
        self.asked = frozenset(field_of(key) for key in asked)
        self.understood = understood

    def group(
        self, table: str, path: str, title: str, more: Collection[str], number: int | None = None
    ) -> Group:
        """Return the lines of one table."""
        opened = (path or "job") in more
        keys = list(_keys(table, path))
        shown = [one for one in keys if opened or self._is_shown(table, *one)]
        there = {at for at, _ in shown}
        return Group(
            path=path or "job",
            title=title or TITLES[""],
            lines=tuple(self._line(at, key) for at, key in shown),
            assumed=tuple(
                f"{label(at, key)} {self.facts[at]['value']}"
                for at, key in keys
                if at in self.facts and at not in there
            ),
            hidden=len(keys) - len(shown),
            opened=opened,
            number=number,
        )

    def _is_shown(self, table: str, path: str, key: Key) -> bool:
        name = f"{table}.{key.name}" if table else key.name
        return (
            name in ALWAYS
            or path in self.asked
            or path in self.draft.problems
            or bool(edits.field_text(self.data, path))
        )

    def _line(self, path: str, key: Key) -> Line:
        fact = self.facts.get(path)
        given = edits.field_text(self.data, path)
        text = self.draft.typed.get(path, given)
        mark, value, source = self._origin(path, key, fact, bool(given))
        problem = self.draft.problems.get(path)
        if problem is not None:
            mark, value, source = "", "", f"in use: {given}" if given else ""
        return Line(
            path=path,
            label=label(path, key),
            text=text,
            choices=choices(key, text),
            mark=mark,
            value=value,
            source=source,
            problem=problem,
            is_long=key.name in LONG,
        )

    def _origin(
        self, path: str, key: Key, fact: Mapping[str, Any] | None, given: bool
    ) -> tuple[str, str, str]:
        """Return mark, value and source of a fact."""
        if fact is None:
            sample = "" if choices(key, "") else f", as {plain_sample(key)}"
            return "", "", self._from(path, "") if given else f"{key.says}{sample}"
        reason, value = str(fact["reason"]), str(fact["value"])
        if fact["known"] == "assumed":
            return ("half-known" if given else "assumed"), ("" if given else value), reason
        where = str(fact["where"]).removeprefix(f"{ORIGIN}, ").removeprefix(ORIGIN)
        return "", "", "; ".join(text for text in (self._from(path, where), reason) if text)

    def _from(self, path: str, where: str) -> str:
        words = self.understood.words.get(path, "") if self.understood else ""
        if words and self.understood is not None:
            said = self.understood.typed.get(path, "")
            if edits.flat(said) == edits.flat(edits.field_text(self.data, path)):
                return f"from the request: “{words}”"
        line = self.draft.job.lines.get(path)
        return where or (f"line {line}" if line else "")


def _keys(table: str, path: str) -> Iterator[tuple[str, Key]]:
    """Yield the path and the key of each line of a table; one line stands for the four sizes of a load."""
    before = f"{path}." if path else ""
    inner = {name.rpartition(".")[2]: JOB_TABLES[name] for name in _INNER.get(table, ())}
    for key in JOB_TABLES[table]:
        if key.name in inner:
            yield from ((f"{before}{key.name}.{each.name}", each) for each in inner[key.name])
        elif table == "load" and key.name in SIZE_KEYS:
            if key.name == SIZE_KEYS[0]:
                yield f"{before}{SIZE}", SIZE_KEY
        elif path or key.name not in _HIDDEN:
            yield f"{before}{key.name}", key


def label(path: str, key: Key) -> str:
    """Return the name of a line.

    Example:
        >>> label("site.room.length", Key("length", "length", "…", "4 m")), label("supply.x_over_r", Key("x_over_r",
        ...     "number", "…", "6")), label("load[0].kva", Key("kva", "apparent power", "…", "31 kVA"))
        ('room length', 'X/R', 'kVA')
    """
    table, _, name = path.rpartition(".")
    inner = table.rpartition(".")[2]
    words = LABELS.get(name, name.replace("_", " "))
    return f"{inner} {words}" if inner in ("room", "duty") else words


LABELS = {
    "x_over_r": "X/R",
    "kva": "kVA",
    "proposed_kva": "proposed kVA",
    "source_kva": "source kVA",
    "price_kwh": "price of a kWh",
    "p_ecr": "winding eddy loss",
    "k_rating": "K rating",
    "system": "voltage system",
    "size": "size of one piece",
    "measured": "measured volts",
    "secondary": "secondary wanted",
}
"""Name of a key -> how people say it, where the name itself is no plain English."""


def choices(key: Key, text: str) -> tuple[tuple[str, str], ...]:
    """Return what can be chosen for a key, with the word for each; nothing where a text is typed.

    Example:
        >>> choices(Key("shaft", "yes/no", "…", "false"), "")[1:]
        (('true', 'yes'), ('false', 'no'), ('unknown', 'not known'))
    """
    if key.kind == "yes/no":
        known = [("true", "yes"), ("false", "no")]
    elif key.kind in ("word", "lines") and key.words:
        known = [(word, word) for word in key.words]
    else:
        return ()
    known = [("", NOT_SAID), *known, ("unknown", "not known")]
    return tuple(known if any(text == value for value, _ in known) else [*known, (text, text)])


def plain_sample(key: Key) -> str:
    """Return a sample as it is typed into a field."""
    return key.sample.strip("[]").replace('"', "") if key.kind in edits.LISTS else key.sample
