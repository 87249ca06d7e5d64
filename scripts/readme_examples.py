"""Put real output under the commands shown in README.md; with --check only say whether it is stale."""

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent
README = ROOT / "README.md"
BLOCK = re.compile(r"```text\n\$ (turnwright [^\n]+)\n.*?```", re.DOTALL)


def shown(command: str) -> str:
    """Return what a command prints, as a reader in the project's folder sees it."""
    words = [sys.executable, "-m", *command.split()]
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, encoding="utf-8")
    if done.returncode not in (0, 3, 4):
        raise SystemExit(f"{command}: {done.stderr}")
    return done.stdout.rstrip()


def refreshed(text: str) -> str:
    """Return the text with the output of every command shown made anew."""
    return BLOCK.sub(lambda block: f"```text\n$ {block[1]}\n{shown(block[1])}\n```", text)


def main() -> int:
    """Refresh the file, or check it."""
    text = README.read_text(encoding="utf-8")
    fresh = refreshed(text)
    if "--check" in sys.argv[1:]:
        if fresh != text:
            print("README.md is stale: run python scripts/readme_examples.py")
        return int(fresh != text)
    README.write_text(fresh, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
