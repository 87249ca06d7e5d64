"""Try a random sample of changes; print the share that the tests notice, write those they do not.

python -m mutants [--count 500] [--seed 1] [--workers 2] [--out build/mutants]

What was tried is kept in the folder as it comes: a run that was stopped goes on where it was, as long as
the sources are the same.
"""

from __future__ import annotations

import argparse
import json
import queue
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import asdict
from hashlib import sha256
from pathlib import Path

from mutants.reach import Reach
from mutants.sample import PACKAGES, Mutant, sample
from mutants.trial import FAR_S, NEAR_S, Bench, Outcome, copy_of, reach_of

ROOT = Path(__file__).parents[1]


def main() -> int:
    """Print a table of the outcomes by package."""
    parser = argparse.ArgumentParser(prog="python -m mutants", description=__doc__.split("\n")[0])
    parser.add_argument("--count", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--out", type=Path, default=ROOT / "build" / "mutants")
    asked = parser.parse_args()
    asked.out.mkdir(parents=True, exist_ok=True)
    kept = asked.out / f"tried-{_digest()}.jsonl"
    tried = _kept(kept)
    wanted = sample(ROOT / "src", asked.count, asked.seed)
    with kept.open("a", encoding="utf-8") as out:
        for seconds in (NEAR_S, FAR_S):
            left = [one for one in wanted if one not in tried or _is_to_try(tried[one], seconds)]
            for outcome in outcomes(left, seconds, asked.workers, asked.out):
                tried[outcome.mutant] = outcome
                print(json.dumps(asdict(outcome)), file=out, flush=True)
                print(f"\r{len(tried)} tried", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    survivors = [outcome.difference for outcome in tried.values() if outcome.outcome == "survived"]
    (asked.out / "survived.txt").write_text("\n\n".join([*survivors, ""]), encoding="utf-8")
    print(_table(list(tried.values())))
    return 0


def _digest() -> str:
    """Return what tells one state of sources and tests from another."""
    digest = sha256()
    for path in sorted(path for folder in ("src", "tests") for path in (ROOT / folder).rglob("*.py")):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:12]


def _is_to_try(outcome: Outcome, seconds: float) -> bool:
    """Return whether what survived some seconds of tests has more before it."""
    return outcome.outcome == "survived" and outcome.seconds < seconds


def _kept(path: Path) -> dict[Mutant, Outcome]:
    """Return what was tried before; of several trials of one change the last counts."""
    if not path.exists():
        return {}
    rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    tried = (Outcome(**{**row, "mutant": Mutant(**row["mutant"])}) for row in rows)
    return {outcome.mutant: outcome for outcome in tried}


def _table(tried: Sequence[Outcome]) -> str:
    counted = Counter((outcome.mutant.package, outcome.outcome) for outcome in tried)
    lines = []
    for package in (*PACKAGES, "all"):
        of = PACKAGES if package == "all" else (package,)
        killed, survived = (sum(counted[one, word] for one in of) for word in ("killed", "survived"))
        share = f"{killed / (killed + survived):.1%}" if killed + survived else "none tried"
        lines.append(f"{package:8} {killed + survived:4} changes, noticed {share}")
    return "\n".join(lines)


def outcomes(mutants: Sequence[Mutant], seconds: float, workers: int, folder: Path) -> Iterator[Outcome]:
    """Yield outcomes of so many seconds of tests as they come; each worker has a copy of its own."""
    if not mutants:
        return
    with tempfile.TemporaryDirectory() as place, ThreadPoolExecutor(workers) as pool:
        copies = [copy_of(ROOT, Path(place) / str(number)) for number in range(workers)]
        traced = folder / f"reach-{_digest()}.json"
        reach = Reach.read(traced) if traced.exists() else reach_of(copies[0], traced)
        benches: queue.Queue[Bench] = queue.Queue()
        for copy in copies:
            bench = Bench(copy, reach)
            bench.check()
            benches.put(bench)

        def one(mutant: Mutant) -> Outcome:
            bench = benches.get()
            try:
                return bench.tried(mutant, seconds)
            finally:
                benches.put(bench)

        for future in as_completed([pool.submit(one, mutant) for mutant in mutants]):
            yield future.result()
        while not benches.empty():
            benches.get().close()


if __name__ == "__main__":
    sys.exit(main())
