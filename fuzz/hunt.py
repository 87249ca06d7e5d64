"""Inputs to one reader for some seconds: guided by the code they reach where atheris is installed, else at random.

python -m fuzz.hunt READER --seconds 60 --seed 1 --found build/fuzz/found
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path
from random import Random

try:
    import atheris
except ImportError:
    atheris = None

if atheris:
    with atheris.instrument_imports(include=["turnwright"], enable_loader_override=False):
        from fuzz.readers import READERS, Reader, seeds_of
else:
    from fuzz.readers import READERS, Reader, seeds_of
from fuzz.changes import changed
from fuzz.once import Kept

MOST_SECONDS_WAITED = 600
"""An input that takes longer waits for something that does not come."""


def at_random(reader: Reader, seeds: tuple[bytes, ...], kept: Kept, seconds: float, seed: int) -> None:
    """Try changes of the seeds."""
    draw, until = Random(seed), time.monotonic() + seconds
    while time.monotonic() < until:
        kept.take(reader, changed(draw.choice(seeds), draw, seeds))


def guided(
    reader: Reader, seeds: tuple[bytes, ...], kept: Kept, seconds: float, corpus: Path, seed: int
) -> None:
    """Try changes of the seeds, and of what reached new code; never returns."""
    corpus.mkdir(parents=True, exist_ok=True)
    for number, data in enumerate(seeds):
        (corpus / f"seed-{number}").write_bytes(data)

    def change(data: bytes, longest: int, number: int) -> bytes:
        draw = Random(number)
        if draw.random() < 0.3:
            return bytes(atheris.Mutate(data, longest))
        return changed(data, draw, seeds)[:longest]

    def one(data: bytes) -> None:
        kept.take(reader, data)

    options = [
        f"-max_total_time={max(1, round(seconds))}",
        f"-seed={seed}",
        f"-timeout={MOST_SECONDS_WAITED}",
        f"-report_slow_units={MOST_SECONDS_WAITED}",
        f"-artifact_prefix={kept.folder}/",
        "-rss_limit_mb=3000",
        "-max_len=100000",
    ]
    kept.folder.mkdir(parents=True, exist_ok=True)
    atheris.Setup([sys.argv[0], *options, str(corpus)], one, custom_mutator=change)
    atheris.Fuzz()


def main() -> int:
    """Hunt."""
    parser = argparse.ArgumentParser(prog="python -m fuzz.hunt", description=__doc__.split("\n")[0])
    parser.add_argument("reader", choices=READERS)
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--found", type=Path, default=Path("build/fuzz/found"))
    parser.add_argument("--corpus", type=Path, default=Path("build/fuzz/corpus"))
    asked = parser.parse_args()
    kept = Kept(asked.found / asked.reader)
    reader, seeds = READERS[asked.reader], seeds_of(asked.reader)
    if atheris is None:
        at_random(reader, seeds, kept, asked.seconds, asked.seed)
    else:
        guided(reader, seeds, kept, asked.seconds, asked.corpus / asked.reader, asked.seed)
    print(f"Done {kept.tried} runs", file=sys.stderr)
    return 0


if __name__ == "__main__":
    sys.exit(main())
