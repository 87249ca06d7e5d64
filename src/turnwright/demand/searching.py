"""The best arrangement of a few single-phase pieces, by branch and bound.

What bounds a branch: the load of a winding is never below its part along a fixed direction, and those parts add
up piece by piece. The directions are the voltages of the windings turned by the angle of the sum of all loads;
when all power factors are alike the parts are the loads themselves, but for what pieces between two lines bring
across.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from turnwright.demand.board import Board, Effect, Rank

Taken = tuple[tuple[int, int], ...]


class _Option(NamedTuple):
    """One piece at one spot: its effect, and the parts of its winding loads along the directions."""

    spot: int
    effect: Effect
    parts: tuple[float, ...]


class Search:
    """A search over all arrangements of some pieces.

    kinds      kind of each piece, largest first, equal ones beside each other
    effects    by kind and spot
    directions unit phasors, one for each entry of a board
    slack      arrangements this close are equally good [kVA]
    even       turning all pieces by one line gives an arrangement as good: the first piece takes its first spot
    mirrored   exchanging two lines does as well: a piece opens no spot before the first empty one
    """

    def __init__(
        self,
        kinds: Sequence[int],
        effects: Sequence[Sequence[Effect]],
        directions: Sequence[complex],
        slack: float,
        even: bool,
        mirrored: bool,
    ) -> None:
        self.kinds = kinds
        self.slack = slack
        self.even = even
        self.mirrored = mirrored
        self.directions = directions
        self.options = {
            kind: [_Option(spot, effect, ()) for spot, effect in enumerate(effects[kind])]
            for kind in set(kinds)
        }
        self.best: Taken | None = None
        self.rank = Rank(0.0, 0.0)
        self.floor = 0.0
        self.shrink: list[tuple[float, ...]] = []
        self.room: list[float] = []

    def run(self, start: Board, known: Rank) -> Taken | None:
        """Return the (kind, spot) of each piece of the best arrangement; None when none betters `known`."""
        self.rank = known
        self.options = {
            kind: [
                _Option(one.spot, one.effect, self._parts(one.effect.windings_kva, start.number))
                for one in options
            ]
            for kind, options in self.options.items()
        }
        parts = self._parts(start.windings_kva, start.number)
        self._bounds(parts)
        self._descend(0, start, parts, ())
        return self.best

    def _parts(self, windings: Sequence[complex], count: int) -> tuple[float, ...]:
        along = [w.real * d.real + w.imag * d.imag for w, d in zip(windings, self.directions, strict=True)]
        if len(along) == count:
            return tuple(along)
        return tuple([along[i] + along[i + count] for i in range(count)])

    def _bounds(self, start: tuple[float, ...]) -> None:
        """Find how far later pieces can shrink windings and move the neutral, and what nothing beats."""
        windings = range(len(start))
        self.shrink = [(0.0,) * len(start)]
        self.room = [0.0]
        total = sum(start)
        for kind in reversed(self.kinds):
            options = self.options[kind]
            least = [min(0.0, *(one.parts[w] for one in options)) for w in windings]
            self.shrink.append(tuple([self.shrink[-1][w] + least[w] for w in windings]))
            self.room.append(self.room[-1] + max(abs(one.effect.neutral_kva) for one in options))
            total += min(sum(one.parts) for one in options)
        self.shrink.reverse()
        self.room.reverse()
        lowest = [start[w] + self.shrink[0][w] for w in windings]
        alone = [
            min(max(lowest[w] + max(0.0, one.parts[w]) for w in windings) for one in self.options[kind])
            for kind in set(self.kinds)
        ]
        self.floor = max([total / len(start), *lowest, *alone])

    def _descend(self, depth: int, board: Board, parts: tuple[float, ...], taken: Taken) -> None:
        if depth == len(self.kinds):
            rank = board.rank()
            if rank.better(self.rank, self.slack):
                self.rank, self.best = rank, taken
            return
        kind = self.kinds[depth]
        shrink, room = self.shrink[depth + 1], self.room[depth + 1]
        branches = []
        for option in self._open(depth, kind, taken):
            now = tuple([p + q for p, q in zip(parts, option.parts, strict=True)])
            branches.append((max([p + s for p, s in zip(now, shrink, strict=True)]), option.spot, now))
        for bound, spot, now in sorted(branches):
            worst = max(bound, self.floor)
            if worst > self.rank.worst_kva + self.slack:
                continue
            effect = self.options[kind][spot].effect
            if worst > self.rank.worst_kva - self.slack:
                least = abs(board.neutral_kva + effect.neutral_kva) - room
                if least > self.rank.neutral_kva - self.slack:
                    continue
            self._descend(depth + 1, board.plus(effect, 1), now, (*taken, (kind, spot)))

    def _open(self, depth: int, kind: int, taken: Taken) -> Sequence[_Option]:
        """Return the options that are not the mirror image of others."""
        options = self.options[kind]
        if depth == 0 and self.even:
            return options[:1]
        first = taken[-1][1] if taken and taken[-1][0] == kind else 0
        last = len(options)
        if self.mirrored:
            last = min(last, 2 + max(spot for _, spot in taken))
        return options[first:last]
