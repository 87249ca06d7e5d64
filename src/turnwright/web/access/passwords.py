"""The file of names and passwords; a password stands in it as its Argon2id hash (RFC 9106), never as itself.

==========  ======================================================
code        what is wrong
==========  ======================================================
``ACC-01``  the file cannot be read or written
``ACC-02``  a line is no name with a hash
``ACC-03``  others on this machine can read or change the file
``ACC-04``  a name or a password that cannot be used
``ACC-05``  the part that hashes passwords is not installed
==========  ======================================================
"""

from __future__ import annotations

import logging
import re
import secrets
import stat
import sys
import unicodedata
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from turnwright.drafts import write_whole
from turnwright.errors import InputError, MissingExtra

if TYPE_CHECKING:
    from argon2 import PasswordHasher

SHORTEST, LONGEST = 12, 256
MOST_BYTES = 1_000_000
OTHERS = stat.S_IRWXG | stat.S_IRWXO
HEAD = "# Names and hashed passwords of those who may open the pages of turnwright. Keep this file to yourself.\n"
HOW = "Make the file with 'turnwright password FILE NAME'."
_LOG = logging.getLogger("turnwright.web")
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._@-]{0,63}")
_HASH = re.compile(r"\$argon2id\$v=\d+\$m=\d+,t=\d+,p=\d+\$[A-Za-z0-9+/]{16,}\$[A-Za-z0-9+/]{32,}")


def hasher() -> PasswordHasher:
    """Return what hashes and checks passwords, with the low-memory parameters of RFC 9106, section 4.

    Raises:
        MissingExtra: ACC-05.
    """
    try:
        from argon2 import PasswordHasher
        from argon2.profiles import RFC_9106_LOW_MEMORY
    except ModuleNotFoundError:
        fix = "pip install 'turnwright[access]'."
        raise MissingExtra("ACC-05", "passwords", "a part is not installed.", fix) from None
    return PasswordHasher.from_parameters(RFC_9106_LOW_MEMORY)


class Passwords:
    """The names and hashes of a file. A name that is not there costs the same time as a wrong password."""

    def __init__(self, hashes: Mapping[str, str]) -> None:
        self._hashes = dict(hashes)

    def __len__(self) -> int:
        return len(self._hashes)

    def mark(self, name: str) -> str | None:
        """Return what stands for the password of a name until another is given; None for a name not there."""
        return self._hashes.get(name)

    def check(self, name: str, password: str) -> bool:
        """Return whether a password is that of a name.

        Example:
            >>> Passwords({"mira": hasher().hash("long enough words")}).check("mira", "long enough words")
            True
        """
        from argon2.exceptions import InvalidHashError, VerificationError

        known = self._hashes.get(name)
        try:
            right = hasher().verify(known or _nobodys(), as_typed(password[:LONGEST]))
        except (VerificationError, InvalidHashError):
            return False
        return right and known is not None and len(password) <= LONGEST


@lru_cache(maxsize=1)
def _nobodys() -> str:
    """Return the hash of a password that nobody has."""
    return hasher().hash(secrets.token_urlsafe(32))


def as_typed(password: str) -> str:
    """Return a password in the one form that all keyboards come to.

    Example:
        >>> as_typed("e\\u0301") == as_typed("é")
        True
    """
    return unicodedata.normalize("NFKC", password)


class PasswordFile:
    """A file of passwords that is read anew when it changes; one that cannot be read any more lets nobody in."""

    def __init__(self, path: str | Path) -> None:
        """Read it for the first time.

        Raises:
            InputError: ACC-01 to ACC-03.
        """
        self._place = Path(path)
        self._seen = self._stamp()
        self._passwords = load_passwords(self._place)

    def current(self) -> Passwords:
        """Return the names and hashes as they stand in the file now."""
        stamp = self._stamp()
        if stamp != self._seen:
            self._seen = stamp
            try:
                self._passwords = load_passwords(self._place)
            except InputError as error:
                self._passwords = Passwords({})
                _LOG.error("nobody can sign in: %s", error)
        return self._passwords

    def _stamp(self) -> tuple[int, ...]:
        try:
            found = self._place.stat()
        except OSError:
            return ()
        return (found.st_ino, found.st_mtime_ns, found.st_ctime_ns, found.st_size, found.st_mode)


def load_passwords(path: str | Path) -> Passwords:
    """Return the names and hashes of a file.

    Raises:
        InputError: ACC-01 to ACC-03.
    """
    place = Path(path)
    _refuse_open_file(place)
    return Passwords(_read(place))


def _refuse_open_file(place: Path) -> None:
    """Refuse a file that others on this machine can read or change."""
    try:
        mode = place.stat().st_mode
    except OSError as error:
        raise _unreadable(place, error) from None
    if not stat.S_ISREG(mode):
        raise InputError("ACC-01", str(place), "this is no file.", HOW)
    if sys.platform != "win32" and mode & OTHERS:
        raise InputError("ACC-03", str(place), "others can read or change it.", f"chmod 600 {place.name}.")


def _read(place: Path) -> dict[str, str]:
    try:
        with place.open("rb") as file:
            text = file.read(MOST_BYTES + 1).decode("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise _unreadable(place, error) from None
    found: dict[str, str] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip() or line.startswith("#"):
            continue
        name, _, hashed = line.strip().partition(":")
        if not _NAME.fullmatch(name) or not _HASH.fullmatch(hashed) or name in found:
            twice = " that stands there once" if name in found else ""
            what = f"this is no name{twice} with its hash."
            raise InputError("ACC-02", f"{place}, line {number}", what, HOW)
        found[name] = hashed
    return found


def _unreadable(place: Path, error: OSError | UnicodeDecodeError) -> InputError:
    why = (error.strerror or str(error)) if isinstance(error, OSError) else "it is no text"
    return InputError("ACC-01", str(place), f"cannot be read: {why}.", HOW)


def put_password(path: str | Path, name: str, password: str | None) -> None:
    """Write a name with its password into a file, made where it is missing; None takes the name out.

    Raises:
        InputError: ACC-01 to ACC-04; the file is as it was.
        MissingExtra: ACC-05.
    """
    place = Path(path)
    refuse_name(name)
    if place.exists():
        _refuse_open_file(place)
    known = _read(place) if place.exists() else {}
    if password is None:
        if known.pop(name, None) is None:
            raise InputError("ACC-04", "NAME", f"'{name}' is not in {place.name}.", _listed(known))
    else:
        refuse_password(password)
        known[name] = hasher().hash(as_typed(password))
    _write(place, HEAD + "".join(f"{each}:{hashed}\n" for each, hashed in sorted(known.items())))


def _listed(known: Mapping[str, str]) -> str:
    return f"There are: {', '.join(sorted(known))}." if known else "There is nobody in it."


def refuse_name(name: str) -> None:
    """Refuse what is no name to sign in with.

    Raises:
        InputError: ACC-04.
    """
    if not _NAME.fullmatch(name):
        fix = "Use letters, digits and . _ - @, at most 64, a letter or digit first."
        raise InputError("ACC-04", "NAME", "is no name to sign in with.", fix)


def refuse_password(password: str) -> None:
    """Refuse a password that is too short to guard anything; it is not said what it was.

    Raises:
        InputError: ACC-04.
    """
    if not SHORTEST <= len(password) <= LONGEST:
        fix = f"Use {SHORTEST} to {LONGEST} characters; several words are good."
        raise InputError("ACC-04", "password", f"has {len(password)} characters.", fix)


def _write(place: Path, text: str) -> None:
    """Write the file anew under another name first: readable by its owner only, whole or not at all."""
    try:
        write_whole(place, text.encode(), mode=0o600)
    except OSError as error:
        what = f"cannot be written: {error.strerror or error}."
        raise InputError("ACC-01", str(place), what, "Name a file in a folder of yours.") from None
