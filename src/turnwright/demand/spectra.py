"""Harmonic currents of loads, and the harmonic loss factor of their sum."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from turnwright.demand import harmonic_formulas as f
from turnwright.demand.account import Account, stated
from turnwright.demand.records import LoadDemand
from turnwright.demand.sum_formulas import total_kva
from turnwright.demand.totals import Share, vector_sum


class LoadSpectrum(Struct, frozen=True):
    """The running current of a load by order, as kVA at nominal voltage; no `orders`: it is sinusoidal."""

    fundamental_kva: float
    orders: dict[int, float]


class Spectrum(Struct, frozen=True):
    """The whole current: harmonic loss factor, and percent of the fundamental by order."""

    k_factor: float
    percent: tuple[tuple[int, float], ...]


def load_spectrum(load: LoadDemand, account: Account) -> LoadSpectrum:
    """Return the running current of a load by order. Stated amperes are rms, harmonics included."""
    if not load.harmonics:
        return LoadSpectrum(load.running_kva, {})
    work, name = account.single, f"load[{load.index}]"
    source = "percent of the fundamental, as given"
    percent = {h: stated(work, f"{name}.harmonics[{h}]", p, "%", source) for h, p in load.harmonics}
    distortion = work.calc(
        f"{name}.distortion_pct", f.distortion_pct, **{f"h{h}": p for h, p in percent.items()}
    )
    inputs = {"kva": load.running_kva, "distortion_pct": distortion}
    first = work.calc(f"{name}.fundamental_kva", f.fundamental_kva, **inputs)
    orders = {
        h: work.calc(f"{name}.order[{h}]_kva", f.order_kva, fundamental_kva=first, percent=p)
        for h, p in percent.items()
    }
    return LoadSpectrum(first, orders)


def sum_spectrum(loads: Sequence[LoadDemand], spectra: Sequence[LoadSpectrum], account: Account) -> Spectrum:
    """Return the whole current by order and its harmonic loss factor.

    Orders add arithmetically from load to load, the fundamental by vectors. Without a stated spectrum the factor
    is 1.
    """
    orders = sorted({h for one in spectra for h, kva in one.orders.items() if kva > 0.0})
    if not orders:
        factor = account.work.note("demand.k_factor", 1.0, "", "no load states harmonics", "computed")
        return Spectrum(factor, ())
    shares = [
        Share(
            f"load[{load.index}].{'fundamental' if one.orders else 'running'}",
            one.fundamental_kva,
            load.power_factor,
        )
        for load, one in zip(loads, spectra, strict=True)
    ]
    first = vector_sum(account, "demand.fundamental_", shares).kva
    sums = {}
    for h in orders:
        parts = {
            f"load[{load.index}].order[{h}]_kva": one.orders[h]
            for load, one in zip(loads, spectra, strict=True)
            if h in one.orders
        }
        sums[h] = account.total(f"demand.order[{h}]_kva", total_kva, parts)
    work = account.work
    named = {"h1": first} | {f"h{h}": kva for h, kva in sums.items()}
    factor = work.calc("demand.k_factor", f.harmonic_loss_factor, **named)
    percent = tuple(
        (h, work.calc(f"demand.order[{h}]_pct", f.order_pct, order_kva=kva, fundamental_kva=first))
        for h, kva in sums.items()
    )
    return Spectrum(factor, percent)
