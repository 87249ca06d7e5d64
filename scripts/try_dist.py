"""Build wheel and source archive into dist, install the wheel alone, and try what a stranger would.

The wheel is built from the source archive, so that what the archive lacks shows. The environment has the core only:
quick commands answer there, and each other one says which extra it needs.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import venv
import zipfile
from pathlib import Path

from turnwright.reference import digest

ROOT = Path(__file__).parent.parent
DIST = ROOT / "dist"
ALONE = {"turnwright", "msgspec", "typing-extensions", "pip", "setuptools"}
"""All that the core may bring, and what an empty environment has."""
ANSWER = (
    "--version",
    "--help",
    "select examples/gatehouse.toml",
    "select examples/gatehouse.toml --all --format json",
    "explain examples/gatehouse.toml currents.primary_rated_a",
    "vet examples/gatehouse.toml --stock examples/yard.csv",
    "examine fault examples/gatehouse.toml",
    "examine network case.json",
    "compare examples/gatehouse.toml --edition 2017",
    "read call.txt",
    "rules ceiling",
    "tables nec_450_3b",
    "document examples/gatehouse.toml --out papers --as html,csv",
)
NEED = {
    "document examples/gatehouse.toml --out papers --only memo --as pdf": "documents",
    "document examples/gatehouse.toml --out papers --only diagrams --as dxf": "drawings",
    "verify memo.pdf": "documents",
    "job list": "store",
    "vet examples/gatehouse.toml --stock stock.xlsx": "sheets",
    "examine network case.json --vary load.r_ohm=5..6:3": "arrays",
    "fleet profile.csv --units units.csv --out rows.csv": "fleet",
    "serve": "web",
}
"""Command -> the extra it names."""


def main() -> int:
    """Return 1 where anything is not so."""
    shutil.rmtree(DIST, ignore_errors=True)
    subprocess.run(
        [sys.executable, "-m", "build", "--outdir", str(DIST), str(ROOT)], check=True, stdout=sys.stderr
    )
    with tempfile.TemporaryDirectory(prefix="empty-") as folder:
        python = _installed(Path(folder) / "venv")
        wrong = [*_not_alone(python), *_not_as_expected(python, _desk(Path(folder) / "desk"))]
    print(
        "\n".join(wrong) or f"{len(ANSWER)} commands answer with the core alone, {len(NEED)} name their extra"
    )
    for path in sorted(DIST.iterdir()):
        print(f"{path.relative_to(ROOT)}  {path.stat().st_size / 1e6:.1f} MB")
    return int(bool(wrong))


def _installed(place: Path) -> Path:
    """Return the interpreter of an environment that has the wheel and what the wheel asks for."""
    venv.create(place, with_pip=True)
    python = place / "bin" / "python"
    (wheel,) = DIST.glob("*.whl")
    subprocess.run([python, "-m", "pip", "install", "--quiet", str(wheel)], check=True, stdout=sys.stderr)
    return python


def _desk(folder: Path) -> Path:
    """Return a folder with the files that the commands name."""
    shutil.copytree(ROOT / "examples", folder / "examples")
    (folder / "call.txt").write_text("480 V building, need 208Y/120, 22 kVA\n", encoding="utf-8")
    shutil.copy(ROOT / "fuzz" / "seeds" / "network" / "e18.json", folder / "case.json")
    shutil.copy(ROOT / "fuzz" / "seeds" / "profile" / "hours.csv", folder / "profile.csv")
    shutil.copy(ROOT / "fuzz" / "seeds" / "units" / "three.csv", folder / "units.csv")
    (folder / "memo.pdf").write_bytes(b"%PDF-1.7\n")
    (folder / "stock.xlsx").write_bytes(b"PK")
    return folder


def _not_alone(python: Path) -> list[str]:
    words = [python, "-m", "pip", "list", "--format", "freeze", "--disable-pip-version-check"]
    listed = subprocess.run(words, check=True, capture_output=True, text=True).stdout
    (wheel,) = DIST.glob("*.whl")
    typed = "turnwright/py.typed" in zipfile.ZipFile(wheel).namelist()
    names = {line.partition("==")[0].lower().replace("_", "-") for line in listed.splitlines()}
    more = [f"the core brings {name}" for name in sorted(names - ALONE)]
    return more if typed else [*more, "the wheel has no py.typed"]


def _not_as_expected(python: Path, desk: Path) -> list[str]:
    wrong = []
    for command in ANSWER:
        status, text = _run(python, desk, command)
        if status not in (0, 3, 4):
            wrong.append(f"{command}: ended with {status}: {text[-500:]}")
        elif command == "--version" and digest() not in text:
            wrong.append(f"{command}: the tables are not those of the source: {text}")
    for command, extra in NEED.items():
        status, text = _run(python, desk, command)
        if status != 2 or f"turnwright[{extra}]" not in text or "Traceback" in text:
            wrong.append(f"{command}: ended with {status} and does not name '{extra}': {text[-500:]}")
    return wrong


def _run(python: Path, desk: Path, command: str) -> tuple[int, str]:
    done = subprocess.run(
        [python.with_name("turnwright"), *command.split()],
        cwd=desk,
        env={"PATH": os.environ["PATH"], "HOME": str(desk)},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        stdin=subprocess.DEVNULL,
        encoding="utf-8",
        timeout=120,
        check=False,
    )
    return done.returncode, done.stdout


if __name__ == "__main__":
    sys.exit(main())
