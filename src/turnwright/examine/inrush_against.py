"""What is switched on against what stands before it: the points a device holds, the rating of a source of one's own."""

from __future__ import annotations

from itertools import pairwise
from math import exp, log
from typing import Any

from turnwright.errors import InputError
from turnwright.examine.inrush_cases import CYCLES, SAMPLES_PER_CYCLE, Peaks, peaks_of
from turnwright.examine.inrush_fed import Fed
from turnwright.examine.inrush_formulas import as_rms_a, rms_until_a
from turnwright.selection.currents import full_load_kva
from turnwright.working import Ledger

Points = tuple[tuple[float, float], ...]
MOST_POINTS = 200
LONGEST_S = 1e5
FOLLOWED_CYCLES = 300.0
"""So many cycles are followed; later the current is taken to stay what it then is."""
HALF_CYCLE = 0.5


def points_of(text: str) -> Points:
    """Return the points of a device as (A, s), shortest first: "1200@0.1, 2500@0.01", the current it holds so long.

    Raises:
        InputError: EXM-09, a text that holds no such points.

    Example:
        >>> points_of("1200@0.1, 2500@0.01")
        ((2500.0, 0.01), (1200.0, 0.1))
    """
    found = []
    for part in filter(None, (part.strip() for part in text.split(","))):
        current, _, time = part.replace(" ", "").rstrip("s").partition("@")
        try:
            found.append((float(current.rstrip("A")), float(time)))
        except ValueError:
            raise _not_points(f"'{part}' is no point.") from None
    if not 0 < len(found) <= MOST_POINTS:
        raise _not_points(f"there are {len(found)} points.")
    if not all(0 < current < 1e9 and 0 < time <= LONGEST_S for current, time in found):
        raise _not_points(f"amperes lie above zero, times above zero and at most {LONGEST_S:g} s.")
    ordered = tuple(sorted(found, key=lambda point: point[1]))
    if len({time for _, time in ordered}) < len(ordered):
        raise _not_points("one time stands twice.")
    return ordered


def _not_points(what: str) -> InputError:
    return InputError(
        "EXM-09", "--hold-off", what, "Write amperes it holds @ seconds: 1200@0.1, 2500@0.01, from its curve."
    )


def held(
    fed: Fed, worst: Peaks, residual_pu: float, points: Points, trade: Points, work: Ledger
) -> list[dict[str, Any]]:
    """Return each point of a device against the current until then: solved, and by the points of the trade.

    Within half a cycle a device is compared by the peak over √2, later by the rms current since closing.
    """
    if not points:
        return []
    hz = fed.supply.hz
    longest = max(time for _, time in points)
    followed = worst
    if longest * hz > CYCLES:
        cycles = min(longest * hz, FOLLOWED_CYCLES)
        followed = peaks_of(
            fed, worst.name, fed.low_end_pu, worst.outside_pct, worst.closing_deg, residual_pu, cycles
        )
    rows: list[dict[str, Any]] = []
    for current, time in points:
        name = f"answers.hold_off[{len(rows)}].solved_a"
        if time * hz <= HALF_CYCLE:
            solved = work.calc(name, as_rms_a, peak_a=worst.peaks_a[0])
        else:
            until = _i2t_until(followed, time)
            solved = work.calc(name, rms_until_a, i2t_a2s=until, time_s=time)
        rows.append(
            {
                "time_s": time,
                "holds_a": current,
                "solved_a": solved,
                "trade_a": between(trade, time),
                "holds": bool(current >= solved),
            }
        )
    return rows


def _i2t_until(followed: Peaks, time_s: float) -> float:
    """The integral of the squared current until a time; beyond what was followed, of its last peak as if it stayed."""
    solved = followed.solved.solved
    end = solved.t_end_s
    if time_s <= end:
        return solved.i2t_a2s(followed.line, time_s)
    last = solved.peak(followed.line, end - 1 / followed.solved.supply.hz, end).current_a
    return solved.i2t_a2s(followed.line) + last**2 / 2 * (time_s - end)


def between(points: Points, time_s: float) -> float | None:
    """Return the current of a curve through points at a time, straight on a double logarithmic plot; None outside. [A]

    Example:
        >>> round(between(((2500.0, 0.01), (1200.0, 0.1)), 0.0316227766), 3)
        1732.051
    """
    for (above, early), (below, late) in pairwise(points):
        if early * (1 - 1e-9) <= time_s <= late * (1 + 1e-9):
            share = (log(time_s) - log(early)) / (log(late) - log(early))
            return exp(log(above) + share * (log(below) - log(above)))
    return None


def generator(fed: Fed, worst: Peaks, source_kva: float, work: Ledger) -> dict[str, Any]:
    """Return what the first cycle asks of a source of one's own, and what is left of its voltage."""
    supply, solved = fed.supply, worst.solved
    period = 1 / supply.hz
    current_a = work.calc(
        "answers.own_source.first_cycle_a",
        rms_until_a,
        i2t_a2s=solved.solved.i2t_a2s(worst.line, period),
        time_s=period,
    )
    kva = work.calc(
        "answers.own_source.first_cycle_kva",
        full_load_kva(supply.phases),
        voltage_v=supply.line_v,
        current_a=current_a,
    )
    pairs = [(a, b) for a in solved.lines for b in solved.lines if a < b]
    lowest = min(_first_cycle_v(worst, *pair) for pair in pairs)
    return {
        "source_kva": source_kva,
        "first_cycle_a": current_a,
        "first_cycle_kva": kva,
        "of_rating_pct": 100 * kva / source_kva,
        "voltage_dip_pct": 100 * (1 - lowest / supply.line_v),
    }


def _first_cycle_v(worst: Peaks, line: str, other: str) -> float:
    """Rms voltage between two lines at the terminals over the first cycle, V."""
    hz = worst.solved.supply.hz
    values = [
        worst.solved.terminal_v(line, other, (k + 0.5) / SAMPLES_PER_CYCLE / hz)
        for k in range(SAMPLES_PER_CYCLE)
    ]
    return float((sum(value * value for value in values) / len(values)) ** 0.5)
