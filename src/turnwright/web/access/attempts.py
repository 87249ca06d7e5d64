"""How often a password may be tried: counted before it is checked, so that many at once gain nothing."""

from __future__ import annotations

import time
from collections import OrderedDict
from collections.abc import Callable

WINDOW_S = 900.0
MOST_OF_ONE = 10
"""Tries of one name from one address within the window."""
MOST_FROM_ONE = 100
"""Tries from one address within the window, of whatever names."""
MOST_KEPT = 20_000


class Attempts:
    """Counts tries by address, and by address and name; the right password takes its tries back."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._times: OrderedDict[tuple[str, ...], list[float]] = OrderedDict()

    def wait_s(self, address: str, name: str) -> float:
        """Count a try, or return for how long none is taken any more.

        Example:
            >>> attempts = Attempts(clock=lambda: 0.0)
            >>> [attempts.wait_s("192.0.2.7", "mira") for _ in range(11)][-2:]
            [0.0, 900.0]
        """
        now = self._clock()
        keys = (((address,), MOST_FROM_ONE), ((address, name), MOST_OF_ONE))
        for key, most in keys:
            recent = self._recent(key, now)
            if len(recent) >= most:
                return recent[0] + WINDOW_S - now
        for key, _ in keys:
            self._times[key] = [*self._recent(key, now), now]
            self._times.move_to_end(key)
        while len(self._times) > MOST_KEPT:
            self._times.popitem(last=False)
        return 0.0

    def _recent(self, key: tuple[str, ...], now: float) -> list[float]:
        return [then for then in self._times.get(key, ()) if now - then < WINDOW_S]

    def succeeded(self, address: str, name: str) -> None:
        """Take back the tries of a name from an address, and the last one of the address."""
        self._times.pop((address, name), None)
        of_address = self._times.get((address,))
        if of_address:
            of_address.pop()
