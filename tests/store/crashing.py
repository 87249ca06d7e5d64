"""Saves that are killed in the middle: a process that forks one child for each, so that a crash costs little.

Reads lines of JSON (url, key, text, author, after), writes one line each: how many statements the child got to, or
"saved". The child is killed by the signal that nothing can catch, right before its statement number `after`.
"""

from __future__ import annotations

import json
import os
import signal
import sys


def save(asked: dict[str, object]) -> None:
    import sqlalchemy as sa

    from turnwright.store import Store

    kept = Store(str(asked["url"]))
    seen = [0]

    def count(*_: object) -> None:
        seen[0] += 1
        if seen[0] >= int(asked["after"]):
            os.kill(os.getpid(), signal.SIGKILL)

    sa.event.listen(kept.engine, "before_cursor_execute", count)
    sa.event.listen(kept.engine, "commit", lambda _: count())
    kept.save(str(asked["key"]), str(asked["text"]), author=str(asked["author"]), saved_at="now")


def main() -> None:
    import turnwright.store  # noqa: F401  (imported once, before any fork)
    from turnwright.intake import read_job
    from turnwright.narrow import select

    select(read_job('supply.system = "480Y/277"\n[[load]]\nsystem = "208Y/120"\nkva = "9 kVA"'), ask=False)
    print("ready", flush=True)
    for line in sys.stdin:
        child = os.fork()
        if child == 0:
            save(json.loads(line))
            os._exit(0)
        status = os.waitpid(child, 0)[1]
        print("killed" if os.WIFSIGNALED(status) else f"ended {status}", flush=True)


if __name__ == "__main__":
    main()
