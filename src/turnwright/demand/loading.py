"""Windings, lines and neutral of one kind of secondary under the loads of one set, recorded."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from turnwright.demand import phasor_formulas
from turnwright.demand.account import Account
from turnwright.demand.code_loads import factor_of, increased
from turnwright.demand.layouts import Layout
from turnwright.demand.load_formulas import single_phase_current_a, three_phase_current_a
from turnwright.demand.neutral import neutral_current
from turnwright.demand.phases import (
    Asked,
    Standing,
    Term,
    Volts,
    line_terms,
    placements_of,
    spot_v,
    stand,
    terms_of,
    winding_terms,
)
from turnwright.demand.records import LoadDemand, Placement
from turnwright.demand.sum_formulas import design_current_a


class Loading(NamedTuple):
    """Load of the windings [kVA], currents of lines and neutral [A], all with growth."""

    phases: tuple[str, ...]
    phase_kva: tuple[float, ...]
    worst_phase_kva: float
    lines: tuple[str, ...]
    line_a: tuple[float, ...]
    design_line_a: tuple[float, ...]
    neutral_a: float | None
    neutral_fundamental_a: float | None
    neutral_harmonic_a: float | None
    placements: tuple[Placement, ...]


def loading(asked: Asked, layout: Layout, secondary: str, volts: Volts, account: Account) -> Loading:
    """Return the load of windings, lines and neutral.

    Raises: InputError DEM-03.
    """
    standing = stand(asked.loads, layout, secondary, asked.in_line_deg)
    even = all(spot == layout.even for one in standing for spot, _ in one.spots)
    phases, lines = (_even if even else _spread)(asked, layout, volts, standing, account)
    neutral = None if volts.neutral_v is None else neutral_current(asked, layout, volts, standing, account)
    worst_of = (
        phasor_formulas.worst_phase_kva if layout.worst_factor == 1.0 else phasor_formulas.worst_leg_kva
    )
    return Loading(
        phases=tuple(layout.phases),
        phase_kva=phases,
        worst_phase_kva=account.work.calc(
            "demand.worst_phase_kva", worst_of, **dict(zip(layout.phases, phases, strict=True))
        ),
        lines=layout.lines,
        line_a=lines,
        design_line_a=_design(asked, layout, volts, standing, even, account),
        neutral_a=neutral.rms_a if neutral else None,
        neutral_fundamental_a=neutral.fundamental_a if neutral else None,
        neutral_harmonic_a=neutral.harmonic_a if neutral else None,
        placements=placements_of(standing),
    )


Windings = tuple[tuple[float, ...], tuple[float, ...]]


def _even(
    asked: Asked, layout: Layout, volts: Volts, standing: Sequence[Standing], account: Account
) -> Windings:
    """Return windings and lines that share everything evenly."""
    work, kva = account.work, asked.kva_with_growth
    share, current_of = phasor_formulas.third_kva, three_phase_current_a
    if not layout.three_phase:
        share, current_of = phasor_formulas.half_kva, single_phase_current_a
    each = work.calc("demand.phase_kva", share, kva=kva) if len(layout.phases) > 1 else kva
    current_a = work.calc("demand.line_a", current_of, line_v=volts.line_v, kva=kva)
    return (each,) * len(layout.phases), (current_a,) * len(layout.lines)


def _spread(
    asked: Asked, layout: Layout, volts: Volts, standing: Sequence[Standing], account: Account
) -> Windings:
    """Return windings and lines by phasors."""
    work = account.work
    terms = terms_of(standing, account, "kva", lambda one: one.load.running_kva)
    windings = {
        winding: work.calc(
            f"demand.phase[{winding}].kva",
            phasor_formulas.winding_kva,
            growth_pct=asked.growth_pct,
            **winding_terms(terms, layout, winding),
        )
        for winding in layout.own_deg
    }
    lines = tuple(
        _line_a(f"demand.line[{line}].current_a", terms, asked, layout, volts, line, account)
        for line in layout.lines
    )
    phases = tuple(max((windings[part] for part in parts), key=float) for parts in layout.phases.values())
    return phases, lines


def _design(
    asked: Asked, layout: Layout, volts: Volts, standing: Sequence[Standing], even: bool, account: Account
) -> tuple[float, ...]:
    """Return what each line conductor must be good for: every load with its factor, angles earn nothing."""
    work = account.work
    if even:
        phases = work.note("secondary.phases", 3.0 if layout.three_phase else 1.0, "", "secondary", "given")
        inputs = {"kva": asked.code_kva, "line_v": volts.line_v, "phases": phases}
        return (work.calc("demand.design_a", design_current_a, **inputs),) * len(layout.lines)

    found = []
    in_line, by_angle = _weighted_terms(asked, standing, account)
    for line in layout.lines:
        name = f"demand.design_line[{line}]"
        line_a = _line_a(f"{name}.load_a", in_line, asked, layout, volts, line, account)
        if by_angle is not None:
            angle_a = _line_a(f"{name}.by_angle_a", by_angle, asked, layout, volts, line, account)
            inputs = {"in_line_a": line_a, "by_angle_a": angle_a}
            line_a = work.calc(f"{name}.larger_a", phasor_formulas.larger_a, **inputs)
        largest_a = _largest_motor_a(layout, volts, standing, line, account)
        fraction = asked.tables.motor_conductor_allowance
        inputs = {"line_a": line_a, "largest_motor_a": largest_a, "motor_fraction": fraction}
        found.append(work.calc(f"{name}.current_a", phasor_formulas.design_line_a, **inputs))
    return tuple(found)


def _line_a(
    name: str, terms: Sequence[Term], asked: Asked, layout: Layout, volts: Volts, line: str, account: Account
) -> float:
    named = line_terms(terms, layout, line, volts)
    function = phasor_formulas.line_current_a
    current_a: float = account.work.calc(name, function, growth_pct=asked.growth_pct, **named)
    return current_a


def _weighted_terms(
    asked: Asked, standing: Sequence[Standing], account: Account
) -> tuple[tuple[Term, ...], tuple[Term, ...] | None]:
    """Return the loads with their factors, all at one angle, and each at its own where they have several."""
    weighted = [_weighted(load, asked, account) for load in asked.loads]
    in_line = terms_of(
        standing, account, "code_one_angle_kva", lambda one: weighted[one.position], angles=False
    )
    if len({one.load.phase_angle_deg for one in standing}) == 1:
        return in_line, None
    return in_line, terms_of(standing, account, "code_kva", lambda one: weighted[one.position])


def _weighted(load: LoadDemand, asked: Asked, account: Account) -> float:
    kva, factor = load.code_running_kva, factor_of(load, asked.tables)
    if factor is None:
        return kva
    name = f"load[{load.index}].weighted_kva"
    weighted: float = account.single.calc(name, phasor_formulas.weighted_kva, kva=kva, factor=factor)
    return weighted


def _largest_motor_a(
    layout: Layout, volts: Volts, standing: Sequence[Standing], line: str, account: Account
) -> float:
    """Return the current in one line of one piece of the largest motor it feeds."""
    name = f"demand.design_line[{line}].largest_motor_a"
    largest: tuple[float, dict[str, float]] | None = None
    for one in standing:
        if one.load.motor_kva is None or not increased(one.load):
            continue
        for spot, count in one.spots:
            part = layout.spots[spot].lines.get(line)
            if part is None or not count:
                continue
            line_v = spot_v(layout.spots[spot], volts)
            inputs = {"kva": one.load.motor_kva, "share": part.share, "line_v": line_v}
            current_a = phasor_formulas.spot_current_a(**inputs)
            if largest is None or current_a > largest[0]:
                largest = current_a, inputs
    if largest is None:
        return account.work.note(name, 0.0, "A", "no motor on this line", "computed")  # type: ignore[no-any-return]
    return account.work.calc(name, phasor_formulas.spot_current_a, **largest[1])  # type: ignore[no-any-return]
