"""What can go wrong with what a user gives: a code, the place, what is wrong, how to mend it.

::

    TurnwrightError
    ├── InputError        (ValueError)   a job, a unit, a list or an argument that cannot be used
    │   └── UnknownKey    (KeyError)     a word that no table of the file has
    ├── TableError        (ValueError)   a reference table that breaks the rules of its folder
    │   └── OutsideTable                 a value that no row of a table serves
    └── MissingExtra      (ImportError)  a part that is not installed
"""

from collections.abc import Iterable


class TurnwrightError(Exception):
    """Base of every error a user can cause and mend.

    Example:
        >>> str(TurnwrightError("QTY-01", "job.toml, line 3", "what is wrong.", "what to do."))
        'job.toml, line 3: what is wrong. what to do. [QTY-01]'
    """

    def __init__(self, code: str, where: str, what: str, fix: str) -> None:
        super().__init__(code, where, what, fix)
        self.code = code
        self.where = where
        self.what = what
        self.fix = fix

    def __str__(self) -> str:
        return f"{self.where}: {self.what} {self.fix} [{self.code}]"


class InputError(TurnwrightError, ValueError):
    """Something a user wrote cannot be used."""


class UnknownKey(InputError, KeyError):
    """A name that is not known here; the message carries the nearest known one."""

    __str__ = TurnwrightError.__str__


class TableError(TurnwrightError, ValueError):
    """A reference table breaks a rule of its folder."""


class OutsideTable(TableError):
    """No row of a table serves a value: it ends before."""


class MissingExtra(TurnwrightError, ImportError):
    """A command needs a part of the package that is not installed."""

    __str__ = TurnwrightError.__str__


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word that looks most like `word`, or None when none does.

    Example:
        >>> nearest("curent", ["current", "kva"])
        'current'
    """
    from difflib import get_close_matches  # slow to import, and a good answer does not need it

    found = get_close_matches(word, list(known), n=1, cutoff=0.6)
    return found[0] if found else None


def place_in_package(error: BaseException) -> str:
    """Return the last place inside the package that an error came through, " in turnwright.x, line 3"; "" for none.

    Example:
        >>> place_in_package(ValueError("raised nowhere"))
        ''
    """
    trace, place = error.__traceback__, ""
    while trace is not None:
        name = trace.tb_frame.f_globals.get("__name__", "")
        if name.startswith("turnwright."):
            place = f" in {name}, line {trace.tb_lineno}"
        trace = trace.tb_next
    return place
