"""What to say of a value that cannot be used, whatever its key.

``JOB-02`` a value of the wrong type, ``JOB-08`` a size outside what is possible.
"""

from __future__ import annotations

from collections.abc import Mapping

from turnwright.errors import InputError
from turnwright.model.key import Key
from turnwright.quantities import KINDS, Quantity
from turnwright.quantities.spelling import plain, quoted

_NOUNS: tuple[tuple[tuple[type, ...], str], ...] = (
    ((bool,), "yes or no"),
    ((int, float), "a number"),
    ((str,), "a text"),
    ((Mapping,), "a table"),
    ((list, tuple), "a list"),
)


def noun(given: object) -> str:
    """Return what a value is, in plain words: `a list`."""
    return next((word for kinds, word in _NOUNS if isinstance(given, kinds)), "neither a text nor a number")


def wrong_type(given: object, where: str, expected: str, fix: str) -> InputError:
    """Refuse a value of the wrong type."""
    shown = quoted(given) if isinstance(given, str | int | float) else "this"
    return InputError("JOB-02", where, f"{shown} is {noun(given)}, where {expected} is expected.", fix)


def listed(key: Key) -> str:
    """Return the words of a key, for a sentence."""
    return ", ".join(f'"{word}"' for word in key.words) + ' or "unknown"'


def outside(key: Key, quantity: Quantity, where: str) -> InputError:
    """Refuse a size beyond the ends of its key."""
    unit = KINDS[quantity.kind].unit
    shown = f"{quoted(quantity.text)} is outside what is possible for {key.name} ({key.says})"
    what = f"{shown}: {_ends(key)} {unit}"
    fix = "Check the unit and the decimal point."
    if quantity.kind == "per unit" and quantity.value is not None and 2.0 < quantity.value <= 100.0:
        fix = f'For {quantity.text} percent write "{quantity.text} %".'
    return InputError("JOB-08", where, f"{what.rstrip()}.", f"{fix} A sample: {key.name} = {sample(key)}.")


def _ends(key: Key) -> str:
    least = plain(key.least or 0.0)
    if key.most is None:
        return f"{least} or more"
    above = not key.zero and not key.least
    return f"above {least}, up to {plain(key.most)}" if above else f"{least} to {plain(key.most)}"


def sample(key: Key) -> str:
    """Return the sample of a key as it stands in a file."""
    bare = key.sample[:1] in "[{" or key.kind in ("yes/no", "count", "number", "per unit", "layout")
    return key.sample if bare else f'"{key.sample}"'
