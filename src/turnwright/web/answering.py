"""How an address comes to its answer: run in a worker, given up when nobody waits."""

from __future__ import annotations

from typing import Any

import anyio
from starlette.requests import Request

from turnwright.errors import TurnwrightError
from turnwright.web.reply import Reply
from turnwright.web.work import Answer, Work

NOBODY_WAITS = 499
PATIENCE = 2.0
"""Seconds for which an answer goes on for nobody."""


async def run(request: Request, answer: Answer, *arguments: Any, seconds: float | None = None) -> Reply:
    """Run an answer; one that takes long is given up when nobody waits for it any more.

    Raises:
        TurnwrightError: what the answer refuses.
    """
    work: Work = request.app.state.work
    outcome: Reply | TurnwrightError = Reply(NOBODY_WAITS, "text/plain", b"")
    async with anyio.create_task_group() as tasks:
        tasks.start_soon(_gone, request, tasks.cancel_scope)
        try:
            outcome = await work.run(answer, *arguments, seconds=seconds)
        except TurnwrightError as error:
            outcome = error
        tasks.cancel_scope.cancel()
    if isinstance(outcome, TurnwrightError):
        raise outcome
    return outcome


async def _gone(request: Request, scope: anyio.CancelScope) -> None:
    """Cancel a scope when whoever asked has left; a short answer is let come to its end."""
    await anyio.sleep(PATIENCE)
    while (await request.receive())["type"] != "http.disconnect":
        pass
    scope.cancel()
