"""The fleets that were sent: a few at a time, each in a folder of its own, worked on one after another.

==========  =====================================================
code        what is wrong
==========  =====================================================
``WEB-32``  there is no such fleet any more
``WEB-33``  too many wait already
==========  =====================================================
"""

from __future__ import annotations

import secrets
import shutil
from pathlib import Path
from typing import Literal

import anyio
from anyio.abc import TaskGroup

from turnwright.errors import InputError, TurnwrightError, UnknownKey
from turnwright.web.fleet.asked import Asked
from turnwright.web.fleet.follow import follow
from turnwright.web.fleet.place import Place, remove_left_behind
from turnwright.web.work import Work

MOST_SECONDS = 3600.0
MOST_RUNS = 5
"""So many are kept; the oldest that is finished goes when another comes."""
State = Literal["coming", "waiting", "running", "done", "stopped", "failed"]


class Run:
    """One fleet: its folder, whose it is, what was asked, how it stands."""

    def __init__(self, name: str, folder: Path, owner: str = "") -> None:
        self.name, self.folder, self.owner = name, folder, owner
        self.asked = Asked(typed={})
        self.state: State = "coming"
        self.error: TurnwrightError | None = None
        self.scope: anyio.CancelScope | None = None

    @property
    def is_over(self) -> bool:
        """Nothing more will happen to it."""
        return self.state in ("done", "stopped", "failed")


class Runs:
    """The fleets of this server. `work` follows them; its worker ends when a fleet is stopped."""

    def __init__(self, work: Work | None = None) -> None:
        self.work = work or Work(workers=1, seconds=MOST_SECONDS)
        self._runs: dict[str, Run] = {}
        self._place: Place | None = None
        self._tasks: TaskGroup | None = None
        self._turn = anyio.Lock()

    def open(self, tasks: TaskGroup) -> None:
        """Begin to take fleets; they are worked on in a group of tasks."""
        self._tasks = tasks
        remove_left_behind()
        self._place = Place()

    def close(self) -> None:
        """Leave nothing behind."""
        if self._place is not None:
            self._place.close()
        self._runs.clear()
        self._place = self._tasks = None

    def kept(self, owner: str = "") -> list[Run]:
        """Return the fleets of somebody that can be looked at, the newest first."""
        return [run for run in reversed(self._runs.values()) if run.state != "coming" and run.owner == owner]

    def coming(self, owner: str = "") -> Run:
        """Return a new fleet with an empty folder.

        Raises:
            InputError: WEB-31 where there is no room, WEB-33 where too many wait.
        """
        assert self._place is not None, "not opened"
        while len(self._runs) >= MOST_RUNS:
            over = next((run for run in self._runs.values() if run.is_over), None)
            if over is None:
                what = f"{MOST_RUNS} fleets are on their way already."
                raise InputError("WEB-33", "fleet", what, "Wait for one of them, or stop one.")
            self.drop(over.name, over.owner)
        name = secrets.token_urlsafe(12)
        folder = self._place.folder / name
        try:
            folder.mkdir()
        except OSError as error:
            what = f"the files cannot be kept: {(error.strerror or str(error)).lower()}."
            raise InputError("WEB-31", "fleet", what, "Make room on the disk of this machine.") from None
        run = self._runs[name] = Run(name, folder, owner)
        return run

    def start(self, run: Run, asked: Asked) -> None:
        """Begin to follow a fleet whose files are there."""
        assert self._tasks is not None, "not opened"
        run.asked, run.state = asked, "waiting"
        self._tasks.start_soon(self._follow, run)

    async def _follow(self, run: Run) -> None:
        with anyio.CancelScope() as scope:
            run.scope = scope
            try:
                async with self._turn:
                    run.state = "running"
                    await self.work.run(follow, str(run.folder), run.asked)
                run.state = "done"
            except TurnwrightError as error:
                run.error, run.state = error, "failed"
        if scope.cancelled_caught:
            run.state = "stopped"
        run.scope = None
        if run.state != "done":
            shutil.rmtree(run.folder, ignore_errors=True)

    def get(self, name: str, owner: str = "") -> Run:
        """Return a fleet.

        Raises:
            UnknownKey: WEB-32.
        """
        if name not in self._runs or self._runs[name].owner != owner:
            what = "there is no such fleet, or not any more."
            raise UnknownKey("WEB-32", "address", what, "Send its files again on the page Fleet.")
        return self._runs[name]

    def stop(self, name: str, owner: str = "") -> Run:
        """Stop the work on a fleet; its worker ends at once.

        Raises:
            UnknownKey: WEB-32.
        """
        run = self.get(name, owner)
        if run.scope is not None and not run.is_over:
            run.scope.cancel()
            run.state = "stopped"
        return run

    def drop(self, name: str, owner: str = "") -> None:
        """Stop the work on a fleet and delete all its files; one that is gone already is no error."""
        run = self._runs.get(name)
        if run is None or run.owner != owner:
            return
        del self._runs[name]
        if run.scope is not None:
            run.scope.cancel()
        shutil.rmtree(run.folder, ignore_errors=True)
