"""How quick a list of units on hand is vetted: 2,000 rows, no two alike, read and judged, against one `select`.

Prints a table and ends with status 1 when the limit is broken. Both sides of the ratio are processor time of one
process, the best of several runs.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from itertools import islice, product
from pathlib import Path
from time import process_time

import turnwright as tw
from turnwright.vetting import read_stock_list

ROWS = 2_000
MOST_SELECTS = 100.0
EXAMPLES = Path(__file__).parents[1] / "examples"
HEAD = "unit,kva,primary,secondary,impedance,rise,sound,price,quantity\n"
ONE_LOAD = 'supply.system = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = "40 kVA"\n'


def written(cells: list[tuple[object, ...]]) -> str:
    """Return a list with a name, a price and a number on hand of each row's own."""
    rows = [
        f"T-{n},{','.join(str(each) for each in row)},{1000 + n},{1 + n % 3}"
        for n, row in enumerate(islice(cells, ROWS))
    ]
    return HEAD + "\n".join(rows) + "\n"


def all_fit() -> str:
    """40 sizes of 50 impedances each: every row another circuit."""
    sizes = [75 + 0.5 * n for n in range(40)]
    impedances = [round(2.5 + 0.07 * n, 2) for n in range(50)]
    return written([(kva, "480 delta", "208Y/120", z, 150, "") for z, kva in product(impedances, sizes)])


def yard() -> str:
    """What stands in a large yard: usual sizes and windings, 31 impedances, three rises."""
    sizes = (15, 30, 45, 75, 112.5, 150, 225, 300)
    windings = (("480 delta", "208Y/120"), ("480 delta", "240 delta"), ("600 delta", "208Y/120"))
    impedances = [round(3 + 0.1 * n, 1) for n in range(31)]
    kinds = product(impedances, (150, 115, 80), windings, sizes)
    return written([(kva, *sides, z, rise, 50) for z, rise, sides, kva in kinds])


def least(call: Callable[[], object], runs: int) -> float:
    """Return the processor seconds of the quickest of some calls."""
    found = []
    for _ in range(runs):
        start = process_time()
        call()
        found.append(process_time() - start)
    return min(found)


def main() -> int:
    jobs = {
        "one load": tw.read_job(ONE_LOAD),
        "gatehouse": tw.load_job(EXAMPLES / "gatehouse.toml"),
    }
    holds = True
    for name, job in jobs.items():
        one = least(lambda job=job: tw.select(job), 15)
        for kind, text in (("all fit", all_fit()), ("a yard", yard())):
            took = least(lambda job=job, text=text: tw.vet_stock(job, read_stock_list(text)), 2)
            ratio = took / one
            fits = len(tw.vet_stock(job, read_stock_list(text)).fits)
            holds &= ratio <= MOST_SELECTS
            value = f"{ratio:.0f} × select ({one * 1e3:.1f} ms), {fits} of {ROWS} fit"
            verdict = "holds" if ratio <= MOST_SELECTS else "BROKEN"
            print(f"{name + ', ' + kind:24} {value:46} ≤ {MOST_SELECTS:.0f} × {verdict}")
    return 0 if holds else 1


if __name__ == "__main__":
    sys.exit(main())
