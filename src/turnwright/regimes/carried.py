"""The regimes and editions that are carried. Each is imported only when a job asks for it."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from turnwright.errors import InputError, nearest
from turnwright.regimes.regime import Regime
from turnwright.regimes.traits import Traits

DEFAULT = "us"
"""Whose rules hold where a job names none."""


class Carried(NamedTuple):
    """The editions of a regime, oldest first, how it is made in one of them, and what holds in all."""

    editions: tuple[str, ...]
    make: Callable[[str], Regime]
    traits: Traits


def _us() -> Carried:
    from turnwright.regimes import us
    from turnwright.regimes.us.traits import TRAITS

    return Carried(us.EDITIONS, us.regime, TRAITS)


def _ca() -> Carried:
    from turnwright.regimes import ca
    from turnwright.regimes.ca.traits import TRAITS

    return Carried(ca.EDITIONS, ca.regime, TRAITS)


def _iec() -> Carried:
    from turnwright.regimes import iec
    from turnwright.regimes.iec.traits import TRAITS

    return Carried(iec.EDITIONS, iec.regime, TRAITS)


CARRIED: dict[str, Callable[[], Carried]] = {"us": _us, "ca": _ca, "iec": _iec}


def carried_regimes() -> dict[str, tuple[str, ...]]:
    """Return the editions carried, by regime."""
    return {name: carried().editions for name, carried in CARRIED.items()}


def traits_of(name: str | None) -> Traits:
    """Return what holds in all editions of a regime; of the default one where none is named.

    Example:
        >>> traits_of("iec").words.ground, traits_of(None).code
        ('earth', 'NEC')
    """
    return CARRIED[name or DEFAULT]().traits


def regime_on(frequency_hz: float | None) -> Regime:
    """Return the first regime whose networks have a frequency, newest edition; the default one where none has it.

    Example:
        >>> regime_on(50.0).title, regime_on(None).traits.code
        ('IEC 60364, parts as of 2017', 'NEC')
    """
    found = next((name for name in CARRIED if traits_of(name).frequency_hz == frequency_hz), DEFAULT)
    return regime_of(found, None, "frequency")


def regime_of(name: str, edition: str | None, where: str) -> Regime:
    """Return a regime in one edition; without an edition, in the newest carried.

    Raises InputError REG-01 for a regime, REG-02 for an edition that is not carried.
    """
    if name not in CARRIED:
        raise InputError(
            "REG-01", where, f'The rules of "{name}" are not carried.', f"Carried: {', '.join(CARRIED)}."
        )
    editions, make, _ = CARRIED[name]()
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
