"""The neutral under loads whose harmonics nobody measured."""

from __future__ import annotations

from collections.abc import Iterable
from math import sqrt

from turnwright.demand.records import LoadPicture
from turnwright.model.case import CaseLoad
from turnwright.working import formula

RECTIFIERS = ("electronics",)
"""Kinds of load with plain single-phase rectifiers between line and neutral."""


@formula("√3 · I_line · share", "A", "rectifier pulses narrower than 60 degrees never overlap")
def bound_a(line_a: float, share: float) -> float:
    """Return the most that the neutral carries of single-phase rectifiers on all three phases. [A]

    line_a : current of a line [A]
    share  : of the load that such rectifiers are [-]
    Source: pulses that never overlap: the neutral mean square is the sum of the three

    Example:
        >>> round(bound_a(line_a=100.0, share=1.0), 1)
        173.2
    """
    return sqrt(3) * line_a * share


def most_neutral_a(loads: Iterable[CaseLoad], picture: LoadPicture, phases: int | None) -> float:
    """Return the most that the neutral of a wye may carry while spectra of its rectifiers are not known. [A]

    loads   : those of the case
    picture : what they ask of the secondary
    phases  : of the secondary
    """
    if phases != 3 or picture.neutral_a is None or not picture.unknown_spectrum:
        return 0.0
    kinds = {one.index for one in loads if one.kind in RECTIFIERS and one.index in picture.unknown_spectrum}
    total = sum(made.running_kva for made in picture.loads)
    counted = sum(made.running_kva for made in picture.loads if made.index in kinds and made.neutral)
    return float(bound_a(max(picture.line_a), counted / total)) if counted and total else 0.0
