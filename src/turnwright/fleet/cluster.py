"""The groups of files of a fleet worked on by other machines, each as one machine alone would.

Every worker has to see the files under the same names, and to run this version of the package. What a worker held
when it was lost is worked on again by another.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any

from turnwright.errors import InputError, MissingExtra
from turnwright.fleet.parts import follow_group
from turnwright.fleet.records import FleetUnit, Form
from turnwright.fleet.sums import Standing
from turnwright.version import __version__

WAIT_S = 20.0
"""So long a scheduler may take to answer, and its first worker to come."""
FIX = "Start a scheduler and workers ('dask scheduler', 'dask worker ADDRESS'), and name its address, as tcp://host:8786."
Place = tuple[int, int]
Finished = Callable[[int, Standing, int], None]
"""Called with the number of a group, what stands after it, and the steps it took."""


def follow_groups(
    address: str,
    groups: Sequence[tuple[Path, ...]],
    units: dict[str, FleetUnit],
    form: Form,
    found: dict[int, tuple[Standing, Place]],
    finished: Finished,
) -> list[Standing]:
    """Return what stands after all groups, in their order.

    address   of a Dask scheduler
    found     what an earlier run has left of a group, and where it goes on
    finished  called for each group as it comes back

    Raises:
        MissingExtra: FLT-15 where the client is not installed.
        InputError: FLT-16 where the cluster does not answer, is of another version, or loses the work.
    """
    stands: dict[int, Standing] = {}
    with _client(address) as (client, distributed):
        _same_version(client, address)
        listed = client.scatter(units, broadcast=True, hash=False)
        numbers = {}
        for number, paths in enumerate(groups):
            standing, begin = found.get(number, (Standing(), (0, 0)))
            before = sum(each.steps for each in standing.sums.values())
            whole = tuple(path.resolve() for path in paths)
            future = client.submit(
                follow_group, whole, listed, form, 1, standing, begin, pure=False, retries=2
            )
            numbers[future] = (number, before)
        try:
            for future, stood in distributed.as_completed(list(numbers), with_results=True):
                number, before = numbers.pop(future)
                future.release()  # it is here: nobody has to do it again
                stands[number] = stood
                finished(number, stood, sum(each.steps for each in stood.sums.values()) - before)
        except BaseException:
            client.cancel(list(numbers))
            raise
    return [stands[number] for number in range(len(groups))]


@contextmanager
def _client(address: str) -> Iterator[tuple[Any, Any]]:
    """Connect to a scheduler that has workers; what the connection raises is told as an error of the user."""
    try:
        distributed: Any = import_module("distributed")
    except ModuleNotFoundError as error:
        what = f"a cluster needs {error.name}, which is not installed."
        raise MissingExtra(
            "FLT-15", "--cluster", what, 'Install it: pip install "turnwright[cluster]"'
        ) from None
    logging.getLogger("distributed").setLevel(
        logging.CRITICAL
    )  # a lost worker is no news: its work is done again
    with _connected(distributed, address) as client, client.as_current():
        try:
            yield client, distributed
        except distributed.KilledWorker:
            what = "its workers die over the same files, one after another."
            raise InputError("FLT-16", address, what, "Give them more memory, or split the files.") from None
        except (distributed.client.FutureCancelledError, distributed.comm.CommClosedError):
            what = "the connection was lost, and the work with it."
            raise InputError("FLT-16", address, what, "Run it once more: it goes on where it was.") from None


def _connected(distributed: Any, address: str) -> Any:
    """Return a client of a scheduler with at least one worker."""
    client = None
    try:
        client = distributed.Client(address, timeout=WAIT_S, set_as_default=False)
        client.wait_for_workers(1, timeout=WAIT_S)
    except (OSError, ValueError, ImportError) as error:  # also the time that ran out
        if client is not None:
            client.close()
        told = " ".join(str(error).split())[:200].rstrip(".")
        raise InputError(
            "FLT-16", address, f"no scheduler with a worker answers there: {told}.", FIX
        ) from None
    return client


def _same_version(client: Any, address: str) -> None:
    """Refuse workers of another version: their numbers would differ."""
    try:
        versions = set(client.run(version_here).values())
    except ModuleNotFoundError:
        versions = {"none"}
    others = versions - {__version__}
    if others:
        what = f"its workers run turnwright {', '.join(sorted(others))}, and here is {__version__}."
        raise InputError("FLT-16", address, what, "Install the same version everywhere.")


def version_here() -> str:
    """Return the version of the package where it is called."""
    return __version__
