"""Random jobs both ways; exit status 1 where a number differs.

python -m differential [--jobs 2000] [--seed 1]
"""

from __future__ import annotations

import argparse
import random
import sys
from collections import Counter

from differential.compare import compared
from differential.random_jobs import random_facts

SHOWN = 20


def main() -> int:
    """Compare, print what differs and how much was compared."""
    parser = argparse.ArgumentParser(prog="python -m differential", description=__doc__.split("\n")[0])
    parser.add_argument("--jobs", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    draw = random.Random(asked.seed)
    counted, apart = Counter[str](), Counter[str]()
    for number in range(asked.jobs):
        facts = random_facts(draw)
        for pair in compared(facts):
            counted[pair.what] += 1
            if not pair.agrees:
                apart[pair.what] += 1
                if sum(apart.values()) <= SHOWN:
                    print(f"job {number}: {pair.what}: {pair.tool} against {pair.slow}\n  {facts}")
    for what, count in counted.items():
        print(f"{what:28} {count:6} compared, {apart[what]} apart")
    return 1 if apart else 0


if __name__ == "__main__":
    sys.exit(main())
