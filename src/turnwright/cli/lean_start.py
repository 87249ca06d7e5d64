"""Loads `msgspec` without `typing_extensions`, which it prefers where installed and can do without since Python 3.11.

What that package loads in turn (`inspect`, `ast`, `tokenize`) takes a tenth of the whole time of an answer.
"""

import sys

if sys.modules.keys().isdisjoint(("msgspec", "typing_extensions")):
    sys.modules["typing_extensions"] = None  # type: ignore[assignment]  # "is not installed"
    try:
        import msgspec  # noqa: F401
    finally:
        del sys.modules["typing_extensions"]
