"""Which loads run at the same time: the largest sets in which no load runs beside one it never runs with."""

from __future__ import annotations

from itertools import product
from typing import NamedTuple

from turnwright.errors import InputError, nearest
from turnwright.model.case import CaseLoad

MOST_LINKED = 12
"""Sets are tried for up to a dozen loads linked by never_with (at most 81 sets); more count all together."""


class Sets(NamedTuple):
    """Sets of positions in the load list, each in ascending order. `all_together`: a bound."""

    sets: tuple[tuple[int, ...], ...]
    all_together: bool


def running_sets(loads: tuple[CaseLoad, ...]) -> Sets:
    """Return the sets of loads that may run at the same time, none of which is part of another.

    Raises: InputError DEM-06 when `never_with` names no other load.
    """
    apart = _apart(loads)
    everything = tuple(range(len(loads)))
    if not apart:
        return Sets((everything,), False)
    if len(apart) > MOST_LINKED:
        return Sets((everything,), True)
    free = [place for place in everything if place not in apart]
    choices = [_maximal(sorted(group), apart) for group in _groups(apart)]
    sets = tuple(
        tuple(sorted([*free, *(one for part in parts for one in part)])) for parts in product(*choices)
    )
    return Sets(sets, False)


def _apart(loads: tuple[CaseLoad, ...]) -> dict[int, set[int]]:
    """Return for each linked load those it never runs with."""
    if all(load.never_with is None for load in loads):
        return {}
    named: dict[str, list[int]] = {}
    for place, load in enumerate(loads):
        named.setdefault(load.name, []).append(place)
    apart: dict[int, set[int]] = {}
    for place, load in enumerate(loads):
        if load.never_with is None:
            continue
        others = [other for other in named.get(load.never_with, ()) if other != place]
        if not others:
            close = nearest(load.never_with, [other.name for other in loads if other is not load])
            fix = f"Did you mean '{close}'?" if close else "Write the name of another load of the list."
            where = f"load[{load.index}].never_with"
            raise InputError("DEM-06", where, f"no other load is named '{load.never_with}'.", fix)
        for other in others:
            apart.setdefault(place, set()).add(other)
            apart.setdefault(other, set()).add(place)
    return apart


def _groups(apart: dict[int, set[int]]) -> list[set[int]]:
    """Return the loads that are linked, directly or through others, group by group."""
    left = set(apart)
    groups = []
    while left:
        group = {min(left)}
        edge = set(group)
        while edge:
            edge = set().union(*(apart[one] for one in edge)) - group
            group |= edge
        left -= group
        groups.append(group)
    return groups


def _maximal(group: list[int], apart: dict[int, set[int]]) -> list[tuple[int, ...]]:
    """Return the sets of a group that hold no two loads apart and to which no load can be added."""
    found: list[tuple[int, ...]] = []

    def grow(chosen: tuple[int, ...], candidates: set[int], seen: set[int]) -> None:
        if not candidates and not seen:
            found.append(chosen)
        for one in sorted(candidates):
            grow((*chosen, one), candidates - apart[one] - {one}, seen - apart[one])
            candidates = candidates - {one}
            seen = seen | {one}

    grow((), set(group), set())
    return found
