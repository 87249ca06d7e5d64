"""What a person does not know: one marker for quantities, systems, words and yes/no alike."""

from enum import Enum
from typing import NoReturn


class Unknown(Enum):
    """The type of `UNKNOWN`. It is neither true nor false, so that no yes/no question passes over it."""

    UNKNOWN = "unknown"

    def __bool__(self) -> NoReturn:
        raise TypeError("UNKNOWN is neither true nor false; compare with `is UNKNOWN` first")

    def __str__(self) -> str:
        return "unknown"


UNKNOWN = Unknown.UNKNOWN


def is_unknown(given: object) -> bool:
    """Return whether something given is the word "unknown", in any letter case, or `UNKNOWN` itself.

    Example:
        >>> is_unknown(" Unknown "), is_unknown(UNKNOWN), is_unknown("unknown?"), is_unknown(0)
        (True, True, False, False)
    """
    return given is UNKNOWN or (isinstance(given, str) and given.strip().casefold() == "unknown")
