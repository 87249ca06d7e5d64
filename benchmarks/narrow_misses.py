"""How often a sweep misses: jobs with facts that have no direction, concrete jobs drawn inside them.

    .venv/bin/python benchmarks/narrow_misses.py [--jobs 400] [--inside 10] [--seed 20260309]

Each half-known job has two to four swept facts: pieces, power factors of loads in kVA or amperes, power factors under a
drop limit, winding resistance. A miss is a concrete job whose size lies outside the range that `select` gives.
"""

from __future__ import annotations

import argparse
import random
import sys
from typing import Any

from narrow_brute import put

import turnwright as tw

SYSTEMS = ("208Y/120", "208 3ph", "120 1ph", "208 1ph")
Drawn = tuple[dict[str, Any], list[tuple[tuple[Any, ...], float, float, str]]]


def half_known(draw: random.Random) -> Drawn:
    """Return a job as a mapping, and its swept facts: where each stands, its ends, its unit ("pieces": whole)."""
    loads: list[dict[str, Any]] = []
    open_facts: list[tuple[tuple[Any, ...], float, float, str]] = []
    for place in range(draw.randint(2, 4)):
        system, name = draw.choice(SYSTEMS), draw.choice(("kva", "current"))
        size = draw.uniform(3, 40) if name == "kva" else draw.uniform(8, 120)
        loads.append(
            {"system": system, name: round(size, 1), "power_factor": round(draw.uniform(0.6, 1.0), 2)}
        )
        if len(open_facts) < 4 and draw.random() < 0.7:
            low = round(draw.uniform(0.5, 0.9), 2)
            open_facts.append((("load", place, "power_factor"), low, round(draw.uniform(low, 1.0), 2), ""))
        if len(open_facts) < 4 and draw.random() < 0.5:
            low = draw.randint(1, 5)
            open_facts.append((("load", place, "quantity"), low, low + draw.randint(1, 6), "pieces"))
    choices: dict[str, Any] = {"growth": f"{draw.choice((0, 10, 20))} %"}
    if draw.random() < 0.4:
        loads[0]["regulation_limit"] = f"{draw.uniform(2, 6):.1f} %"
        choices["impedance"] = "4.5 %"
        open_facts.append((("choices", "resistance"), 1.0, round(draw.uniform(1.5, 4.0), 1), "%"))
    job = {"supply": {"system": "480Y/277"}, "load": loads, "choices": choices, "site": {"altitude": "100 m"}}
    job["site"]["ambient_average"] = "25 degC"
    return job, open_facts


def concrete(fact: tuple[tuple[Any, ...], float, float, str], draw: random.Random) -> str:
    """Return a value inside a swept fact, as a person writes it."""
    _, low, high, unit = fact
    if unit == "pieces":
        return str(draw.randint(int(low), int(high)))
    return f"{draw.uniform(low, high):.4f} {unit}".strip()


def written(fact: tuple[tuple[Any, ...], float, float, str]) -> str:
    """Return a swept fact as a range."""
    _, low, high, unit = fact
    return f"{low}..{high}" if unit in ("", "pieces") else f"{low}..{high} {unit}"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--jobs", type=int, default=400)
    parser.add_argument("--inside", type=int, default=10)
    parser.add_argument("--seed", type=int, default=20260309)
    arguments = parser.parse_args()
    draw = random.Random(arguments.seed)
    drawn = missed = 0
    while drawn < arguments.jobs * arguments.inside:
        job, facts = half_known(draw)
        if len(facts) < 2:
            continue
        result = tw.select(put(job, [(one[0], written(one)) for one in facts]), ledger_open=False)
        for _ in range(arguments.inside):
            inside = put(job, [(one[0], concrete(one, draw)) for one in facts])
            pick = tw.select(inside, ledger_open=False, ask=False).pick
            drawn += 1
            ends = result.range_kva
            missed += pick is not None and not (ends is not None and ends[0] <= pick.kva <= ends[1])
    print(f"{drawn} concrete jobs, {missed} outside the range: {missed / drawn * 100:.2f} %")
    return 0


if __name__ == "__main__":
    sys.exit(main())
