"""The regimes and editions that are carried. Each is imported only when a job asks for it."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from turnwright.errors import InputError, nearest
from turnwright.regimes.regime import Regime


class Carried(NamedTuple):
    """The editions of a regime, oldest first, and how it is made in one of them."""

    editions: tuple[str, ...]
    make: Callable[[str], Regime]


def _us() -> Carried:
    from turnwright.regimes import us

    return Carried(us.EDITIONS, us.regime)


def _ca() -> Carried:
    from turnwright.regimes import ca

    return Carried(ca.EDITIONS, ca.regime)


def _iec() -> Carried:
    from turnwright.regimes import iec

    return Carried(iec.EDITIONS, iec.regime)


CARRIED: dict[str, Callable[[], Carried]] = {"us": _us, "ca": _ca, "iec": _iec}


def carried_regimes() -> dict[str, tuple[str, ...]]:
    """Return the editions carried, by regime."""
    return {name: carried().editions for name, carried in CARRIED.items()}


def regime_of(name: str, edition: str | None, where: str) -> Regime:
    """Return a regime in one edition; without an edition, in the newest carried.

    Raises InputError REG-01 for a regime, REG-02 for an edition that is not carried.
    """
    if name not in CARRIED:
        raise InputError(
            "REG-01", where, f'The rules of "{name}" are not carried.', f"Carried: {', '.join(CARRIED)}."
        )
    editions, make = CARRIED[name]()
    if edition is None:
        return make(editions[-1])
    if edition not in editions:
        close = nearest(edition, editions)
        raise InputError(
            "REG-02",
            where,
            f'Edition "{edition}" is not carried.',
            f"Carried: {', '.join(editions)}." + (f' Did you mean "{close}"?' if close else ""),
        )
    return make(edition)
