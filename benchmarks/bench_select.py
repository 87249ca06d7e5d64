"""How quick an answer is: cold against the bare interpreter, and how many a running process gives a second.

Prints a table and ends with status 1 when a limit is broken. Only ratios and counts are held against limits:
both sides of a ratio are timed in turn, and the best of each counts, so that a busy machine slows both.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter, process_time
from typing import NamedTuple

import turnwright as tw

COLD_RUNS = 15
WARM_RUNS = 5
JOBS = 40
MOST_TIMES_BARE = 10.0
LEAST_JOBS_PER_SECOND = 250  # of one core, each job with its circuit solved
MOST_TIMES_CLOSED = 2.0

FULLY_STATED = """schema = 1
title = "Rope walk, spinning hall"
regime = "us"
edition = "2023"

[supply]
system = "480Y/277"
frequency = "60 Hz"
grounding = "solid"
fault_current = "{fault} kA"
x_over_r = 5
source = "utility"
panel_rating = "800 A"
panel_load = "120 A"
panel_fault_rating = "35 kA"

[[load]]
name = "spinning frames"
system = "208 3ph"
current = "{frames} A"
power_factor = 0.86
continuous = true
kind = "general"

[[load]]
name = "lighting"
system = "208Y/120"
kva = "{lighting} kVA"
power_factor = 0.95
continuous = true
kind = "lighting"
spectrum = "led_over25w_limit"
neutral = true

[site]
ambient_average = "25 degC"
ambient_peak = "38 degC"
ambient_lowest = "5 degC"
altitude = "120 m"
place = "indoor"
temporary = false
room = {{ length = "6 m", width = "5 m", height = "3.5 m", ventilated = true }}

[circuit]
primary_length = "60 ft"
secondary_length = "8 ft"
conductor = "copper"
terminals = "75 degC"
raceway = "steel"
device_kind = "breaker"

[choices]
growth = "10 %"
rise = "150 K"
winding = "aluminum"
impedance = "4.5 %"
resistance = "2 %"
shield = false
manufactured = "2024-05"
"""


class Measured(NamedTuple):
    """One line of the table."""

    what: str
    value: str
    limit: str
    holds: bool


def timed(call: Callable[[], object], clock: Callable[[], float] = perf_counter) -> float:
    """Return the seconds one call takes."""
    start = clock()
    call()
    return clock() - start


def started(*words: str) -> Callable[[], object]:
    """Return a call that runs an interpreter which may keep its bytecode, as an installed one does."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    command = [sys.executable, *words]
    return lambda: subprocess.run(command, stdout=subprocess.DEVNULL, check=True, env=environment)


def cold(job: Path) -> Measured:
    """A new process that answers one job against a new process that does nothing."""
    bare, answer = started("-c", "pass"), started("-m", "turnwright", "select", str(job))
    answer()  # bytecode written
    pairs = [(timed(bare), timed(answer)) for _ in range(COLD_RUNS)]
    least_bare, least_answer = (min(times) for times in zip(*pairs, strict=True))
    ratio = least_answer / least_bare
    value = f"{ratio:.1f} × bare ({least_answer * 1e3:.0f} ms against {least_bare * 1e3:.0f} ms)"
    return Measured("cold select", value, f"≤ {MOST_TIMES_BARE:.0f} × bare", ratio <= MOST_TIMES_BARE)


def warm(jobs: list[tw.Job]) -> tuple[Measured, Measured]:
    """Jobs answered one after the other in one process, without and with the working."""

    def answer(ledger_open: bool) -> Callable[[], object]:
        return lambda: [tw.select(job, ledger_open=ledger_open) for job in jobs]

    # processor time: what else runs on the machine does not count
    pairs = [
        (timed(answer(False), process_time), timed(answer(True), process_time)) for _ in range(WARM_RUNS)
    ]
    closed, opened = (min(times) for times in zip(*pairs, strict=True))
    rate, ratio = len(jobs) / closed, opened / closed
    return (
        Measured(
            "jobs each second, working closed",
            f"{rate:.0f}",
            f"≥ {LEAST_JOBS_PER_SECOND:.0f}",
            rate >= LEAST_JOBS_PER_SECOND,
        ),
        Measured(
            "working open against closed",
            f"{ratio:.2f} ×",
            f"≤ {MOST_TIMES_CLOSED:.0f} ×",
            ratio <= MOST_TIMES_CLOSED,
        ),
    )


def main() -> int:
    texts = [  # no two have a circuit in common
        FULLY_STATED.format(frames=20 + 7 * number, lighting=2 + number % 9, fault=22 + number / 10)
        for number in range(JOBS)
    ]
    with tempfile.TemporaryDirectory() as folder:
        job = Path(folder) / "job.toml"
        job.write_text(texts[0], encoding="utf-8")
        lines = [cold(job), *warm([tw.read_job(text) for text in texts])]
    for line in lines:
        print(f"{line.what:34} {line.value:36} {line.limit:12} {'holds' if line.holds else 'BROKEN'}")
    return 0 if all(line.holds for line in lines) else 1


if __name__ == "__main__":
    sys.exit(main())
