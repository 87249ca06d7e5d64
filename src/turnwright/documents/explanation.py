"""How one number came about: a step of the working with, inside it, the steps of everything that went in."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from turnwright.documents.words.substitution import substitution
from turnwright.errors import UnknownKey, nearest

DEEPEST = 40
"""Steps inside each other that are followed; the working of a job has about ten."""
MOST_STEPS = 4000
"""Steps written out; beyond them a step is named but not opened again."""

_SHOWN_NAMES = 5
NO_STEP = "stands in the answer without a step of its own"
_MEASURES = {
    "kva": "kVA", "a": "A", "v": "V", "w": "W", "pct": "%", "hz": "Hz", "k": "K", "db": "dB", "kg": "kg",
}  # fmt: skip
"""Last part of a name of the answer -> unit of the number behind it."""
_NOT_EXPLAINED = frozenset(("schema", "options", "findings", "questions", "working", "tool", "job"))
Line = Mapping[str, Any]
"""A step of the working as JSON has it: name, formula, with, from, value, unit, source, known."""


def paths_of(tree: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Yield the path and the value of every number, text and yes/no of a JSON tree.

    Example:
        >>> list(paths_of({"pick": {"kva": 300.0, "taps": ["0 %"]}}))
        [('pick.kva', 300.0), ('pick.taps[0]', '0 %')]
    """
    if isinstance(tree, Mapping):
        for key, inner in tree.items():
            yield from paths_of(inner, f"{path}.{key}" if path else str(key))
    elif isinstance(tree, list):
        for index, inner in enumerate(tree):
            yield from paths_of(inner, f"{path}[{index}]")
    else:
        yield path, tree


def _bare_name(name: str) -> str:
    """Return a name without the differences that do not matter.

    Example:
        >>> _bare_name(" $.Load[ 0 ].kva "), _bare_name("result.pick.kva")
        ('load[0].kva', 'pick.kva')
    """
    return re.sub(r"\s+", "", name).removeprefix("$").strip(".").casefold().removeprefix("result.")


def find(name: str, known: Iterable[str]) -> str:
    """Return the name of the step that is meant: the name itself, or the only one that ends so.

    Args:
        name: as somebody typed it.
        known: the names of the steps.

    Raises:
        UnknownKey: EXPLAIN-01, no step, or several, could be meant; the nearest names are in the message.

    Example:
        >>> find("primary_rated_a", ["currents.primary_rated_a", "pick.kva"])
        'currents.primary_rated_a'
    """
    wanted = _bare_name(name)
    by_bare = {_bare_name(one): one for one in known}
    if wanted in by_bare:
        return by_bare[wanted]
    ends = [one for bare, one in by_bare.items() if wanted and bare.endswith(f".{wanted}")]
    if len(ends) == 1:
        return ends[0]
    if ends:
        several = ", ".join(ends[:_SHOWN_NAMES])
        raise UnknownKey(
            "EXPLAIN-01", f"'{name}'", "could be one of several numbers.", f"Say which: {several}."
        )
    names = ", ".join(by_bare[one] for one in _nearest_names(wanted, by_bare))
    hint = f"Did you mean {names}? " if names else ""
    fix = f"{hint}'turnwright explain JOB' lists every name."
    raise UnknownKey("EXPLAIN-01", f"'{name}'", "is no number of this answer.", fix)


def _nearest_names(wanted: str, names: Mapping[str, str]) -> list[str]:
    """Return the names most like the wanted one, by the whole or else by the last word."""
    import difflib

    close = difflib.get_close_matches(wanted, list(names), n=_SHOWN_NAMES, cutoff=0.6)
    last = nearest(wanted.rpartition(".")[2], {name.rpartition(".")[2] for name in names})
    return close or [name for name in names if name.rpartition(".")[2] == last][:_SHOWN_NAMES]


def _measure(path: str, value: Any) -> str:
    """Return the unit that the name of a number of the answer ends in.

    Example:
        >>> _measure("fault.primary_a", 30000.0), _measure("demand.k_factor", 1.0)
        ('A', '')
    """
    number = isinstance(value, int | float) and not isinstance(value, bool)
    last = re.sub(r"\[\d+\]|_with_growth|_required", "", path).rpartition(".")[2]
    return _MEASURES.get(last.rpartition("_")[2], "") if number else ""


def _fact_step(fact: Mapping[str, Any]) -> dict[str, Any]:
    source = "; ".join(text for text in (fact["where"], fact["reason"]) if text)
    return _step(fact["key"], fact["value"], "", source, fact["known"])


def _step(name: str, value: Any, unit: str, source: str, known: str) -> dict[str, Any]:
    return {
        "name": name,
        "formula": "",
        "with": {},
        "from": {},
        "value": value,
        "unit": unit,
        "source": source,
        "known": known,
    }


def steps_of(result: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    """Return all that can be explained of a result, by name: steps, then facts and values that no step made.

    Args:
        result: the result as JSON has it.
    """
    steps = {line["name"]: line for line in result["working"]}
    for fact in result["job"].get("facts") or ():
        steps.setdefault(fact["key"], _fact_step(fact))
    for path, value in paths_of({key: inner for key, inner in result.items() if key not in _NOT_EXPLAINED}):
        if value is not None:
            steps.setdefault(path, _step(path, value, _measure(path, value), NO_STEP, "computed"))
    return steps


def explain(name: str, steps: Mapping[str, Line]) -> dict[str, Any]:
    """Return a step with the steps of its inputs inside it, down to facts and table cells.

    A step that stands inside itself, or too deep, is named and not opened again.

    Args:
        name: the name of a step, exactly.
        steps: the steps by name.
    """
    budget = [MOST_STEPS]

    def nested(one: str, above: tuple[str, ...]) -> dict[str, Any]:
        line = steps[one]
        budget[0] -= 1
        inside = [] if budget[0] < 0 else sources_of(line)
        deeper = (*above, one)
        opened = [
            nested(n, deeper) for n in inside if n in steps and n not in deeper and len(deeper) < DEEPEST
        ]
        return {
            "name": one,
            "value": line["value"],
            "measure": line["unit"],
            "formula": line["formula"],
            "substitution": substitution(line["formula"], line["with"]),
            "with": line["with"],
            "from": line["from"],
            "source": line["source"],
            "known": line["known"],
            "steps": opened,
        }

    return nested(name, ())


def sources_of(line: Line) -> list[str]:
    """Return the names of the steps that a step's inputs came from, each once, in their order."""
    return list(dict.fromkeys(line["from"].values()))


def every_step(tree: Mapping[str, Any]) -> Iterator[Mapping[str, Any]]:
    """Yield a nested step and all steps inside it."""
    yield tree
    for inner in tree["steps"]:
        yield from every_step(inner)
