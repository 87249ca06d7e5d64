"""Answers are computed in worker processes, so that one of them can be stopped and none takes the pages along.

==========  =====================================================
code        what is wrong
==========  =====================================================
``WEB-05``  it took too long
``WEB-06``  it needed too much memory
``WEB-07``  a defect of this tool
==========  =====================================================
"""

from __future__ import annotations

import logging
import os
import sys
from collections.abc import Callable
from functools import cache
from typing import Any

import anyio
from anyio import BrokenWorkerProcess, CapacityLimiter, to_process

from turnwright.errors import InputError, MissingExtra, TurnwrightError, place_in_package
from turnwright.web.reply import Reply

MOST_SECONDS = 20.0
"""A job of a thousand loads takes about one."""
MOST_SECONDS_OF_PAPERS = 90.0
MOST_BYTES = 3 * 1024**3
"""Address space of one worker; a job takes a twentieth."""
_LOG = logging.getLogger("turnwright.web")

Answer = Callable[..., Reply]


class Work:
    """Runs answers in as many worker processes as there are processors, each for `seconds` at most."""

    def __init__(self, workers: int = 0, seconds: float = MOST_SECONDS) -> None:
        self.seconds = seconds
        self.limiter = CapacityLimiter(workers or max(2, os.cpu_count() or 2))

    async def run(self, answer: Answer, *arguments: Any, seconds: float | None = None) -> Reply:
        """Return what `answer(*arguments)` comes to; its worker ends with the time, or when nobody waits any more.

        Args:
            answer: a function that a worker can import.
            arguments: what it is given.
            seconds: for an answer that may take longer than others.

        Raises:
            InputError: what is wrong with the request, or WEB-05, WEB-06.
            Defect: WEB-07.
        """
        outcome: Reply | TurnwrightError | str | None = None
        most = self.seconds if seconds is None else seconds
        with anyio.move_on_after(most):
            try:
                outcome = await to_process.run_sync(
                    _bounded, answer, arguments, cancellable=True, limiter=self.limiter
                )
            except BrokenWorkerProcess:
                outcome = f"worker process ended in {answer.__name__}"
        if outcome is None:
            raise _too_long(most)
        if isinstance(outcome, TurnwrightError):
            raise outcome
        if isinstance(outcome, str):
            _LOG.error("a defect of this tool: %s", outcome)
            raise Defect(outcome)
        return outcome

    async def warm_up(self) -> None:
        """Start a worker and let it import what an answer needs, so that the first one is as quick as the next."""
        from turnwright.web.job.page import empty_page

        await self.run(empty_page)


class Defect(TurnwrightError):
    """Something this tool does wrong; what a user gave is not in the message."""

    def __init__(self, what: str) -> None:
        told = "Report it with the job file and this line where you got turnwright from; nothing you typed is lost."
        super().__init__("WEB-07", "turnwright", f"a defect of this tool ({what}).", told)


def _too_long(seconds: float) -> InputError:
    what = f"no answer within {seconds:g} seconds."
    return InputError("WEB-05", "turnwright", what, "Ask the same on the command line, which has no clock.")


def _bounded(answer: Answer, arguments: tuple[Any, ...]) -> Reply | TurnwrightError | str:
    """Run inside the worker: an answer, an error that can be told, or a word about a defect."""
    _bound_memory()
    try:
        return answer(*arguments)
    except MissingExtra as error:
        return InputError(error.code, error.where, error.what, error.fix)
    except TurnwrightError as error:
        return error
    except MemoryError:
        fix = "Ask the same on the command line, which has the memory of the whole machine."
        return InputError("WEB-06", "turnwright", "the answer needs too much memory.", fix)
    except Exception as error:
        return f"{type(error).__name__}{place_in_package(error)}"


@cache
def _bound_memory() -> None:
    """Bound the memory of this process, where the system can."""
    if sys.platform == "win32":
        return
    import resource

    hard = resource.getrlimit(resource.RLIMIT_AS)[1]
    most = MOST_BYTES if hard == resource.RLIM_INFINITY else min(MOST_BYTES, hard)
    resource.setrlimit(resource.RLIMIT_AS, (most, hard))
