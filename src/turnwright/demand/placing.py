"""Where the single-phase pieces go: so that the most loaded winding is loaded least, then the neutral.

Up to a dozen pieces: every arrangement that can still be the best is looked at (branch and bound, in
`searching`). More: the largest first, each where it adds least, then pieces are moved and exchanged as long as
that helps. Equal pieces are handled together, so that ten thousand lamps cost no more than ten.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence

from turnwright.demand.board import Board, Effect, Pieces, effect_of
from turnwright.demand.layouts import Layout
from turnwright.demand.searching import Search

MOST_EXACT = 12
"""Pieces up to which every arrangement is searched: 3^12 at worst, a few thousand with the bounds."""

MOST_MOVED = 150
"""Kinds of piece that take part in moves: of a longer list the smallest, which is what evens out the rest."""

MOST_EXCHANGED = 24
"""Kinds of piece that take part in exchanges."""

MOST_ROUNDS = 60


def place(
    free: Sequence[Pieces], fixed: Sequence[Pieces], layout: Layout, in_line_deg: float
) -> list[list[int]]:
    """Return how many pieces of each kind go to each of its spots.

    free        : pieces that have a choice
    fixed       : what stands already, at its first spot
    in_line_deg : angle at which loads of unknown angle reach the neutral [deg]
    """
    lags = {one.lag_deg for one in (*free, *fixed)}
    mixed = None in lags and len(lags) > 1
    board = Board((0j,) * len(layout.own_deg) * (2 if mixed else 1), 0j, len(layout.own_deg))
    for one in fixed:
        effect = effect_of(layout, one.spots[0], one.kva, one.lag_deg, in_line_deg, mixed)
        board = board.plus(effect, one.number)
    start = board
    effects = [
        [effect_of(layout, spot, one.kva, one.lag_deg, in_line_deg, mixed) for spot in one.spots]
        for one in free
    ]
    slack = 1e-9 * math.fsum(one.kva * one.number for one in (*free, *fixed))
    order = sorted(range(len(free)), key=lambda kind: -_weight(effects[kind]))
    counts, board = _largest_first(free, effects, order, board)
    counts, board = _improved(counts, effects, order, board, slack)
    if sum(one.number for one in free) > MOST_EXACT:
        return counts
    even = layout.cyclic and all(one.spots[0] == layout.even for one in fixed)
    mirrored = even and len(lags) == 1 and len({one.spots for one in free}) == 1
    kinds = [kind for kind in order for _ in range(free[kind].number)]
    search = Search(kinds, effects, _directions(layout, in_line_deg, mixed), slack, even, mirrored)
    found = search.run(start, board.rank())
    if found is None:
        return counts
    return [[found.count((kind, spot)) for spot in range(len(one.spots))] for kind, one in enumerate(free)]


def _directions(layout: Layout, in_line_deg: float, mixed: bool) -> tuple[complex, ...]:
    """Return the directions for the bounds of the search: the voltages of the windings, turned by the lag."""
    own = [cmath.rect(1.0, math.radians(turn)) for turn in layout.own_deg.values()]
    lag = cmath.rect(1.0, -math.radians(in_line_deg))
    return (*(turn * lag for turn in own), *(own if mixed else ()))


def _weight(effects: Sequence[Effect]) -> float:
    return max(abs(phasor) for effect in effects for phasor in effect.windings_kva)


def _largest_first(
    free: Sequence[Pieces], effects: Sequence[Sequence[Effect]], order: Sequence[int], board: Board
) -> tuple[list[list[int]], Board]:
    """Put the largest pieces first, each where the squares of the loads grow least; equal ones in batches."""
    counts = [[0] * len(one.spots) for one in free]
    for kind in order:
        left = free[kind].number
        while left:
            batch = max(1, left // (4 * len(effects[kind])))
            boards = [board.plus(effect, batch) for effect in effects[kind]]
            squares = [math.fsum(load * load for load in one.loads_kva()) for one in boards]
            best = squares.index(min(squares))
            board = boards[best]
            counts[kind][best] += batch
            left -= batch
    return counts, board


def _improved(
    counts: list[list[int]],
    effects: Sequence[Sequence[Effect]],
    order: Sequence[int],
    board: Board,
    slack: float,
) -> tuple[list[list[int]], Board]:
    """Move and exchange single pieces as long as that helps."""
    movable = order[-MOST_MOVED:]
    exchangeable = order[-MOST_EXCHANGED:]
    for _ in range(MOST_ROUNDS):
        found = _best_change(_moves(counts, movable), effects, board, slack)
        found = found or _best_change(_exchanges(counts, exchangeable), effects, board, slack)
        if found is None:
            break
        change, board = found
        for kind, start, end in change:
            counts[kind][start] -= 1
            counts[kind][end] += 1
    return counts, board


Change = tuple[tuple[int, int, int], ...]


def _moves(counts: Sequence[Sequence[int]], kinds: Sequence[int]) -> list[Change]:
    return [
        ((kind, start, end),)
        for kind in kinds
        for start, there in enumerate(counts[kind])
        if there
        for end in range(len(counts[kind]))
        if end != start
    ]


def _exchanges(counts: Sequence[Sequence[int]], kinds: Sequence[int]) -> list[Change]:
    single = [change[0] for change in _moves(counts, kinds)]
    return [(one, other) for i, one in enumerate(single) for other in single[i + 1 :] if one[0] != other[0]]


def _best_change(
    changes: Sequence[Change], effects: Sequence[Sequence[Effect]], board: Board, slack: float
) -> tuple[Change, Board] | None:
    best, rank = None, board.rank()
    for change in changes:
        changed = board
        for kind, start, end in change:
            changed = changed.plus(effects[kind][start], -1).plus(effects[kind][end], 1)
        changed_rank = changed.rank()
        if changed_rank.better(rank, slack):
            best, rank = (change, changed), changed_rank
    return best
