"""How quick the pages are: one page warm, `/api/select` against the library call, many clients at once.

Everything stays on this machine. `python benchmarks/bench_web.py` prints a line for each limit and leaves with 1 when
one is not kept.
"""

from __future__ import annotations

import asyncio
import json
import signal
import statistics
import subprocess
import sys
import time
from pathlib import Path

import httpx2

from turnwright.intake import read_job
from turnwright.model.as_json import dumps
from turnwright.narrow import select

ROOT = Path(__file__).parents[1]
JOB = (ROOT / "examples" / "gatehouse.toml").read_text(encoding="utf-8")
TOML = {"content-type": "application/toml"}
PAGE_MS = 60.0
API_RATIO = 2.0
CLIENTS, SECONDS = 50, 8
SPREAD = 5.0
FIRST_PAGE_BYTES = 100_000


def best_ms(times: list[float]) -> float:
    """The best counts: a busy machine slows everything else down."""
    return min(times) * 1000


def timed(call: object, runs: int = 40) -> list[float]:
    found = []
    for _ in range(runs):
        start = time.perf_counter()
        call()  # type: ignore[operator]
        found.append(time.perf_counter() - start)
        time.sleep(0.03)
    return found


async def many(address: str) -> list[float]:
    """Return the times of many clients that each ask once a second."""
    limits = httpx2.Limits(max_connections=CLIENTS)
    async with httpx2.AsyncClient(base_url=address, limits=limits, timeout=30) as client:

        async def one(number: int) -> list[float]:
            found = []
            await asyncio.sleep(number / CLIENTS)
            for _ in range(SECONDS):
                start = time.perf_counter()
                answer = await client.post("/api/select", content=JOB, headers=TOML)
                answer.raise_for_status()
                took = time.perf_counter() - start
                found.append(took)
                await asyncio.sleep(max(0.0, 1 - took))
            return found

        return [each for times in await asyncio.gather(*map(one, range(CLIENTS))) for each in times]


def measured(address: str) -> list[tuple[str, float, float, str]]:
    """Return name, value, limit and unit of everything measured."""
    with httpx2.Client(base_url=address, timeout=30) as client:
        files = ["/", "/static/pages.css", "/static/pages.js", "/static/htmx.min.js", "/static/mark.svg"]
        first = sum(len(client.get(path).content) for path in files)
        library = best_ms(timed(lambda: dumps(select(read_job(JOB)).to_json())))
        form = {"text": JOB, "base": JOB, "f.choices.growth": "60 %"}
        opened = best_ms(timed(lambda: client.post("/", data={"text": JOB})))
        moved = best_ms(timed(lambda: client.post("/", data=form)))
        asked = best_ms(timed(lambda: client.post("/api/select", content=JOB, headers=TOML)))
    times = sorted(asyncio.run(many(address)))
    p99, middle = times[int(len(times) * 0.99)] * 1000, statistics.median(times) * 1000
    return [
        ("first page, all files", first, FIRST_PAGE_BYTES, "bytes"),
        ("page of a job, warm", opened, PAGE_MS, "ms"),
        ("page after one more fact", moved, PAGE_MS, "ms"),
        ("/api/select", asked, API_RATIO * library, f"ms (library {library:.1f} ms)"),
        (f"p99 of {CLIENTS} clients", p99, SPREAD * middle, f"ms (median {middle:.1f} ms)"),
    ]


def main() -> int:
    words = [sys.executable, "-m", "turnwright", "serve", "--no-browser", "--format", "json"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as served:
        assert served.stdout is not None
        try:
            address = json.loads(served.stdout.readline())["address"].rstrip("/")
            httpx2.post(f"{address}/", data={"text": JOB}, timeout=60)
            rows = measured(address)
        finally:
            served.send_signal(signal.SIGINT)
    for name, value, limit, unit in rows:
        print(f"{'kept' if value <= limit else 'NOT KEPT':9} {name:26} {value:10.1f} of {limit:10.1f} {unit}")
    return int(any(value > limit for _, value, limit, _ in rows))


if __name__ == "__main__":
    sys.exit(main())
