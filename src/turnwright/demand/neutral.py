"""The neutral current: its fundamental by phasors, every harmonic by its own turn."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from turnwright.demand import harmonic_formulas, phasor_formulas
from turnwright.demand.account import Account
from turnwright.demand.layouts import WYE, Layout
from turnwright.demand.phases import Asked, Standing, Volts, neutral_terms, terms_of
from turnwright.demand.sum_formulas import total_kva


class Neutral(Struct, frozen=True):
    """Neutral current with growth, its fundamental, and its harmonics together. [A]"""

    rms_a: float
    fundamental_a: float
    harmonic_a: float


def neutral_current(
    asked: Asked, layout: Layout, volts: Volts, standing: Sequence[Standing], account: Account
) -> Neutral:
    """Return the neutral current.

    The fundamental takes loads of unknown angle at the angle of the sum of the others. A harmonic takes all
    loads at one angle; on three lines the orders 3, 9, 15, … add up and balanced others cancel.
    """
    work = account.work
    there = [
        one for one in standing if any(layout.spots[spot].neutral and count for spot, count in one.spots)
    ]
    fundamental_a = _fundamental(asked, layout, volts, there, account)
    named = {
        f"h{order}": _order(order, asked, layout, volts, standing, there, account)
        for order in _orders(asked, layout, standing, there)
    }
    if named:
        harmonic_a = work.calc("demand.neutral_harmonic_a", harmonic_formulas.neutral_harmonic_a, **named)
    else:
        text = "no harmonics through the neutral"
        harmonic_a = work.note("demand.neutral_harmonic_a", 0.0, "A", text, "computed")
    inputs = {"fundamental_a": fundamental_a, "harmonic_a": harmonic_a}
    rms_a = work.calc("demand.neutral_a", harmonic_formulas.neutral_rms_a, **inputs)
    return Neutral(rms_a, fundamental_a, harmonic_a)


def _fundamental(
    asked: Asked,
    layout: Layout,
    volts: Volts,
    there: Sequence[Standing],
    account: Account,
) -> float:
    name, work = "demand.neutral_fundamental_a", account.work
    if not there:
        return work.note(name, 0.0, "A", "all loads are even on the lines", "computed")  # type: ignore[no-any-return]
    terms = terms_of(
        there, account, "fundamental_kva", lambda one: asked.spectra[one.position].fundamental_kva
    )
    text = "angle of the sum of the loads whose angle is known"
    in_line = work.note("demand.in_line_deg", asked.in_line_deg, "deg", text, "computed")
    current_a: float = work.calc(
        name,
        phasor_formulas.neutral_fundamental_a,
        growth_pct=asked.growth_pct,
        in_line_deg=in_line,
        **neutral_terms(terms, layout, volts),
    )
    return current_a


def _even_loads(layout: Layout, standing: Sequence[Standing]) -> list[Standing]:
    """Return the three-phase loads whose currents of triplen orders return through the neutral."""
    return [one for one in standing if layout is WYE and one.load.place == "three-phase" and one.load.neutral]


def _orders(
    asked: Asked, layout: Layout, standing: Sequence[Standing], there: Sequence[Standing]
) -> list[int]:
    orders = {h for one in there for h in asked.spectra[one.position].orders}
    even = {h for one in _even_loads(layout, standing) for h in asked.spectra[one.position].orders}
    return sorted(orders | {h for h in even if h % 3 == 0})


def _order(
    order: int,
    asked: Asked,
    layout: Layout,
    volts: Volts,
    standing: Sequence[Standing],
    there: Sequence[Standing],
    account: Account,
) -> float:
    """Return one order of the neutral current with growth [A]."""
    work, label = account.work, f"order[{order}]_kva"
    rows = [one for one in there if order in asked.spectra[one.position].orders]
    terms = terms_of(
        rows, account, label, lambda one: asked.spectra[one.position].orders[order], angles=False
    )
    even = {
        f"load[{one.load.index}].{label}": asked.spectra[one.position].orders[order]
        for one in _even_loads(layout, standing)
        if order % 3 == 0 and order in asked.spectra[one.position].orders
    }
    even_kva = work.note(
        f"demand.even_{label}", 0.0, "kVA", "no three-phase load brings this order", "computed"
    )
    if even:
        even_kva = account.total(f"demand.even_{label}", total_kva, even)
    current_a: float = work.calc(
        f"demand.neutral_order[{order}]_a",
        phasor_formulas.neutral_order_a,
        growth_pct=asked.growth_pct,
        order=work.note(f"order[{order}]", float(order), "", "order of the harmonic", "computed"),
        even_kva=even_kva,
        even_line_v=volts.line_v,
        **neutral_terms(terms, layout, volts),
    )
    return current_a
