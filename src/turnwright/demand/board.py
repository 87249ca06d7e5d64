"""The load of windings and neutral in one arrangement of single-phase pieces, as phasors in kVA."""

from __future__ import annotations

import cmath
import math

from msgspec import Struct

from turnwright.demand.layouts import Layout


class Pieces(Struct, frozen=True):
    """So many equal single-phase pieces. `lag_deg` None: angle not known. `spots`: where they may go."""

    number: int
    kva: float
    lag_deg: float | None
    spots: tuple[str, ...]


class Effect(Struct, frozen=True):
    """What one piece at one spot adds: to the windings (known angles, then unknown), to the neutral."""

    windings_kva: tuple[complex, ...]
    neutral_kva: complex


class Rank(Struct, frozen=True):
    """How good an arrangement is: the load of the most loaded winding, then the neutral current. [kVA]"""

    worst_kva: float
    neutral_kva: float

    def better(self, other: Rank, slack_kva: float) -> bool:
        """Tell whether it is better than another by more than `slack_kva`."""
        if abs(self.worst_kva - other.worst_kva) > slack_kva:
            return self.worst_kva < other.worst_kva
        return self.neutral_kva < other.neutral_kva - slack_kva


class Board(Struct, frozen=True):
    """The load of the windings and the neutral in one arrangement, as phasors."""

    windings_kva: tuple[complex, ...]
    neutral_kva: complex
    number: int

    def plus(self, effect: Effect, pieces: float) -> Board:
        """Return the board with so many more pieces."""
        windings = tuple(
            [w + pieces * e for w, e in zip(self.windings_kva, effect.windings_kva, strict=True)]
        )
        return Board(windings, self.neutral_kva + pieces * effect.neutral_kva, self.number)

    def loads_kva(self) -> list[float]:
        """Return the load of each winding: unknown angles in line with the known ones."""
        sizes = [abs(phasor) for phasor in self.windings_kva]
        if len(sizes) == self.number:
            return sizes
        return [sizes[i] + sizes[i + self.number] for i in range(self.number)]

    def rank(self) -> Rank:
        """Return how good it is."""
        return Rank(max(self.loads_kva()), abs(self.neutral_kva))


def effect_of(
    layout: Layout, spot: str, kva: float, lag_deg: float | None, in_line_deg: float, mixed: bool
) -> Effect:
    """Return what a load at a spot adds. `mixed`: known and unknown angles are kept apart."""
    there = layout.spots[spot]
    turned = cmath.rect(kva, -math.radians(lag_deg or 0.0))
    own = []
    for winding in layout.own_deg:
        part = there.windings.get(winding)
        own.append(part.share * turned * cmath.rect(1.0, math.radians(part.turn_deg)) if part else 0j)
    blank = [0j] * len(own)
    windings = own if not mixed else own + blank if lag_deg is not None else blank + own
    lag = cmath.rect(kva, -math.radians(in_line_deg if lag_deg is None else lag_deg))
    neutral = sum(
        (part.share * lag * cmath.rect(1.0, math.radians(part.turn_deg)) for part in there.neutral), 0j
    )
    return Effect(tuple(windings), neutral)
