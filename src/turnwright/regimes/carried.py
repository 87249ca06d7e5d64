"""The regimes and editions that are carried."""

from __future__ import annotations

from turnwright.errors import InputError, nearest
from turnwright.regimes import us
from turnwright.regimes.regime import Regime

CARRIED = {"us": (us.EDITIONS, us.regime)}


def carried_regimes() -> dict[str, tuple[str, ...]]:
    """Return the editions carried, by regime."""
    return {name: editions for name, (editions, _) in CARRIED.items()}


def regime_of(name: str, edition: str | None, where: str) -> Regime:
    """Return a regime in one edition; without an edition, in the newest carried.

    Raises InputError REG-01 for a regime, REG-02 for an edition that is not carried.
    """
    if name not in CARRIED:
        raise InputError(
            "REG-01", where, f'The rules of "{name}" are not carried.', f"Carried: {', '.join(CARRIED)}."
        )
    editions, make = CARRIED[name]
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
