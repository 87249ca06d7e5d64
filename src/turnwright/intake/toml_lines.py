"""On which line of a TOML text each key stands, so that a message can point at it.

The TOML reader of the standard library gives values without places. This scanner gives places without values:
it knows strings, comments and brackets, no more, and never refuses. It is meant for texts the reader has
accepted; of any other text it makes what it can.
"""

import re

_TOKEN = re.compile(
    r"""
      (?P<newline>\n)
    | (?P<skip>[^\S\n]+|\#[^\n]*)
    | (?P<long>\"{3}(?:[^"\\]|\\[\s\S]|\"{1,2}(?!\"))*+(?:\"{3,5}|\Z)|'{3}(?:[^']|'{1,2}(?!'))*+(?:'{3,5}|\Z))
    | (?P<quoted>"(?:[^"\\\n]|\\[^\n])*+"?|'[^'\n]*+'?)
    | (?P<mark>[\[\]{}=,.])
    | (?P<word>[^\s\[\]{}=,.\#"']+)
    """,
    re.VERBOSE,
)
_DEEPEST = 16
"""No file of ours nests this deep. Below it no places are kept, and a hostile text costs only its length."""
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_ESCAPE = re.compile(r"\\(?:u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|(.))")
_ESCAPED = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", '"': '"', "\\": "\\"}


def join(path: str, key: str) -> str:
    """Return the path of a key inside a table; a key with odd characters stands in quotes.

    Example:
        >>> join("load[0]", "current"), join("", "title"), join("site", "a b")
        ('load[0].current', 'title', 'site."a b"')
    """
    name = key if _BARE.fullmatch(key) else '"' + key.replace("\\", "\\\\").replace('"', '\\"') + '"'
    return f"{path}.{name}" if path else name


def key_lines(text: str) -> dict[str, int]:
    """Return the line, counted from 1, of every key and table header; the path of a key counts tables from 0.

    Example:
        >>> key_lines('schema = 1\\n[[load]]\\ncurrent = "150 A"\\nduty = { on = "10 %" }')
        {'schema': 1, 'load[0]': 2, 'load[0].current': 3, 'load[0].duty': 4, 'load[0].duty.on': 4}
    """
    return _Scan(text).lines


class _Scan:
    """One pass over the tokens. `stack` holds the open brackets of the value being read, outermost first."""

    def __init__(self, text: str) -> None:
        self.lines: dict[str, int] = {}
        self.table = ""
        self.counts: dict[str, int] = {}
        self.stack: list[_Open] = []
        self.key: list[str] = []
        self.dotted = True
        self.in_value = False
        self.path = ""
        self.header = 0
        line = 1
        for token in _TOKEN.finditer(text):
            kind, found = token.lastgroup, token.group()
            if kind == "newline":
                self._newline()
                line += 1
            elif kind == "mark":
                self._mark(found, line)
            elif kind in ("word", "quoted"):
                self._name(found, kind == "quoted")
            elif kind == "long":
                line += found.count("\n")

    def _newline(self) -> None:
        if not self.stack:
            self.in_value = False
            self.header = 0
            self.key = []

    def _name(self, found: str, is_quoted: bool) -> None:
        if not self.in_value:
            if not self.dotted:
                self.key = []
            if len(self.key) < _DEEPEST:
                self.key.append(_unquoted(found) if is_quoted else found)
            self.dotted = False

    def _mark(self, mark: str, line: int) -> None:
        if mark == ".":
            self.dotted = True
        elif self.in_value:
            self._value_mark(mark)
        elif self.stack or self.header or mark != "[":
            self._key_mark(mark, line)
        else:
            self.header, self.key, self.dotted = 1, [], True

    def _key_mark(self, mark: str, line: int) -> None:
        """A mark where a key is being read: a header, or the inside of an inline table."""
        if mark == "=" and not self.header:
            self._begin_value(line)
        elif mark == "[" and self.header == 1 and not self.key:
            self.header = 2
        elif mark == "]" and self.header:
            self._end_header(line)
        elif self.stack and mark == "}":
            self._close()
        elif self.stack and mark == ",":
            self.key, self.dotted = [], True

    def _begin_value(self, line: int) -> None:
        path = self.stack[-1].path if self.stack else self.table
        if len(self.stack) < _DEEPEST:
            for part in self.key:
                path = join(path, part)
                self.lines.setdefault(path, line)
        self.path, self.in_value, self.key, self.dotted = path, True, [], True

    def _value_mark(self, mark: str) -> None:
        if mark == "{":
            self.stack.append(_Open(self.path, is_array=False))
            self.in_value, self.key, self.dotted = False, [], True
        elif mark == "[":
            self.stack.append(_Open(self.path, is_array=True))
            if len(self.stack) < _DEEPEST:
                self.path = f"{self.path}[0]"
        elif mark in "]}":
            self._close()
        elif mark == "," and self.stack:
            self._next()

    def _close(self) -> None:
        """After a closing bracket the value it closes goes on: it may be an element of another one."""
        if self.stack:
            self.stack.pop()
            self.in_value = True

    def _next(self) -> None:
        around = self.stack[-1]
        if around.is_array:
            around.index += 1
            self.path = f"{around.path}[{around.index}]"
        else:
            self.in_value, self.key, self.dotted = False, [], True

    def _end_header(self, line: int) -> None:
        path = ""
        for number, part in enumerate(self.key, start=1):
            path = join(path, part)
            is_last = number == len(self.key)
            if is_last and self.header == 2:
                self.counts[path] = self.counts.get(path, -1) + 1
            if path in self.counts:
                path = f"{path}[{self.counts[path]}]"
            self.lines.setdefault(path, line)
        self.table, self.header, self.key, self.dotted = path, 0, [], True
        self.in_value = True


class _Open:
    """An open bracket: the path of its value, and for an array the element being read."""

    __slots__ = ("index", "is_array", "path")

    def __init__(self, path: str, *, is_array: bool) -> None:
        self.path = path
        self.is_array = is_array
        self.index = 0


def _unquoted(found: str) -> str:
    body = found[1:-1] if len(found) > 1 and found[-1] == found[0] else found[1:]
    if found[0] == "'" or "\\" not in body:
        return body
    return _ESCAPE.sub(_character, body)


def _character(escape: re.Match[str]) -> str:
    code = escape.group(1) or escape.group(2)
    if code is None:
        return _ESCAPED.get(escape.group(3), escape.group())
    return chr(int(code, 16)) if int(code, 16) < 0x110000 else escape.group()
