"""Ranges against brute force: 500 half-known jobs, every combination of values on a grid, each through the engine.

    .venv/bin/python benchmarks/narrow_brute.py [--jobs 500] [--points 3] [--seed 20261125]

Each job has two or three half-known facts with a direction (sizes, growth, ambient, altitude) or swept (pieces, power
factors). A miss is a combination whose size lies outside `range.kva`; a range is tight where both ends are attained.
Then the cost of six unknown facts, and of reading a page, in multiples of one `select` in the same process.
"""

from __future__ import annotations

import argparse
import itertools
import random
import sys
from collections.abc import Callable
from time import process_time
from typing import Any

import turnwright as tw

SIX_UNKNOWN = """supply.system = "480Y/277"
supply.fault_current = "unknown"
[[load]]
name = "press"
system = "208Y/120"
kva = "20..40 kVA"
power_factor = "unknown"
[[load]]
name = "oven"
system = "208 3ph"
kw = "about 15 kW"
power_factor = "unknown"
[site]
altitude = "unknown"
ambient_average = "unknown"
[choices]
growth = "unknown"
"""
PAGE = (
    "Good morning. We have a 480Y/277 V supply, 22 kA, in the basement. Need 208Y/120 for lights, 12 kVA, and two "
    "7.5 hp fans at 208 V three phase, across the line. Growth 20 %. "
    "The electrician will call on Thursday about the conduit. "
) * 12
Fact = tuple[tuple[Any, ...], list[str], str]


def drawn(draw: random.Random, points: int) -> tuple[dict[str, Any], list[Fact]]:
    """Return a job as a mapping and its half-known facts: where each stands, its grid, how it is written."""
    loads: list[dict[str, Any]] = [
        {
            "system": draw.choice(("208Y/120", "208 3ph")),
            "kva": f"{draw.uniform(3, 40):.1f} kVA",
            "power_factor": 0.9,
        }
        for _ in range(draw.randint(1, 3))
    ]
    job: dict[str, Any] = {"supply": {"system": "480Y/277"}, "load": loads, "site": {}, "choices": {}}
    size = draw.uniform(4, 60)
    options = [
        (("load", 0, "kva"), size, size * draw.uniform(1.1, 1.8), "kVA"),
        (("choices", "growth"), 0.0, draw.uniform(10, 60), "%"),
        (("site", "ambient_average"), 25.0, draw.uniform(35, 50), "degC"),
        (("site", "altitude"), 100.0, draw.uniform(1500, 3500), "m"),
        (("load", 0, "power_factor"), draw.uniform(0.5, 0.8), draw.uniform(0.85, 1.0), ""),
        (("load", 0, "quantity"), 1, draw.randint(2, 4), "pieces"),
    ]
    facts: list[Fact] = []
    for path, low, high, unit in draw.sample(options, draw.randint(2, 3)):
        if unit == "pieces":
            grid, text = [str(n) for n in range(int(low), int(high) + 1)], f"{low}..{high}"
        else:
            values = [low + (high - low) * n / (points - 1) for n in range(points)]
            grid = [f"{value:.4f} {unit}".strip() for value in values]
            text = f"{low:.4f}..{high:.4f} {unit}".strip()
        facts.append((path, grid, text))
    return job, facts


def put(job: dict[str, Any], values: list[tuple[tuple[Any, ...], object]]) -> tw.Job:
    """Return the job with each half-known fact set."""
    copy = {
        **job,
        "load": [dict(one) for one in job["load"]],
        "site": dict(job["site"]),
        "choices": dict(job["choices"]),
    }
    for path, value in values:
        node: Any = copy
        for part in path[:-1]:
            node = node[part]
        node[path[-1]] = value
    return tw.job_from_mapping(copy)


def size_of(job: tw.Job) -> float | None:
    """Return the size that is picked."""
    result = tw.select(job, ledger_open=False, ask=False)
    return None if result.blocks is None else result.blocks.pick.kva


def brute(jobs: int, points: int, seed: int) -> tuple[int, int, int]:
    """Return combinations, misses, and ranges of which both ends are attained."""
    draw = random.Random(seed)
    combinations = misses = tight = 0
    for _ in range(jobs):
        job, facts = drawn(draw, points)
        asked = tw.select(put(job, [(path, text) for path, _, text in facts]), ledger_open=False, ask=False)
        low, high = asked.range_kva or (0.0, 0.0)
        found = [
            size_of(put(job, list(zip([path for path, _, _ in facts], values, strict=True))))
            for values in itertools.product(*(grid for _, grid, _ in facts))
        ]
        sizes = [one for one in found if one is not None]
        combinations += len(found)
        misses += sum(not low <= one <= high for one in sizes)
        tight += bool(sizes) and (min(sizes), max(sizes)) == (low, high)
    return combinations, misses, tight


def seconds(call: Callable[[], object], times: int = 5) -> float:
    """Return the least time of a call. [s]"""
    best = float("inf")
    for _ in range(times):
        start = process_time()
        call()
        best = min(best, process_time() - start)
    return best


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--jobs", type=int, default=500)
    parser.add_argument("--points", type=int, default=3)
    parser.add_argument("--seed", type=int, default=20261125)
    given = parser.parse_args()
    combinations, misses, tight = brute(given.jobs, given.points, given.seed)
    told = f"{misses} outside the range, {tight} ranges attained at both ends"
    print(f"{given.jobs} jobs, {combinations} combinations, {told}")
    plain = tw.read_job('supply.system = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = "26 kVA"\n')
    one = seconds(lambda: tw.select(plain, ask=False))
    six = seconds(lambda: tw.select(tw.read_job(SIX_UNKNOWN))) / one
    page = seconds(lambda: tw.job_from_request(PAGE)) / one
    print(
        f"six unknown facts {six:.0f} x one select (limit 300); {len(PAGE)} characters read {page:.1f} x (limit 20)"
    )
    return int(misses > 0 or six > 300 or page > 20)


if __name__ == "__main__":
    sys.exit(main())
