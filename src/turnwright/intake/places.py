"""Where a fact stands: the file, the line, the path of the key."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct


class Places(Struct, frozen=True):
    """The name of a file and the line of each key path in it; no lines for what is no text."""

    origin: str
    lines: Mapping[str, int]

    def line(self, path: str) -> int | None:
        """Return the line of a key, of the first table of a list, or of the nearest table around it, or None.

        Example:
            >>> Places("job.toml", {"load[0]": 3, "load[0].kva": 5}).line("load[0].duty.on")
            3
        """
        first = self.lines.get(f"{path}[0]")
        while path:
            found = self.lines.get(path, first)
            if found is not None:
                return found
            path = path[: max(path.rfind("."), path.rfind("["), 0)]
        return None

    def file_line(self, path: str) -> str:
        """Return the file, and the line where there is one: `job.toml, line 12`."""
        line = self.line(path)
        return self.origin if line is None else f"{self.origin}, line {line}"

    def at(self, path: str) -> str:
        """Return the place of a key for a message.

        Example:
            >>> Places("job.toml", {"load[1].current": 12}).at("load[1].current")
            'job.toml, line 12, load[1].current'
        """
        if not path:
            return self.origin
        shown = path if path.isprintable() and len(path) <= _LONGEST else _short(path)
        return f"{self.file_line(path)}, {shown}"


_LONGEST = 80


def _short(path: str) -> str:
    """A key can be any text: shown on one line, and not at any length."""
    shown = "".join(letter if letter.isprintable() else " " for letter in path[:_LONGEST])
    return f"{shown}…" if len(path) > _LONGEST else shown
