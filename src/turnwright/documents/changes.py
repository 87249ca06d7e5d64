"""What differs between the result on a paper and the result of today, and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import isclose
from typing import Any

from msgspec import Struct

NOT_COMPARED = ("tool", "working")
NAMED_BY = ("code", "key", "what")
"""Keys by which the elements of a list are told apart, where they have one."""
SAME_RATIO = 1e-9
"""Numbers closer than this are the same: the last digits depend on the machine."""
MOST_CAUSES = 3
ABSENT = None


class Change(Struct, frozen=True):
    """One value that is another today."""

    path: str
    paper: Any
    now: Any
    why: str


def changes(paper: Mapping[str, Any], now: Mapping[str, Any], edited: bool) -> tuple[Change, ...]:
    """Return what changed between two results, as JSON has them.

    Args:
        paper: the result on the paper.
        now: the result of the same job today.
        edited: the files inside the paper are not those it was made with.
    """
    before, after = ({k: v for k, v in one.items() if k not in NOT_COMPARED} for one in (paper, now))
    general = _general_cause(paper, now, edited)
    cells = _changed_leaves(paper, now)
    froms = _froms(paper) | _froms(now)
    return tuple(
        Change(path, old, new, _cause(path, cells, froms) or general)
        for path, old, new in differences(before, after)
    )


def differences(paper: Any, now: Any, path: str = "") -> Iterator[tuple[str, Any, Any]]:
    """Yield path, value on paper, value now, of every difference between two JSON trees.

    Example:
        >>> list(differences({"pick": {"kva": 75.0}}, {"pick": {"kva": 112.5}}))
        [('pick.kva', 75.0, 112.5)]
    """
    if isinstance(paper, Mapping) and isinstance(now, Mapping):
        for key in dict.fromkeys((*paper, *now)):
            yield from differences(
                paper.get(key, ABSENT), now.get(key, ABSENT), f"{path}.{key}" if path else key
            )
    elif isinstance(paper, list) and isinstance(now, list):
        old, new = _by_name(paper), _by_name(now)
        for key in dict.fromkeys((*old, *new)):
            yield from differences(old.get(key, ABSENT), new.get(key, ABSENT), f"{path}[{key}]")
    elif not _same(paper, now):
        yield path, paper, now


def _same(paper: Any, now: Any) -> bool:
    numbers = all(isinstance(one, int | float) and not isinstance(one, bool) for one in (paper, now))
    return isclose(paper, now, rel_tol=SAME_RATIO, abs_tol=SAME_RATIO) if numbers else bool(paper == now)


def _by_name(elements: list[Any]) -> dict[str, Any]:
    """Return the elements of a list by what names them, else by their place; several of a name are counted."""
    found: dict[str, Any] = {}
    for at, element in enumerate(elements):
        name = str(at)
        if isinstance(element, Mapping):
            name = next((str(element[key]) for key in NAMED_BY if element.get(key) is not None), name)
        while name in found:
            name += "'"
        found[name] = element
    return found


def _lines(result: Mapping[str, Any]) -> dict[str, Mapping[str, Any]]:
    working = result.get("working")
    lines = working if isinstance(working, list) else ()
    return {str(line["name"]): line for line in lines if isinstance(line, dict) and "name" in line}


def _froms(result: Mapping[str, Any]) -> dict[str, set[str]]:
    told = {name: line.get("from") for name, line in _lines(result).items()}
    return {
        name: {str(one) for one in of.values()} if isinstance(of, dict) else set()
        for name, of in told.items()
    }


def _changed_leaves(paper: Mapping[str, Any], now: Mapping[str, Any]) -> dict[str, str]:
    """Return the facts and table cells that are others today: name -> what was and what is."""
    old, new = _lines(paper), _lines(now)
    found = {}
    for name in dict.fromkeys((*old, *new)):
        before, after = old.get(name), new.get(name)
        if before is None or after is None:
            continue
        leaf = not after.get("formula") and not after.get("with")
        if leaf and not _same(before.get("value"), after.get("value")):
            found[name] = (
                f"{name} was {before.get('value')}, now {after.get('value')} ({after.get('source')})"
            )
    return found


def _cause(path: str, cells: Mapping[str, str], froms: Mapping[str, set[str]]) -> str:
    """Return the changed facts and table cells that a value rests on."""
    seen: set[str] = set()
    waiting = [path]
    while waiting:
        name = waiting.pop()
        if name not in seen:
            seen.add(name)
            waiting += sorted(froms.get(name, ()))
    causes = [text for name, text in cells.items() if name in seen]
    more = f" and {len(causes) - MOST_CAUSES} more" if len(causes) > MOST_CAUSES else ""
    return "; ".join(causes[:MOST_CAUSES]) + more


def _general_cause(paper: Mapping[str, Any], now: Mapping[str, Any], edited: bool) -> str:
    """Return why the two may differ at all."""
    if edited:
        return "the files inside the paper were changed after it was made"
    causes = []
    old_edition, new_edition = _job(paper, "edition"), _job(now, "edition")
    if old_edition != new_edition:
        causes.append(f"edition {old_edition}, now {new_edition}")
    old, new = paper.get("tool") or {}, now.get("tool") or {}
    if old.get("tables") != new.get("tables"):
        causes.append("the reference tables changed")
    if old.get("version") != new.get("version"):
        causes.append(f"made by version {old.get('version')}, now {new.get('version')}")
    return "; ".join(causes) or "another build of the same version made it"


def _job(result: Mapping[str, Any], key: str) -> Any:
    return (result.get("job") or {}).get(key)
