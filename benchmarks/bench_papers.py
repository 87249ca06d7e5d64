"""How quick papers are, each in a new process, against the same memo through weasyprint.

Prints a line for each limit and ends with status 1 when one is broken. What counts is the processor time of the
whole process, its threads together, so that a busy machine does not. The other side is handed the memo as HTML,
ready made, and is run first once with a small page, so that its bytecode is written.
"""

from __future__ import annotations

import importlib.util
import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import NamedTuple

JOB = Path(__file__).parents[1] / "examples" / "gatehouse.toml"
LEAST_TIMES = 10.0
RUNS = 3
OURS = "import sys; from turnwright.cli.main import main; sys.exit(main(sys.argv[1:]))"
THEIRS = "import sys; from weasyprint import HTML; HTML(sys.argv[1]).write_pdf(sys.argv[2])"


class Measured(NamedTuple):
    """One line of the table."""

    what: str
    value: str
    limit: str
    holds: bool


def processor_s(*words: str) -> float:
    """Run a new interpreter and return the processor time it took. [s]"""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-c", *words], stdout=subprocess.DEVNULL, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


def papers_s(folder: Path, *only: str) -> float:
    """Return the best time of some papers of the job. [s]"""
    words = (OURS, "document", str(JOB), "--out", str(folder), "--force", *only)
    return min(processor_s(*words) for _ in range(RUNS))


def other_s(folder: Path) -> float | None:
    """Return the time of the memo through weasyprint; None where it cannot run. [s]"""
    small = folder / "small.html"
    small.write_text("<p>one line</p>", encoding="utf-8")
    try:
        processor_s(THEIRS, str(small), str(folder / "small.pdf"))
    except subprocess.CalledProcessError:
        return None
    return processor_s(THEIRS, str(folder / "memo.html"), str(folder / "other.pdf"))


def measured(folder: Path) -> list[Measured]:
    """Return what was measured; nothing where there is nothing to compare with."""
    every = papers_s(folder)
    memo = papers_s(folder, "--only", "memo", "--as", "pdf")
    other = other_s(folder)
    if other is None:
        return []
    return [
        Measured(
            "memo as PDF, cold",
            f"{other / memo:.0f} × as fast ({memo:.2f} s against {other:.1f} s)",
            f"≥ {LEAST_TIMES:g} ×",
            other >= LEAST_TIMES * memo,
        ),
        Measured(
            "every paper of the job, cold",
            f"{every / other:.2f} of that memo ({every:.2f} s against {other:.1f} s)",
            "≤ 1",
            every <= other,
        ),
    ]


def main() -> int:
    """Measure, print, and return the exit status."""
    if importlib.util.find_spec("weasyprint") is None:
        print("not compared: weasyprint is not installed (extra 'bench')")
        return 0
    with tempfile.TemporaryDirectory() as folder:
        lines = measured(Path(folder))
    if not lines:
        print("not compared: weasyprint is installed but does not run here; it needs the library pango")
    for line in lines:
        print(f"{line.what:30} {line.value:44} {line.limit:8} {'holds' if line.holds else 'BROKEN'}")
    return 0 if all(line.holds for line in lines) else 1


if __name__ == "__main__":
    sys.exit(main())
