"""What a key of the job file or of a nameplate says of itself."""

from __future__ import annotations

from typing import Literal, NamedTuple

Side = Literal["high", "low", ""]


class Key(NamedTuple):
    """A key of a file.

    kind         a kind of quantity ("current", "length", ...), or "system", "word", "words", "yes/no",
                 "text", "edition", "date", "layout", "count", "frequencies", "start current", "spectrum",
                 "table", "lines", "voltage list", "device list", "tap list"
    says         what the key means, in plain words
    sample       a value that is legal, as it is written in the file
    cautious     which end of a half-known value is used where one value is needed: "high", "low", or ""
                 (neither is safer: the middle)
    bare         the unit of a number without one
    words        the legal words of a "word", "words" or "lines"
    least, most  the ends of what is possible, in the unit used inside; no rule of any standard: beyond them a
                 value is a slip of the pen
    zero         False: zero is no value here
    direct       True: a system may be direct current, which is refused with its reason
    """

    name: str
    kind: str
    says: str
    sample: str
    cautious: Side = ""
    bare: str = ""
    words: tuple[str, ...] = ()
    least: float | None = None
    most: float | None = None
    zero: bool = True
    direct: bool = False


NOTE = Key("note", "text", "a remark; shown on paper, never computed with", "called twice")
TITLE = Key("title", "text", "name of the job", "Tile works, small jobs")
SCHEMA = Key("schema", "layout", "version of the file's layout", "1")
