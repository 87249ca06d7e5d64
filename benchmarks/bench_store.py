"""How quick kept jobs are found: 10,000 revisions listed, shown and searched, against reading one row; and recheck
against `select`.

Prints a table and ends with status 1 when a limit is broken. Both sides of a ratio are processor time of one process,
the best of several calls each.
"""

from __future__ import annotations

import json
import sys
import tempfile
from collections.abc import Callable
from itertools import islice
from pathlib import Path
from time import process_time

import turnwright as tw
from turnwright.store import Asked, Revision, Store, schema

REVISIONS = 10_000
MOST_READS = 20.0
MOST_SELECTS = 1.5
RUNS = 25
RECHECKED = 40
NOON = "2026-03-04T12:00:00+00:00"
JOB = """title = "Net loft {n}"
supply.system = "480Y/277"
site.place = "{place}"
[[load]]
name = "winch {n}"
system = "208Y/120"
kva = "{kva} kVA"
"""


def filled(url: str, each: int) -> Store:
    """Return a store with 10,000 revisions, `each` of a job; the answers of 60 jobs stand in all of them."""
    store, texts = Store(url), [job_text(n) for n in range(60)]
    with Store("sqlite://") as scratch:
        for n, text in enumerate(texts):
            scratch.save(f"j{n}", text, author="Ines", saved_at=NOON)
        kept = [scratch.revision(f"j{n}") for n in range(60)]
    with store.engine.execution_options(writes=True).begin() as connection:
        for n in range(REVISIONS // each):
            for number in range(1, each + 1):
                one = kept[(n + number) % 60]
                values = {name: getattr(one, name) for name in Revision.__struct_fields__}
                row = {**values, "key": f"job {n}", "number": number, "title": f"Net loft {n}"}
                made = connection.execute(schema.REVISION.insert().values(**row)).inserted_primary_key
            names = [f"Net loft {n}", load_name(n)]
            schema.keep(connection, made[0], row, names, findings_of(one.result, names[1]))
    return store


def job_text(n: int) -> str:
    return JOB.format(n=n, kva=8 + 3 * n, place=("indoor", "outdoor", "roof")[n % 3])


def load_name(n: int) -> str:
    """Return a name without figures, another one for each number."""
    return "winch " + "".join("abcdefghij"[int(digit)] for digit in str(n))


def findings_of(result: str, name: str) -> list[dict[str, str]]:
    """Findings of a revision; a quarter of them name a load, and so differ from job to job."""
    found = json.loads(result)["findings"]
    return [
        {**one, "message": f"{one['message']} So for {name}."} if at % 4 == 0 else one
        for at, one in enumerate(found)
    ]


def least(call: Callable[[], object], runs: int = RUNS) -> float:
    found = []
    for _ in range(runs):
        start = process_time()
        call()
        found.append(process_time() - start)
    return min(found)


def main() -> int:
    lines: list[tuple[str, float, float, str]] = []
    for each in (1, 10, 10_000):
        with (
            tempfile.TemporaryDirectory() as folder,
            filled(f"sqlite:///{Path(folder) / 'jobs.sqlite'}", each) as store,
        ):
            name = f"{REVISIONS // each} × {each} revisions"
            one = least(lambda store=store: store.revision("job 0", 1))
            calls = {
                "list": lambda store=store: store.jobs(),
                "show": lambda store=store: store.revision("job 0"),
                "by words": lambda store=store: store.jobs(Asked(words="loft 7")),
                "by place": lambda store=store: store.jobs(Asked(place="roof")),
                "by load": lambda store=store: store.jobs(Asked(least_load_kva=100, most_load_kva=120)),
                "by size": lambda store=store: store.jobs(Asked(least_kva=100, most_kva=120)),
                "by code": lambda store=store: store.jobs(Asked(finding="bond-once")),
                "by words of a finding": lambda store=store: store.jobs(Asked(finding="never at both")),
                "by words that nobody has": lambda store=store: store.jobs(Asked(words="no such")),
                "by a finding that nobody has": lambda store=store: store.jobs(Asked(finding="no such")),
            }
            for what, call in calls.items():
                lines.append(
                    (f"{name}, {what}", least(call) / one, MOST_READS, f"× one row ({one * 1e3:.1f} ms)")
                )
            if each == 1:
                jobs = [tw.read_job(job_text(n)) for n in range(RECHECKED)]
                select = least(lambda jobs=jobs: [tw.select(job) for job in jobs], 3)
                again = least(lambda store=store: list(islice(store.recheck(), RECHECKED)), 3)
                lines.append(("recheck of a job", again / select, MOST_SELECTS, "× select"))
    for name, value, limit, unit in lines:
        print(f"{name:44} {value:6.1f} {unit:24} ≤ {limit:g}  {'holds' if value <= limit else 'BROKEN'}")
    return int(any(value > limit for _, value, limit, _ in lines))


if __name__ == "__main__":
    sys.exit(main())
