"""Who has signed in. A browser keeps a random word; here only its digest is kept, and only in memory."""

from __future__ import annotations

import hashlib
import secrets
import time
from collections.abc import Callable

from msgspec import Struct

HOURS = 12.0
MOST_SESSIONS = 2_000


class _Session(Struct, frozen=True):
    """A name, what stood for its password then, and until when it is signed in."""

    name: str
    mark: str
    until: float


class Sessions:
    """Sessions of a working day; the oldest one falls away where there are too many."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._known: dict[bytes, _Session] = {}

    def begin(self, name: str, mark: str) -> str:
        """Return the word of a new session; `mark` stands for the password it was begun with.

        Example:
            >>> sessions = Sessions()
            >>> word = sessions.begin("mira", "hash 1")
            >>> sessions.name_of(word, {"mira": "hash 1"}.get), sessions.name_of(word, {"mira": "hash 2"}.get)
            ('mira', None)
        """
        now = self._clock()
        self._known = {key: one for key, one in self._known.items() if one.until > now}
        while len(self._known) >= MOST_SESSIONS:
            self._known.pop(next(iter(self._known)))
        word = secrets.token_urlsafe(32)
        self._known[_digest(word)] = _Session(name, mark, now + HOURS * 3600.0)
        return word

    def name_of(self, word: str, mark_of: Callable[[str], str | None]) -> str | None:
        """Return who is signed in with a word; None where nobody is, or the password is another one by now."""
        found = self._known.get(_digest(word))
        if found is None or found.until <= self._clock() or mark_of(found.name) != found.mark:
            return None
        return found.name

    def end(self, word: str) -> None:
        """End a session."""
        self._known.pop(_digest(word), None)


def _digest(word: str) -> bytes:
    """Return what is looked up: the time of the look-up says nothing about the word itself."""
    return hashlib.sha256(word.encode("utf-8", "replace")).digest()
