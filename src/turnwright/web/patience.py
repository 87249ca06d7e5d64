"""HTTP/1.1 with an end to patience: a client that sends its head or takes its answer too slowly is let go."""

from __future__ import annotations

import asyncio
from typing import Any

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

MOST_HEAD_SECONDS = 15.0
"""From a connection, or the first byte of a head, to its end."""
MOST_TAKING_SECONDS = 30.0
"""For which an answer may wait to be taken."""


class Patience(H11Protocol):
    """The protocol of the server, with a clock for heads and a clock for answers that nobody takes."""

    def __init__(self, *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, **named)
        self._head: asyncio.TimerHandle | None = None
        self._taking: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Start the clock for the first head."""
        super().connection_made(transport)
        self._wait_for_head()

    def data_received(self, data: bytes) -> None:
        """Start the clock where a head has begun, stop it where it is whole."""
        super().data_received(data)
        if self.conn.their_state is h11.IDLE:
            self._wait_for_head()
        else:
            _stop(self._head)
            self._head = None

    def pause_writing(self) -> None:
        """Start the clock for an answer that is not taken."""
        super().pause_writing()
        self._taking = self._taking or self.loop.call_later(MOST_TAKING_SECONDS, self.transport.abort)

    def resume_writing(self) -> None:
        """Stop that clock."""
        super().resume_writing()
        _stop(self._taking)
        self._taking = None

    def connection_lost(self, exc: Exception | None) -> None:
        """Stop both clocks."""
        _stop(self._head)
        _stop(self._taking)
        super().connection_lost(exc)

    def _wait_for_head(self) -> None:
        self._head = self._head or self.loop.call_later(MOST_HEAD_SECONDS, self.transport.close)


def _stop(clock: asyncio.TimerHandle | None) -> None:
    if clock is not None:
        clock.cancel()
