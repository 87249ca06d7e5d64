"""Try a random sample of changes; print the share that the tests notice, write those they do not.

python -m mutants [--count 500] [--seed 1] [--workers 2] [--out build/mutants.txt]
"""

from __future__ import annotations

import argparse
import queue
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from pathlib import Path

from mutants.sample import PACKAGES, Mutant, sample
from mutants.trial import Outcome, copy_of, tried

ROOT = Path(__file__).parents[1]


def main() -> int:
    """Print a table of the outcomes by package."""
    parser = argparse.ArgumentParser(prog="python -m mutants", description=__doc__.split("\n")[0])
    parser.add_argument("--count", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--out", type=Path, default=ROOT / "build" / "mutants.txt")
    asked = parser.parse_args()
    asked.out.parent.mkdir(parents=True, exist_ok=True)
    counted = Counter[tuple[str, str]]()
    with asked.out.open("w", encoding="utf-8") as out:
        for number, outcome in enumerate(
            outcomes(sample(ROOT / "src", asked.count, asked.seed), asked.workers), 1
        ):
            counted[outcome.mutant.package, outcome.outcome] += 1
            if outcome.outcome == "survived":
                print(outcome.difference, "\n", file=out, flush=True)
            print(f"\r{number} tried", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    for package in PACKAGES:
        killed, survived = counted[package, "killed"], counted[package, "survived"]
        share = f"{killed / (killed + survived):.1%}" if killed + survived else "none tried"
        print(f"{package:8} {killed + survived:4} changes, noticed {share}")
    return 0


def outcomes(mutants: Sequence[Mutant], workers: int) -> Iterator[Outcome]:
    """Yield outcomes as they come; each worker has a copy of its own."""
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(workers) as pool:
        copies: queue.Queue[Path] = queue.Queue()
        for number in range(workers):
            copies.put(copy_of(ROOT, Path(folder) / str(number)))

        def one(mutant: Mutant) -> Outcome:
            root = copies.get()
            try:
                return tried(root, mutant)
            finally:
                copies.put(root)

        for future in as_completed([pool.submit(one, mutant) for mutant in mutants]):
            yield future.result()


if __name__ == "__main__":
    sys.exit(main())
