"""Hunt for defects of every reader, one after another; print how many inputs each was given and what was found.

FUZZ_SECONDS=600 python -m fuzz [READER …] [--seed 1]
"""

from __future__ import annotations

import argparse
import os
import re
import subprocess
import sys
from pathlib import Path

from fuzz.readers import READERS

OUT = Path("build/fuzz")
SECONDS = 600.0
LEAST_SECONDS = 5.0
DONE = re.compile(r"Done (\d+) runs")


def main() -> int:
    """Return 1 where an input was found that is neither read nor refused."""
    parser = argparse.ArgumentParser(prog="python -m fuzz", description=__doc__.split("\n")[0])
    parser.add_argument(
        "readers", nargs="*", metavar="READER", help=f"of: {', '.join(READERS)} (default: all)"
    )
    parser.add_argument("--seconds", type=float, default=float(os.environ.get("FUZZ_SECONDS", SECONDS)))
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    names = asked.readers or list(READERS)
    share = max(LEAST_SECONDS, asked.seconds / len(names))
    print(f"{share:.0f} s for each reader; what is found goes to {OUT / 'found'}", flush=True)
    found = [name for name in names if _hunted(name, share, asked.seed)]
    return int(bool(found))


def _hunted(name: str, seconds: float, seed: int) -> bool:
    """Hunt in a process of its own; tell whether anything was found, or the process itself broke."""
    log, found = OUT / f"{name}.log", OUT / "found" / name
    log.parent.mkdir(parents=True, exist_ok=True)
    before = set(found.iterdir()) if found.is_dir() else set()
    words = [sys.executable, "-m", "fuzz.hunt", name, "--seconds", str(seconds), "--seed", str(seed)]
    with log.open("w", encoding="utf-8") as out:
        status = subprocess.run(words, stdout=out, stderr=out, check=False).returncode
    runs = DONE.findall(log.read_text(encoding="utf-8", errors="replace"))
    new = sorted(path.name for path in found.iterdir() if path not in before) if found.is_dir() else []
    told = ", ".join(new) if new else "nothing found"
    broken = f"  (ended with {status}: {log})" if status else ""
    print(f"{name:8} {runs[-1] if runs else '?':>8} inputs  {told}{broken}")
    sys.stdout.flush()
    return bool(new) or status != 0


if __name__ == "__main__":
    sys.exit(main())
